"""A plan and its drawing written anew with other sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from seamwright.design import Drawing, Patch
from seamwright.errors import Fault, FitError
from seamwright.fit.compiling import program
from seamwright.fit.resolving import Resolved
from seamwright.fit.shapes import Shape, sides
from seamwright.fit.sizes import Size, What
from seamwright.fit.sources import per_stop, trim_set_up
from seamwright.fit.stackup import Study
from seamwright.fit.topping import ShortBar, shortened, with_new_bar
from seamwright.fit.wedges import bottom_mm, cot, faces_deg, narrowing
from seamwright.geometry import (
    Motion,
    Point,
    Polygon,
    area,
    convex_hull,
    drop_collinear,
    inner_point,
    sin_deg,
)
from seamwright.plan import (
    EdgeCut,
    Laminate,
    Mill,
    Placed,
    Plan,
    SawCut,
    SetUp,
    Slice,
    Step,
    Trim,
    still_shared,
)

_SAME_MM = 1e-6
_ROUNDED_MM = 4e-6
"""Plans are written to a millionth; places worked out from them may be off by some of those."""
_MATCH_MM = 0.01
_LEAST_SQUARING_MM = 2.0
_CRUMB_MM2 = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Rewritten:
    """A plan with other sizes, and the board it then makes.

    Attributes:
        plan: the plan.
        drawing: patches as they come out, one for each piece, under the names they were drawn.
        bars: bars too short for all their slices, with the steps added for the others.
    """

    plan: Plan
    drawing: Drawing
    bars: tuple[ShortBar, ...] = ()

    def own_steps(self) -> tuple[Step, ...]:
        """Steps of the plan as it was, with their new sizes: without those added."""
        added: set[int] = set()
        for bar in self.bars:
            at = bar.step + sum(len(other.steps) for other in self.bars if other.step < bar.step)
            added |= set(range(at, at + len(bar.steps)))
        return tuple(step for at, step in enumerate(self.plan.steps) if at not in added)


def rewrite(
    looked: Study, drawing: Drawing, resolved: Resolved, *, made: frozenset[str] = frozenset()
) -> Rewritten:
    """A plan with the sizes of a new choice.

    Steps whose sizes stay the same are left as they are; where nothing changes the plan is the
    same one.

    Args:
        looked: the plan as it was made.
        drawing: the board as it was drawn.
        resolved: the new sizes.
        made: kinds that are made already: the length of their sticks stays.
    Raises:
        FitError: a bar that is made is too short for its slices.
    """
    writer = _Writer(looked, resolved, made)
    steps = writer.steps()
    plan = looked.plan
    if any(new is not old for new, old in zip(steps, plan.steps, strict=True)):
        x, y = resolved.shift
        at = replace(plan.board_at, x_mm=plan.board_at.x_mm + x, y_mm=plan.board_at.y_mm + y)
        plan = still_shared(replace(plan, steps=writer.with_bars(steps), board_at=at))
    made_new = looked.program if plan is looked.plan else program(plan)
    return Rewritten(
        plan=plan,
        drawing=_redrawn(made_new.shape, drawing, plan.board_at),
        bars=tuple(writer.bars.values()),
    )


class _Writer:
    def __init__(self, looked: Study, resolved: Resolved, made: frozenset[str]) -> None:
        self.plan = looked.plan
        self.program = looked.program
        self.sizes = resolved.sizes
        self.made = made
        self.run = looked.program.run(looked.program.uniform(dict(resolved.sizes)))
        self.kerf = looked.plan.shop.saws.table_kerf_mm
        self.bars: dict[int, ShortBar] = {}
        self.whole: dict[int, Slice] = {}
        self.lacking: dict[int, float] = {}

    def steps(self) -> tuple[Step, ...]:
        """All steps, old ones where nothing changes."""
        if not any(self.sizes.values()):
            return self.plan.steps
        sliced = {
            number: self.sliced(step)
            for number, step in enumerate(self.plan.steps)
            if isinstance(step, Slice)
        }
        growth = self.growth(sliced)
        longer = self.longer(growth)
        done: list[Step] = []
        for number, step in enumerate(self.plan.steps):
            if isinstance(step, Slice):
                done.append(self.squared_up(number, step, sliced[number], growth))
            elif isinstance(step, Mill):
                done.append(self.milled(step, longer.get(step.makes, 0.0)))
            elif isinstance(step, Trim):
                done.append(self.trimmed(step))
            elif isinstance(step, Laminate):
                done.append(self.glued(step))
            else:
                done.append(step)
        return tuple(done)

    def with_bars(self, steps: tuple[Step, ...]) -> tuple[Step, ...]:
        """With the steps that make new bars, each after the slicing that is short."""
        found: list[Step] = []
        plan = replace(self.plan, steps=steps)
        for number, step in enumerate(steps):
            found.append(step)
            if number in self.bars:
                full = self.whole[number]
                height = float(self.run.points[full.takes][:, 0, 0].imag.max())
                bar = with_new_bar(plan, self.bars[number], full, height_mm=height)
                self.bars[number] = bar
                found += bar.steps
        return tuple(found)

    def change(self, part: str, what: What, index: int = 0) -> float:
        return self.sizes.get(Size(part, what.value, index), 0.0)

    def milled(self, step: Mill, longer_mm: float) -> Mill:
        wider = self.change(step.makes, What.WIDTH)
        if abs(wider) < _SAME_MM and longer_mm < _SAME_MM:
            return step
        return replace(
            step, width_mm=step.width_mm + wider, length_mm=step.length_mm + max(longer_mm, 0.0)
        )

    def sliced(self, step: Slice) -> Slice:
        """A slice step with its new cuts, the first one where it was."""
        longer = self.change(step.makes, What.LENGTH)
        bottom, top = self.lengths(step, longer)
        first = step.cuts[0]
        cuts = [] if step.squared else [first]
        x = 0.0 if step.squared else first.at_mm + self.kerf / sin_deg(first.angle_deg)
        angles = [cut.angle_deg for cut in step.cuts][len(cuts) :]
        for i, angle in enumerate(angles):
            x += top if step.head_to_tail and i % 2 else bottom
            cuts.append(SawCut(at_mm=x, angle_deg=angle))
            x += self.kerf / sin_deg(angle)
        if all(abs(a.at_mm - b.at_mm) < _ROUNDED_MM for a, b in zip(cuts, step.cuts, strict=True)):
            return step
        ups = self.stops(step, longer, bottom, top)
        return replace(step, cuts=tuple(cuts), set_up=ups[0], second_set_up=ups[1])

    def lengths(self, step: Slice, longer_mm: float) -> tuple[float, float]:
        """Lengths of a slice along both edges of its bar."""
        bottom = bottom_mm(step, self.kerf) + longer_mm
        height = float(self.run.points[step.takes][:, 0, 0].imag.max())
        return bottom, bottom + height * narrowing(step)

    def stops(
        self, step: Slice, longer_mm: float, bottom: float, top: float
    ) -> tuple[SetUp, SetUp | None]:
        if step.second_set_up is None:
            change = longer_mm / per_stop(step, self.kerf)
            return self._matched(step.set_up, step.set_up.size_mm + change), None
        right = faces_deg(step)[1]
        pair = bottom + self.kerf / sin_deg(right) + top
        return (
            self._matched(step.set_up, pair),
            self._matched(step.second_set_up, step.second_set_up.size_mm + longer_mm),
        )

    def _matched(self, up: SetUp, size_mm: float) -> SetUp:
        """A stop stays matched to a real part only where it still equals it."""
        match = up.match
        if match:
            maker = self.plan.maker(match)
            width = getattr(maker, "width_mm", up.size_mm) + self.change(match, What.WIDTH)
            match = match if abs(width - size_mm) <= _MATCH_MM else ""
        return replace(up, size_mm=size_mm, match=match)

    def growth(self, sliced: Mapping[int, Slice]) -> dict[str, float]:
        """For each bar, by the kind it is before anything is cut off, how much more it needs."""
        root: dict[str, str] = {}
        grown: dict[str, float] = {}
        for number, new in sliced.items():
            old = self.plan.steps[number]
            assert isinstance(old, Slice)
            if old.apart:
                # a row is as long as its parts make it
                continue
            bar = root.get(old.takes, old.takes)
            if old.rest:
                root[old.rest] = bar
            grown[bar] = grown.get(bar, 0.0) + new.cuts[-1].at_mm - old.cuts[-1].at_mm
            height = float(self.run.points[old.takes][:, 0, 0].imag.max())
            drawn = float(self.program.shapes[old.takes].points.imag.max())
            if not old.rest:
                grown[bar] += max(cot(old.cuts[-1].angle_deg) * (height - drawn), 0.0)
        return grown

    def sticks(self, bar: str) -> set[str]:
        """Kinds of sticks in a bar."""
        step = self.plan.maker(bar)
        if isinstance(step, Laminate):
            return {stick for placed in step.parts for stick in self.sticks(placed.part)}
        if isinstance(step, Mill):
            return {bar}
        return {stick for kind in (step.takes,) for stick in self.sticks(kind)}

    def longer(self, growth: Mapping[str, float]) -> dict[str, float]:
        """Sticks to be milled longer; a bar with a stick that is milled already stays."""
        longer: dict[str, float] = {}
        for bar, more in growth.items():
            sticks = self.sticks(bar)
            if not sticks & self.made:
                for stick in sticks:
                    longer[stick] = max(longer.get(stick, 0.0), more)
        return longer

    def squared_up(self, number: int, old: Slice, new: Slice, growth: Mapping[str, float]) -> Slice:
        """Where a bar cannot grow, less is cut off its first end; then it gives fewer slices."""
        if number in self.lacking:
            return self.fewer(number, new)
        more = growth.get(old.takes, 0.0)
        if old.squared or more < _SAME_MM or not self.sticks(old.takes) & self.made:
            return new
        more -= self.tail_room(old.takes)
        if more < _SAME_MM:
            return new
        room = max(new.cuts[0].at_mm - _LEAST_SQUARING_MM, 0.0)
        less = min(more, room)
        cuts = tuple(SawCut(at_mm=c.at_mm - less, angle_deg=c.angle_deg) for c in new.cuts)
        new = replace(new, cuts=cuts)
        if more > room + _SAME_MM:
            last = self.last_slicing(number)
            self.lacking[last] = more - room
            if last == number:
                return self.fewer(number, new)
        return new

    def last_slicing(self, number: int) -> int:
        """The step that slices the last of a bar, which other steps have sliced before."""
        step = self.plan.steps[number]
        while isinstance(step, Slice) and step.rest:
            rest = step.rest
            number, step = next(
                (n, s)
                for n, s in enumerate(self.plan.steps)
                if isinstance(s, Slice) and s.takes == rest
            )
        return number

    def fewer(self, number: int, step: Slice) -> Slice:
        """Fewer slices from a bar that is too short; the others will come from a new one."""
        short = self.lacking[number]
        found = shortened(self.plan, number + 1, step, short_mm=short)
        if found is None:
            raise FitError(
                Fault(
                    "F131",
                    f"the bar {step.takes}",
                    f"is {short:.1f} mm too short for the new slices",
                    f"make {', '.join(sorted(self.sticks(step.takes)))} anew",
                )
            )
        self.whole[number] = step
        left, self.bars[number] = found
        return left

    def tail_room(self, bar: str) -> float:
        """How much more than the safe tail the plan leaves of a bar [mm]."""
        kind, used, lean = bar, 0.0, 0.0
        while kind:
            step = next(s for s in self.plan.steps if isinstance(s, Slice) and s.takes == kind)
            last = step.cuts[-1]
            used += last.at_mm + self.kerf / sin_deg(last.angle_deg)
            height = float(self.program.shapes[kind].points.imag.max())
            lean = max(0.0, height * cot(last.angle_deg))
            kind = step.rest
        length = float(self.program.shapes[bar].points.real.max())
        return max(length - used - lean - self.plan.shop.allowances.tail_mm, 0.0)

    def trimmed(self, step: Trim) -> Trim:
        lines = self.run.lines[step.makes]
        cuts = tuple(
            EdgeCut(x_mm=point.real, y_mm=point.imag, angle_deg=cut.angle_deg)
            for (point, _), cut in zip(lines, step.cuts, strict=True)
        )
        moved = [
            abs(float(sides(np.array([complex(old.x_mm, old.y_mm)]), point, along)[0]))
            for (point, along), old in zip(lines, step.cuts, strict=True)
        ]
        if max(moved, default=0.0) < _ROUNDED_MM:
            return step
        points = self.run.points[step.makes][:, 0, 0].astype(complex)
        ups: dict[tuple[str, int, int], SetUp] = {}
        for k, (point, along) in enumerate(lines):
            up = trim_set_up(step, k, self.program)
            stays = float(sides(points, point, along).max())
            up = self._matched(up, stays)
            ups.setdefault(up.key, up)
        return replace(step, cuts=cuts, set_ups=tuple(ups.values()))

    def glued(self, step: Laminate) -> Laminate:
        parts = tuple(
            Placed(
                part=placed.part,
                at=Motion(
                    turn_deg=placed.at.turn_deg,
                    over=placed.at.over,
                    x_mm=shift.real,
                    y_mm=shift.imag,
                ),
            )
            for placed, (_, _, shift) in zip(step.parts, self.run.places[step.makes], strict=True)
        )
        if all(
            abs(a.at.x_mm - b.at.x_mm) < _ROUNDED_MM and abs(a.at.y_mm - b.at.y_mm) < _ROUNDED_MM
            for a, b in zip(parts, step.parts, strict=True)
        ):
            return step
        return replace(step, parts=parts)


def _redrawn(shape: Shape, drawing: Drawing, board_at: Motion) -> Drawing:
    """The board as it comes out, in the drawing's frame.

    Every cut of the new plan is made anew on the parts as they then are: a corner that two cuts
    drew to a point may come out blunt by a hair, with one more edge than it was drawn with.
    """
    real = [board_at.point((float(z.real), float(z.imag))) for z in shape.points]
    patches: list[Patch] = []
    taken: dict[str, int] = {}
    for piece in shape.pieces:
        ring = drop_collinear(tuple(real[i] for i in piece.at))
        if len(ring) < 3 or area(ring) < _CRUMB_MM2:
            continue
        home = _home(ring, drawing)
        taken[home] = taken.get(home, 0) + 1
        name = home if taken[home] == 1 else f"{home}, piece {taken[home]}"
        patches.append(
            Patch(
                name=name,
                points=ring[::-1] if board_at.over else ring,
                wood=piece.wood,
                grain_deg=board_at.undirected_deg(piece.grain_deg),
            )
        )
    outline = drop_collinear(convex_hull([p for patch in patches for p in patch.points]))
    return replace(drawing, patches=tuple(patches), outline=outline)


def _home(ring: Polygon, drawing: Drawing) -> str:
    """The patch a piece was drawn in."""
    middle = inner_point(ring)
    return next((patch.name for patch in drawing.patches if _holds(patch.points, middle)), "piece")


def _holds(polygon: Polygon, point: Point) -> bool:
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside
