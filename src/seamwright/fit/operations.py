"""The operations of a program, one for each verb of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from seamwright.fit.joints import Complexes, Contact, Face, Gluing, Reals
from seamwright.fit.program import Run
from seamwright.fit.shapes import Clip, Indices

_RADIANS = np.pi / 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Milling:
    """Sticks: each has its own width."""

    makes: str
    length_mm: float
    width_mm: float
    widths: slice

    def carry_out(self, run: Run) -> None:
        """Make the sticks."""
        width = run.errors[self.widths] + run.errors.dtype.type(self.width_mm)
        points = np.zeros((4, *width.shape), dtype=run.kind)
        points[1:3] = self.length_mm
        points.imag[2:] = width
        run.put(self.makes, points)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slicing:
    """Slices: between two faces, each with its own angle, at its own distance.

    Attributes:
        takes, makes: kinds.
        bars: for each slice the number of its bar.
        left, right: cuts as drawn on the first piece.
        start_mm, end_mm: where the faces meet y = 0.
        lengths: errors of the slices.
        angles: errors of the cuts.
        at_left, at_right: for each slice which cuts make its faces.
        earlier: errors of the pieces sawn off the same bars before: a stop measures from the last
            cut, so they move this piece along.
        order: corners in the order of the kind; as they come where this is empty.
    """

    takes: str
    makes: str
    bars: Indices
    left: Clip
    right: Clip
    start_mm: float
    end_mm: float
    lengths: slice
    angles: slice
    at_left: Indices
    at_right: Indices
    earlier: tuple[slice, ...] = ()
    order: Indices = field(default_factory=lambda: np.empty(0, dtype=np.int64))

    def carry_out(self, run: Run) -> None:
        """Make the slices."""
        bars = run.points[self.takes][:, self.bars]
        lean = run.errors[self.angles] * run.errors.dtype.type(_RADIANS)
        turned = np.exp(np.asarray(1j, dtype=run.kind) * lean)
        first = self.left.direction * turned[self.at_left]
        second = self.right.direction * turned[self.at_right]
        start: Reals = np.asarray(self.start_mm, dtype=run.errors.dtype)
        for before in self.earlier:
            start = start + run.errors[before]
        ends = start + run.errors[self.lengths] + run.errors.dtype.type(self.end_mm - self.start_mm)
        rough = _cut(bars, self.left, start, first.astype(run.kind))
        made = _cut(rough, self.right, ends, second.astype(run.kind))
        made -= start
        if len(self.order):
            made = made[self.order]
        run.put(self.makes, made)


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """Parts that go on as they are: rests of bars, leaves of billets, planed parts."""

    takes: str
    makes: str
    numbers: Indices
    back_mm: float = 0.0

    def carry_out(self, run: Run) -> None:
        """Hand them on."""
        points = _taken(run, self.takes, self.numbers)
        if self.back_mm:
            points = points - np.asarray(self.back_mm, dtype=run.kind)
        run.put(self.makes, points)


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeCutting:
    """One cut of a trim.

    Attributes:
        clip: the cut as drawn.
        reference: corners of the part as it lies then that rest against the stop.
        reference_mm: how far they are from the cut as drawn.
        stays, angles: errors.
        beyond: corners that are sawn off, each on an edge the cut crosses; asked how far they
            reach past the cut.
        touching: corners that stay and lie on the cut as drawn; asked how far they lie inside.
    """

    clip: Clip
    reference: Indices
    reference_mm: float
    stays: slice
    angles: slice
    beyond: Indices
    touching: Indices


@dataclass(frozen=True, slots=True, kw_only=True)
class Trimming:
    """Edges sawn off, each at its distance from what rests against the stop."""

    takes: str
    makes: str
    numbers: Indices
    cuts: tuple[EdgeCutting, ...]

    def carry_out(self, run: Run) -> None:
        """Trim the parts."""
        points = _taken(run, self.takes, self.numbers)
        lines = []
        for cut in self.cuts:
            if cut.clip.is_idle(len(points)):
                continue
            way = np.asarray(cut.clip.direction, dtype=run.kind)
            middle = np.asarray(cut.clip.point, dtype=run.kind)
            resting = ((points[cut.reference] - middle) * way.conj()).imag.mean(axis=0)
            moved = resting - run.errors.dtype.type(cut.reference_mm) - run.errors[cut.stays]
            lean = run.errors[cut.angles] * run.errors.dtype.type(_RADIANS)
            through = middle + np.asarray(1j * cut.clip.direction, dtype=run.kind) * moved
            along = way * np.exp(np.asarray(1j, dtype=run.kind) * lean)
            lines.append((complex(through[0, 0]), complex(along[0, 0])))
            if len(cut.beyond) or len(cut.touching):
                past = ((through - points[cut.beyond]) * along.conj()).imag
                short = ((points[cut.touching] - through) * along.conj()).imag
                run.taken_off[self.makes, len(lines) - 1] = np.concatenate([past, short])[:, 0]
            points = _cut(points, cut.clip, through, along)
        run.lines[self.makes] = tuple(lines)
        run.put(self.makes, points)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembling:
    """A lamination; see ``fit.joints`` for how a part finds its place.

    Attributes:
        makes: kind.
        count: laminations.
        taken: for each part its kind and which single ones.
        gluing: as drawn.
        along: errors of the hand that lines part i up; none for the one laid down first.
        keeps: for each part the points that go into what is made; all where this is empty.
    """

    makes: str
    count: int
    taken: tuple[tuple[str, Indices], ...]
    gluing: Gluing
    along: tuple[slice, ...]
    keeps: tuple[Indices, ...] = ()

    def carry_out(self, run: Run) -> None:
        """Glue up."""
        trials = run.errors.shape[1]
        laid: list[tuple[Complexes, Complexes]] = [
            (np.full((1, 1), turn, dtype=run.kind), np.full((1, 1), shift, dtype=run.kind))
            for turn, _, shift in self.gluing.motions
        ]
        gaps: list[Reals] = []
        for contact in self.gluing.places:
            laid[contact.second], opened = self._placed(run, contact, laid)
            gaps += opened
        for contact in self.gluing.others:
            gaps += self._closing(run, contact, laid)
        if self.gluing.fence is not None:
            laid = self._against_the_fence(run, laid, *self.gluing.fence)
        nothing = np.zeros((0, self.count, trials), dtype=run.errors.dtype)
        run.open_mm[self.makes] = np.concatenate([*gaps, nothing])
        along = np.asarray(self.gluing.along, dtype=run.kind)
        run.places[self.makes] = tuple(
            (complex(turn[0, 0] * along), motion[1], complex(shift[0, 0] * along))
            for (turn, shift), motion in zip(laid, self.gluing.motions, strict=True)
        )
        run.put(self.makes, self._together(run, laid, along))

    def _against_the_fence(
        self, run: Run, laid: Sequence[tuple[Complexes, Complexes]], part: int, face: Face
    ) -> list[tuple[Complexes, Complexes]]:
        """All parts turned and moved so that the lower edge lies on y = 0."""
        lies = self._corners(run, part, face.at, laid)
        level, slope = _fit(face.level, lies.imag), _fit(face.slope, lies.imag)
        back = np.exp(np.asarray(-1j, dtype=run.kind) * slope)
        down = np.asarray(1j, dtype=run.kind) * level
        return [
            ((turn * back).astype(run.kind), ((shift - down) * back).astype(run.kind))
            for turn, shift in laid
        ]

    def _together(
        self, run: Run, laid: Sequence[tuple[Complexes, Complexes]], along: Complexes
    ) -> Complexes:
        keeps = self.keeps or tuple(np.arange(len(run.points[kind])) for kind, _ in self.taken)
        made = np.empty((sum(map(len, keeps)), self.count, run.errors.shape[1]), dtype=run.kind)
        for i, (turn, shift) in enumerate(laid):
            kind, numbers = self.taken[i]
            start = self.gluing.starts[i]
            place = made[start : start + len(keeps[i])]
            place[...] = run.points[kind][np.ix_(keeps[i], numbers)]
            if self.gluing.motions[i][1]:
                np.conjugate(place, out=place)
            for factor, act in ((turn, np.multiply), (shift, np.add)):
                turned = factor if along == 1.0 else factor * along
                if turned.size > 1 or turned[0, 0] != complex(act.identity):
                    act(place, turned, out=place)
        return made

    def _corners(
        self, run: Run, part: int, at: Indices, laid: Sequence[tuple[Complexes, Complexes]]
    ) -> Complexes:
        """Some corners of a part where it lies, in the frame of the seams."""
        kind, numbers = self.taken[part]
        points = run.points[kind][np.ix_(at, numbers)]
        turn, shift = laid[part]
        if self.gluing.motions[part][1]:
            points = points.conj()
        return np.asarray(points * turn + shift)

    def _placed(
        self, run: Run, contact: Contact, laid: Sequence[tuple[Complexes, Complexes]]
    ) -> tuple[tuple[Complexes, Complexes], list[Reals]]:
        """Turn and place of the second part, and how far the faces stand open."""
        first, second = contact.faces
        lies = self._corners(run, contact.first, first.at, laid)
        comes = self._corners(run, contact.second, second.at, laid)
        level, slope = _fit(first.level, lies.imag), _fit(first.slope, lies.imag)
        low, lean = _fit(second.level, comes.imag), _fit(second.slope, comes.imag)
        opened = _standing_off(first, lies, level, slope) + _standing_off(second, comes, low, lean)
        turned = np.exp(np.asarray(1j, dtype=run.kind) * (slope - lean))
        # about the pivot, so that the height found there stays what it is
        pivot = np.asarray(contact.pivot.real, dtype=run.errors.dtype) + 1j * low
        shift = pivot - pivot * turned + np.asarray(1j, dtype=run.kind) * (level - low)
        along = run.errors[self.along[contact.second]]
        if len(contact.pairs):
            found = comes[contact.pairs[:, 1]] * turned + shift
            along = along + (lies[contact.pairs[:, 0]].real - found.real).mean(axis=0)
        turn, place = laid[contact.second]
        moved = place * turned + shift + along
        return ((turn * turned).astype(run.kind), moved.astype(run.kind)), opened

    def _closing(
        self, run: Run, contact: Contact, laid: Sequence[tuple[Complexes, Complexes]]
    ) -> list[Reals]:
        """How far two faces stand apart that lie where they lie."""
        opened: list[Reals] = []
        levels = []
        for part, face in zip((contact.first, contact.second), contact.faces, strict=True):
            lies = self._corners(run, part, face.at, laid)
            levels.append(_fit(face.level, lies.imag))
            opened += _standing_off(face, lies, levels[-1], _fit(face.slope, lies.imag))
        between = np.broadcast_to(levels[1] - levels[0], (self.count, run.errors.shape[1]))
        return [*opened, between[None]]


def gap_corners(gluing: Gluing) -> list[tuple[int, int]]:
    """For each row of a lamination's gaps a corner to show it at: (part, its point)."""
    found: list[tuple[int, int]] = []

    def rests(part: int, face: Face) -> list[tuple[int, int]]:
        return [(part, int(face.at[k])) for k in face.told]

    for contact in gluing.places:
        found += rests(contact.first, contact.faces[0]) + rests(contact.second, contact.faces[1])
    for contact in gluing.others:
        found += rests(contact.first, contact.faces[0]) + rests(contact.second, contact.faces[1])
        found.append((contact.second, int(contact.faces[1].at[0])))
    return found


