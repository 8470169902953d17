"""A plan written by hand that uses every kind of step.

The board itself is invented: it only has to give every sheet something to show.
"""

from __future__ import annotations

from dataclasses import replace

from seamwright.bench import Shelf, Solid, execute
from seamwright.design import Drawing, Kind, Patch, Unit
from seamwright.geometry import Motion, bounds, cos_deg, sin_deg
from seamwright.plan import (
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    Resaw,
    SawCut,
    SetUp,
    Slice,
    Step,
    Surface,
    Trim,
    default_shop,
)

_SHOP = default_shop()
SHOP = replace(
    _SHOP,
    saws=replace(_SHOP.saws, table_kerf_mm=3.175, resaw_kerf_mm=1.2),
    allowances=replace(
        _SHOP.allowances, tail_mm=75.0, rough_length_mm=38.0, rough_face_mm=2.4, square_end_mm=6.0
    ),
)

INCH = 25.4
SIDE = 1.5 * INCH


def square_cuts(
    size_mm: float, pieces: int, *, kerf_mm: float, first_mm: float
) -> tuple[SawCut, ...]:
    return tuple(SawCut(at_mm=first_mm + i * (size_mm + kerf_mm)) for i in range(pieces + 1))


def leaning_cuts(
    base_mm: float,
    pieces: int,
    *,
    angle_deg: float,
    height_mm: float,
    kerf_mm: float,
    first_mm: float,
) -> tuple[SawCut, ...]:
    """Cuts that free trapezoids of one long base, head to tail."""
    lean = height_mm * cos_deg(angle_deg) / sin_deg(angle_deg)
    wide = kerf_mm / sin_deg(angle_deg)
    cuts = [SawCut(at_mm=first_mm, angle_deg=angle_deg)]
    for i in range(pieces):
        length = base_mm if i % 2 == 0 else base_mm - 2.0 * lean
        angle = 180.0 - angle_deg if i % 2 == 0 else angle_deg
        cuts.append(SawCut(at_mm=cuts[-1].at_mm + wide + length, angle_deg=angle))
    return tuple(cuts)


def plan() -> Plan:
    kerf = SHOP.saws.table_kerf_mm
    deep = 2.0 * 22.2 + 1.2
    strip, long = SIDE, 31.0 * INCH
    square = SetUp(machine=Machine.SLED, size_mm=2 * SIDE, match="L2")
    steps: list[Step] = [
        Mill(makes="K1", count=2, wood="A", length_mm=long, width_mm=strip, depth_mm=deep),
        Mill(makes="K2", count=1, wood="B", length_mm=long, width_mm=strip, depth_mm=deep),
        Mill(makes="K3", count=1, wood="B", length_mm=26.0 * INCH, width_mm=strip, depth_mm=22.0),
        Mill(makes="K4", count=2, wood="C", length_mm=12.0 * INCH, width_mm=19.0, depth_mm=22.0),
        Laminate(
            makes="L1",
            count=1,
            parts=(
                Placed(part="K1"),
                Placed(part="K2", at=Motion(y_mm=strip)),
                Placed(part="K1", at=Motion(y_mm=2 * strip)),
            ),
            seams_deg=0.0,
            clampings=1,
        ),
        Resaw(
            takes="L1",
            billets=1,
            makes="L2",
            count=2,
            leaves=2,
            set_up=SetUp(machine=Machine.RESAW_FENCE, size_mm=22.2),
        ),
        Surface(
            takes="L2",
            makes="L3",
            count=2,
            depth_mm=21.0,
            set_up=SetUp(machine=Machine.PLANER, size_mm=21.0),
        ),
        Slice(
            takes="L3",
            bars=2,
            makes="S1",
            count=16,
            per_bar=8,
            cuts=square_cuts(2 * SIDE, 8, kerf_mm=kerf, first_mm=6.0),
            head_to_tail=False,
            set_up=square,
            rest="L4",
        ),
        Slice(
            takes="L4",
            bars=2,
            makes="S2",
            count=2,
            per_bar=1,
            cuts=(SawCut(at_mm=40.0),),
            head_to_tail=False,
            set_up=SetUp(machine=Machine.SLED, size_mm=40.0),
            squared=True,
        ),
        Slice(
            takes="K3",
            bars=1,
            makes="T1",
            count=6,
            per_bar=6,
            cuts=leaning_cuts(
                3 * SIDE, 6, angle_deg=45.0, height_mm=strip, kerf_mm=kerf, first_mm=6.0
            ),
            head_to_tail=True,
            set_up=SetUp(machine=Machine.SLED, size_mm=3 * SIDE, angle_deg=45.0),
        ),
        Laminate(
            makes="U1",
            count=4,
            parts=tuple(
                Placed(
                    part="S1",
                    at=Motion(x_mm=2 * SIDE * i)
                    if i % 2 == 0
                    else Motion(turn_deg=180.0, x_mm=2 * SIDE * (i + 1), y_mm=3 * SIDE),
                )
                for i in range(4)
            ),
            seams_deg=90.0,
            clampings=2,
        ),
        Laminate(
            makes="U2",
            count=1,
            parts=(
                Placed(part="U1"),
                Placed(part="U1", at=Motion(over=True, y_mm=6 * SIDE)),
                Placed(part="U1", at=Motion(y_mm=6 * SIDE)),
                Placed(part="U1", at=Motion(turn_deg=180.0, x_mm=8 * SIDE, y_mm=12 * SIDE)),
            ),
            seams_deg=0.0,
            clampings=1,
        ),
        Trim(
            takes="U2",
            makes="U3",
            count=1,
            cuts=(
                EdgeCut(x_mm=8 * SIDE - 30.0, y_mm=0.0, angle_deg=45.0),
                EdgeCut(x_mm=0.0, y_mm=2.0, angle_deg=0.0),
            ),
            set_ups=(
                SetUp(machine=Machine.SLED, size_mm=430.0, angle_deg=45.0),
                SetUp(machine=Machine.SLED, size_mm=455.2),
            ),
        ),
        Laminate(
            makes="P1",
            count=1,
            parts=(
                Placed(part="K4"),
                Placed(part="U3", at=Motion(y_mm=17.0)),
            ),
            seams_deg=0.0,
            clampings=1,
        ),
    ]
    return Plan(title="Window-seat board", steps=tuple(steps), board="P1", copies=1, shop=SHOP)


def shelf(made: Plan) -> Shelf:
    return execute(made)


def solids(made: Plan) -> dict[str, Solid]:
    return dict(execute(made).solids)


def drawing() -> Drawing:
    """The board of the plan as if it had been drawn."""
    made = plan()
    pieces = solids(made)[made.board].pieces
    x0, y0, x1, y1 = bounds(p for piece in pieces for p in piece.points)
    patches = tuple(
        Patch(name=str(i), points=piece.points, wood=piece.wood, grain_deg=piece.grain_deg)
        for i, piece in enumerate(pieces, start=1)
    )
    return Drawing(
        title=made.title,
        unit=Unit.INCH,
        thickness_mm=21.0,
        kind=Kind.THROUGH,
        woods=(("A", "sugar maple"), ("B", "black walnut"), ("C", "black cherry")),
        patches=patches,
        outline=((x0, y0), (x1, y0), (x1, y1), (x0, y1)),
    )
