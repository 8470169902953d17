"""The checks of settings as one tells them: what to cut, what to read, what follows, where it goes.

One text for the command line and for the sheet; the figures of every example are worked out by
``calibration``, so that what is told is what is tested.
"""

from __future__ import annotations

import statistics
from dataclasses import dataclass

from seamwright.fit.calibration import (
    eight_pieces_deg,
    fence_move_mm,
    five_cut_deg,
    half_square_deg,
    kerf_mm,
)

BEFORE = (
    "The machine's manual goes before anything written here; unplug the saw to adjust it, guards "
    "stay on, and small test pieces are held with a hold-down."
)
"""Said before all checks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What is read off a test piece.

    Attributes:
        sign: its letter in the formulas.
        what: in words.
        count: how many of it there are.
    """

    sign: str
    what: str
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What follows from the readings.

    Attributes:
        what: in words.
        formula: in the letters of the readings.
        unit: "mm" or "°".
    """

    what: str
    formula: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check of a setting.

    Attributes:
        name: in a word or two.
        doing: what to cut and to read.
        readings, results: what is read, and what follows.
        example: readings and what they give.
        write: what is written into the shop file.
        key: where it goes there, "[table] key".
        source: where the formula comes from.
    """

    name: str
    doing: str
    readings: tuple[Reading, ...]
    results: tuple[Result, ...]
    example: str
    write: str
    key: str
    source: str


def checks() -> tuple[Check, ...]:
    """All checks, in the order in which a saw is set up."""
    return (_five_cuts(), _half_square(), _eight_wedges(), _kerf(), _stop())


def check_lines() -> tuple[str, ...]:
    """The checks as lines of text."""
    lines = [f"Checks of your settings. {BEFORE}"]
    for check in checks():
        lines.append(f"{check.name}: {check.doing}")
        for reading in check.readings:
            several = f" (1 to {reading.count})" if reading.count > 1 else ""
            lines.append(f"  {reading.sign}{several}: {reading.what}")
        lines += [f"  {each.what} [{each.unit}] = {each.formula}" for each in check.results]
        lines.append(f"  source: {check.source}; for example {check.example}")
        lines.append(f"  write {check.write}, as {check.key}")
    return tuple(lines)


def _five_cuts() -> Check:
    first, last, length, fence = 27.89, 29.25, 400.0, 550.0
    off = five_cut_deg(first, last, length)
    move = fence_move_mm(first, last, length, fence)
    return Check(
        name="Square, five cuts",
        doing="Turn a board a quarter after each of four cuts, the fresh edge to the fence; the "
        "fifth cut takes a strip off the first edge. With the fence behind the board as it is "
        "pushed, A less than B means that the corner at the fence is more than square.",
        readings=(
            Reading(sign="A", what="thickness of the strip at the end cut first"),
            Reading(sign="B", what="thickness at the end cut last"),
            Reading(sign="L", what="length of the strip"),
            Reading(sign="F", what="fence's pivot to where it is moved"),
        ),
        results=(
            Result(what="The sled is off by", formula="atan((A − B) / 4 / L)", unit="°"),
            Result(what="The fence is off there by", formula="(A − B) / 4 / L × F", unit="mm"),
        ),
        example=f"A {first:g}, B {last:g}, L {length:g}, F {fence:g}: "
        f"{_signed(off, 3)}° and {_signed(move, 4)} mm",
        write="half of what is left after adjusting, in degrees, no sign",
        key="[accuracy] square",
        source="the five-cut test of many shop guides, for one “Table Saw Sledge Accuracy Test: "
        "Five Cut Method” (instructables.com)",
    )


def _half_square() -> Check:
    first, second, width = 99.4, 99.6, 100.0
    return Check(
        name="45°",
        doing="Square the end of a strip and cut a triangle off it at 45°; then once more. Read "
        "the leg along the strip on both triangles; a wide strip tells more.",
        readings=(
            Reading(sign="W", what="width of the strip"),
            Reading(sign="P", what="leg along the strip, first triangle"),
            Reading(sign="Q", what="the same, second triangle"),
        ),
        results=(Result(what="The cut is off by", formula="atan(2 W / (P + Q)) − 45°", unit="°"),),
        example=f"W {width:g}, P {first:g}, Q {second:g}: "
        f"{_signed(half_square_deg(first, second, width), 3)}°",
        write="what is left after adjusting, without its sign",
        key="[accuracy] slant",
        source="plain geometry: at 45° both legs are as long as the strip is wide",
    )


def _eight_wedges() -> Check:
    gap, radius = 1.0, 100.0
    return Check(
        name="22.5°, eight wedges",
        doing="Cut eight wedges of 45°, two cuts each, and close the ring without glue; the last "
        "joint gapes at the rim. If the eighth wedge will not go in, the angle is too large: cut "
        "a little less and try again.",
        readings=(
            Reading(sign="G", what="opening of the last joint at the rim"),
            Reading(sign="R", what="middle of the ring to where G is read"),
        ),
        results=(Result(what="One cut is off by", formula="2 asin(G / 2 R) / 16", unit="°"),),
        example=f"G {gap:g}, R {radius:g}: {_signed(eight_pieces_deg(gap, radius), 3)}°",
        write="what is left after adjusting; of this and the 45° the larger",
        key="[accuracy] slant",
        source="plain geometry: the joint gapes by sixteen times the error of one cut",
    )


def _kerf() -> Check:
    whole, pieces = 200.0, (30.0, 30.1, 30.0, 29.9, 64.12)
    kerf = kerf_mm(whole, pieces)
    told = ", ".join(f"{piece:g}" for piece in pieces)
    return Check(
        name="Kerf",
        doing="Measure a stick, cut it into n pieces and measure each; the more cuts, the better "
        "the mean. The last piece stays long enough to hold.",
        readings=(
            Reading(sign="S", what="length before"),
            Reading(sign="p", what="length of each piece", count=6),
        ),
        results=(Result(what="Kerf", formula="(S − sum of all p) / (n − 1)", unit="mm"),),
        example=f"S {whole:g}, five pieces {told}: {kerf:.2f} mm",
        write="the kerf in millimetres",
        key="[saws] table_kerf",
        source="plain geometry: what is missing went into n − 1 cuts",
    )


def _stop() -> Check:
    setting, slices = 40.0, (40.12, 40.05, 40.1, 40.08, 40.15, 40.1)
    mean, spread = statistics.fmean(slices), statistics.stdev(slices)
    told = ", ".join(f"{each:g}" for each in slices)
    return Check(
        name="Stop",
        doing="Cut six slices at one setting and measure each. The command “measure” learns both "
        "figures from your jobs as well.",
        readings=(
            Reading(sign="T", what="what the stop was set to"),
            Reading(sign="s", what="thickness of each slice", count=6),
        ),
        results=(
            Result(what="Mean m of the slices", formula="sum of all s / 6", unit="mm"),
            Result(what="The stop was off by", formula="m − T", unit="mm"),
            Result(what="From slice to slice", formula="√(sum of all (s − m)² / 5)", unit="mm"),
        ),
        example=f"T {setting:g}, slices {told}: {_signed(mean - setting, 2)} mm and "
        f"{spread:.3f} mm",
        write="the figure from slice to slice, in millimetres",
        key="[accuracy] slice",
        source="the usual mean and standard deviation",
    )


def _signed(value: float, places: int) -> str:
    return f"{value:+.{places}f}".replace("-", "−")
