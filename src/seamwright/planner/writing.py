"""From chosen options to a plan: steps, sizes, places, names, in an order that can be worked.

All sticks are milled first, then strip sets are glued, then everything that is sliced is sliced
(so that each stop is set once), then parts are trimmed, glued, resawn and planed from the smallest
to the board.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from seamwright.geometry import IDENTITY, Line, Motion, Polygon, sin_deg
from seamwright.plan import (
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    Resaw,
    SawCut,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
)
from seamwright.planner.choosing import Chosen
from seamwright.planner.options import Bar, Cut, Join, Space, Strip, TrimDown
from seamwright.planner.packing import Wanted, pack
from seamwright.planner.problem import Mode, Pool, Resawn
from seamwright.planner.settings import cut_set_ups, stage_sizes, trim_set_ups
from seamwright.planner.tidying import tidied


@dataclass(frozen=True, slots=True)
class _Item:
    """A kind of part in the plan.

    Attributes:
        name: its id.
        lies: motion from its frame into the planner's frame of the kind it is.
    """

    name: str
    lies: Motion


def write_plan(
    space: Space, chosen: Chosen, shop: Shop, *, title: str, outline: Polygon, edge_mm: float
) -> Plan:
    """The plan behind a choice.

    Args:
        space: the options.
        chosen: the modes chosen among them.
        shop: allowances, kerfs, limits.
        title: of the drawing.
        outline: finished outline in the drawing's frame [mm].
        edge_mm: wood to be trimmed off around it [mm].
    """
    writer = _Writer(space, chosen, shop)
    writer.bars()
    writer.nodes()
    board = writer.finish(outline if edge_mm > 0.0 else ())
    home = space.kinds[0].frame.inverse().after(writer.items[0].lies)
    return Plan(
        title=title,
        steps=tuple(tidied(step) for step in writer.ordered()),
        board=board,
        copies=chosen.problem.copies,
        shop=shop,
        board_at=tidied(home),
    )


def part_names(space: Space, chosen: Chosen, shop: Shop) -> dict[int, str]:
    """For each node that is made, the id of the part in the plan that ``write_plan`` writes."""
    writer = _Writer(space, chosen, shop)
    writer.bars()
    writer.nodes()
    return {number: item.name for number, item in writer.items.items()}


@dataclass(slots=True)
class _Writer:
    space: Space
    chosen: Chosen
    shop: Shop
    items: dict[int, _Item] = field(default_factory=dict)
    mills: list[Mill] = field(default_factory=list)
    strip_sets: list[Laminate] = field(default_factory=list)
    slices: list[Slice] = field(default_factory=list)
    later: list[Step] = field(default_factory=list)
    names: dict[str, int] = field(default_factory=dict)

    def name(self, letter: str) -> str:
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
            wanted.sort(key=lambda w: self._slice_key(self._cut(w.node), w.node))
            loads = pack(pool, wanted)
            for load, bars in loads:
                pitch = sum(self._mode(node).pitch_mm * count for node, count in load)
                self._bar(pool, load, bars, pool.overhead_mm + pitch)

    def _bar(
        self, pool: Pool, load: tuple[tuple[int, int], ...], bars: int, length_mm: float
    ) -> None:
        bar = self.space.bars[pool.bar]
        length_mm = max(length_mm, pool.least_mm)
        depth = self.chosen.depths.of(pool.deep)
        name = whole = self._strip_set(bar, bars, length_mm, depth)
        squared = False
        for at, (node, count) in enumerate(load):
            last = at == len(load) - 1
            rest = "" if last else self.name(f"{whole}r")
            self._slice(name, bars, node, count, squared, rest)
            name, squared = rest, True

    def _strip_set(self, bar: Bar, bars: int, length_mm: float, depth_mm: float) -> str:
        sticks: dict[tuple[str, int], str] = {}
        row: list[tuple[str, float]] = []
        for strip in bar.strips:
            key = (strip.wood, round(strip.width_mm * 1000))
            if key not in sticks:
                count = bars * sum(1 for s in bar.strips if _same(s, strip))
                sticks[key] = self._mill(strip, count, length_mm, depth_mm)
            row.append((sticks[key], strip.width_mm))
        return self._glued(row, bars)

    def _mill(self, strip: Strip, count: int, length_mm: float, depth_mm: float) -> str:
        """Sticks of one section and length are one kind, whatever they are for."""
        for i, known in enumerate(self.mills):
            if (
                known.wood == strip.wood
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
            )
        )
        return name

    def _glued(self, row: list[tuple[str, float]], count: int) -> str:
        """Glue sticks up, in stages where there are too many seams for one clamping."""
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
                    stages[group] = self._glued(list(group), count * times)
            row = [(stages[group], sum(height for _, height in group)) for group in groups]
            return self._glued(row, count)
        parts = []
        y = 0.0
        for name, height in row:
            parts.append(Placed(part=name, at=Motion(y_mm=y)))
            y += height
        name = self.name("L")
        self.strip_sets.append(
            Laminate(makes=name, count=count, parts=tuple(parts), seams_deg=0.0, clampings=count)
        )
        return name

    def _slice(
        self, takes: str, bars: int, node: int, count: int, squared: bool, rest: str
    ) -> None:
        cut = self._cut(node)
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
        self.items[node] = _Item(name, cut.at)
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

    # -- parts ---------------------------------------------------------------------------------

    def nodes(self) -> None:
        """Trim, glue, resaw: children before parents."""
        for number in sorted(self.chosen.choice.modes, reverse=True):
            mode = self._mode(number)
            if isinstance(mode.way, TrimDown):
                self._trim(number, mode, mode.way)
            elif isinstance(mode.way, Join):
                self._join(number, mode, mode.way)
            elif isinstance(mode.way, Resawn):
                self._resaw(number, mode)

    def _trim(self, number: int, mode: Mode, trim: TrimDown) -> None:
        child = self.items[mode.children[0][0]]
        lies = trim.at.after(child.lies)
        back = lies.inverse()
        hull = self.space.kinds[self.chosen.problem.nodes[number].kind].hull
        over = trim.at.polygon(self.space.kinds[trim.over].hull)
        ups = {up.key: up for up in trim_set_ups(trim.cuts, hull, over)}
        name = self.name("T")
        self.items[number] = _Item(name, lies)
        self.later.append(
            Trim(
                takes=child.name,
                makes=name,
                count=self.chosen.choice.uses[number],
                cuts=tuple(_edge_cut(line, back) for line in trim.cuts),
                set_ups=tuple(ups.values()),
            )
        )

    def _join(self, number: int, mode: Mode, join: Join) -> None:
        node = self.chosen.problem.nodes[number]
        # the board is glued in the frame it is drawn in
        lies = self.space.kinds[0].frame if node.kind == 0 else IDENTITY
        back = lies.inverse()
        parts = []
        for part in join.parts:
            child = self.items[self._node(part.kind, node.deep)]
            parts.append(Placed(part=child.name, at=back.after(part.at.after(child.lies))))
        uses = self.chosen.choice.uses[number]
        name = self.name("B" if node.deep else "U")
        self.items[number] = _Item(name, lies)
        self.later.append(
            Laminate(
                makes=name,
                count=uses,
                parts=tuple(parts),
                seams_deg=back.undirected_deg(join.seams_deg),
                clampings=-(-uses // mode.batch),
                angled=join.angled,
            )
        )

    def _resaw(self, number: int, mode: Mode) -> None:
        billet = self.items[mode.children[0][0]]
        uses = self.chosen.choice.uses[number]
        leaf = self.chosen.depths.leaf_mm
        sawn = self.name("R")
        self.later.append(
            Resaw(
                takes=billet.name,
                billets=uses,
                makes=sawn,
                count=uses * mode.yields,
                leaves=mode.yields,
                set_up=SetUp(machine=Machine.RESAW_FENCE, size_mm=leaf),
            )
        )
        self.items[number] = _Item(sawn, billet.lies)
        if number:
            planed = self.name("U")
            self._plane(sawn, planed, uses * mode.yields, self.chosen.depths.flat_mm)
            self.items[number] = _Item(planed, billet.lies)

    def _plane(self, takes: str, makes: str, count: int, depth_mm: float) -> None:
        self.later.append(
            Surface(
                takes=takes,
                makes=makes,
                count=count,
                depth_mm=depth_mm,
                set_up=SetUp(machine=Machine.PLANER, size_mm=depth_mm),
            )
        )

    def finish(self, outline: Polygon) -> str:
        """Plane the board to thickness and trim it to its outline; its id."""
        copies = self.chosen.problem.copies
        board = self.items[0]
        planed = "F1" if outline else "Board"
        self._plane(board.name, planed, copies, self.chosen.depths.board_mm)
        if not outline:
            return planed
        home = board.lies.inverse().after(self.space.kinds[0].frame)
        edges = [
            Line.through(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)
        ]
        ups = {up.key: up for up in trim_set_ups(edges, outline, outline)}
        self.later.append(
            Trim(
                takes=planed,
                makes="Board",
                count=copies,
                cuts=tuple(_edge_cut(line, home) for line in edges),
                set_ups=tuple(ups.values()),
            )
        )
        return "Board"

    # -- order ---------------------------------------------------------------------------------

    def ordered(self) -> list[Step]:
        """All steps in working order."""
        mills = sorted(self.mills, key=lambda s: (-s.depth_mm, s.width_mm, s.wood, -s.length_mm))
        slices = sorted(self.slices, key=_slice_order)
        return [*mills, *self.strip_sets, *slices, *self.later]

    def _slice_key(self, cut: Cut, node: int) -> tuple[object, ...]:
        up = cut_set_ups(cut, self.shop.saws.table_kerf_mm)[0]
        return (abs(up.angle_deg - 90.0) > 1e-6, up.key, node)

    def _mode(self, number: int) -> Mode:
        return self.chosen.problem.nodes[number].modes[self.chosen.choice.modes[number]]

    def _cut(self, number: int) -> Cut:
        way = self._mode(number).way
        if not isinstance(way, Cut):
            raise TypeError(f"node {number} is no slice")
        return way

    def _node(self, kind: int, deep: bool) -> int:
        for number in self.items:
            node = self.chosen.problem.nodes[number]
            if node.kind == kind and node.deep == deep:
                return number
        raise KeyError((kind, deep))


def _slice_order(step: Slice) -> tuple[object, ...]:
    return (abs(step.set_up.angle_deg - 90.0) > 1e-6, step.set_up.key)


def _same(a: Strip, b: Strip) -> bool:
    return a.wood == b.wood and abs(a.width_mm - b.width_mm) < 1e-6


def _edge_cut(line: Line, motion: Motion) -> EdgeCut:
    """The cut in another frame; a part that was turned over keeps its own side."""
    point = (-line.uy * line.offset, line.ux * line.offset)
    ahead = (point[0] + line.ux, point[1] + line.uy)
    a, b = motion.point(point), motion.point(ahead)
    moved = Line.through(b, a) if motion.over else Line.through(a, b)
    return EdgeCut(x_mm=a[0], y_mm=a[1], angle_deg=moved.angle_deg)
