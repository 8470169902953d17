"""Sizes of a drawing that nearly equal others, and the drawing with one of them changed.

Corners of patches divide a board into bands, upright and level. A size of a patch is the sum of
the bands it spans. Changing the width of all bands of one width, both upright and level, keeps
seams straight and squares square; whether a changed drawing is still sound is looked at afterwards.
"""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from seamwright.design.model import Drawing
from seamwright.design.settle import settle
from seamwright.errors import DesignError
from seamwright.geometry import SLIVER_MM, Point, Polygon, bounds, snap, snap_point

_SAME_MM = 1e-3
"""Sizes that differ by less are one size."""

_MOST_SIZES = 400
"""A drawing with more different sizes than this has no near misses, only many sizes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resized:
    """A drawing with one size changed to another one that it already has.

    Attributes:
        was_mm, to_mm: size of the patches before and after [mm].
        changed: names of the patches that had the size.
        like: names of patches that have the size it becomes; empty where two seams are brought
            into line.
        band_mm, band_to_mm: width of the bands that take up the change [mm].
        drawing: the changed drawing; sound.
    """

    was_mm: float
    to_mm: float
    changed: tuple[str, ...]
    like: tuple[str, ...]
    band_mm: float
    band_to_mm: float
    drawing: Drawing


def nearly_equal(drawing: Drawing, *, within_mm: float, most: int) -> tuple[Resized, ...]:
    """Drawings in which one size is made equal to another one that it nearly equals already.

    Args:
        drawing: a sound drawing.
        within_mm: no size changes by more than this, more than 0 [mm].
        most: how many are wanted; the smallest changes come first.
    """
    bands = _Bands(drawing)
    if len(bands.sizes) > _MOST_SIZES:
        return ()
    found: list[Resized] = []
    tried: set[tuple[int, int]] = set()
    for change in sorted(bands.changes(within_mm), key=_by_how_much):
        key = (_whole(change.band_mm), _whole(change.to_mm))
        if key in tried:
            continue
        tried.add(key)
        changed = bands.changed(change)
        if changed is None:
            continue
        found.append(
            Resized(
                was_mm=change.size_mm,
                to_mm=change.like_mm,
                changed=bands.names(change.size_mm),
                like=bands.names(change.like_mm),
                band_mm=change.band_mm,
                band_to_mm=change.to_mm,
                drawing=changed,
            )
        )
        if len(found) == most:
            break
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Change:
    """Bands of one width become another width, so that a size becomes like another."""

    band_mm: float
    to_mm: float
    size_mm: float
    like_mm: float


def _by_how_much(change: _Change) -> tuple[float, float, float]:
    return (abs(change.like_mm - change.size_mm), change.size_mm, change.band_mm)


def _whole(size_mm: float) -> int:
    return round(size_mm / _SAME_MM)


class _Bands:
    """The bands of a drawing and the sizes they add up to."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        points = [p for patch in drawing.patches for p in patch.points]
        self.lines = tuple(_distinct([p[axis] for p in points]) for axis in (0, 1))
        self.sizes: dict[int, list[tuple[str, Counter[int]]]] = {}
        self.widths: dict[int, float] = {}
        self.exact_mm: dict[int, float] = {}
        for patch in drawing.patches:
            for axis in (0, 1):
                spanned = self._spanned(patch.points, axis)
                box = bounds(patch.points)
                size = box[axis + 2] - box[axis]
                self.exact_mm.setdefault(_whole(size), size)
                self.sizes.setdefault(_whole(size), []).append((patch.name, spanned))

    def _spanned(self, points: Polygon, axis: int) -> Counter[int]:
        """The widths of the bands a patch spans, each with how often."""
        box = bounds(points)
        lines = self.lines[axis]
        first = bisect_left(lines, box[axis] - _SAME_MM)
        last = bisect_right(lines, box[axis + 2] + _SAME_MM)
        spanned: Counter[int] = Counter()
        for a, b in itertools.pairwise(lines[first:last]):
            width = _whole(b - a)
            self.widths.setdefault(width, b - a)
            spanned[width] += 1
        return spanned

    def names(self, size_mm: float) -> tuple[str, ...]:
        """Patches of a size, each once."""
        return tuple(dict.fromkeys(name for name, _ in self.sizes.get(_whole(size_mm), ())))

    def changes(self, within_mm: float) -> Iterator[_Change]:
        """All ways to make one size another that is near it."""
        sizes = sorted(self.sizes)
        for size, like in itertools.permutations(sizes, 2):
            off = self.exact_mm[like] - self.exact_mm[size]
            if abs(off) > within_mm + _SAME_MM / 2.0:
                continue
            spans = [spanned for _, spanned in self.sizes[size]]
            for width in sorted(spans[0]):
                count = spans[0][width]
                to = self.widths[width] + off / count
                if all(s[width] == count for s in spans) and to > SLIVER_MM:
                    # the size it is to become must not move as well
                    if any(s[width] for _, s in self.sizes[like]):
                        continue
                    yield _Change(
                        band_mm=self.widths[width],
                        to_mm=to,
                        size_mm=self.exact_mm[size],
                        like_mm=self.exact_mm[like],
                    )
        for width, band in sorted(self.widths.items()):
            if band <= within_mm and width not in self.sizes:
                yield _Change(band_mm=band, to_mm=0.0, size_mm=band, like_mm=0.0)

    def changed(self, change: _Change) -> Drawing | None:
        """The drawing with its bands changed; None where that leaves no sound drawing."""
        maps = [self._moved(axis, change) for axis in (0, 1)]

        def place(point: Point) -> Point:
            x, y = (maps[axis][_whole(point[axis])] for axis in (0, 1))
            return snap_point((x, y))

        known = [set(m) for m in maps]
        corners = self.drawing.outline
        if not all(_whole(p[axis]) in known[axis] for p in corners for axis in (0, 1)):
            return None
        patches = tuple(
            replace(patch, points=tuple(map(place, patch.points))) for patch in self.drawing.patches
        )
        outline = tuple(map(place, corners))
        try:
            return settle(replace(self.drawing, patches=patches, outline=outline))
        except DesignError:
            return None

    def _moved(self, axis: int, change: _Change) -> dict[int, float]:
        """Where each line of an axis goes; points a hair beside a line go with it."""
        lines = self.lines[axis]
        to = {_whole(lines[0]): lines[0]}
        at = lines[0]
        for a, b in itertools.pairwise(lines):
            same = _whole(b - a) == _whole(change.band_mm)
            at += change.to_mm if same else b - a
            to[_whole(b)] = snap(at)
        return {near: there for line, there in to.items() for near in (line - 1, line, line + 1)}


def _distinct(values: list[float]) -> tuple[float, ...]:
    """Values in order, those that are the same once."""
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > _SAME_MM:
            kept.append(value)
    return tuple(kept)
