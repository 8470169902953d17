"""What a drawing implies: seams, their class by grain, and straight-through splits.

>>> square = lambda x, y, s: ((x, y), (x + s, y), (x + s, y + s), (x, y + s))
>>> splits([square(0, 0, 2), square(2, 0, 2)])
True
"""

from seamwright.seams.freeing import Freed, free, untouched
from seamwright.seams.graph import Seam, SeamClass, find_seams, grade
from seamwright.seams.halving import halve, star_centres
from seamwright.seams.lines import Through, members, supporting_lines
from seamwright.seams.parts import AddedSeam
from seamwright.seams.splitting import locked_groups, splits

__all__ = [
    "AddedSeam",
    "Freed",
    "Seam",
    "SeamClass",
    "Through",
    "find_seams",
    "free",
    "grade",
    "halve",
    "locked_groups",
    "members",
    "splits",
    "star_centres",
    "supporting_lines",
    "untouched",
]
