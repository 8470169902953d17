"""What is worth having at full size: the board, sled angles, clamping blocks."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.design import Drawing
from seamwright.geometry import (
    Polygon,
    convex_hull,
    cos_deg,
    sin_deg,
)
from seamwright.pictures import Shelf, Solids, degrees
from seamwright.plan import (
    ClampingBlock,
    Laminate,
    Machine,
    Plan,
    blocks_for,
    set_ups,
)

_ANGLED = (Machine.SLED, Machine.CARRIER, Machine.SHOOTING_BOARD)
"""What is set to an angle; on the shooting board the template shapes the block."""
_LEG_MM = 150.0
"""Long side of an angle template: long enough to set a fence by, short enough for one page."""
_BLOCK_MM = 40.0
_SQUARE_DEG = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """One outline at full size.

    Attributes:
        outline: anticlockwise [mm].
        label: written inside.
        grain_deg: direction of an arrow inside [°]; None for no arrow.
    """

    outline: Polygon
    label: str
    grain_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """Shapes that belong together.

    Attributes:
        title: heading on every page of it.
        use: what to do with it, a sentence.
        shapes: in one frame, y up [mm].
    """

    title: str
    use: str
    shapes: tuple[Shape, ...]


def template_list(plan: Plan, drawing: Drawing, shelf: Shelf) -> tuple[Template, ...]:
    """Every template of a plan: the board, each sled angle once, each clamping block once."""
    return (board(drawing), *angles(plan), *blocks(plan, dict(shelf.solids)))


def board(drawing: Drawing) -> Template:
    """The board's drawing at full size, to lay parts on."""
    return Template(
        title=f"{drawing.title}, full size",
        use="Join the pages at the marks, lay parts on the drawing to check size and place.",
        shapes=tuple(
            Shape(outline=p.points, label=p.name, grain_deg=p.grain_deg) for p in drawing.patches
        ),
    )


def angles(plan: Plan) -> tuple[Template, ...]:
    """A right triangle for each angle at which the sled is set, other than square."""
    steps: dict[float, list[str]] = {}
    for number, step in enumerate(plan.steps, start=1):
        for set_up in set_ups(step):
            off = round(abs(90.0 - set_up.angle_deg), 4)
            if set_up.machine in _ANGLED and off > _SQUARE_DEG:
                told = steps.setdefault(off, [])
                if str(number) not in told:
                    told.append(str(number))
    return tuple(
        Template(
            title=f"Sled angle, {degrees(off)} off square",
            use=f"For step {', '.join(told)}. Glue to thin board, cut out, hold between blade and "
            "fence. Test on scrap: a printed angle is a start, not a gauge.",
            shapes=(_wedge(off),),
        )
        for off, told in sorted(steps.items())
    )


def _wedge(off_deg: float) -> Shape:
    """A right triangle with the angle at the origin, long leg along x."""
    if off_deg <= 45.0:
        rise = _LEG_MM * sin_deg(off_deg) / cos_deg(off_deg)
        outline: Polygon = ((0.0, 0.0), (_LEG_MM, 0.0), (_LEG_MM, rise))
    else:
        run = _LEG_MM * cos_deg(off_deg) / sin_deg(off_deg)
        outline = ((0.0, 0.0), (run, 0.0), (run, _LEG_MM))
    return Shape(outline=outline, label=degrees(off_deg))


def blocks(plan: Plan, solids: Solids) -> tuple[Template, ...]:
    """Wedges that bring slanted outer faces of a glue-up square to the clamps."""
    wanted: dict[tuple[float, float], list[str]] = {}
    for step in plan.steps:
        if not isinstance(step, Laminate):
            continue
        for block in blocks_of(step, solids):
            told = wanted.setdefault((block.size[0], block.size[1]), [])
            if step.makes not in told:
                told.append(step.makes)
    return tuple(
        Template(
            title=f"Clamping block, {degrees(lean)}",
            use=f"For {', '.join(told)}. Cut from offcuts, slope against the part, flat side to "
            "the clamp; tape or a drop of hot glue keeps it from sliding.",
            shapes=(_block(lean, long),),
        )
        for (lean, long), told in sorted(wanted.items())
    )


def blocks_of(step: Laminate, solids: Solids) -> tuple[ClampingBlock, ...]:
    """Blocks a glue-up needs; none where its outer faces lie opposite each other."""
    hull = convex_hull(p for piece in solids[step.makes].pieces for p in piece.points)
    return blocks_for(step, hull)


def _block(lean_deg: float, long_mm: float) -> Shape:
    """A block with a flat bottom and a sloping top, at most a page long and high."""
    slope = sin_deg(lean_deg) / cos_deg(lean_deg)
    long = min(long_mm, _LEG_MM, _LEG_MM / slope)
    rise = long * slope
    base = min(_BLOCK_MM * 0.4, 15.0)
    outline = ((0.0, 0.0), (long, 0.0), (long, base + rise), (0.0, base))
    return Shape(outline=outline, label=f"block {degrees(lean_deg)}")
