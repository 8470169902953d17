"""A whole plan in one picture: every glue-up with its pieces, in the order of work."""

from __future__ import annotations

from seamwright.app import PlanReport
from seamwright.geometry import Motion, bounds
from seamwright.pictures import Anchor, Ink, Item, Looks, Path, Picture, Text, framed, looks
from seamwright.pictures.looks import CHALK, INK, QUIET
from seamwright.plan import Laminate, Plan, Trim

SCALE = 0.2
"""Paper millimetres for one of wood, where a part is small enough for it."""
LARGEST_MM = (58.0, 34.0)
"""Width and height of the largest part [paper mm]; the board gets half as much again."""
WIDE_MM = 250.0
GAP_MM = 11.0
NAME_MM = 3.4


def plan_picture(report: PlanReport) -> Picture:
    """Glue-ups and the finished board, left to right and top to bottom, as if read.

    Args:
        report: a plan that holds.
    """
    table = looks(report.drawing.woods)
    boxes = [_box(kind, count, report, table) for kind, count in _shown(report.plan)]
    items: list[Item] = []
    x = y = deep = 0.0
    for number, (width, height, drawn) in enumerate(boxes):
        if x and x + width > WIDE_MM:
            x, y, deep = 0.0, y - deep - 9.0, 0.0
        if number:
            items.append(_arrow(x - GAP_MM / 2.0 - (0.0 if x else -1.0), y))
        items += [_moved(item, x, y) for item in drawn]
        x += width + GAP_MM
        deep = max(deep, height + 6.0)
    title = f"{report.drawing.title}: its plan at a glance, {len(boxes)} stages"
    return framed(items, title=title, margin_mm=3.0)


def _shown(plan: Plan) -> list[tuple[str, int]]:
    """Every lamination and every trimmed part, then the board."""
    stages = [step for step in plan.steps if isinstance(step, Laminate | Trim)]
    # the last glue-up looks like the board: only trimming and planing follow
    kinds = [(step.makes, step.count) for step in stages if step.makes != plan.board][:-1]
    return [*kinds, (plan.board, plan.copies)]


def _box(
    kind: str, count: int, report: PlanReport, table: Looks
) -> tuple[float, float, list[Item]]:
    """Width, height and items of one part; its top left corner lies at 0, 0."""
    solid = dict(report.shelf.solids)[kind]
    last = kind == report.plan.board
    # what is finished lies as in the drawing, everything before on its longer side
    x0, y0, x1, y1 = bounds(solid.hull)
    turn = 0.0 if last or x1 - x0 >= y1 - y0 else 90.0
    motion = Motion(turn_deg=turn)
    if last:
        motion = report.plan.board_at
    outlines = [(motion.polygon(piece.points), table[piece.wood].fill) for piece in solid.pieces]
    x0, y0, x1, y1 = bounds(point for outline, _ in outlines for point in outline)
    room = 1.5 if last else 1.0
    scale = min(SCALE, room * LARGEST_MM[0] / (x1 - x0), room * LARGEST_MM[1] / (y1 - y0))
    items: list[Item] = [
        Path(
            points=tuple(((x - x0) * scale, (y - y1) * scale) for x, y in outline),
            closed=True,
            ink=Ink(line=INK, fill=fill, width_mm=0.15),
        )
        for outline, fill in outlines
    ]
    number = report.plan.number(kind)
    name = f"{number}  {kind}" + (f" ×{count}" if count > 1 else "")
    deep = (y1 - y0) * scale
    items.append(
        Text(
            at=(0.0, -deep - 3.0),
            text=name,
            size_mm=NAME_MM,
            colour=INK if last else QUIET,
            anchor=Anchor.START,
        )
    )
    return max((x1 - x0) * scale, 14.0), deep, items


def _arrow(x: float, y: float) -> Item:
    points = ((x - 2.4, y - 4.0), (x + 2.4, y - 4.0), (x + 1.0, y - 3.0), (x + 2.4, y - 4.0),
              (x + 1.0, y - 5.0))  # fmt: skip
    return Path(points=points, ink=Ink(line=CHALK, width_mm=0.4))


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Path):
        points = tuple((x + dx, y + dy) for x, y in item.points)
        return Path(points=points, closed=item.closed, ink=item.ink)
    assert isinstance(item, Text)
    return Text(
        at=(item.at[0] + dx, item.at[1] + dy), text=item.text, size_mm=item.size_mm,
        colour=item.colour, anchor=item.anchor,
    )  # fmt: skip
