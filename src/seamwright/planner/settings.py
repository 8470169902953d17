"""Machine settings and bar lengths that options imply, for pricing and for writing the plan."""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.geometry import Line, Polygon, angle_between, distance, sin_deg
from seamwright.plan import Hold, Machine, Mill, SetUp, Shop
from seamwright.planner.canon import STEPS_PER_MM
from seamwright.planner.options import Bar, Cut, FilledRow, Strip


def overhead_mm(bar: Bar, shop: Shop) -> float:
    """Length of a bar that gives no slices: squared end, first kerf, wedge, safe tail [mm]."""
    angle = bar.style[1] / 1000.0 if bar.style[0] == 1 else 90.0
    if bar.style[0] == 2:
        angle = bar.style[2] / 1000.0
    first_kerf = shop.saws.table_kerf_mm / sin_deg(angle)
    extra = shop.allowances
    return extra.square_end_mm + first_kerf + bar.wedge_mm + extra.tail_mm


def between(one_deg: float, other_deg: float, press_deg: float) -> tuple[float, float]:
    """Two directions of glue lines [°] so that the press lies anticlockwise from the first.

    >>> between(135.0, 45.0, 90.0)
    (45.0, 135.0)
    >>> between(135.0, 45.0, 0.0)
    (135.0, 45.0)
    """
    middle = one_deg + (other_deg - one_deg) % 180.0 / 2.0
    right_way = angle_between(middle, press_deg) < 45.0
    return (one_deg, other_deg) if right_way else (other_deg, one_deg)


def row_glue_lines(row: FilledRow) -> int:
    """Glue lines of a filled row: two at every block for each row of fillers."""
    return 2 * row.count * len(row.fillers)


def strip_set_minutes(strips: int, shop: Shop) -> float:
    """Minutes to glue one strip set, in stages where it has too many seams, and to plane it."""
    m = shop.minutes
    planing = m.surface if is_planed(strips, shop) else 0.0
    return m.glue_up * glue_stages(strips, shop) + m.glue_line * (strips - 1) + planing


def sections(bar: Bar) -> tuple[Strip, ...]:
    """The sticks of a bar; those of one wood and width, to what is set, are equal."""
    known: dict[tuple[str, int], Strip] = {}
    return tuple(
        known.setdefault((s.wood, round(s.width_mm * STEPS_PER_MM)), s) for s in bar.strips
    )


def milling_order(step: Mill) -> tuple[float, float, str, float]:
    """Sticks in the order they are milled: of one setting, then of one wood, the longest first."""
    return (-step.depth_mm, step.width_mm, step.wood, -step.length_mm)


def is_planed(strips: int, shop: Shop) -> bool:
    """Whether a bar is planed flat before it is sliced: glued ones are, where anything is left."""
    return strips > 1 and shop.allowances.plane_face_mm > 0.0


def glue_stages(strips: int, shop: Shop) -> int:
    """Clampings for one strip set of so many sticks."""
    most = shop.limits.seams_per_glue_up + 1
    if strips <= 1:
        return 0
    if strips <= most:
        return 1
    groups = stage_sizes(strips, most)
    return sum(glue_stages(size, shop) for size in groups) + glue_stages(len(groups), shop)


def stage_sizes(strips: int, most: int) -> list[int]:
    """Even groups of at most so many sticks, and at most so many groups where that is possible."""
    groups = min(-(-strips // most), most)
    size = -(-strips // groups)
    return [min(size, strips - at) for at in range(0, strips, size)]


def cut_set_ups(cut: Cut, kerf_mm: float) -> tuple[SetUp, ...]:
    """Stop and angle for slices; a second setting where turning the bar over does not do it."""
    left, right = cut.angles_deg
    first = SetUp(machine=Machine.SLED, size_mm=cut.length_mm, angle_deg=left)
    if not cut.head_to_tail or abs(left + right - 180.0) < 1e-6:
        return (first,)
    pair = cut.length_mm + kerf_mm / sin_deg(right) + cut.top_mm
    return (
        SetUp(machine=Machine.SLED, size_mm=pair, angle_deg=left),
        SetUp(machine=Machine.SLED, size_mm=cut.length_mm, angle_deg=right),
    )


def trim_set_ups(
    cuts: Sequence[Line], hull: Polygon, over: Polygon, hold: Hold = Hold.SLED
) -> tuple[SetUp, ...]:
    """Stop and angle for each trimming cut.

    Args:
        cuts: lines; what lies left of them stays.
        hull: outline of the trimmed part [mm].
        over: outline of the larger part in the same frame [mm]; its longest edge lies on the fence.
        hold: how the part is held.
    Returns:
        One setting for each cut: the stop is the width that stays, measured square to the cut.
    """
    edges = list(zip(over, over[1:] + over[:1], strict=True))
    fence = Line.through(*max(edges, key=lambda edge: round(distance(*edge), 3)))
    ups = []
    for line in cuts:
        angle = angle_between(line.undirected_deg, fence.undirected_deg)
        stays = max(line.side(p) for p in hull)
        ups.append(
            SetUp(machine=hold.machine, size_mm=stays, angle_deg=angle if angle > 1e-6 else 90.0)
        )
    return tuple(ups)
