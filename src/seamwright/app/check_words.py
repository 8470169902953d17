"""What a drawing implies, in words."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.app.checking import CheckReport, DrawnSeam, NewSeam
from seamwright.app.plan_words import seam_words
from seamwright.pictures import Ruler
from seamwright.planner import Prefer
from seamwright.seams import SeamClass

_MOST_NAMES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """All seams of one class.

    Attributes:
        kind: the class.
        words: the same in words.
        count: seams.
        length_mm: their length together [mm].
    """

    kind: SeamClass
    words: str
    count: int
    length_mm: float


def split_words(report: CheckReport) -> tuple[str, ...]:
    """Whether the drawing comes apart; if not, what locks and what would free it."""
    if report.splits:
        return ("Comes apart along straight seams: it can be glued up as drawn.",)
    ruler = Ruler(unit=report.drawing.unit)
    count = len(report.added)
    seams = "One more seam frees them" if count == 1 else f"{count} more seams free them"
    fewest = " (fewer will not do)" if report.fewest else " (fewer may do)"
    told = [
        *locked_words(report),
        f"{seams}{fewest}; a plan adds them, unless you change the drawing:",
        *(f"  {seam_words(seam, ruler)}" for seam in report.added),
        "Other ways, by plan --prefer:",
    ]
    for prefer, words in list(ways_apart(report).items())[1:]:
        told.append(f"  {prefer.value}: {words}")
    return tuple(told)


def locked_words(report: CheckReport) -> tuple[str, ...]:
    """What locks."""
    return (
        "Does not come apart along straight seams. These patches lock each other:",
        *(f"  {_listed(group)}" for group in report.locked),
    )


def ways_apart(report: CheckReport) -> dict[Prefer, str]:
    """Ways to plan what locks, in words; the first is taken unless another is asked for."""
    if report.splits:
        return {}
    ways = {
        Prefer.CHEAPEST: f"the fewest seams added: {len(report.added)}",
        Prefer.AS_DRAWN: "no seam added, parts pushed into corners",
    }
    if report.half_stars:
        told = f"the star divided straight through its centre: {len(report.half_stars)} seams added"
        ways[Prefer.HALF_STARS] = told
    return ways


def seams_apart(report: CheckReport, prefer: Prefer) -> tuple[NewSeam, ...]:
    """The seams a plan adds."""
    if prefer is Prefer.HALF_STARS:
        return report.half_stars
    return () if prefer is Prefer.AS_DRAWN else report.added


def shares(report: CheckReport) -> tuple[Share, ...]:
    """Seams by class: long grain first, then slanted by angle, end grain last."""
    lengths: dict[str, list[float]] = {}
    kinds: dict[str, SeamClass] = {}
    for seam in report.seams:
        lengths.setdefault(seam.words, []).append(seam.length_mm)
        kinds[seam.words] = seam.kind
    return tuple(
        Share(kind=kinds[words], words=words, count=len(each), length_mm=sum(each))
        for words, each in sorted(lengths.items(), key=lambda item: _weakness(item[0]))
    )


def share_words(share: Share, ruler: Ruler) -> str:
    """A class of seams in a line."""
    seams = "seam" if share.count == 1 else "seams"
    return f"{share.words}: {share.count} {seams}, {ruler.about(share.length_mm)} together"


def drawn_seam_words(seam: DrawnSeam, ruler: Ruler) -> str:
    """One seam in a line."""
    first, second = (f"{side.patch} ({side.words})" for side in seam.sides)
    return f"{first} to {second}: {ruler.both(seam.length_mm)}, {seam.words}"


def _weakness(words: str) -> tuple[int, float]:
    if words.startswith("slanted"):
        return (1, float(words.removeprefix("slanted ").removesuffix("°")))
    return (0 if words == "long grain" else 2, 0.0)


def _listed(names: tuple[str, ...]) -> str:
    more = len(names) - _MOST_NAMES
    return ", ".join(names[:_MOST_NAMES]) + (f" and {more} more" if more > 0 else "")
