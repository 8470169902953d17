"""What is wanted: sticks, and the ways to get each from a board."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum

from seamwright.errors import Fault
from seamwright.plan import Laminate, Mill, Plan, Shop
from seamwright.rack.boards import Board, Finish, RackError, Ring
from seamwright.rack.grid import flaw_boxes, usable
from seamwright.rack.rules import CutRules

_MOST_LEAVES = 4
_MOST_LAYERS = 4
_TINY = 1e-6


class Way(Enum):
    """How a stick lies in the board it comes from."""

    FLAT = "flat"
    """Its depth from the board's thickness, its width ripped."""
    ON_EDGE = "on edge"
    """Its width from the board's thickness, its depth ripped."""
    RESAWN = "resawn"
    """Like flat, and the blank resawn into several sticks."""
    LAYERED = "glued thicker"
    """Its depth from several blanks glued face to face."""
    WIDENED = "glued wider"
    """Its width from several blanks glued edge to edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """Equal sticks wanted, at finished size; grain along the length.

    Attributes:
        name: of the stick kind, or several names where equal kinds are asked for together.
        wood: full name of the wood.
        count: sticks.
        length_mm, width_mm, depth_mm: finished size [mm]; length × width is the show face.
        ring: growth rings wanted on the show face; UNKNOWN where it does not matter.
        match: sticks with the same mark come from one board, for colour; "" where it does not
            matter.
    """

    name: str
    wood: str
    count: int
    length_mm: float
    width_mm: float
    depth_mm: float
    ring: Ring = Ring.UNKNOWN
    match: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One way to get a stick: the blank to cut and the board it needs.

    Attributes:
        way: how the stick lies in the board.
        length_mm, rip_mm: blank as cut [mm].
        rough_mm, milled_mm: least thickness of a rough and of a milled board [mm].
        sticks: from one blank (more than one where resawn).
        blanks: for one stick (more than one where glued).
        glue: what gluing one stick counts, where gluing is weighed against a whole stick.
    """

    way: Way
    length_mm: float
    rip_mm: float
    rough_mm: float
    milled_mm: float
    sticks: int = 1
    blanks: int = 1
    glue: float = 0.0

    def least_mm(self, finish: Finish) -> float:
        """Least board thickness [mm]."""
        return self.rough_mm if finish is Finish.ROUGH else self.milled_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """All sticks wanted."""

    sticks: tuple[Stick, ...]


class Match(Enum):
    """Which sticks shall match in colour."""

    FREE = "free"
    """None; each comes from wherever it costs least."""
    STRIP_SETS = "strip sets"
    """Sticks of one wood in one strip set come from one board."""


def demand_of(
    plan: Plan,
    woods: Mapping[str, str],
    *,
    ring: Ring = Ring.UNKNOWN,
    match: Match = Match.FREE,
) -> Demand:
    """Sticks of a plan's milling steps; equal ones are put together.

    Args:
        plan: the plan.
        woods: full name of each wood letter; a letter without one stands for itself.
        ring: growth rings wanted on the show face of every stick.
        match: which sticks come from one board.
    """
    marks = _marks(plan) if match is Match.STRIP_SETS else {}
    found: dict[tuple[str, str, float, float, float], Stick] = {}
    for step in plan.steps:
        if not isinstance(step, Mill):
            continue
        wood = woods.get(step.wood, step.wood)
        mark = f"{marks[step.makes]} {wood}" if step.makes in marks else ""
        size = (step.length_mm, step.width_mm, step.depth_mm)
        key = (wood, mark, round(size[0], 4), round(size[1], 4), round(size[2], 4))
        old = found.get(key)
        if old is None:
            found[key] = Stick(
                name=step.makes,
                wood=wood,
                count=step.count,
                length_mm=size[0],
                width_mm=size[1],
                depth_mm=size[2],
                ring=ring,
                match=mark,
            )
        else:
            found[key] = replace(
                old, name=f"{old.name}, {step.makes}", count=old.count + step.count
            )
    return Demand(sticks=tuple(found.values()))


def _marks(plan: Plan) -> dict[str, str]:
    """The strip set each kind of stick goes into first."""
    marks: dict[str, str] = {}
    for step in plan.steps:
        if isinstance(step, Laminate):
            for placed in step.parts:
                marks.setdefault(placed.part, step.makes)
    return marks


def check_demand(demand: Demand) -> None:
    """Refuse a demand that makes no sense.

    Raises:
        RackError: all faults found.
    """
    faults: list[Fault] = []
    names: set[str] = set()
    for stick in demand.sticks:
        subject = f"stick {stick.name}"
        sizes = (stick.length_mm, stick.width_mm, stick.depth_mm)
        if not all(math.isfinite(s) and s > 0 for s in sizes):
            faults.append(Fault("R130", subject, "has a size of 0 or less", "give its size"))
        if stick.count < 1:
            faults.append(Fault("R131", subject, f"is asked for {stick.count} times", "ask for 1"))
        if stick.name in names:
            faults.append(Fault("R132", subject, "is listed twice", "put the two together"))
        names.add(stick.name)
    if faults:
        raise RackError(*faults)


