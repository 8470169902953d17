"""A plan written by hand that uses every kind of step, and its parts worked out simply.

The board itself is invented: it only has to give every sheet something to show.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from seamwright.design import Drawing, Kind, Patch, Unit
from seamwright.geometry import Line, Motion, Polygon, bounds, clip, cos_deg, sin_deg
from seamwright.plan import (
    Allowances,
    EdgeCut,
    Laminate,
    Limits,
    Machine,
    Mill,
    Minutes,
    Placed,
    Plan,
    Resaw,
    SawCut,
    Saws,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
)

SHOP = Shop(
    saws=Saws(table_kerf_mm=3.175, table_depth_mm=76.0, resaw_kerf_mm=1.2, resaw_depth_mm=150.0),
    allowances=Allowances(
        plane_face_mm=0.6,
        square_end_mm=6.0,
        tail_mm=75.0,
        rough_length_mm=38.0,
        rough_face_mm=2.4,
        edge_mm=4.0,
    ),
    limits=Limits(
        stick_length_mm=1200.0,
        stick_min_length_mm=300.0,
        stick_min_width_mm=6.0,
        stick_min_depth_mm=6.0,
        stock_thickness_mm=50.8,
        stock_width_mm=200.0,
        slice_min_mm=6.0,
        part_min_mm=25.0,
        resaw_min_leaf_mm=4.0,
        clamp_reach_mm=1200.0,
        seams_per_glue_up=12,
    ),
    minutes=Minutes(
        stick=3.0,
        set_up=5.0,
        set_up_angle=10.0,
        slice=0.5,
        trim=1.0,
        glue_up=15.0,
        glue_line=1.0,
        glue_up_angle=10.0,
        resaw=2.0,
        surface=2.0,
        wood_litre=10.0,
    ),
)

INCH = 25.4
SIDE = 1.5 * INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    points: Polygon
    wood: str
    grain_deg: float
    stick: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    pieces: tuple[Piece, ...]
    depth_mm: float


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    step: Step
    places: tuple[Motion, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    solids: tuple[tuple[str, Solid], ...]
    steps: tuple[Done, ...]


def shelf(made: Plan) -> Shelf:
    found = solids(made)
    done = tuple(
        Done(step=step, places=_places(step, found, made.shop.saws.table_kerf_mm))
        for step in made.steps
    )
    return Shelf(solids=tuple(found.items()), steps=done)


def _places(step: Step, found: dict[str, Solid], kerf: float) -> tuple[Motion, ...]:
    """Where each piece of a slice lay in its bar: the middles of their boxes meet."""
    if not isinstance(step, Slice):
        return ()
    x0, y0, x1, y1 = bounds(p for piece in found[step.makes].pieces for p in piece.points)
    own = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    cuts = list(step.cuts) if not step.squared else [SawCut(at_mm=-kerf), *step.cuts]
    places = []
    for i, (a, b) in enumerate(pairwise(cuts)):
        wide = kerf / sin_deg(a.angle_deg)
        at_left = a.at_mm + wide, a.at_mm + wide + y1 * cos_deg(a.angle_deg) / sin_deg(a.angle_deg)
        at_right = b.at_mm, b.at_mm + y1 * cos_deg(b.angle_deg) / sin_deg(b.angle_deg)
        middle = (min(*at_left, *at_right) + max(*at_left, *at_right)) / 2.0
        turn = Motion(turn_deg=180.0 if step.head_to_tail and i % 2 else 0.0)
        x, y = turn.point(own)
        places.append(Motion(turn_deg=turn.turn_deg, x_mm=middle - x, y_mm=own[1] - y))
    return tuple(places)


def solids(made: Plan) -> dict[str, Solid]:
    """What each kind is, step by step."""
    found: dict[str, Solid] = {}
    kerf = made.shop.saws.table_kerf_mm
    for step in made.steps:
        if isinstance(step, Mill):
            long, wide = step.length_mm, step.width_mm
            rect = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
            piece = Piece(points=rect, wood=step.wood, grain_deg=0.0, stick=step.makes)
            found[step.makes] = Solid(pieces=(piece,), depth_mm=step.depth_mm)
        elif isinstance(step, Laminate):
            pieces = tuple(
                Piece(
                    points=placed.at.polygon(piece.points),
                    wood=piece.wood,
                    grain_deg=placed.at.undirected_deg(piece.grain_deg),
                    stick=piece.stick,
                )
                for placed in step.parts
                for piece in found[placed.part].pieces
            )
            depth = max(found[placed.part].depth_mm for placed in step.parts)
            found[step.makes] = Solid(pieces=pieces, depth_mm=depth)
        elif isinstance(step, Slice):
            if step.squared:
                a, b = SawCut(at_mm=-kerf), step.cuts[0]
            else:
                a, b = step.cuts[:2]
            face = Line.at_angle((a.at_mm, 0.0), a.angle_deg).shifted(-kerf)
            lines = (face.reversed(), Line.at_angle((b.at_mm, 0.0), b.angle_deg))
            start = a.at_mm + kerf / sin_deg(a.angle_deg)
            if step.rest:
                last = step.cuts[-1]
                end = Line.at_angle((last.at_mm, 0.0), last.angle_deg).shifted(-kerf)
                away = Motion(x_mm=-last.at_mm - kerf / sin_deg(last.angle_deg))
                found[step.rest] = _cut(found[step.takes], (end.reversed(),), away)
            found[step.makes] = _cut(found[step.takes], lines, Motion(x_mm=-start))
        elif isinstance(step, Trim):
            lines = tuple(Line.at_angle((c.x_mm, c.y_mm), c.angle_deg) for c in step.cuts)
            found[step.makes] = _cut(found[step.takes], lines, Motion())
        elif isinstance(step, Resaw):
            whole = found[step.takes]
            depth = (
                whole.depth_mm - (step.leaves - 1) * made.shop.saws.resaw_kerf_mm
            ) / step.leaves
            found[step.makes] = Solid(pieces=whole.pieces, depth_mm=depth)
        elif isinstance(step, Surface):
            found[step.makes] = Solid(pieces=found[step.takes].pieces, depth_mm=step.depth_mm)
    return found


def _cut(solid: Solid, lines: tuple[Line, ...], after: Motion) -> Solid:
    pieces: list[Piece] = []
    for piece in solid.pieces:
        parts: tuple[Polygon, ...] = (piece.points,)
        for line in lines:
            parts = tuple(kept for part in parts for kept in clip(part, line))
        pieces.extend(
            Piece(
                points=after.polygon(part),
                wood=piece.wood,
                grain_deg=after.undirected_deg(piece.grain_deg),
                stick=piece.stick,
            )
            for part in parts
        )
    return Solid(pieces=tuple(pieces), depth_mm=solid.depth_mm)


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
