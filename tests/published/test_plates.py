"""Two-dimensional guillotine cutting against published and recomputed optima.

Sources: gcut instances of the OR-Library, values of the table by Cintra et al.
(www.ime.usp.br/~glauber/gcut/); flawed plates of Afsharian, Niknejad and Wäscher 2014, values by
an exhaustive dynamic program over the whole integer grid (no published table was to be had).
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from seamwright.rack import Board, CutRules
from seamwright.rack.exact import PlateFlaw, PlateItem, best_plate
from seamwright.rack.grid import Blank, GridBoard, GridFlaw
from seamwright.rack.price import Kind
from seamwright.rack.tables import menu

DATA = Path(__file__).parent / "data" / "stock"
PLAIN = CutRules(
    crosscut_kerf_mm=0.0,
    rip_kerf_mm=0.0,
    resaw_kerf_mm=0.0,
    end_trim_mm=0.0,
    edge_trim_mm=0.0,
    rip_length_mm=1.0,
    keep_length_mm=1e5,
    keep_width_mm=1e5,
)


def _optima() -> list[tuple[str, str, int, int | None]]:
    with (DATA / "optima.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    out = []
    for row in rows:
        value, _, rest = row["value"].partition(" ")
        clear = int(rest.strip("()")) if rest else None
        out.append((row["set"], row["instance"], int(value), clear))
    return out


def _gcut(name: str) -> tuple[int, int, tuple[PlateItem, ...]]:
    numbers = [int(n) for n in (DATA / "gcut" / name).read_text().split()]
    count, length, width, *rest = numbers
    items = tuple(
        PlateItem(length=rest[3 * n], width=rest[3 * n + 1], value=rest[3 * n + 2])
        for n in range(count)
    )
    return length, width, items


def _flawed(folder: str, name: str):
    def rows(kind: str) -> list[dict[str, str]]:
        path = DATA / "flawed" / folder / f"{name}_{kind}.csv"
        with path.open(encoding="utf-8") as file:
            return list(csv.DictReader(file))

    plate = rows("bins")[0]
    items = tuple(
        PlateItem(length=int(r["WIDTH"]), width=int(r["HEIGHT"]), value=int(r["PROFIT"]))
        for r in rows("items")
    )
    flaws = tuple(
        PlateFlaw(x=int(r["X"]), y=int(r["Y"]), length=int(r["WIDTH"]), width=int(r["HEIGHT"]))
        for r in rows("defects")
    )
    return int(plate["WIDTH"]), int(plate["HEIGHT"]), items, flaws


def _staged(length, width, items, flaws=()) -> float:
    """The same plate with the staged way of cutting that boards are cut in."""
    blanks = tuple(
        Blank(row=n, stick=n, variant=0, along=i.length, across=i.width, gives=1)
        for n, i in enumerate(items)
    )
    zeros = np.zeros(length + 1)
    grid = GridBoard(
        board=Board(name="plate", wood="any", thickness_mm=1, width_mm=width, length_mm=length),
        cells=length,
        units=width,
        flaws=tuple(GridFlaw(x0=f.x, x1=f.x + f.length, y0=f.y, y1=f.y + f.width) for f in flaws),
        cost=0.0,
        credit=0.0,
        limit=1,
        rest=zeros,
        head=zeros,
    )
    choices = menu(blanks, cells=length, units=width, rules=PLAIN)
    priced = Kind(choices, (grid,), PLAIN).solve(
        np.array([float(items[b.row].value) for b in choices.blanks])
    )
    pattern = priced.pattern(0)
    worth = sum(
        items[b.row].value * count for b, count in zip(choices.blanks, pattern.counts, strict=True)
    )
    assert worth == pytest.approx(priced.best[0])
    return worth


GCUT = [case for case in _optima() if case[0] == "2d"]
FLAWED = [case for case in _optima() if case[0].startswith("defects")]


@pytest.mark.parametrize(("_set", "name", "value", "_clear"), GCUT)
def test_gcut_optima(_set, name, value, _clear):
    length, width, items = _gcut(name)
    assert best_plate(length=length, width=width, items=items) == value
    staged = _staged(length, width, items)
    assert staged <= value
    assert staged >= 0.85 * value


@pytest.mark.parametrize(("folder", "name", "value", "clear"), FLAWED)
def test_flawed_plates(folder, name, value, clear):
    length, width, items, flaws = _flawed(folder.removeprefix("defects/"), name)
    assert best_plate(length=length, width=width, items=items) == clear
    assert best_plate(length=length, width=width, items=items, flaws=flaws) == value
    staged = _staged(length, width, items, flaws)
    assert 0 < staged <= value
