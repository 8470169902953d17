"""Findings in plain language, worst first, alike ones told once."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from seamwright.geometry import angle_between, centroid
from seamwright.strength.ready import ReadyBoard
from seamwright.strength.results import (
    Finding,
    LoadResult,
    PieceUse,
    SeamUse,
    SeasonResult,
    Verdict,
)
from seamwright.strength.seam_use import STRETCH_MM
from seamwright.strength.seasons import RELAXED, Seasons
from seamwright.strength.tables import load_verdict, moisture_verdict
from seamwright.strength.through import ThroughLine

_MOST_PLACES = 40
_SAME_WAY_DEG = 10.0
_RELAXATION = "Toratti and Svensson 2000 (abstract)"


def seam_findings(ready: ReadyBoard, seasons: Seasons, table: tuple[SeamUse, ...]) -> list[Finding]:
    """Seams that a change of moisture puts at risk, alike ones together."""
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for number, row in enumerate(table):
        verdict = moisture_verdict(row.moisture_use[1], row.moisture_window)
        if verdict is not Verdict.HOLDS:
            seam = ready.seams[number]
            patches = ready.drawing.patches[seam.first], ready.drawing.patches[seam.second]
            woods = tuple(sorted(ready.species[p.wood].name for p in patches))
            turn = angle_between(patches[0].grain_deg, patches[1].grain_deg)
            alike = (woods, row.kind, round(turn / 10.0)) if verdict is not Verdict.CARE else ()
            groups[verdict, *alike].append(number)
    return [_seam_finding(ready, seasons, table, members) for members in groups.values()]


def _seam_finding(
    ready: ReadyBoard, seasons: Seasons, table: tuple[SeamUse, ...], members: list[int]
) -> Finding:
    members = sorted(members, key=lambda number: -table[number].moisture_use[1])
    worst = table[members[0]]
    seam = ready.seams[members[0]]
    first, second = ready.drawing.patches[seam.first], ready.drawing.patches[seam.second]
    woods = " / ".join(sorted({ready.species[p.wood].name for p in (first, second)}))
    names = f"between {worst.patches[0]} and {worst.patches[1]}"
    count = len(members)
    subject = f"seam {names}" if count == 1 else f"{count} seams, worst {names}"
    verdict = moisture_verdict(worst.moisture_use[1], worst.moisture_window)
    if verdict is Verdict.CARE:
        happens = "its ends may start to open, as the stress gathers there"
    else:
        low, expected, high = (100.0 * use for use in worst.moisture_use)
        happens = (
            f"the patches pull on {_where(worst.length_mm)} with {expected:.0f} % of what it "
            f"bears (from {low:.0f} %, if the wood gives way with time, to {high:.0f} %, if the "
            "change is fast)"
        )
    apart = _mismatch(seasons, seam.first, seam.second, seam.direction_deg)
    why = (
        f"{woods}, {worst.kind}: in {worst.season} {happens}. Left alone the two would move "
        f"{apart:.1f} mm apart in every 100 mm of this seam"
    )
    turn = angle_between(first.grain_deg, second.grain_deg)
    return Finding(
        code="M1",
        verdict=verdict,
        subject=subject,
        why=why,
        change=_seam_change(turn, same_wood=first.wood == second.wood),
        places=tuple(ready.seams[number].middle for number in members[:_MOST_PLACES]),
        seams=tuple(members),
        patches=worst.patches,
        use=worst.moisture_use,
        sources=("our finite elements", _RELAXATION),
    )


def _where(length_mm: float) -> str:
    return "it" if length_mm <= STRETCH_MM else f"its worst {STRETCH_MM:g} mm"


def _mismatch(seasons: Seasons, first: int, second: int, direction_deg: float) -> float:
    """Greatest difference of free movement along a seam [mm per 100 mm]; explains, never ranks."""
    t = np.radians(direction_deg)
    along = np.array([np.cos(t) ** 2, np.sin(t) ** 2, np.cos(t) * np.sin(t)])
    return float(100.0 * np.abs(along @ (seasons.strain[first] - seasons.strain[second])).max())


def _seam_change(turn_deg: float, *, same_wood: bool) -> str:
    if turn_deg > _SAME_WAY_DEG:
        return (
            "let the grain of both pieces run the same way, or make them smaller; quarter-sawn "
            "stock moves about half; keep the board's air steady"
        )
    if same_wood:
        return "its neighbours pull on it: look at the crossed grain nearby first"
    return "take woods that move alike, or quarter-sawn stock; keep the board's air steady"


def piece_findings(ready: ReadyBoard, table: tuple[PieceUse, ...]) -> list[Finding]:
    """Pieces that may split along their own grain as the moisture changes."""
    groups: dict[tuple[Verdict, str], list[int]] = defaultdict(list)
    for number, row in enumerate(table):
        verdict = moisture_verdict(row.moisture_use[1], 0.0)
        if verdict is not Verdict.HOLDS:
            groups[verdict, row.wood].append(number)
    out = []
    for (verdict, wood), members in groups.items():
        members.sort(key=lambda number: -table[number].moisture_use[1])
        worst = table[members[0]]
        low, expected, high = (100.0 * use for use in worst.moisture_use)
        many = f"{len(members)} patches of {wood}, worst {worst.patch}"
        out.append(
            Finding(
                code="M2",
                verdict=verdict,
                subject=many if len(members) > 1 else f"patch {worst.patch} of {wood}",
                why=(
                    "held by its neighbours it is pulled across its grain to "
                    f"{expected:.0f} % of its strength ({low:.0f} to {high:.0f} %): it may check "
                    "along the grain"
                ),
                change="make it narrower across its grain, or turn its neighbours' grain to match",
                places=tuple(
                    centroid(ready.drawing.patches[number].points)
                    for number in members[:_MOST_PLACES]
                ),
                patches=tuple(table[number].patch for number in members),
                use=worst.moisture_use,
                sources=("our finite elements", _RELAXATION),
            )
        )
    return out


def movement_finding(ready: ReadyBoard, seasons: tuple[SeasonResult, ...]) -> Finding:
    """How the whole board moves through the year."""
    x0, y0 = ready.board.nodes.min(axis=0)
    x1, y1 = ready.board.nodes.max(axis=0)
    told = "; ".join(
        f"{season.name} ({season.moisture_pct:.1f} %): width {_signed(season.change_mm[0])} mm of "
        f"{x1 - x0:.0f}, height {_signed(season.change_mm[1])} mm of {y1 - y0:.0f}"
        for season in seasons
    )
    warnings = dict.fromkeys(w for season in seasons for w in season.warnings)
    return Finding(
        code="M3",
        verdict=Verdict.KNOW,
        subject="the whole board",
        why="; ".join((f"it moves with the seasons: {told}", *warnings)),
        change="leave it room to move: never fix it across its grain in a frame",
        sources=("GTR190-T13-5", "GTR-EQ-4-5"),
    )


def _signed(change_mm: float) -> str:
    """A change with its sign, and no sign before nothing."""
    rounded = round(change_mm, 1)
    return f"{rounded:+.1f}" if rounded else "0.0"


def load_findings(
    ready: ReadyBoard, loads: tuple[LoadResult, ...], seams: tuple[SeamUse, ...]
) -> list[Finding]:
    """One for every load, also where it holds."""
    out = []
    for load in loads:
        verdict = load_verdict(load.safety)
        if load.seam is not None:
            patches = seams[load.seam].patches
            place = ready.seams[load.seam].middle
            where = f"the seam between {patches[0]} and {patches[1]} ({seams[load.seam].kind})"
        else:
            number = [p.name for p in ready.drawing.patches].index(load.patch)
            patches = (load.patch, load.patch)
            place = centroid(ready.drawing.patches[number].points)
            where = f"patch {load.patch}"
        why = (
            f"weakest is {where}: a first crack at about {load.first_crack_n:.0f} N; it breaks "
            f"through at {max(load.breaks_n, load.first_crack_n):.0f} N at the latest; it sinks "
            f"by {load.sinks_mm:.1f} mm"
        )
        out.append(
            Finding(
                code="L1",
                verdict=verdict,
                subject=load.name,
                why=why,
                change=_load_change(verdict, on_seams=load.weakest.on_seams),
                places=(place,),
                seams=(load.seam,) if load.seam is not None else (),
                patches=tuple(dict.fromkeys(patches)),
                use=(1.0 / load.safety,) * 3,
                sources=("our finite elements", "yield lines (Johansen 1943)"),
            )
        )
    return out


def _load_change(verdict: Verdict, *, on_seams: float) -> str:
    if verdict is Verdict.HOLDS:
        return "nothing"
    if on_seams > 0.5:
        return (
            "let long grain run across the weakest line: stagger its seams, add a long-grain "
            "strip, glue on a backing, or make the board thicker"
        )
    return "turn the grain along the span, or make the board thicker"


def through_findings(lines: tuple[ThroughLine, ...]) -> list[Finding]:
    """Lines few pieces bridge, parallel ones together."""
    groups: dict[tuple[Verdict, int], list[ThroughLine]] = defaultdict(list)
    for line in lines:
        bare = line.bridged < 0.15 and line.weak > 0.5
        verdict = Verdict.CARE if bare else Verdict.KNOW
        groups[verdict, round(line.direction_deg)].append(line)
    return [_through_finding(verdict, members) for (verdict, _), members in groups.items()]


def _through_finding(verdict: Verdict, lines: list[ThroughLine]) -> Finding:
    worst = lines[0]
    (x0, y0), (x1, y1) = worst.start, worst.end
    named = f"from ({x0:.0f}, {y0:.0f}) to ({x1:.0f}, {y1:.0f}) mm"
    return Finding(
        code="T1",
        verdict=verdict,
        subject=(
            f"the line {named}"
            if len(lines) == 1
            else f"{len(lines)} parallel lines across the board, barest {named}"
        ),
        why=(
            f"long grain bridges {100.0 * worst.bridged:.0f} % of it; "
            f"{100.0 * worst.weak:.0f} % is glue on end or slanted grain"
        ),
        change=worst.advice,
        places=tuple(
            ((line.start[0] + line.end[0]) / 2.0, (line.start[1] + line.end[1]) / 2.0)
            for line in lines
        ),
        sources=("our reading of the grain",),
    )


def assumption_findings(assumptions: tuple[str, ...]) -> list[Finding]:
    """What the answer rests on that is not known for sure."""
    if not assumptions:
        return []
    return [
        Finding(
            code="A1",
            verdict=Verdict.KNOW,
            subject="figures that had to be assumed",
            why="; ".join(assumptions),
            change="give your own figures in your shop file where you know better",
        )
    ]


def size_findings(size_mm: float, asked_mm: float) -> list[Finding]:
    """A word where the board is so large that it was reckoned with larger elements than asked."""
    if size_mm <= asked_mm:
        return []
    return [
        Finding(
            code="A2",
            verdict=Verdict.CARE,
            subject="the size of the finite elements",
            why=(
                f"the board is so large that they are {size_mm:.1f} mm instead of {asked_mm:g} mm: "
                f"seams shorter than about {4.0 * size_mm:.0f} mm are told roughly"
            ),
            change="check a part of the board as a drawing of its own",
            sources=("our finite elements",),
        )
    ]


def all_well(findings: list[Finding]) -> list[Finding]:
    """A word where moisture does no harm, so that silence is never read as an answer."""
    if any(f.code in ("M1", "M2") for f in findings):
        return []
    return [
        Finding(
            code="M0",
            verdict=Verdict.HOLDS,
            subject="all seams and patches",
            why=f"no seam is asked for more than half of what it bears (with {RELAXED[1]} of the "
            "elastic stress) in either season",
            change="nothing",
            sources=("our finite elements",),
        )
    ]
