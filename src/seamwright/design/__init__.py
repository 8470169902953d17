"""What is wanted: patches, blocks, rows, borders, and the files that describe them."""

from seamwright.design.model import Drawing, Kind, Patch, Unit

__all__ = ["Drawing", "Kind", "Patch", "Unit"]
