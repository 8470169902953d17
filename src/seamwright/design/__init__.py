"""What is wanted: patches, blocks, rows, borders, and the files that describe them.

>>> drawing = read('''
... unit = "in"
... thickness = "3/4"
... woods = { A = "sugar maple", B = "black walnut" }
... [block.corner]
... columns = "1-1/2"
... rows = "1-1/2"
... cells = 'A/B'
... ''', name="try")
>>> [(patch.name, patch.wood, patch.points) for patch in drawing.patches]
[('1', 'A', ((0.0, 0.0), (38.1, 38.1), (0.0, 38.1))), ('2', 'B', ((0.0, 0.0), (38.1, 0.0), (38.1, 38.1)))]
"""  # noqa: E501

from seamwright.design.blocks import DrawingText
from seamwright.design.check import check_patches
from seamwright.design.dxf import block_from_dxf
from seamwright.design.grids import MOST_PATCHES
from seamwright.design.library import known_block, known_blocks
from seamwright.design.model import BOUGHT, Backing, Drawing, Kind, Patch, Unit
from seamwright.design.nearly import Resized, nearly_equal
from seamwright.design.reader import LONGEST_TITLE, read
from seamwright.design.remarks import remarks
from seamwright.design.samples import demo, starter
from seamwright.design.settle import settle
from seamwright.design.source import decode, load_toml
from seamwright.design.svg import block_from_svg
from seamwright.design.tables import write_tables
from seamwright.design.typed import made_on
from seamwright.design.write import write

__all__ = [
    "BOUGHT",
    "LONGEST_TITLE",
    "MOST_PATCHES",
    "Backing",
    "Drawing",
    "DrawingText",
    "Kind",
    "Patch",
    "Resized",
    "Unit",
    "block_from_dxf",
    "block_from_svg",
    "check_patches",
    "decode",
    "demo",
    "known_block",
    "known_blocks",
    "load_toml",
    "made_on",
    "nearly_equal",
    "read",
    "remarks",
    "settle",
    "starter",
    "write",
    "write_tables",
]
