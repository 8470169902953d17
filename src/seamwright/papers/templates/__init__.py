"""Full-size templates: printed at 100 %, tiled over pages, each with check bars both ways."""

from seamwright.papers.templates.book import templates
from seamwright.papers.templates.shapes import Shape, Template, template_list
from seamwright.papers.templates.tiling import Tile, Tiling, tiling

__all__ = ["Shape", "Template", "Tile", "Tiling", "template_list", "templates", "tiling"]