def ways(stick: Stick, shop: Shop, rules: CutRules) -> tuple[Variant, ...]:
    """Every direct way to get a stick; which of them a board allows is asked of ``suits``."""
    face = shop.allowances.rough_face_mm
    length = stick.length_mm + shop.allowances.rough_length_mm
    flat = Variant(
        way=Way.FLAT,
        length_mm=length,
        rip_mm=stick.width_mm + 2 * face,
        rough_mm=stick.depth_mm + 2 * face,
        milled_mm=stick.depth_mm,
    )
    found = [flat]
    if abs(stick.width_mm - stick.depth_mm) > _TINY:
        found.append(
            replace(
                flat,
                way=Way.ON_EDGE,
                rip_mm=stick.depth_mm + 2 * face,
                rough_mm=stick.width_mm + 2 * face,
                milled_mm=stick.width_mm,
            )
        )
    reach = shop.saws.resaw_depth_mm
    if stick.width_mm + 2 * face <= reach:
        for leaves in range(2, _MOST_LEAVES + 1):
            # each leaf keeps its own planing allowance; saw marks are on its inner faces
            thick = leaves * (stick.depth_mm + 2 * face) + (leaves - 1) * rules.resaw_kerf_mm
            found.append(
                replace(
                    flat, way=Way.RESAWN, rough_mm=thick, milled_mm=thick - 2 * face, sticks=leaves
                )
            )
    return tuple(v for v in found if v.rip_mm >= rules.rip_width_mm - _TINY)


def glued_ways(
    stick: Stick, shop: Shop, boards: tuple[Board, ...], rules: CutRules
) -> tuple[Variant, ...]:
    """The way with fewest blanks to glue a stick up, where no board gives it whole."""
    mine = [b for b in boards if b.wood == stick.wood]
    return next(
        ((v,) for v in _glued(stick, shop) if any(_takes(b, v, rules) for b in mine)),
        (),
    )


def weighed_ways(
    stick: Stick,
    shop: Shop,
    boards: tuple[Board, ...],
    rules: CutRules,
    *,
    whole: tuple[Variant, ...],
) -> tuple[Variant, ...]:
    """The way to glue a stick up that is weighed against cutting it whole, with its work.

    The one with fewest blanks that some board gives which gives no whole stick; where every
    board gives whole ones, narrow rests may still do: then the one with fewest blanks.
    """
    if rules.hour is None:
        return ()
    mine = [b for b in boards if b.wood == stick.wood]
    small = [b for b in mine if not any(_takes(b, v, rules) for v in whole)]
    for among in (small, mine):
        for variant in _glued(stick, shop):
            if any(_takes(b, variant, rules) for b in among):
                work = gluing_minutes(variant, shop) * rules.hour / 60
                return (replace(variant, glue=work),)
    return ()


def gluing_minutes(variant: Variant, shop: Shop) -> float:
    """Minutes that one stick glued up takes more than one cut whole [min]."""
    minutes, more = shop.minutes, variant.blanks - 1
    return more * (minutes.stick + minutes.glue_line) + minutes.glue_up if more else 0.0


def _takes(board: Board, variant: Variant, rules: CutRules) -> bool:
    return _holds(board, variant) and has_room(board, variant, rules)


def _glued(stick: Stick, shop: Shop) -> Iterator[Variant]:
    """Every way to glue a stick up from equal blanks, fewest first."""
    face, plane = shop.allowances.rough_face_mm, shop.allowances.plane_face_mm
    length = stick.length_mm + shop.allowances.rough_length_mm
    for blanks in range(2, _MOST_LAYERS + 1):
        layer = (stick.depth_mm + 2 * plane) / blanks
        strip = (stick.width_mm + 2 * plane) / blanks
        layered = Variant(
            way=Way.LAYERED,
            length_mm=length,
            rip_mm=stick.width_mm + 2 * face,
            rough_mm=layer + 2 * face,
            milled_mm=layer,
            blanks=blanks,
        )
        widened = replace(
            layered,
            way=Way.WIDENED,
            rip_mm=strip + 2 * face,
            rough_mm=stick.depth_mm + 2 * face,
            milled_mm=stick.depth_mm,
        )
        yield layered
        yield widened


def suits(board: Board, stick: Stick, variant: Variant, rules: CutRules) -> bool:
    """Whether a blank of this variant may come from a board: wood, thickness, rings, size."""
    if board.wood != stick.wood or not _holds(board, variant):
        return False
    if board.thickness_mm - variant.least_mm(board.finish) > rules.plane_off_mm:
        return False
    return stick.ring is Ring.UNKNOWN or face_ring(board.ring, variant.way) is stick.ring


def has_room(board: Board, variant: Variant, rules: CutRules) -> bool:
    """Whether one blank fits somewhere between the trims and clear of every flaw."""
    boxes = flaw_boxes(board, rules)
    length, width = usable(board, rules)
    for x in (0.0, *(box[2] for box in boxes)):
        for y in (0.0, *(box[3] for box in boxes)):
            far, top = x + variant.length_mm, y + variant.rip_mm
            if far > length + _TINY or top > width + _TINY:
                continue
            if not any(b[0] < far and b[2] > x and b[1] < top and b[3] > y for b in boxes):
                return True
    return False


def face_ring(ring: Ring, way: Way) -> Ring:
    """Growth rings on the show face of a stick that lies so in a board with these rings."""
    if way is Way.ON_EDGE:
        return {Ring.FLAT: Ring.QUARTER, Ring.QUARTER: Ring.FLAT}.get(ring, ring)
    return ring


def best_variants(
    board: Board, stick: Stick, variants: tuple[Variant, ...], rules: CutRules
) -> tuple[int, ...]:
    """Indices of the ways worth trying on a board: of several resawn ones the one that gives most.

    Flat is left out where resawing the same blank gives more.
    """
    fit = [n for n, v in enumerate(variants) if suits(board, stick, v, rules)]
    same = [n for n in fit if variants[n].way in (Way.FLAT, Way.RESAWN)]
    most = max(same, key=lambda n: variants[n].sticks, default=None)
    return tuple(n for n in fit if n not in same or n == most)


def _holds(board: Board, variant: Variant) -> bool:
    return (
        board.thickness_mm >= variant.least_mm(board.finish) - _TINY
        and board.width_mm >= variant.rip_mm - _TINY
        and board.length_mm >= variant.length_mm - _TINY
    )
