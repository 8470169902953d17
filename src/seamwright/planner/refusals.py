"""Why nothing works: the pieces no way of making fits, each with the nearest thing that would.

Whatever is advised must work: sizes are rounded to the safe side.
"""

from __future__ import annotations

import math

from seamwright.design import Drawing
from seamwright.errors import Fault
from seamwright.geometry import ON_LINE_MM, Line, Motion, Point, centroid
from seamwright.plan import Hold, Shop
from seamwright.planner.cells import Cell, up
from seamwright.planner.clamps import too_few
from seamwright.planner.depths import depths
from seamwright.planner.holding import is_held
from seamwright.planner.options import Bar, Cut, Join, Kind, Space, TrimDown
from seamwright.planner.settings import overhead_mm
from seamwright.planner.too_small import hand_least_mm, too_small
from seamwright.seams import locked_groups, members

MOST_FAULTS = 12


def why_not(space: Space, drawing: Drawing, shop: Shop) -> tuple[Fault, ...]:
    """Faults that explain why no plan is feasible; at least one, twelve at the most.

    Args:
        space: the options that were found.
        drawing: the drawing they come from.
        shop: whose limits rule them out.
    """
    faults = _thickness(drawing, shop)
    flat = depths(drawing.thickness_mm, 1, shop).flat_mm
    for number, home in _drawn(space).items():
        kind = space.kinds[number]
        if not kind.region & (kind.region - 1):
            allowance = _allowance(space, kind, home, shop)
            reason = _piece(space, kind, shop, allowance, flat)
            if reason is not None:
                faults.append(Fault("P102", _named(space, kind, home), *reason))
        elif not any(isinstance(option, Join) for option in kind.options):
            faults.append(_clamps(space, shop))
            break
    scarce = None if faults else too_few([space.kinds[n] for n in _drawn(space)], shop.clamps)
    if scarce is not None:
        faults.append(_few_clamps(scarce, shop))
    return tuple(dict.fromkeys(faults))[:MOST_FAULTS]


def _few_clamps(scarce: tuple[int, float, float], shop: Shop) -> Fault:
    needed, along, caul = scarce
    return Fault(
        "P112",
        "the board",
        f"has a glue-up {along:.0f} mm long that needs {needed} clamps over cauls "
        f"{shop.clamps.caul_mm:.0f} mm deep; the shop has {shop.clamps.count}, and no order of "
        "gluing needs fewer",
        f"use {needed} clamps (gluing.clamps), or cauls {up(caul)} mm deep (gluing.caul_most)",
    )


def still_locked(space: Space) -> tuple[Fault, ...]:
    """A fault for every group of pieces that neither a straight seam nor a push takes apart."""
    faults = []
    for kind in space.kinds:
        cells = [kind.world.cells[i] for i in members(kind.region)]
        if not kind.options and locked_groups([cell.polygon for cell in cells]):
            names = dict.fromkeys(cell.patch for cell in cells)
            faults.append(
                Fault(
                    "P111",
                    f"patches {', '.join(names)}",
                    "lock each other, and none lies in a corner it can be pushed into",
                    "let seams be added, or draw a seam through one of them",
                )
            )
    return tuple(faults[:1])


def _thickness(drawing: Drawing, shop: Shop) -> list[Fault]:
    limits, rough = shop.limits, 2.0 * shop.allowances.rough_face_mm
    flat = depths(drawing.thickness_mm, 1, shop).flat_mm
    extra = flat - drawing.thickness_mm
    faults = []
    for most, what in (
        (shop.saws.table_depth_mm, "the table saw cuts"),
        (max(limits.stock_width_mm, limits.stock_thickness_mm) - rough, "the stock gives"),
    ):
        if flat > most + 1e-9:
            thinner = math.floor((most - extra) * 10.0 + 1e-6) / 10.0
            faults.append(
                Fault(
                    "P101",
                    "the board",
                    f"is {flat:.1f} mm deep while it is made; {what} {most:.1f} mm",
                    f"draw it no thicker than {thinner:.1f} mm",
                )
            )
    least = shop.thinnest_mm
    # what is sanded off once a face is pressed is no part of the drawing
    later = shop.overlays.finish_mm if shop.overlays.backings else 0.0
    if drawing.thickness_mm < least - 1e-9:
        faults.append(
            Fault(
                "P101",
                "the board",
                f"is {drawing.thickness_mm - later:.1f} mm thick; the {_finisher(shop)} takes "
                f"nothing under {least:.1f} mm",
                f"draw it at least {up(least - later)} mm thick",
            )
        )
    return faults


def _finisher(shop: Shop) -> str:
    return "drum sander" if shop.overlays.backings else "planer"


