"""Pieces of one wood and grain that lie beside each other, drawn as one piece."""

from __future__ import annotations

from dataclasses import dataclass, replace

from seamwright.app.redrawing import joined_outline
from seamwright.design import Drawing, Patch, settle
from seamwright.errors import DesignError
from seamwright.geometry import is_convex
from seamwright.seams import Seam, SeamClass, find_seams


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """A drawing of fewer pieces that looks the same.

    Attributes:
        pieces: names of pieces that become one, one tuple for each that comes of it.
        along: whether seams along the grain went too, not only those of ends.
        drawing: the changed drawing; sound.
    """

    pieces: tuple[tuple[str, ...], ...]
    along: bool
    drawing: Drawing

    @property
    def seams(self) -> int:
        """How many seams go."""
        return sum(len(names) - 1 for names in self.pieces)


def joined(drawing: Drawing) -> tuple[Joined, ...]:
    """The drawing with the seams left out that divide one wood and grain for nothing.

    Pieces are joined where one convex piece comes of them: first those that meet end to end or
    aslant, whose seams are weak, then also those side by side. Each is told once; nothing where
    no seam can go.
    """
    found: list[Joined] = []
    for along in (False, True):
        patches, pieces = _joined(drawing.patches, along=along)
        if not pieces or (found and found[-1].pieces == pieces):
            continue
        try:
            changed = settle(replace(drawing, patches=patches))
        except DesignError:  # a patch of too many corners, or one smaller than the file takes
            continue
        found.append(Joined(pieces=pieces, along=along, drawing=changed))
    return tuple(found)


def _joined(
    patches: tuple[Patch, ...], *, along: bool
) -> tuple[tuple[Patch, ...], tuple[tuple[str, ...], ...]]:
    """Patches after all joining, and the names of those that became one."""
    names: dict[str, tuple[str, ...]] = {patch.name: (patch.name,) for patch in patches}
    again = True
    while again:
        again = False
        gone: set[str] = set()
        grown: dict[str, Patch] = {}
        for seam in _idle(patches, along=along):
            a, b = (patches[number] for number in sorted((seam.left, seam.right)))
            if {a.name, b.name} & (gone | grown.keys()):
                continue
            outline = joined_outline(a.points, b.points)
            if outline is None or not is_convex(outline):
                continue
            grown[a.name] = replace(a, points=outline)
            gone.add(b.name)
            names[a.name] += names.pop(b.name)
            again = True
        patches = tuple(grown.get(p.name, p) for p in patches if p.name not in gone)
    return patches, tuple(listed for listed in names.values() if len(listed) > 1)


def _idle(patches: tuple[Patch, ...], *, along: bool) -> list[Seam]:
    """Seams between one wood and grain, the weak ones first."""
    seams = [
        seam
        for seam in find_seams(patches)
        if patches[seam.left].wood == patches[seam.right].wood
        and patches[seam.left].grain_deg == patches[seam.right].grain_deg
        and (along or seam.seam_class is not SeamClass.LONG_GRAIN)
    ]
    return sorted(seams, key=lambda seam: seam.seam_class is SeamClass.LONG_GRAIN)