def _taken(run: Run, kind: str, numbers: Indices) -> Complexes:
    """Some parts of a kind; no copy where it is all of them."""
    points = run.points[kind]
    if np.array_equal(numbers, np.arange(points.shape[1])):
        return points
    return points[:, numbers]


def _fit(weights: np.ndarray, values: Reals) -> Reals:
    """A weighted sum over the corners of a face."""
    total = values[0] * values.dtype.type(weights[0])
    for weight, value in zip(weights[1:], values[1:], strict=True):
        total = total + value * values.dtype.type(weight)
    return np.asarray(total)


def _standing_off(face: Face, lies: Complexes, level: Reals, slope: Reals) -> list[Reals]:
    """How far corners of a face stand off the line that fits them."""
    if not len(face.told):
        return []
    kind = lies.real.dtype
    return [np.stack([lies[k].imag - level - slope * kind.type(face.away[k]) for k in face.told])]


def _cut(points: Complexes, clip: Clip, through: Complexes | Reals, along: Complexes) -> Complexes:
    """What stays left of each part's own line."""
    back = along.conj()
    inner, outer = points[clip.inner], points[clip.outer]
    near = ((inner - through) * back).imag
    far = ((outer - through) * back).imag
    made = np.empty((len(clip.kept) + len(clip.inner), *points.shape[1:]), dtype=points.dtype)
    np.take(points, clip.kept, axis=0, out=made[: len(clip.kept)])
    outer -= inner
    outer *= near / (near - far)
    outer += inner
    made[len(clip.kept) :] = outer
    return made
