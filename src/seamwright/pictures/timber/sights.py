"""What a picture shows: pieces of face, each with its place in its stick."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.bench import Carried, Shelf
from seamwright.design import Drawing
from seamwright.geometry import IDENTITY, Line, Motion, Point, Polygon, centroid
from seamwright.plan import Laminate, Mill, Plan, Resaw, Slice, Surface, Trim, outputs


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """A piece of face.

    Attributes:
        outline: where it is seen [mm].
        wood: letter of its wood.
        stick: id of the one stick it was cut from.
        to_stick: from the picture's frame to the stick's: x along the grain.
        depth_mm: how deep below the stick's show face the seen face lies [mm].
    """

    outline: Polygon
    wood: str
    stick: str
    to_stick: Motion
    depth_mm: float


def from_drawing(drawing: Drawing) -> tuple[Sight, ...]:
    """Every patch from a stick of its own, for a board that is only drawn."""
    return tuple(
        Sight(
            outline=patch.points,
            wood=patch.wood,
            stick=f"{drawing.title}/{patch.name}",
            to_stick=Motion(turn_deg=-patch.grain_deg),
            depth_mm=0.0,
        )
        for patch in drawing.patches
    )


@dataclass(frozen=True, slots=True)
class _Root:
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


def from_plan(plan: Plan, shelf: Shelf, *, kind: str = "") -> tuple[Sight, ...]:
    """The show face of the board (or of any kind), every piece traced back to its stick.

    Equal parts are used up in the order they were made, so neighbours on the board are often
    neighbours in a stick, as they would be from a triangle-marked stack.

    Args:
        plan: the plan.
        shelf: the plan, carried out.
        kind: what to show; the board by default.
    """
    tracer = _Tracer(plan, shelf)
    shown = kind or plan.board
    return tuple(
        Sight(
            outline=outline,
            wood=root.wood,
            stick=root.stick,
            to_stick=root.here.inverse(),
            depth_mm=root.depth_mm,
        )
        for outline, root in zip(tracer.outlines(shown), tracer.next(shown), strict=True)
    )


class _Tracer:
    """Follows parts back through the steps, using each part up once."""

    def __init__(self, plan: Plan, shelf: Shelf) -> None:
        self._solids = dict(shelf.solids)
        self._makers = {kind: done for done in shelf.steps for kind in outputs(done.step)}
        self._kerf_mm = plan.shop.saws.resaw_kerf_mm
        self._used: dict[str, int] = {}
        self._bars: dict[tuple[str, int], tuple[_Root, ...]] = {}

    def outlines(self, kind: str) -> tuple[Polygon, ...]:
        return tuple(piece.points for piece in self._solids[kind].pieces)

    def next(self, kind: str) -> tuple[_Root, ...]:
        """The roots of the pieces of the next part of a kind."""
        number = self._used.get(kind, 0)
        self._used[kind] = number + 1
        done = self._makers[kind]
        step = done.step
        if isinstance(step, Mill):
            root = _Root(f"{kind}/{number}", step.wood, IDENTITY, 0.0, 1.0)
            return (root,)
        if isinstance(step, Laminate):
            return self._glued(step)
        if isinstance(step, Slice):
            return self._sliced(done, step, kind, number)
        if isinstance(step, Resaw):
            return self._leaf(step, number)
        assert isinstance(step, Trim | Surface)
        return self._worked(step, self.next(step.takes))

    def _glued(self, step: Laminate) -> tuple[_Root, ...]:
        found: list[tuple[Polygon, _Root]] = []
        for placed in step.parts:
            solid = self._solids[placed.part]
            for outline, root in zip(
                self.outlines(placed.part), self.next(placed.part), strict=True
            ):
                depth, inwards = root.depth_mm, root.inwards
                if placed.at.over:
                    depth, inwards = depth + inwards * solid.depth_mm, -inwards
                here = placed.at.after(root.here)
                moved = _Root(root.stick, root.wood, here, depth, inwards)
                found.append((placed.at.polygon(outline), moved))
        return self._matched(step.makes, IDENTITY, found)

    def _sliced(self, done: Carried, step: Slice, kind: str, number: int) -> tuple[_Root, ...]:
        is_rest = kind == step.rest
        bar = number if is_rest else number // step.per_bar
        if (step.makes, bar) not in self._bars:
            self._bars[(step.makes, bar)] = self.next(step.takes)
        roots = self._bars[(step.makes, bar)]
        at = self._rest_at(step) if is_rest else done.places[number % step.per_bar]
        found = list(zip(self.outlines(step.takes), roots, strict=True))
        return self._matched(kind, at, found)

    def _rest_at(self, step: Slice) -> Motion:
        """Where what remains lay in its bar: their right ends meet."""
        right = max(x for outline in self.outlines(step.takes) for x, _ in outline)
        here = max(x for outline in self.outlines(step.rest) for x, _ in outline)
        return Motion(x_mm=right - here)

    def _leaf(self, step: Resaw, number: int) -> tuple[_Root, ...]:
        billet, place = divmod(number, step.leaves)
        if (step.makes, billet) not in self._bars:
            self._bars[(step.makes, billet)] = self.next(step.takes)
        down = place * (self._solids[step.makes].depth_mm + self._kerf_mm)
        return tuple(
            _Root(r.stick, r.wood, r.here, r.depth_mm + r.inwards * down, r.inwards)
            for r in self._bars[(step.makes, billet)]
        )

    def _worked(self, step: Trim | Surface, roots: tuple[_Root, ...]) -> tuple[_Root, ...]:
        found = list(zip(self.outlines(step.takes), roots, strict=True))
        if isinstance(step, Surface):
            off = (self._solids[step.takes].depth_mm - step.depth_mm) / 2.0
            found = [
                (o, _Root(r.stick, r.wood, r.here, r.depth_mm + r.inwards * off, r.inwards))
                for o, r in found
            ]
        return self._matched(step.makes, IDENTITY, found)

    def _matched(
        self, kind: str, at: Motion, found: list[tuple[Polygon, _Root]]
    ) -> tuple[_Root, ...]:
        """The roots of a kind's pieces, each the one of the old piece it lies in."""
        back = at.inverse()
        outlines = self.outlines(kind)
        aligned = len(outlines) == len(found)
        roots: list[_Root] = []
        for index, outline in enumerate(outlines):
            spot = at.point(centroid(outline))
            if aligned and _holds(found[index][0], spot):
                root = found[index][1]
            else:
                root = next(r for o, r in found if _holds(o, spot))
            here = back.after(root.here)
            roots.append(_Root(root.stick, root.wood, here, root.depth_mm, root.inwards))
        return tuple(roots)


def _holds(polygon: Polygon, spot: Point) -> bool:
    """Whether a convex outline, anticlockwise, holds a spot well inside or on its edge."""
    return all(
        Line.through(a, b).side(spot) > -1e-3
        for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True)
        if a != b
    )
