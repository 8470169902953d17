"""Small plans written by hand, with the drawings they make; all arithmetic is done here.

Invented sizes. ``k`` is the kerf of the table saw throughout.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import replace

from seamwright.design import Drawing, Kind, Patch, Unit
from seamwright.geometry import Motion, Point, Polygon
from seamwright.plan import (
    NO_JIGS,
    NO_OVERLAYS,
    UNCOUNTED,
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    Resaw,
    SawCut,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
    default_shop,
)

Making = tuple[Plan, Drawing]
ROOT2 = math.sqrt(2.0)


def roomy_shop(*, kerf_mm: float = 3.0) -> Shop:
    """A shop without limits: what is tested is the geometry alone."""
    shop = replace(default_shop(), small_parts=NO_JIGS, clamps=UNCOUNTED, overlays=NO_OVERLAYS)
    return replace(
        shop,
        saws=replace(
            shop.saws, table_kerf_mm=kerf_mm, table_depth_mm=1e4, resaw_kerf_mm=1.0,
            resaw_depth_mm=1e4,
        ),
        allowances=replace(
            shop.allowances, plane_face_mm=0.0, square_end_mm=0.0, tail_mm=0.0, rough_face_mm=0.0
        ),
        limits=replace(
            shop.limits, stick_length_mm=1e5, stick_min_length_mm=0.0, stick_min_width_mm=0.0,
            stick_min_depth_mm=0.0, stock_thickness_mm=1e4, stock_width_mm=1e4, slice_min_mm=0.0,
            part_min_mm=0.0, resaw_min_leaf_mm=0.0, clamp_reach_mm=1e5, seams_per_glue_up=10**6,
        ),
    )  # fmt: skip


def plain_shop() -> Shop:
    """The default shop with kerfs that are easy to add up, and no jigs for small parts."""
    shop = replace(default_shop(), small_parts=NO_JIGS, clamps=UNCOUNTED, overlays=NO_OVERLAYS)
    return replace(shop, saws=replace(shop.saws, table_kerf_mm=3.0, resaw_kerf_mm=1.0))


def sled(size_mm: float, angle_deg: float = 90.0) -> SetUp:
    return SetUp(machine=Machine.SLED, size_mm=size_mm, angle_deg=angle_deg)


def planer(depth_mm: float) -> SetUp:
    return SetUp(machine=Machine.PLANER, size_mm=depth_mm)


def stick(
    makes: str, wood: str, length: float, width: float, depth: float, *, count: int = 1
) -> Mill:
    return Mill(
        makes=makes, count=count, wood=wood, length_mm=length, width_mm=width, depth_mm=depth
    )


def glued(makes: str, parts: Sequence[Placed], seams_deg: float, *, count: int = 1) -> Laminate:
    return Laminate(
        makes=makes, count=count, parts=tuple(parts), seams_deg=seams_deg, clampings=count
    )


def put(
    part: str, x: float = 0.0, y: float = 0.0, turn: float = 0.0, *, over: bool = False
) -> Placed:
    return Placed(part=part, at=Motion(turn_deg=turn, over=over, x_mm=x, y_mm=y))


def planed(makes: str, takes: str, depth: float, *, count: int = 1) -> Surface:
    return Surface(makes=makes, takes=takes, count=count, depth_mm=depth, set_up=planer(depth))


def straight_slices(
    makes: str, takes: str, *, size: float, per_bar: int, shop: Shop, bars: int = 1
) -> Slice:
    """Square slices of one size after an end of 10 mm."""
    k = shop.saws.table_kerf_mm
    return Slice(
        takes=takes,
        bars=bars,
        makes=makes,
        count=bars * per_bar,
        per_bar=per_bar,
        cuts=tuple(SawCut(at_mm=10.0 + i * (size + k)) for i in range(per_bar + 1)),
        head_to_tail=False,
        set_up=sled(size),
    )


def half_squares(
    makes: str, takes: str, *, leg: float, per_bar: int, shop: Shop, bars: int = 1
) -> Slice:
    """Right triangles, legs along and across the bar, head to tail: cuts at 90° and 135°.

    The first lies with its right angle at the origin. A slanted cut takes k·√2 along the bar.
    """
    k = shop.saws.table_kerf_mm
    cuts = []
    at = 10.0
    for i in range(per_bar + 1):
        if i % 2:
            # leans back: its left face leaves the lower edge one leg further on
            cuts.append(SawCut(at_mm=at + leg, angle_deg=135.0))
            at += leg + k * ROOT2
        else:
            cuts.append(SawCut(at_mm=at))
            at += k
    return Slice(
        takes=takes,
        bars=bars,
        makes=makes,
        count=bars * per_bar,
        per_bar=per_bar,
        cuts=tuple(cuts),
        head_to_tail=True,
        set_up=sled(leg),
        second_set_up=sled(leg, 45.0),
    )


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Polygon:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def patch(name: str, points: Polygon, wood: str, grain_deg: float = 0.0) -> Patch:
    return Patch(name=name, points=points, wood=wood, grain_deg=grain_deg)


def drawing(
    patches: Sequence[Patch], outline: Polygon, *, thickness: float, copies: int = 1
) -> Drawing:
    return Drawing(
        title="by hand",
        unit=Unit.MM,
        thickness_mm=thickness,
        kind=Kind.THROUGH,
        woods=(("A", "pear"), ("B", "bog oak")),
        patches=tuple(patches),
        outline=outline,
        copies=copies,
    )


def plan(steps: Sequence[Step], board: str, shop: Shop, *, copies: int = 1) -> Plan:
    return Plan(title="by hand", steps=tuple(steps), board=board, copies=copies, shop=shop)


def nine_patch(*, s: float = 40.0, shop: Shop | None = None, thickness: float = 19.0) -> Making:
    """Two strip sets, sliced, glued and planed: A B A / B A B / A B A."""
    shop = shop or plain_shop()
    rough = thickness + 2.0 * shop.allowances.plane_face_mm
    long = max(305.0, 10.0 + 2.0 * s + 3.0 * shop.saws.table_kerf_mm + 150.0)
    steps = [
        stick("SA", "A", long, s, rough, count=3),
        stick("SB", "B", long, s, rough, count=3),
        glued("L1", [put("SA"), put("SB", y=s), put("SA", y=2 * s)], 0.0),
        glued("L2", [put("SB"), put("SA", y=s), put("SB", y=2 * s)], 0.0),
        straight_slices("P1", "L1", size=s, per_bar=2, shop=shop),
        straight_slices("P2", "L2", size=s, per_bar=1, shop=shop),
        glued("U1", [put("P1"), put("P2", x=s), put("P1", x=2 * s)], 90.0),
        planed("F1", "U1", thickness),
    ]
    patches = [
        patch(f"{i}.{j}", rectangle(i * s, j * s, i * s + s, j * s + s), "AB"[(i + j) % 2])
        for i in range(3)
        for j in range(3)
    ]
    outline = rectangle(0.0, 0.0, 3 * s, 3 * s)
    return plan(steps, "F1", shop), drawing(patches, outline, thickness=thickness)


def half_square(*, leg: float = 60.0, shop: Shop | None = None) -> Making:
    """Two triangles of two woods, glued along the falling diagonal."""
    shop = shop or plain_shop()
    rough = 20.0 + 2.0 * shop.allowances.plane_face_mm
    steps = [
        stick("SA", "A", 400.0, leg, rough),
        stick("SB", "B", 400.0, leg, rough),
        half_squares("TA", "SA", leg=leg, per_bar=2, shop=shop),
        half_squares("TB", "SB", leg=leg, per_bar=2, shop=shop),
        glued("U1", [put("TB", x=leg, y=leg, turn=180.0), put("TA")], 135.0),
        planed("F1", "U1", 20.0),
    ]
    patches = [
        patch("low", ((0.0, 0.0), (leg, 0.0), (0.0, leg)), "A"),
        patch("high", ((leg, 0.0), (leg, leg), (0.0, leg)), "B"),
    ]
    return plan(steps, "F1", shop), drawing(patches, rectangle(0, 0, leg, leg), thickness=20.0)


def cut_corners(*, side: float = 120.0, leg: float = 30.0, shop: Shop | None = None) -> Making:
    """A square of two planks with its corners sawn off and filled with another wood."""
    shop = shop or plain_shop()
    rough = 20.0 + 2.0 * shop.allowances.plane_face_mm
    half = side / 2.0
    far = side - leg
    corners = (
        EdgeCut(x_mm=0.0, y_mm=leg, angle_deg=315.0),
        EdgeCut(x_mm=far, y_mm=0.0, angle_deg=45.0),
        EdgeCut(x_mm=side, y_mm=far, angle_deg=135.0),
        EdgeCut(x_mm=leg, y_mm=side, angle_deg=225.0),
    )
    steps = [
        stick("SA", "A", 305.0, half, rough, count=2),
        stick("SB", "B", 400.0, leg, rough),
        glued("L1", [put("SA"), put("SA", y=half)], 0.0),
        straight_slices("P1", "L1", size=side, per_bar=1, shop=shop),
        Trim(
            takes="P1", makes="P2", count=1, cuts=corners,
            set_ups=(SetUp(machine=Machine.SLED, size_mm=leg, angle_deg=45.0),),
        ),
        half_squares("TB", "SB", leg=leg, per_bar=4, shop=shop),
        glued("U1", [put("TB"), put("P2"), put("TB", side, side, 180.0)], 135.0),
        glued(
            "U2",
            [put("TB", x=side, turn=180.0, over=True), put("U1"), put("TB", y=side, over=True)],
            45.0,
        ),
        planed("F1", "U2", 20.0),
    ]  # fmt: skip
    low = ((leg, 0), (far, 0), (side, leg), (side, half), (0, half), (0, leg))
    high = ((0, half), (side, half), (side, far), (far, side), (leg, side), (0, far))
    patches = [
        patch("low", low, "A"),
        patch("high", high, "A"),
        patch("c1", ((0, 0), (leg, 0), (0, leg)), "B"),
        patch("c2", ((far, 0), (side, 0), (side, leg)), "B"),
        patch("c3", ((side, far), (side, side), (far, side)), "B"),
        patch("c4", ((leg, side), (0, side), (0, far)), "B"),
    ]  # fmt: skip
    return plan(steps, "F1", shop), drawing(patches, rectangle(0, 0, side, side), thickness=20.0)


def resawn(*, shop: Shop | None = None) -> Making:
    """A deep billet of two woods, sawn into two leaves, one turned, glued again."""
    shop = shop or plain_shop()
    depth, flat = 12.0, shop.allowances.plane_face_mm
    leaf = depth + 4.0 * flat
    deep = 2.0 * leaf + shop.saws.resaw_kerf_mm
    steps = [
        stick("SA", "A", 320.0, 30.0, deep),
        stick("SB", "B", 320.0, 50.0, deep),
        glued("L1", [put("SA"), put("SB", y=30.0)], 0.0),
        Resaw(
            takes="L1", billets=1, makes="R1", count=2, leaves=2,
            set_up=SetUp(machine=Machine.RESAW_FENCE, size_mm=leaf),
        ),
        planed("R2", "R1", depth + 2.0 * flat, count=2),
        glued("U1", [put("R2"), put("R2", 320.0, 160.0, 180.0)], 0.0),
        planed("F1", "U1", depth),
    ]  # fmt: skip
    patches = [
        patch("1", rectangle(0, 0, 320, 30), "A"),
        patch("2", rectangle(0, 30, 320, 80), "B"),
        patch("3", rectangle(0, 80, 320, 130), "B"),
        patch("4", rectangle(0, 130, 320, 160), "A"),
    ]
    return plan(steps, "F1", shop), drawing(patches, rectangle(0, 0, 320, 160), thickness=depth)


def leaning(*, shop: Shop | None = None) -> Making:
    """A strip set sliced at 60° into leaning slices, glued into a zigzag; one slice turned over."""
    shop = shop or plain_shop()
    k = shop.saws.table_kerf_mm
    rough = 20.0 + 2.0 * shop.allowances.plane_face_mm
    sine, high = math.sqrt(0.75), 60.0
    along, lean = 50.0, 60.0 / math.sqrt(3.0)
    step = along + k / sine
    steps = [
        stick("SA", "A", 400.0, 20.0, rough),
        stick("SB", "B", 400.0, 40.0, rough),
        glued("L1", [put("SA"), put("SB", y=20.0)], 0.0),
        Slice(
            takes="L1", bars=1, makes="P1", count=2, per_bar=2,
            cuts=tuple(SawCut(at_mm=10.0 + i * step, angle_deg=60.0) for i in range(3)),
            head_to_tail=False, set_up=sled(along, 60.0),
        ),
        # the second slice turned over about x: A above, leaning the other way below the first
        glued("U1", [put("P1", over=True), put("P1")], 0.0),
        planed("F1", "U1", 20.0),
    ]  # fmt: skip
    third = lean / 3.0
    patches = [
        patch("a", ((0, 0), (along, 0), (along + third, 20), (third, 20)), "A"),
        patch("b", ((third, 20), (along + third, 20), (along + lean, high), (lean, high)), "B"),
        patch("c", ((third, -20), (along + third, -20), (along, 0), (0, 0)), "A"),
        patch("d", ((lean, -high), (along + lean, -high), (along + third, -20), (third, -20)), "B"),
    ]
    right = ((along + lean, -high), (along, 0.0), (along + lean, high))
    outline = ((lean, -high), *right, (lean, high), (0.0, 0.0))
    return plan(steps, "F1", shop), drawing(patches, outline, thickness=20.0)


def quarter_turns(*, s: float = 45.0, shop: Shop | None = None) -> Making:
    """Four squares from one bar, grain across in two of them; two sizes sliced off one bar."""
    shop = shop or plain_shop()
    k = shop.saws.table_kerf_mm
    rough = 20.0 + 2.0 * shop.allowances.plane_face_mm
    steps = [
        stick("SA", "A", 450.0, s, rough),
        Slice(
            takes="SA", bars=1, makes="P1", count=2, per_bar=2,
            cuts=tuple(SawCut(at_mm=10.0 + i * (s + k)) for i in range(3)),
            head_to_tail=False, set_up=sled(s), rest="SR",
        ),
        Slice(
            takes="SR", bars=1, makes="P2", count=2, per_bar=2,
            cuts=(SawCut(at_mm=30.0), SawCut(at_mm=60.0 + k)),
            head_to_tail=False, set_up=sled(30.0), squared=True,
        ),
        glued("U1", [put("P1"), put("P1", x=2 * s, turn=90.0), put("P2", x=2 * s)], 90.0),
        planed("F1", "U1", 20.0),
    ]  # fmt: skip
    patches = [
        patch("1", rectangle(0, 0, s, s), "A"),
        patch("2", rectangle(s, 0, 2 * s, s), "A", 90.0),
        patch("3", rectangle(2 * s, 0, 2 * s + 30, s), "A"),
    ]
    outline = rectangle(0, 0, 2 * s + 30, s)
    return plan(steps, "F1", shop), drawing(patches, outline, thickness=20.0)


def swirl(*, s: float = 60.0, shop: Shop | None = None) -> Making:
    """Five pieces that lock: two of them are pushed into the corners of the other three."""
    shop = shop or plain_shop()
    rough = 20.0 + 2.0 * shop.allowances.plane_face_mm
    steps = [
        stick("SA", "A", 450.0, s, rough),
        stick("SB", "B", 450.0, s, rough),
        straight_slices("PA", "SA", size=2 * s, per_bar=2, shop=shop),
        straight_slices("PB", "SB", size=2 * s, per_bar=2, shop=shop),
        stick("SC", "B", 305.0, s, rough),
        straight_slices("PC", "SC", size=s, per_bar=1, shop=shop),
        glued("U1", [put("PA"), put("PC", s, s), put("PA", s, 2 * s)], 0.0),
        replace(
            glued("U2", [put("U1"), put("PB", 3 * s, 0, 90.0), put("PB", s, s, 90.0)], 90.0),
            corner_deg=0.0, angled=True, closes=4,
        ),
        planed("F1", "U2", 20.0),
    ]  # fmt: skip
    patches = [
        patch("south", rectangle(0, 0, 2 * s, s), "A"),
        patch("east", rectangle(2 * s, 0, 3 * s, 2 * s), "B", 90.0),
        patch("north", rectangle(s, 2 * s, 3 * s, 3 * s), "A"),
        patch("west", rectangle(0, s, s, 3 * s), "B", 90.0),
        patch("heart", rectangle(s, s, 2 * s, 2 * s), "B"),
    ]
    outline = rectangle(0, 0, 3 * s, 3 * s)
    return plan(steps, "F1", shop), drawing(patches, outline, thickness=20.0)


def filled_row(*, long: float = 100.0, h: float = 40.0, shop: Shop | None = None) -> Making:
    """Two blocks whose upper corners are filled in a row, sawn apart and glued together."""
    shop = shop or plain_shop()
    k = shop.saws.table_kerf_mm
    rough = 20.0 + 2.0 * shop.allowances.plane_face_mm
    over, pitch, wide = h + k, long + k, 2 * h + k
    first = 10.0 + k * ROOT2
    ends = [10.0, first + wide, first + wide + k * ROOT2 + k]
    ends.append(ends[2] + k * ROOT2 + wide)
    steps = [
        stick("SA", "A", 450.0, h, rough),
        stick("SB", "B", 450.0, h, rough),
        straight_slices("P1", "SA", size=long, per_bar=2, shop=shop),
        Slice(
            takes="SB", bars=1, makes="P2", count=3, per_bar=3,
            cuts=tuple(
                SawCut(at_mm=at, angle_deg=(45.0, 135.0)[i % 2]) for i, at in enumerate(ends)
            ),
            head_to_tail=True, set_up=sled(wide, 45.0),
        ),
        Trim(
            takes="P1", makes="T1", count=2,
            cuts=(
                EdgeCut(x_mm=long, y_mm=0.0, angle_deg=135.0),
                EdgeCut(x_mm=h, y_mm=h, angle_deg=225.0),
            ),
            set_ups=(sled(long / ROOT2, 45.0),),
        ),
        replace(
            glued(
                "W1",
                [
                    *(put("T1", over + i * pitch) for i in range(2)),
                    *(put("P2", i * pitch + wide, h, 180.0) for i in range(3)),
                ],
                45.0,
            ),
            corner_deg=135.0, angled=True, closes=4,
        ),
        Slice(
            takes="W1", bars=1, makes="U1", count=2, per_bar=2,
            cuts=tuple(SawCut(at_mm=over - k + i * pitch) for i in range(3)),
            head_to_tail=False, set_up=sled(long), apart=True,
        ),
        glued("U2", [put("U1"), put("U1", long)], 90.0),
        planed("F1", "U2", 20.0),
    ]  # fmt: skip
    patches = []
    for i in range(2):
        x = i * long
        patches += [
            patch(f"{i} middle", ((x, 0), (x + long, 0), (x + long - h, h), (x + h, h)), "A"),
            patch(f"{i} left", ((x, 0), (x + h, h), (x, h)), "B"),
            patch(f"{i} right", ((x + long, 0), (x + long, h), (x + long - h, h)), "B"),
        ]
    outline = rectangle(0, 0, 2 * long, h)
    return plan(steps, "F1", shop), drawing(patches, outline, thickness=20.0)


ALL = {
    "nine patch": nine_patch,
    "half square": half_square,
    "cut corners": cut_corners,
    "resawn": resawn,
    "leaning": leaning,
    "quarter turns": quarter_turns,
    "swirl": swirl,
    "filled row": filled_row,
}


def random_halves(count: int, *, seed: int, shop: Shop | None = None) -> Making:
    """A square cut into rows of columns of rows …, each piece sawn off a stick of its own."""
    shop = shop or roomy_shop()
    rng = random.Random(seed)
    steps: list[Step] = []
    patches: list[Patch] = []

    def make(corner: Point, wide: float, high: float, pieces: int, *, across: bool) -> str:
        x0, y0 = corner
        name = f"{len(steps)}"
        if pieces == 1:
            wood = rng.choice("AB")
            steps.append(stick(f"S{name}", wood, wide + 50.0, high, 20.0))
            steps.append(straight_slices(f"P{name}", f"S{name}", size=wide, per_bar=1, shop=shop))
            patches.append(patch(name, rectangle(x0, y0, x0 + wide, y0 + high), wood))
            return f"P{name}"
        parts = min(pieces, rng.randint(2, 4))
        shares = [1] * parts
        for _ in range(pieces - parts):
            shares[rng.randrange(parts)] += 1
        placed = []
        at = 0.0
        for share in shares:
            if across:
                size = wide * share / pieces
                placed.append(put(make((x0 + at, y0), size, high, share, across=False), x=at))
            else:
                size = high * share / pieces
                placed.append(put(make((x0, y0 + at), wide, size, share, across=True), y=at))
            at += size
        steps.append(glued(f"U{len(steps)}", placed, 90.0 if across else 0.0))
        return steps[-1].makes

    board = make((0.0, 0.0), 1000.0, 1000.0, count, across=True)
    outline = rectangle(0.0, 0.0, 1000.0, 1000.0)
    return plan(steps, board, shop), drawing(patches, outline, thickness=20.0)
