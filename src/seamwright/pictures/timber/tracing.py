"""Trace every piece of a part back to the stick it was cut from."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.bench import Carried, Shelf
from seamwright.geometry import IDENTITY, Motion, Polygon, centroid
from seamwright.pictures.inside import holds
from seamwright.plan import Laminate, Mill, Plan, Resaw, Slice, Surface, Trim, outputs

_NEAR_MM = 1e-3


@dataclass(frozen=True, slots=True)
class Root:
    """Where a piece comes from.

    Attributes:
        stick: id of the stick.
        wood: its letter.
        here: motion from the stick's frame to the part's.
        depth_mm: of the part's show face below the stick's [mm].
        inwards: 1 where going into the part goes into the stick, -1 where the part lies over.
    """

    stick: str
    wood: str
    here: Motion
    depth_mm: float
    inwards: float

    def carried(self, at: Motion, part_depth_mm: float) -> Root:
        """The same piece after its part was moved; turning over swaps show face and back."""
        depth, inwards = self.depth_mm, self.inwards
        if at.over:
            depth, inwards = depth + inwards * part_depth_mm, -inwards
        return Root(self.stick, self.wood, at.after(self.here), depth, inwards)

    def in_stick(self, place: tuple[float, float, float]) -> tuple[float, float, float]:
        """A place of the part (height 0 at its show face, down negative) in its stick [mm]."""
        x, y, z = place
        u, v = self.here.inverse().point((x, y))
        return (u, v, self.depth_mm - self.inwards * z)


class Tracer:
    """Follows parts back through the steps, using each part up once."""

    def __init__(self, plan: Plan, shelf: Shelf) -> None:
        self._solids = dict(shelf.solids)
        self._makers: dict[str, list[Carried]] = {}
        for done in shelf.steps:
            for kind in outputs(done.step):
                self._makers.setdefault(kind, []).append(done)
        self._kerf_mm = plan.shop.saws.resaw_kerf_mm
        self._used: dict[str, int] = {}
        self._bars: dict[tuple[int, int], tuple[Root, ...]] = {}

    def outlines(self, kind: str) -> tuple[Polygon, ...]:
        """Outlines of the pieces of a kind, in its own frame."""
        return tuple(piece.points for piece in self._solids[kind].pieces)

    def next(self, kind: str) -> tuple[Root, ...]:
        """The roots of the pieces of the next part of a kind."""
        number = self._used.get(kind, 0)
        self._used[kind] = number + 1
        done, number = self._maker(kind, number)
        step = done.step
        if isinstance(step, Mill):
            root = Root(f"{kind}/{number}", step.wood, IDENTITY, 0.0, 1.0)
            return (root,)
        if isinstance(step, Laminate):
            return self._glued(step)
        if isinstance(step, Slice):
            return self._sliced(done, step, kind, number)
        if isinstance(step, Resaw):
            return self._leaf(done, step, number)
        if isinstance(step, Trim) and step.each > 1:
            return self._ripped(done, step, number)
        assert isinstance(step, Trim | Surface)
        return self._worked(step, self.next(step.takes))

    def _maker(self, kind: str, number: int) -> tuple[Carried, int]:
        """The step that made the so-manieth part of a kind, and which of its parts that is."""
        for done in self._makers[kind]:
            made = outputs(done.step)[kind]
            if number < made:
                return done, number
            number -= made
        raise KeyError(kind)

    def _glued(self, step: Laminate) -> tuple[Root, ...]:
        found: list[tuple[Polygon, Root]] = []
        for placed in step.parts:
            deep = self._solids[placed.part].depth_mm
            roots = self.next(placed.part)
            found.extend(
                (placed.at.polygon(outline), root.carried(placed.at, deep))
                for outline, root in zip(self.outlines(placed.part), roots, strict=True)
            )
        return self._matched(step.makes, IDENTITY, found)

    def _sliced(self, done: Carried, step: Slice, kind: str, number: int) -> tuple[Root, ...]:
        is_rest = kind == step.rest
        bar = number if is_rest else number // step.per_bar
        key = (done.number, bar)
        if key not in self._bars:
            self._bars[key] = self.next(step.takes)
        roots = self._bars[key]
        at = self._rest_at(step) if is_rest else done.places[number % step.per_bar]
        found = list(zip(self.outlines(step.takes), roots, strict=True))
        return self._matched(kind, at, found)

    def _rest_at(self, step: Slice) -> Motion:
        """Where what remains lay in its bar: their right ends meet."""
        right = max(x for outline in self.outlines(step.takes) for x, _ in outline)
        here = max(x for outline in self.outlines(step.rest) for x, _ in outline)
        return Motion(x_mm=right - here)

    def _leaf(self, done: Carried, step: Resaw, number: int) -> tuple[Root, ...]:
        billet, place = divmod(number, step.leaves)
        key = (done.number, billet)
        if key not in self._bars:
            self._bars[key] = self.next(step.takes)
        down = place * (self._solids[step.makes].depth_mm + self._kerf_mm)
        return tuple(
            Root(r.stick, r.wood, r.here, r.depth_mm + r.inwards * down, r.inwards)
            for r in self._bars[key]
        )

    def _ripped(self, done: Carried, step: Trim, number: int) -> tuple[Root, ...]:
        wide, place = divmod(number, step.each)
        key = (done.number, wide)
        if key not in self._bars:
            self._bars[key] = self.next(step.takes)
        found = list(zip(self.outlines(step.takes), self._bars[key], strict=True))
        return self._matched(step.makes, done.places[place], found)

    def _worked(self, step: Trim | Surface, roots: tuple[Root, ...]) -> tuple[Root, ...]:
        found = list(zip(self.outlines(step.takes), roots, strict=True))
        if isinstance(step, Surface):
            off = (self._solids[step.takes].depth_mm - step.depth_mm) / 2.0
            found = [
                (o, Root(r.stick, r.wood, r.here, r.depth_mm + r.inwards * off, r.inwards))
                for o, r in found
            ]
        return self._matched(step.makes, IDENTITY, found)

    def _matched(
        self, kind: str, at: Motion, found: list[tuple[Polygon, Root]]
    ) -> tuple[Root, ...]:
        """The roots of a kind's pieces, each the one of the old piece it lies in."""
        back = at.inverse()
        outlines = self.outlines(kind)
        aligned = len(outlines) == len(found)
        roots: list[Root] = []
        for index, outline in enumerate(outlines):
            spot = at.point(centroid(outline))
            if aligned and holds(found[index][0], (spot,), margin_mm=-_NEAR_MM):
                root = found[index][1]
            else:
                root = next(r for o, r in found if holds(o, (spot,), margin_mm=-_NEAR_MM))
            here = back.after(root.here)
            roots.append(Root(root.stick, root.wood, here, root.depth_mm, root.inwards))
        return tuple(roots)
