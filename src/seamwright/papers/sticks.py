"""The stick list: what to mill, grouped so that each machine is set once."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from seamwright.design import Drawing
from seamwright.pictures import Ruler
from seamwright.plan import Mill, Plan, host, long_sticks

_QUARTERS = (4, 5, 6, 8, 10, 12, 16)
"""Rough thickness is sold in quarters of an inch (common practice in North America)."""
_QUARTER_MM = 6.35
_SLACK_MM = 0.4
"""A board is bought a size thicker only where more than about 1/64 in is wanting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """One kind of stick and the rough wood it comes from.

    Attributes:
        kind: id.
        wood: full name.
        count: sticks of this kind.
        length_mm, width_mm, depth_mm: finished [mm].
        rough_length_mm, rough_width_mm: to cut from the board, the longest [mm].
        rough_count: pieces to cut; fewer than sticks where several are milled in one, none where
            all come off the long sticks of other kinds.
        rough_total_mm: length of those pieces together [mm].
        milled: how they are milled where not one by one, in a few words.
        rough: thickness to buy, "8/4"; "glue up" where no board is thick enough.
        on_edge: the stick is cut from a board whose thickness becomes the stick's width.
    """

    kind: str
    wood: str
    count: int
    length_mm: float
    width_mm: float
    depth_mm: float
    rough_length_mm: float
    rough_width_mm: float
    rough_count: int
    rough_total_mm: float
    milled: str
    rough: str
    on_edge: bool


def sticks(plan: Plan, drawing: Drawing) -> tuple[Stick, ...]:
    """Every kind of stick, deepest planer setting first, then widest, then longest."""
    found = [
        _stick(step, plan, drawing.wood_name(step.wood))
        for step in plan.steps
        if isinstance(step, Mill)
    ]
    return tuple(
        sorted(
            found,
            key=lambda s: (-round(s.depth_mm, 3), -round(s.width_mm, 3), -s.length_mm, s.kind),
        )
    )


def _stick(step: Mill, plan: Plan, wood: str) -> Stick:
    shop = plan.shop
    face = 2.0 * shop.allowances.rough_face_mm
    on_edge = step.depth_mm + face > shop.limits.stock_thickness_mm
    thick, wide = (step.width_mm, step.depth_mm) if on_edge else (step.depth_mm, step.width_mm)
    longs = long_sticks(step, plan)
    extra = shop.allowances.rough_length_mm
    return Stick(
        kind=step.makes,
        wood=wood,
        count=step.count,
        length_mm=step.length_mm,
        width_mm=step.width_mm,
        depth_mm=step.depth_mm,
        rough_length_mm=max((long.length_mm for long in longs), default=step.length_mm) + extra,
        rough_count=sum(long.times for long in longs),
        rough_total_mm=sum((long.length_mm + extra) * long.times for long in longs),
        milled=_milled(step, plan),
        rough_width_mm=wide + face,
        rough=quarters(thick + face),
        on_edge=on_edge,
    )


def _milled(step: Mill, plan: Plan) -> str:
    """How sticks are milled where not one by one."""
    if not step.is_shared:
        return f"{step.together} in one" if step.together > 1 else ""
    off = f"off {' and '.join(host(step, plan))}" if step.parted else ""
    others = dict.fromkeys(h.kind for lot in step.long for h in lot.holds if h.kind != step.makes)
    beside = f"in one with {' and '.join(others)}" if others else ""
    return ", ".join(filter(None, (beside, off)))


def quarters(rough_mm: float) -> str:
    """The thinnest board sold that is about this thick, in quarters of an inch.

    >>> quarters(25.7), quarters(26.0), quarters(500.0)
    ('4/4', '5/4', 'glue up')
    """
    for number in _QUARTERS:
        if rough_mm <= number * _QUARTER_MM + _SLACK_MM:
            return f"{number}/4"
    return "glue up"


def sticks_csv(plan: Plan, drawing: Drawing, *, ruler: Ruler) -> bytes:
    """The stick list for a spreadsheet: UTF-8 with a mark, CRLF, inch text apart from exact mm."""
    head = (
        "stick", "wood", "count", "rough", "length", "width", "depth",
        "length_mm", "width_mm", "depth_mm", "rough_length_mm", "rough_width_mm", "rough_count",
    )  # fmt: skip
    rows = [
        (
            s.kind, s.wood, s.count, s.rough,
            *(ruler.inch(mm) for mm in (s.length_mm, s.width_mm, s.depth_mm)),
            *(
                f"{mm:.4f}".rstrip("0").rstrip(".")
                for mm in (s.length_mm, s.width_mm, s.depth_mm, s.rough_length_mm, s.rough_width_mm)
            ),
            s.rough_count,
        )
        for s in sticks(plan, drawing)
    ]  # fmt: skip
    return table_csv(head, rows)


def table_csv(head: tuple[str, ...], rows: list[tuple[object, ...]]) -> bytes:
    """Any table for a spreadsheet; a cell that a spreadsheet would run as a formula is quoted."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows([tuple(_plain(cell) for cell in row) for row in rows])
    return out.getvalue().encode("utf-8-sig")


def _plain(cell: object) -> object:
    """A text that starts like a formula gets an apostrophe in front; rough 8/4 must stay text."""
    if isinstance(cell, str) and (cell[:1] in "=+-@\t\r" or _is_date(cell)):
        return "'" + cell
    return cell


def _is_date(cell: str) -> bool:
    """Whether a spreadsheet would read a cell such as 8/4 as a date."""
    top, slash, bottom = cell.partition("/")
    return bool(slash) and top.isdigit() and bottom.isdigit()