def _drawn(space: Space) -> dict[int, Motion]:
    """Kinds that gluing alone leads to, each with one place of it in the drawing."""
    homes = {0: space.kinds[0].frame.inverse()}
    todo = [0]
    for number in todo:
        for option in space.kinds[number].options:
            for part in option.parts if isinstance(option, Join) else ():
                if part.kind not in homes:
                    homes[part.kind] = homes[number].after(part.at)
                    todo.append(part.kind)
    return homes


def _clamps(space: Space, shop: Shop) -> Fault:
    board = space.kinds[0]
    hull = board.frame.inverse().polygon(board.hull)
    reach = 0.0
    for entry in board.world.lines:
        sides = [entry.line.side(p) for p in hull]
        if min(sides) < -ON_LINE_MM and max(sides) > ON_LINE_MM:
            reach = max(reach, max(sides) - min(sides))
    return Fault(
        "P109",
        "the board",
        f"cannot be glued with clamps that reach {shop.limits.clamp_reach_mm:.0f} mm",
        f"use clamps that reach {up(reach)} mm (limits.clamp_reach), or draw it smaller",
    )


def _piece(
    space: Space, kind: Kind, shop: Shop, allowance_mm: float, depth_mm: float
) -> tuple[str, str] | None:
    """What is wrong and what to do, for a single piece that cannot be made; None if it can."""
    reasons: list[tuple[str, str]] = []
    by_hand = hand_least_mm(kind, shop, depth_mm)
    for option in kind.options:
        if isinstance(option, Cut):
            reason = _slice(option, kind, space.bars[option.bar], shop, by_hand)
        elif isinstance(option, TrimDown):
            over = space.kinds[option.over]
            if is_held(option, kind, over, depth_mm, shop):
                reason = _block(space, over, shop)
            elif option.hold is Hold.SLED:
                reason = too_small(kind, over, shop, allowance_mm, depth_mm)
            else:
                continue
        else:
            continue
        if reason is None:
            return None
        reasons.append(reason)
    return reasons[-1] if reasons else None


def _slice(
    cut: Cut, kind: Kind, bar: Bar, shop: Shop, by_hand_mm: float = math.inf
) -> tuple[str, str] | None:
    limits = shop.limits
    width, thin = bar.height_mm, kind.narrowest_mm
    room = limits.stick_length_mm - overhead_mm(bar, shop)
    hand = "" if math.isinf(by_hand_mm) else f", and shoots none under {by_hand_mm:.1f} mm by hand"
    if width < limits.stick_min_width_mm - 1e-9:
        least = limits.stick_min_width_mm
        return (
            f"is {width:.1f} mm across the grain; the shop rips nothing under {least:.1f} mm{hand}",
            f"widen it to {up(min(least, by_hand_mm))} mm across the grain, or turn its grain",
        )
    if thin < limits.slice_min_mm - 1e-9:
        return (
            f"is {thin:.1f} mm at its narrowest; the shop cuts no slice under "
            f"{limits.slice_min_mm:.1f} mm{hand}",
            f"make it {up(min(limits.slice_min_mm, by_hand_mm))} mm there, or turn its grain",
        )
    if cut.pitch_mm > room:
        return (
            f"takes {cut.pitch_mm:.1f} mm of a stick; the longest gives {room:.1f} mm",
            "draw a seam across its grain, or raise limits.stick_length to "
            f"{up(limits.stick_length_mm + cut.pitch_mm - room)} mm",
        )
    return None


def _block(space: Space, over: Kind, shop: Shop) -> tuple[str, str] | None:
    """What is wrong with the block that a piece is trimmed from, if anything."""
    for option in over.options:
        if isinstance(option, Cut):
            return _slice(option, over, space.bars[option.bar], shop)
    return None


def _allowance(space: Space, kind: Kind, home: Motion, shop: Shop) -> float:
    """Wood around the outline that a piece holds besides what is drawn, at the most [mm]."""
    board = space.kinds[0]
    hull = board.frame.inverse().polygon(board.hull)
    sides = [Line.through(a, b) for a, b in zip(hull, hull[1:] + hull[:1], strict=True)]
    corners = home.polygon(kind.hull)
    if any(abs(side.side(p)) <= ON_LINE_MM for side in sides for p in corners):
        return 2.0 * shop.allowances.edge_mm
    return 0.0


def _named(space: Space, kind: Kind, home: Motion) -> str:
    middle = home.point(centroid(kind.hull))
    cells = space.kinds[0].world.cells
    return f"patch {min(cells, key=lambda c: _outside_mm(c, middle)).patch}"


def _outside_mm(cell: Cell, point: Point) -> float:
    ring = cell.polygon
    return max(
        -Line.through(a, b).side(point) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
    )
