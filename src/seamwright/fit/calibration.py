"""Checks of settings: what the cuts of a test say of the machine.

Every formula is plain geometry; where a test has a name in the trade its source is given.
"""

from __future__ import annotations

import math
from collections.abc import Sequence


def five_cut_deg(first_mm: float, last_mm: float, length_mm: float) -> float:
    """How far a sled is from square, from the strip of the fifth cut [°].

    A board is turned a quarter after each of four cuts, always the fresh edge to the fence; the
    fifth cut takes a strip off the first edge. Its two ends differ by four times the error over
    its length: each turn adds the error once more.

    Args:
        first_mm, last_mm: thickness of the strip at the end cut first and at the end cut last.
        length_mm: of the strip, more than 0.
    Reference:
        The five-cut test as published in many shop guides, for one "Table Saw Sledge Accuracy
        Test: Five Cut Method" (instructables.com): (27.89 − 29.25) / 4 / 400 × 550 = −0.4675 mm.
    """
    return math.degrees(math.atan((first_mm - last_mm) / 4.0 / length_mm))


def fence_move_mm(first_mm: float, last_mm: float, length_mm: float, fence_mm: float) -> float:
    """How far the fence is off at its free end [mm]; its sign is that of the difference.

    Args:
        first_mm, last_mm, length_mm: as for ``five_cut_deg``.
        fence_mm: from the fence's pivot to the place where it is moved.

    >>> round(fence_move_mm(27.89, 29.25, 400.0, 550.0), 4)
    -0.4675
    """
    return (first_mm - last_mm) / 4.0 / length_mm * fence_mm


def eight_pieces_deg(gap_mm: float, radius_mm: float) -> float:
    """Error of one cut at 22.5°, from a ring of eight wedges cut twice each [°].

    Eight wedges of 45° close a circle. Each has two cut faces, so the last joint gapes by sixteen
    times the error of one cut.

    Args:
        gap_mm: opening of the last joint at the rim; negative where the wedges overlap.
        radius_mm: from the middle to the rim, more than 0.

    >>> round(eight_pieces_deg(1.0, 100.0), 4)
    0.0358
    """
    return math.degrees(2.0 * math.asin(gap_mm / 2.0 / radius_mm)) / 16.0


def half_square_deg(first_mm: float, second_mm: float, width_mm: float) -> float:
    """Error of a cut at 45°, from the two legs of the triangle it leaves on a square strip [°].

    At 45° both legs are as long as the strip is wide; the leg along the strip tells the angle.

    Args:
        first_mm, second_mm: the leg along the strip, measured on two triangles.
        width_mm: of the strip.
    """
    return math.degrees(math.atan2(width_mm, (first_mm + second_mm) / 2.0)) - 45.0


def kerf_mm(whole_mm: float, pieces_mm: Sequence[float]) -> float:
    """Width of the saw cut, from a length and the pieces it was cut into [mm].

    n pieces come of n − 1 cuts; the longer the row, the better the mean.

    Args:
        whole_mm: length before cutting.
        pieces_mm: lengths of all pieces, two or more.
    Raises:
        ValueError: fewer than two pieces.

    >>> round(kerf_mm(200.0, [30.0, 30.1, 30.0, 29.9, 64.12]), 3)
    3.97
    """
    if len(pieces_mm) < 2:
        raise ValueError("a cut makes two pieces or more")
    return (whole_mm - math.fsum(pieces_mm)) / (len(pieces_mm) - 1)
