"""Seeded racks and demands for tests and the bench: invented, of the size of a small shop."""

from __future__ import annotations

import random

from seamwright.plan import Allowances, Limits, Minutes, Saws, Shop
from seamwright.rack import (
    Board,
    Demand,
    Finish,
    Flaw,
    FlawKind,
    Offer,
    Rack,
    Ring,
    Stick,
    Stock,
)

WOODS = ("sugar maple", "black walnut", "cherry", "white ash", "beech")

SHOP = Shop(
    saws=Saws(table_kerf_mm=3.2, table_depth_mm=75, resaw_kerf_mm=1.2, resaw_depth_mm=150),
    allowances=Allowances(
        plane_face_mm=0.8,
        square_end_mm=10,
        tail_mm=100,
        rough_length_mm=25,
        rough_face_mm=2.4,
        edge_mm=6,
    ),
    limits=Limits(
        stick_length_mm=1200,
        stick_min_length_mm=300,
        stick_min_width_mm=8,
        stick_min_depth_mm=6,
        stock_thickness_mm=55,
        stock_width_mm=250,
        slice_min_mm=8,
        part_min_mm=20,
        resaw_min_leaf_mm=5,
        resaw_min_part_mm=75.0,
        clamp_reach_mm=900,
        seams_per_glue_up=12,
    ),
    minutes=Minutes(
        stick=4,
        set_up=5,
        set_up_angle=10,
        slice=0.5,
        trim=1,
        glue_up=15,
        glue_line=1,
        glue_up_angle=5,
        resaw=3,
        surface=4,
        wood_litre=10,
    ),
)
"""A small shop; every number is invented for tests."""


def seeded_rack(seed: int, *, boards: int, woods: int, offers: bool = True) -> Rack:
    """Half offcuts, half boards, with up to four flaws each."""
    rng = random.Random(seed)
    found = []
    for n in range(boards):
        is_offcut = rng.random() < 0.5
        length = rng.randint(350, 1100) if is_offcut else rng.randint(1500, 2600)
        width = rng.randint(60, 200) if is_offcut else rng.randint(110, 240)
        found.append(
            Board(
                name=f"B{n + 1}",
                wood=WOODS[n % woods],
                thickness_mm=26.0,
                width_mm=float(width),
                length_mm=float(length),
                finish=Finish.ROUGH,
                ring=Ring.FLAT,
                stock=Stock.OFFCUT if is_offcut else Stock.BOARD,
                flaws=tuple(
                    _flaw(rng, length, width) for _ in range(rng.randint(0, 2 if is_offcut else 4))
                ),
            )
        )
    sizes = tuple(
        Offer(
            name=f"{wood} 2400 × 150",
            wood=wood,
            thickness_mm=26.0,
            width_mm=150.0,
            length_mm=2400.0,
            price=40.0,
        )
        for wood in WOODS[:woods]
    )
    return Rack(boards=tuple(found), offers=sizes if offers else ())


def seeded_demand(seed: int, *, lines: int, woods: int) -> Demand:
    """Sticks for strip sets: a few widths per wood, two to eight of each."""
    rng = random.Random(seed + 10_000)
    widths = {w: [rng.randint(18, 60) for _ in range(4)] for w in WOODS[:woods]}
    found: dict[tuple[str, int, int], Stick] = {}
    for n in range(lines):
        wood = WOODS[n % woods]
        length, width = rng.randint(300, 760), rng.choice(widths[wood])
        found[wood, length, width] = Stick(
            name=f"S{n + 1}",
            wood=wood,
            count=rng.randint(2, 8),
            length_mm=float(length),
            width_mm=float(width),
            depth_mm=20.0,
        )
    return Demand(sticks=tuple(found.values()))


def _flaw(rng: random.Random, length: int, width: int) -> Flaw:
    long, wide = rng.randint(15, 80), rng.randint(10, 50)
    return Flaw(
        kind=rng.choice(tuple(FlawKind)),
        x_mm=float(rng.randint(0, length - long)),
        y_mm=float(rng.randint(0, width - wide)),
        length_mm=float(long),
        width_mm=float(wide),
    )
