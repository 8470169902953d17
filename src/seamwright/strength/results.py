"""What the mechanics hand out: findings in plain words, and the figures behind them."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from enum import Enum

from seamwright.geometry import Point
from seamwright.strength.through import ThroughLine
from seamwright.strength.weakest import BreakLine


class Verdict(Enum):
    """How bad it is; the order is that of the list."""

    BREAKS = "expect it to fail"
    RISK = "at risk"
    CARE = "take care"
    KNOW = "good to know"
    HOLDS = "holds"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Verdict).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing the user should know before cutting.

    Attributes:
        code: stable code ("M1" moisture, "L1" load, "T1" through line, "A1" assumption, and the
            codes of ``safety``).
        verdict: how bad.
        subject: the thing, as the user knows it.
        why: what happens, in a sentence or two with its figures.
        change: what to do about it.
        places: where on the board [mm]; empty where it is no place.
        seams: numbers of the seams concerned, in the order of ``Soundness.seams``.
        patches: names of the patches concerned.
        use: low, expected and high share of what it bears; None where that means nothing.
        sources: codes or titles of what it rests on.
        step: number of the step of a plan, from 1; 0 where it is about no step.
    """

    code: str
    verdict: Verdict
    subject: str
    why: str
    change: str
    places: tuple[Point, ...] = ()
    seams: tuple[int, ...] = ()
    patches: tuple[str, ...] = ()
    use: tuple[float, float, float] | None = None
    sources: tuple[str, ...] = ()
    step: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamUse:
    """One seam.

    Attributes:
        patches: names of the two pieces.
        path: its points [mm].
        length_mm: along it.
        kind: its class by grain, in words.
        angles_deg: between seam and grain on both sides.
        tension_mpa, shear_mpa: strength bracket.
        share_of_wood: strength along the grain against unbroken wood.
        reason: why, in a sentence.
        moisture_use: relaxed, expected and elastic use in the worse season.
        moisture_window: elastic use of its worst 10 mm.
        season: name of the worse season.
        load_use: use of its worst 10 mm under the worst load.
        load: key of that load.
        verdict: from both.
    """

    patches: tuple[str, str]
    path: tuple[Point, ...]
    length_mm: float
    kind: str
    angles_deg: tuple[float, float]
    tension_mpa: tuple[float, float]
    shear_mpa: tuple[float, float]
    share_of_wood: tuple[float, float]
    reason: str
    moisture_use: tuple[float, float, float]
    moisture_window: float
    season: str
    load_use: float
    load: str
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceUse:
    """One piece.

    Attributes:
        patch: its name.
        wood: its wood's name.
        free_change_mm: change of its size across the grain in each season, if it were free.
        moisture_use: relaxed, expected and elastic share of its strength across the grain that
            95 % of it stays below, in the worse season.
        load_use: the same share of its strength under the worst load.
        load: key of that load.
    """

    patch: str
    wood: str
    free_change_mm: tuple[float, ...]
    moisture_use: tuple[float, float, float]
    load_use: float
    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonResult:
    """The board after a change of moisture.

    Attributes:
        name: of the climate.
        moisture_pct: the wood's moisture then [%].
        change_mm: change of the board's width (x) and height (y).
        warnings: where published forms are stretched.
    """

    name: str
    moisture_pct: float
    change_mm: tuple[float, float]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadResult:
    """The board under a load.

    Attributes:
        key, name, force_n: of the load.
        sinks_mm: greatest difference in deflection over the board.
        safety: times the load that brings the first crack; the board's own weight counts too.
        first_crack_n: force at the first crack.
        breaks_n: force at which it breaks through at the latest (upper bound).
        weakest: the line it breaks along.
        seam: number of the worst seam, None where a piece is worse.
        patch: name of the worst piece.
    """

    key: str
    name: str
    force_n: float
    sinks_mm: float
    safety: float
    first_crack_n: float
    breaks_n: float
    weakest: BreakLine
    seam: int | None
    patch: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedPatch:
    """A patch's outline and how its points move in each season.

    Attributes:
        patch: its name.
        points: its outline with points along the edges [mm].
        moves: for each season the displacement of each point [mm].
    """

    patch: str
    points: tuple[Point, ...]
    moves: tuple[tuple[Point, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Soundness:
    """Will it hold, will it move.

    Attributes:
        findings: worst first.
        seams, pieces: every one, in the order of the drawing.
        seasons, loads: the cases.
        through: lines few pieces bridge, barest first.
        shapes: outlines as they move, for pictures.
        assumptions: what was taken for granted, in words.
        triangles: size of the mesh.
    """

    findings: tuple[Finding, ...]
    seams: tuple[SeamUse, ...]
    pieces: tuple[PieceUse, ...]
    seasons: tuple[SeasonResult, ...]
    loads: tuple[LoadResult, ...]
    through: tuple[ThroughLine, ...]
    shapes: tuple[MovedPatch, ...]
    assumptions: tuple[str, ...]
    triangles: int

    def as_dict(self) -> dict[str, object]:
        """Everything but the moved shapes, as JSON takes it."""
        told = {
            field.name: plain(getattr(self, field.name))
            for field in fields(self)
            if field.name != "shapes"
        }
        return {"schema": "seamwright.soundness/1", **told}


def plain(value: object) -> object:
    """A result as JSON takes it: dicts, lists, words and numbers of six figures."""
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [plain(item) for item in value]
    if isinstance(value, float):
        return float(f"{value:.6g}")
    return value


def worst_first(findings: list[Finding]) -> tuple[Finding, ...]:
    """Findings in the order they are shown."""
    return tuple(
        sorted(findings, key=lambda f: (f.verdict.rank, -(f.use[1] if f.use else 0.0), f.code))
    )
