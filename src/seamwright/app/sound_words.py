"""Will it hold, will it move, is it safe: in words for a terminal and for paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from seamwright.app.planning import PlanReport
from seamwright.app.sounding import SoundReport
from seamwright.papers import backing_steps
from seamwright.pictures import Ruler
from seamwright.strength import Finding, Verdict, worst_first
from seamwright.strength.safety import DEFER, plan_cautions
from seamwright.woods import sources

HEADING = "Will it hold, will it move, is it safe? Worst first."
PLAIN = (
    "Reckoned for clear wood and sound glue lines; no tests on pieced boards were found to set the "
    "limits by, so take the verdicts as advice, not as a warrant."
)
_MOST_LINES = 3
_TOLD = (Verdict.BREAKS, Verdict.RISK, Verdict.CARE)
_ALWAYS = "M3"
"""How the board moves is always told."""


def through_words(report: SoundReport) -> tuple[str, ...]:
    """The barest through lines, a line each."""
    if report.glance is None:
        return ()
    lines = report.glance.through
    if not lines:
        return ("Through lines: none; long grain bridges every line of seams across the board.",)
    ruler = Ruler(unit=report.drawing.unit)
    told = ["Through lines, the barest first:"]
    for line in lines[:_MOST_LINES]:
        start, end = (f"({ruler.first(x)}, {ruler.first(y)})" for x, y in (line.start, line.end))
        told.append(
            f"  from {start} to {end}: long grain bridges {100.0 * line.bridged:.0f} % of it, "
            f"{100.0 * line.weak:.0f} % is glue on end or slanted grain"
        )
    if len(lines) > _MOST_LINES:
        told.append(f"  and {len(lines) - _MOST_LINES} more")
    return tuple(told)


def bearing_words(report: SoundReport) -> Iterator[str]:
    """What every seam bears by the grain on both sides, and why."""
    if report.glance is None:
        return
    yield "What each seam bears (the weaker side governs):"
    for seam in report.glance.seams:
        grain = seam.grain
        (pull, most), (shear, _) = grain.tension_mpa, grain.shear_mpa
        pulled = f"{pull:.1f}" if most - pull < 0.05 else f"{pull:.1f} to {most:.1f}"
        yield (
            f"  {seam.patches[0]} to {seam.patches[1]}, {grain.kind.value}: pull {pulled} MPa, "
            f"shear {shear:.1f} MPa; {grain.reason}"
        )


def moving_words(report: SoundReport) -> Iterator[str]:
    """How every patch would move across its grain if it were free, season by season."""
    if report.soundness is None:
        return
    seasons = ", ".join(f"{s.name}" for s in report.soundness.seasons)
    yield f"Each patch, if it were free to move across its grain ({seasons}):"
    for piece in report.soundness.pieces:
        moves = ", ".join(f"{change:+.2f} mm" for change in piece.free_change_mm)
        yield f"  {piece.patch}, {piece.wood}: {moves}"


def safety_words(report: SoundReport) -> tuple[str, ...]:
    """What is known at once about safety, in a line."""
    serious = [f for f in report.findings if f.verdict in _TOLD and f.code != "T1"]
    if not serious:
        return ()
    return (f"Safety: look at {'; '.join(finding.subject for finding in serious)}.",)


def verdict_lines(
    report: SoundReport, *, everything: bool = False, cautions: Iterable[Finding] = ()
) -> Iterator[str]:
    """The verdict list: the bad ones in full, the rest in brief unless everything is wanted.

    Args:
        report: what was found.
        everything: tell all of them in full, with sources.
        cautions: small parts and traps of a plan, to be sorted in.
    """
    yield HEADING
    yield f"  {sentence(report.situation.words)}"
    if report.faults:
        yield "  Not reckoned, whether it holds and how it moves, because"
        yield from (f"    {fault}" for fault in report.faults)
    elif report.soundness is None:
        yield "  Seasons and loads were not reckoned; this is what grain, woods and use tell."
    findings = worst_first([*report.findings, *cautions])
    full = [f for f in findings if everything or f.verdict in _TOLD or f.code == _ALWAYS]
    for number, finding in enumerate(full, start=1):
        yield from _full(number, finding, sources=everything)
    yield from brief_lines([finding for finding in findings if finding not in full])
    if everything:
        yield from (f"  {line}" for line in source_lines(findings))
    if report.soundness is not None:
        yield f"  {PLAIN}"


def source_lines(findings: Iterable[Finding]) -> tuple[str, ...]:
    """What the codes of sources stand for."""
    titles = sources()
    codes = dict.fromkeys(code for f in findings for code in f.sources if code in titles)
    return tuple(f"{code}: {titles[code].title}" for code in codes)


def brief_lines(findings: list[Finding]) -> Iterator[str]:
    """What is good to know, and what holds, in a line each."""
    known = [f.subject for f in findings if f.verdict is Verdict.KNOW]
    holds = [_held(finding) for finding in findings if finding.verdict is Verdict.HOLDS]
    if known:
        yield f"  Good to know (--all tells it): {'; '.join(known)}."
    if holds:
        yield f"  Holds: {'; '.join(holds)}."


def _held(finding: Finding) -> str:
    if finding.use is None or finding.use[1] <= 0.0:
        return finding.subject
    return f"{finding.subject} ({min(1.0 / finding.use[1], 99.0):.1f} times that)"


def _full(number: int, finding: Finding, *, sources: bool) -> Iterator[str]:
    yield f" {number:>2}  {sentence(finding.verdict.value)}: {finding.subject} [{finding.code}]"
    yield f"     {sentence(finding.why)}."
    if finding.change != "nothing":
        yield f"     What to do: {finding.change}."
    if sources and finding.sources:
        yield f"     Rests on: {'; '.join(finding.sources)}."


def sentence(words: str) -> str:
    """Words with a capital at their beginning.

    >>> sentence("at risk"), sentence("10 mm")
    ('At risk', '10 mm')
    """
    return words[:1].upper() + words[1:]


def hand_cautions(report: PlanReport) -> tuple[Finding, ...]:
    """Small parts and kickback traps of a plan, alike ones together, worst first."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in plan_cautions(report.plan):
        groups.setdefault((finding.code, finding.change), []).append(finding)
    return worst_first([_together(members) for members in groups.values()])


