"""From chosen slices to sticks, strip sets and cuts along them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from seamwright.geometry import Motion, sin_deg
from seamwright.plan import (
    Laminate,
    Machine,
    Mill,
    Placed,
    SawCut,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
)
from seamwright.planner.choosing import Chosen
from seamwright.planner.options import Bar, Cut, Space, Strip
from seamwright.planner.packing import Load, Wanted, pack, sizes_of
from seamwright.planner.problem import Mode, Pool, laid_out, shares
from seamwright.planner.settings import cut_set_ups, is_planed, sections, stage_sizes


@dataclass(frozen=True, slots=True)
class Item:
    """A kind of part in the plan.

    Attributes:
        name: its id.
        lies: motion from its frame into the planner's frame of the kind it is.
    """

    name: str
    lies: Motion


@dataclass(slots=True)
class Bars:
    """The draft of a plan, and how its bars are written.

    Attributes:
        space, chosen, shop: what is written.
        items: the part that stands for each node.
        mills, strip_sets, planed, slices, later: steps, by the phase they belong to.
        names: letters given out so far.
    """

    space: Space
    chosen: Chosen
    shop: Shop
    items: dict[int, Item] = field(default_factory=dict)
    mills: list[Mill] = field(default_factory=list)
    strip_sets: list[Laminate] = field(default_factory=list)
    planed: list[Surface] = field(default_factory=list)
    slices: list[Slice] = field(default_factory=list)
    later: list[Step] = field(default_factory=list)
    names: dict[str, int] = field(default_factory=dict)

    def name(self, letter: str) -> str:
        """A new id that begins with this letter."""
        self.names[letter] = self.names.get(letter, 0) + 1
        return f"{letter}{self.names[letter]}"

    def bars(self) -> None:
        """Mill sticks, glue strip sets and slice them."""
        drawn: dict[int, list[Wanted]] = {}
        for number, k in self.chosen.choice.modes.items():
            mode = self.chosen.problem.nodes[number].modes[k]
            if mode.pool >= 0:
                want = Wanted(number, mode.pitch_mm, self.chosen.choice.uses[number])
                drawn.setdefault(mode.pool, []).append(want)
        for number, wanted in sorted(drawn.items()):
            pool = self.chosen.problem.pools[number]
            wanted.sort(key=lambda w: self._slice_key(self.cut(w.node), w.node))
            loads = pack(wanted, partial(shares, pool))
            laid = laid_out(pool, sizes_of(_drawn(wanted)))
            if laid.clampings < laid.bars:
                self._bar(pool, loads, laid.rows[0][2], laid.clampings)
                continue
            for load, bars in loads:
                pitch = sum(self.mode(node).pitch_mm * count for node, count in load)
                length = max(pool.overhead_mm + pitch, pool.least_mm)
                self._bar(pool, [(load, bars)], length, bars, alone=laid.bars == 1)

    def _bar(
        self,
        pool: Pool,
        loads: Sequence[tuple[Load, int]],
        length_mm: float,
        clampings: int,
        *,
        alone: bool = False,
    ) -> None:
        """Bars of one length, glued in so many clampings, and what is sliced off them."""
        bar, count = self.space.bars[pool.bar], sum(bars for _, bars in loads)
        depth_mm = self.chosen.depths.stick_mm(pool.deep, len(bar.strips))
        together = pool.together(length_mm) if alone else 1
        row = self._sticks(bar, count, length_mm, depth_mm, together)
        whole = self._flat(self._glued(row, count, clampings), count, len(row), deep=pool.deep)
        for load, bars in loads:
            name, squared = whole, False
            for at, (node, slices) in enumerate(load):
                last = at == len(load) - 1
                rest = "" if last else self.name(f"{whole}r")
                self._slice(name, bars, node, slices, squared, rest)
                name, squared = rest, True

    def _sticks(
        self, bar: Bar, bars: int, length_mm: float, depth_mm: float, together: int
    ) -> list[tuple[str, float]]:
        """Mill the sticks of equal bars; the row of one, with the width of each."""
        sticks: dict[Strip, str] = {}
        alike = sections(bar)
        for strip in alike:
            if strip not in sticks:
                each = alike.count(strip)
                sticks[strip] = self._mill(
                    strip, bars * each, length_mm, depth_mm, min(together, each)
                )
        return [(sticks[own], strip.width_mm) for own, strip in zip(alike, bar.strips, strict=True)]

    def _flat(self, glued: str, bars: int, strips: int, *, deep: bool) -> str:
        """Plane glued bars flat."""
        if not is_planed(strips, self.shop):
            return glued
        flat = self.chosen.depths.of(deep)
        name = self.name("L")
        self.planed.append(
            Surface(
                takes=glued,
                makes=name,
                count=bars,
                depth_mm=flat,
                set_up=SetUp(machine=Machine.PLANER, size_mm=flat),
            )
        )
        return name

    def _mill(
        self, strip: Strip, count: int, length_mm: float, depth_mm: float, together: int
    ) -> str:
        """Sticks of one section and length are one kind, whatever they are for."""
        for i, known in enumerate(self.mills):
            if (
                known.together == together == 1
                and known.wood == strip.wood
                and abs(known.width_mm - strip.width_mm) < 1e-6
                and abs(known.length_mm - length_mm) < 1e-6
                and abs(known.depth_mm - depth_mm) < 1e-6
            ):
                self.mills[i] = replace(known, count=known.count + count)
                return known.makes
        name = self.name("S")
        self.mills.append(
            Mill(
                makes=name,
                count=count,
                wood=strip.wood,
                length_mm=length_mm,
                width_mm=strip.width_mm,
                depth_mm=depth_mm,
                together=together,
            )
        )
        return name

    def _glued(self, row: list[tuple[str, float]], count: int, clampings: int) -> str:
        """Glue sticks up, in stages where there are too many seams for one clamping.

        Where there are not, all are glued in so many clampings.
        """
        if len(row) == 1:
            return row[0][0]
        most = self.shop.limits.seams_per_glue_up + 1
        if len(row) > most:
            groups = []
            at = 0
            for size in stage_sizes(len(row), most):
                groups.append(tuple(row[at : at + size]))
                at += size
            stages: dict[tuple[tuple[str, float], ...], str] = {}
            for group in groups:
                if group not in stages:
                    times = sum(1 for g in groups if g == group)
                    stages[group] = self._glued(list(group), count * times, count * times)
            row = [(stages[group], sum(height for _, height in group)) for group in groups]
            return self._glued(row, count, count)
        parts = []
        y = 0.0
        for name, height in row:
            parts.append(Placed(part=name, at=Motion(y_mm=y)))
            y += height
        name = self.name("L")
        self.strip_sets.append(
            Laminate(
                makes=name, count=count, parts=tuple(parts), seams_deg=0.0, clampings=clampings
            )
        )
        return name

    def _slice(
        self, takes: str, bars: int, node: int, count: int, squared: bool, rest: str
    ) -> None:
        cut = self.cut(node)
        kerf = self.shop.saws.table_kerf_mm
        angles, widths = cut.angles_deg, (cut.length_mm, cut.top_mm)
        cuts = []
        x = 0.0
        if not squared:
            x = self.shop.allowances.square_end_mm
            cuts.append(SawCut(at_mm=x, angle_deg=angles[0]))
            x += kerf / sin_deg(angles[0])
        for i in range(count):
            turned = cut.head_to_tail and i % 2 == 1
            x += widths[1] if turned else widths[0]
            angle = angles[0] if turned or not cut.head_to_tail else angles[1]
            cuts.append(SawCut(at_mm=x, angle_deg=angle))
            x += kerf / sin_deg(angle)
        ups = self._matched(cut_set_ups(cut, kerf))
        made = self.items.get(node)
        name = made.name if made else self.name("P")
        self.items[node] = Item(name, cut.at)
        self.slices.append(
            Slice(
                takes=takes,
                bars=bars,
                makes=name,
                count=bars * count,
                per_bar=count,
                cuts=tuple(cuts),
                head_to_tail=cut.head_to_tail,
                set_up=ups[0],
                second_set_up=ups[1] if len(ups) > 1 else None,
                squared=squared,
                rest=rest,
            )
        )

    def _matched(self, ups: tuple[SetUp, ...]) -> tuple[SetUp, ...]:
        """A stop that equals the width of a stick is set from that stick."""
        matched = []
        for up in ups:
            same = [
                mill.makes
                for mill in self.mills
                if abs(mill.width_mm - up.size_mm) < 0.01 and abs(up.angle_deg - 90.0) < 1e-6
            ]
            matched.append(replace(up, match=same[0]) if same else up)
        return tuple(matched)

    def _slice_key(self, cut: Cut, node: int) -> tuple[object, ...]:
        up = cut_set_ups(cut, self.shop.saws.table_kerf_mm)[0]
        return (abs(up.angle_deg - 90.0) > 1e-6, up.key, node)

    def mode(self, number: int) -> Mode:
        """The chosen mode of a node."""
        return self.chosen.problem.nodes[number].modes[self.chosen.choice.modes[number]]

    def cut(self, number: int) -> Cut:
        """The slice a node is."""
        way = self.mode(number).way
        if not isinstance(way, Cut):
            raise TypeError(f"node {number} is no slice")
        return way

    def node(self, kind: int, deep: bool) -> int:
        """The node of a kind that is made."""
        for number in self.items:
            node = self.chosen.problem.nodes[number]
            if node.kind == kind and node.deep == deep:
                return number
        raise KeyError((kind, deep))


def _drawn(wanted: Iterable[Wanted]) -> dict[float, int]:
    drawn: dict[float, int] = {}
    for want in wanted:
        drawn[want.pitch_mm] = drawn.get(want.pitch_mm, 0) + want.count
    return drawn
