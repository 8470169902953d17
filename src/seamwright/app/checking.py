"""The verb "check": what a drawing implies before anything is planned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from seamwright.design import Drawing, Patch, remarks
from seamwright.errors import Fault
from seamwright.geometry import Point, Polygon, distance
from seamwright.seams import (
    AddedSeam,
    Freed,
    Seam,
    SeamClass,
    find_seams,
    free,
    grade,
    halve,
    locked_groups,
)
from seamwright.woods import Species, all_species


@dataclass(frozen=True, slots=True, kw_only=True)
class NewSeam:
    """A seam to add so that a locked drawing comes apart.

    Attributes:
        patch: name of the patch it cuts.
        start, end: its ends [mm].
    """

    patch: str
    start: Point
    end: Point

    @property
    def length_mm(self) -> float:
        """Its length [mm]."""
        return distance(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamSide:
    """One side of a seam.

    Attributes:
        patch: name of the patch.
        angle_deg: acute angle [°] between its grain and the seam.
        words: "long grain", "slanted 45°" or "end grain".
    """

    patch: str
    angle_deg: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSeam:
    """One seam of the drawing, with names.

    Attributes:
        start, end: its ends [mm].
        length_mm: its length [mm].
        kind: its class; the weaker side governs.
        words: the same in words.
        sides: the two sides, left of start→end first.
    """

    start: Point
    end: Point
    length_mm: float
    kind: SeamClass
    words: str
    sides: tuple[SeamSide, SeamSide]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport:
    """What a drawing implies.

    Attributes:
        drawing: the drawing.
        splits: whether it comes apart along straight seams, with nothing added.
        locked: names of the patches that lock each other, group by group.
        added: the seams that would free them.
        fewest: whether fewer added seams would not do.
        half_stars: the seams that would free them all through the centres of stars; empty where
            no star locks.
        seams: every seam of the drawing.
        remarks: what to look at; nothing is refused.
    """

    drawing: Drawing
    splits: bool
    locked: tuple[tuple[str, ...], ...]
    added: tuple[NewSeam, ...]
    fewest: bool
    half_stars: tuple[NewSeam, ...]
    seams: tuple[DrawnSeam, ...]
    remarks: tuple[Fault, ...]


def check(drawing: Drawing, *, own: Iterable[Species] = ()) -> CheckReport:
    """Look a drawing over: does it come apart, where are its seams, what is odd about it.

    Args:
        drawing: a drawing as ``load`` gives it; files that are wrong were refused there.
        own: the user's own woods.
    """
    names = tuple(patch.name for patch in drawing.patches)
    locked, freed, halved = _locking(tuple(patch.points for patch in drawing.patches))
    return CheckReport(
        drawing=drawing,
        splits=not locked,
        locked=tuple(tuple(names[i] for i in group) for group in locked),
        added=named_seams(freed.added, drawing) if freed else (),
        fewest=freed.fewest if freed else True,
        half_stars=named_seams(halved.added, drawing) if halved else (),
        seams=_drawn_seams(_Laid(drawing.patches)),
        remarks=remarks(drawing, known_woods=_known_woods(tuple(own))),
    )


def named_seams(added: tuple[AddedSeam, ...], drawing: Drawing) -> tuple[NewSeam, ...]:
    """Added seams with the names of the patches they cut."""
    return tuple(
        NewSeam(patch=drawing.patches[seam.cell].name, start=seam.start, end=seam.end)
        for seam in added
    )


# a wood or a grain that is changed changes nothing of what locks
@lru_cache(maxsize=32)
def _locking(
    cells: tuple[Polygon, ...],
) -> tuple[tuple[tuple[int, ...], ...], Freed | None, Freed | None]:
    """What locks, what would free it, and what would by half-star seams."""
    locked = locked_groups(cells)
    return locked, free(cells) if locked else None, halve(cells) if locked else None


@lru_cache(maxsize=4)
def _known_woods(own: tuple[Species, ...]) -> tuple[str, ...]:
    return tuple(name for wood in (*own, *all_species()) for name in (wood.name, *wood.also))


class _Laid:
    """Patches, compared by what their seams depend on: all but their woods."""

    def __init__(self, patches: tuple[Patch, ...]) -> None:
        self.patches = patches
        self.key = tuple((patch.name, patch.points, patch.grain_deg) for patch in patches)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Laid) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)


@lru_cache(maxsize=16)
def _drawn_seams(laid: _Laid) -> tuple[DrawnSeam, ...]:
    names = [patch.name for patch in laid.patches]
    return tuple(
        _drawn_seam(seam, names[seam.left], names[seam.right]) for seam in find_seams(laid.patches)
    )


# a patch whose grain is turned changes its own seams only
@lru_cache(maxsize=1 << 14)
def _drawn_seam(seam: Seam, left: str, right: str) -> DrawnSeam:
    return DrawnSeam(
        start=seam.start,
        end=seam.end,
        length_mm=seam.length_mm,
        kind=seam.seam_class,
        words=seam.words,
        sides=(_side(left, seam.left_deg), _side(right, seam.right_deg)),
    )


def _side(name: str, angle_deg: float) -> SeamSide:
    found = grade(angle_deg)
    words = f"slanted {angle_deg:.0f}°" if found.value == "slanted" else found.value
    return SeamSide(patch=name, angle_deg=angle_deg, words=words)
