"""The page "Will it hold": verdicts, the board moved, the use of its seams, cautions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from seamwright.design import Drawing
from seamwright.errors import Fault
from seamwright.papers.cards import Content
from seamwright.papers.pages import Page
from seamwright.papers.typeset import pdf
from seamwright.pictures import Looks
from seamwright.pictures.moved import caption, exaggeration, moved_svg
from seamwright.pictures.seam_use import Shown, seam_use_svg, used
from seamwright.pictures.through import Shares, through_svg
from seamwright.strength import Finding, Soundness, Verdict
from seamwright.strength.safety import DEFER as DEFER_STEP
from seamwright.woods import sources

HEADING = "Will it hold, will it move, is it safe?"
LIMITS = (
    "Reckoned for clear wood and sound glue lines. No tests on pieced boards were found to set the "
    "limits by: take the verdicts as advice, not as a warrant."
)
DEFER = (
    "The manuals of your machines, your local codes and licensed practice go before anything "
    "written here. Every guard stays on."
)
_BAD = (Verdict.BREAKS, Verdict.RISK, Verdict.CARE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """What is known of a board, for its page.

    Attributes:
        situation: what it will meet, in words.
        findings: worst first.
        soundness: what the finite elements gave; None where they cannot.
        faults: why they cannot.
        cautions: small parts and traps of the plan, worst first.
        up, across: share of long grain that bridges lines running up and across.
    """

    situation: str
    findings: tuple[Finding, ...]
    soundness: Soundness | None
    faults: tuple[Fault, ...]
    cautions: tuple[Finding, ...]
    up: Shares = ()
    across: Shares = ()


def will_it_hold(drawing: Drawing, sound: Sound, *, looks: Looks, page: Page) -> bytes:
    """The page as a PDF."""
    bad = [finding for finding in sound.findings if finding.verdict in _BAD]
    moves = [finding for finding in sound.findings if finding.code == "M3"]
    known = [f for f in sound.findings if f.verdict is Verdict.KNOW and f not in moves]
    holds = [finding for finding in sound.findings if finding.verdict is Verdict.HOLDS]
    content: Content = {
        "title": f"{drawing.title}: will it hold",
        "job": drawing.title,
        "foot": "Verdicts are advice: mind your own wood.",
        "page": {"width": page.width_mm, "height": page.height_mm},
        "heading": HEADING,
        "situation": _capital(sound.situation),
        "faults": [str(fault) for fault in sound.faults],
        "verdicts": [_row(finding) for finding in bad],
        "pictures": list(_pictures(drawing, sound, looks)),
        "holds": [_held(finding) for finding in holds],
        "moves": [_row(finding) for finding in moves],
        "known": [_row(finding) for finding in known],
        "cautions": [_hand(finding) for finding in sound.cautions],
        "hands": "; ".join(dict.fromkeys(s for f in sound.cautions for s in f.sources)),
        "sources": _titles([*sound.findings, *sound.cautions]),
        "limits": LIMITS,
        "defer": DEFER,
    }
    return pdf("will_it_hold", content)


def _pictures(drawing: Drawing, sound: Sound, looks: Looks) -> Iterable[Content]:
    """The season that moves it most, what is asked of its seams, and its through lines."""
    found = sound.soundness
    if found is None:
        return
    colours = {letter: look.fill for letter, look in looks.items()}
    # the season drawn with the least exaggeration is the one that moves most
    season = min(range(len(found.seasons)), key=lambda number: exaggeration(drawing, found, number))
    moved = moved_svg(drawing, found, season=season, colours=colours)
    alt = "; ".join(caption(found, season, exaggeration(drawing, found, season)))
    yield {"svg": moved, "alt": alt, "name": "The board moved, exaggerated"}
    for shown, name in ((Shown.MOISTURE, "Asked of its seams by moisture"),
                        (Shown.LOAD, "Asked of its seams by loads")):  # fmt: skip
        most = max((used(seam, shown) for seam in found.seams), default=0.0)
        yield {
            "svg": seam_use_svg(drawing, found, shown=shown, colours=colours),
            "alt": f"{name}: at most {100.0 * most:.0f} % of what a seam bears",
            "name": name,
        }
    yield {
        "svg": through_svg(
            drawing, found.through, colours=colours, up=sound.up, across=sound.across
        ),
        "alt": f"{len(found.through)} lines that little long grain bridges",
        "name": "Lines across that little long grain bridges",
    }


def _row(finding: Finding) -> Content:
    return {
        "verdict": _capital(finding.verdict.value),
        "bad": finding.verdict in (Verdict.BREAKS, Verdict.RISK),
        "subject": _capital(finding.subject),
        "why": _capital(finding.why),
        "change": "" if finding.change == "nothing" else _capital(finding.change),
        "sources": "; ".join(finding.sources),
    }


def _hand(finding: Finding) -> Content:
    """A caution of a step; what all of them end with and rest on is told once."""
    row = _row(replace(finding, change=finding.change.removesuffix(DEFER_STEP)))
    return {**row, "sources": ""}


def _titles(findings: list[Finding]) -> list[str]:
    """What the codes of sources stand for."""
    titles = sources()
    codes = dict.fromkeys(code for f in findings for code in f.sources if code in titles)
    return [f"{code}: {titles[code].title}" for code in codes]


def _held(finding: Finding) -> str:
    if finding.use is None or finding.use[1] <= 0.0:
        return _capital(finding.subject)
    return f"{_capital(finding.subject)}: bears {min(1.0 / finding.use[1], 99.0):.1f} times that"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