def hand_words(report: PlanReport, number: int) -> tuple[tuple[str, str], ...]:
    """The cautions of one step, from 1: verdict, and why with what to do."""
    beyond = number - len(report.plan.steps)
    if beyond > 0:
        ruler = Ruler(unit=report.drawing.unit)
        later = backing_steps(report.plan, ruler, report.gluing)[beyond - 1 : beyond]
        return tuple(
            (sentence(Verdict.CARE.value), told) for step in later for told in step.cautions
        )
    return tuple(
        (sentence(f.verdict.value), f"{f.why}. {sentence(f.change.removesuffix(DEFER))}.")
        for f in plan_cautions(report.plan)
        if f.step == number
    )


def caution_lines(report: PlanReport) -> Iterator[str]:
    """Small parts and traps of a plan, step by step, in brief."""
    found = hand_cautions(report)
    if found:
        yield f"Hands and machines, worst first{DEFER.replace('; ', ' (', 1)}):"
    for finding in found:
        change = sentence(finding.change.removesuffix(DEFER))
        told = f"{sentence(finding.subject)}: {finding.why}. {change}."
        yield f"  {told} [{finding.code}]"


def _together(members: list[Finding]) -> Finding:
    """Cautions of one kind as one, told by its first step."""
    if len(members) == 1:
        return members[0]
    listed = _ranges(sorted({finding.step for finding in members}))
    return replace(members[0], subject=f"steps {listed}", why=f"such as in step {members[0].step}: "
                   f"{members[0].why}")  # fmt: skip


def _ranges(numbers: list[int]) -> str:
    """Numbers in order, three or more in a row as a range.

    >>> _ranges([1, 2, 3, 5, 7, 8])
    '1 to 3, 5, 7, 8'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )
