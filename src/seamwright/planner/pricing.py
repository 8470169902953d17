"""Puts minutes to every option of a space: from graph to problem."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from seamwright.geometry import Line
from seamwright.plan import Shop, backing_minutes
from seamwright.plan.effort import set_up_minutes, trim_minutes
from seamwright.planner.bar_pricing import BarPricing
from seamwright.planner.bounds import most_needed
from seamwright.planner.clamps import caul_of
from seamwright.planner.depths import Depths
from seamwright.planner.holding import is_held
from seamwright.planner.options import CrossStrips, Cut, FilledRow, Join, Space, TrimDown
from seamwright.planner.problem import Mode, Node, Problem, Resawn
from seamwright.planner.reach import (
    Modes,
    Place,
    Use,
    Ways,
    drop_circles,
    feasible,
    in_order,
    worth_making,
)
from seamwright.planner.settings import (
    cut_set_ups,
    row_glue_lines,
    trim_set_ups,
)
from seamwright.planner.tariffs import Tariffs


def price(
    space: Space,
    shop: Shop,
    depths: Depths,
    copies: int,
    *,
    edge_cuts: int,
    tariffs: Tariffs | None = None,
) -> Problem:
    """The problem of choosing among all options at given depths.

    Args:
        space: kinds, bars and options.
        shop: minutes, limits and allowances.
        depths: depth of flat parts and of billets.
        copies: boards wanted.
        edge_cuts: cuts that bring the glued board to its outline.
        tariffs: what has been priced before, which changes nothing but the time it takes.
    Returns:
        The problem; its nodes are those that some feasible plan can use. It has no nodes where
        no plan is feasible.
    """
    tariff = (tariffs or Tariffs()).of(space, shop, depths)
    return Pricing(space, shop, depths, copies, tariff).problem(edge_cuts)


@dataclass(slots=True)
class Pricing(BarPricing):
    """Minutes for every way of every part, and the problem they make."""

    def problem(self, edge_cuts: int) -> Problem:
        """The problem of all ways; without nodes where no plan is feasible.

        Args:
            edge_cuts: cuts that bring the glued board to its outline.
        """
        modes = {} if self.is_too_thin else self._all_modes()
        self.number(modes)
        order = in_order(feasible(modes))
        while drop_circles(modes, order):
            order = in_order(feasible(modes))
        if (0, False) not in modes or not order or order[0] != (0, False):
            return Problem(
                nodes=(), pools=(), setting_minutes=(), copies=self.copies, fixed=0.0, leaves=1
            )
        nodes = self._nodes(modes, order)
        return Problem(
            nodes=nodes,
            pools=self.finished_pools(nodes),
            setting_minutes=self.numbered_minutes,
            copies=self.copies,
            fixed=self.last_steps(edge_cuts),
            leaves=self.depths.leaves,
        )

    @property
    def is_too_thin(self) -> bool:
        """Whether the board is thinner than this shop makes any."""
        return self.depths.board_mm < self.shop.thinnest_mm - 1e-9

    @property
    def numbered_minutes(self) -> tuple[float, ...]:
        """Minutes for each setting that is needed, as they are numbered."""
        return tuple(map(self.tariff.setting_minutes.__getitem__, self.setting_numbers))

    # -- modes ---------------------------------------------------------------------------------

    def _all_modes(self) -> Modes:
        modes: Modes = {}
        todo: list[Place] = [(0, False)]
        while todo:
            place = todo.pop()
            if place in modes:
                continue
            modes[place] = self.known_modes(place)
            for _, children in modes[place]:
                todo.extend([child for child, _ in children])
        return modes

    def known_modes(self, place: Place) -> Ways:
        """The modes of a place, worked out once for the very same options."""
        options = self.space.kinds[place[0]].options
        known = self.tariff.modes.get(place)
        if known is None or known[0] is not options:
            known = self.tariff.modes[place] = (options, self._modes(place))
        return known[1]

    def number(self, modes: Modes) -> None:
        """Number the settings and pools that these modes use, in the order they come in."""
        numbers = self.setting_numbers
        for own in modes.values():
            for mode, _ in own:
                if mode.pool >= 0:
                    if mode.pool not in self.pitches_mm:
                        self.pitches_mm[mode.pool] = set()
                        for setting in self.tariff.pools[mode.pool].settings:
                            numbers.setdefault(setting, len(numbers))
                    self.pitches_mm[mode.pool].add(mode.pitch_mm)
                for setting in mode.settings:
                    numbers.setdefault(setting, len(numbers))

    def _modes(self, place: Place) -> Ways:
        number, deep = place
        found: Ways = []
        for option in self.space.kinds[number].options:
            if isinstance(option, Join):
                caul = caul_of(option, self.shop.clamps)
                if caul is not None:
                    found.append(self._join(option, deep, caul))
            elif isinstance(option, FilledRow):
                if self._may_saw_apart(number, deep):
                    found.append(self._row(option, deep))
            elif isinstance(option, CrossStrips):
                caul = caul_of(option.glued, self.shop.clamps)
                if caul is not None and self._may_saw_apart(number, deep):
                    found.append(self._cross(option, deep, caul))
            elif isinstance(option, Cut):
                cut = self._cut(option, number, deep)
                if cut is not None:
                    found.append((cut, ()))
            elif self._may_trim(option, number, deep):
                found.append(self._trim(option, number, deep))
        if not deep and self.depths.leaves > 1 and self._may_resaw(number):
            found.append(self._resaw(number))
        return found

    def _join(
        self, join: Join, deep: bool, caul_mm: float
    ) -> tuple[Mode, tuple[tuple[Place, int], ...]]:
        m, limits, clamps = self.shop.minutes, self.shop.limits, self.shop.clamps
        counts: dict[Place, int] = {}
        for part in join.parts:
            child = (part.kind, deep)
            counts[child] = counts.get(child, 0) + 1
        lines = (len(join.parts) - 1) * (1 if join.corner_deg is None else 2)
        batch = 1
        if not join.angled:
            by_reach = int(limits.clamp_reach_mm // join.across_mm)
            batch = max(1, min(by_reach, limits.seams_per_glue_up // lines))
        mode = Mode(
            way=join,
            each=m.glue_line * lines,
            once=clamps.caul_minutes if caul_mm > clamps.caul_mm else 0.0,
            batch=batch,
            clamping=m.glue_up + (m.glue_up_angle if join.angled else 0.0),
        )
        return mode, tuple(counts.items())

    def _may_saw_apart(self, number: int, deep: bool) -> bool:
        narrow = self.space.kinds[number].narrowest_mm
        return (
            narrow >= self.shop.limits.part_min_mm - 1e-9
            and self.depths.of(deep) <= self.shop.saws.table_depth_mm + 1e-9
        )

    def _row(self, row: FilledRow, deep: bool) -> tuple[Mode, tuple[tuple[Place, int], ...]]:
        m = self.shop.minutes
        counts: dict[Place, int] = {(row.core.kind, deep): row.count}
        for filler in row.fillers:
            place = (filler.kind, deep)
            counts[place] = counts.get(place, 0) + row.count + 1
        lines = row_glue_lines(row)
        mode = Mode(
            way=row,
            each=m.glue_line * lines + m.slice * (row.count + 1),
            once=m.set_up,
            batch=1,
            clamping=m.glue_up + m.glue_up_angle,
            yields=row.count,
        )
        return mode, tuple(counts.items())

    def _cross(
        self, cross: CrossStrips, deep: bool, caul_mm: float
    ) -> tuple[Mode, tuple[tuple[Place, int], ...]]:
        m = self.shop.minutes
        glued, children = self._join(cross.glued, deep, caul_mm)
        mode = replace(
            glued,
            way=cross,
            each=glued.each + m.slice * (cross.count + 1),
            once=glued.once + set_up_minutes(cross.set_up, self.shop),
            yields=cross.count,
        )
        return mode, children

    def _cut(self, cut: Cut, number: int, deep: bool) -> Mode | None:
        if self.space.kinds[number].narrowest_mm < self.shop.limits.slice_min_mm - 1e-9:
            return None
        if self.depths.of(deep) > self.shop.saws.table_depth_mm + 1e-9:
            return None
        bar = self.space.bars[cut.bar]
        if cut.pitch_mm > self.room(bar):
            return None
        pool = self.pool(cut.bar, deep)
        if pool is None:
            return None
        self.tariff.pools[pool].pitches_mm.add(cut.pitch_mm)
        ups = cut_set_ups(cut, self.shop.saws.table_kerf_mm)
        return Mode(
            way=cut,
            each=self.shop.minutes.slice,
            settings=tuple(self.setting(up) for up in ups),
            pool=pool,
            pitch_mm=cut.pitch_mm,
        )

    def _may_trim(self, trim: TrimDown, number: int, deep: bool) -> bool:
        made, over = self.space.kinds[number], self.space.kinds[trim.over]
        return is_held(trim, made, over, self.depths.of(deep), self.shop)

    def _trim(
        self, trim: TrimDown, number: int, deep: bool
    ) -> tuple[Mode, tuple[tuple[Place, int], ...]]:
        hull = self.space.kinds[number].hull
        over = trim.at.polygon(self.space.kinds[trim.over].hull)
        ups = {up.key: up for up in trim_set_ups(trim.cuts, hull, over, trim.hold)}
        mode = Mode(
            way=trim,
            each=trim_minutes(trim.hold, self.shop) * len(trim.cuts),
            once=sum(set_up_minutes(up, self.shop) for up in ups.values()),
        )
        return mode, (((trim.over, deep), 1),)

    def _may_resaw(self, number: int) -> bool:
        kind = self.space.kinds[number]
        return (
            kind.narrowest_mm >= self.shop.limits.resaw_min_part_mm - 1e-9
            and kind.standing_mm <= self.shop.saws.resaw_depth_mm + 1e-9
        )

    def _resaw(self, number: int) -> tuple[Mode, tuple[tuple[Place, int], ...]]:
        m, leaves = self.shop.minutes, self.depths.leaves
        board = number == 0
        mode = Mode(
            way=Resawn(leaves=leaves),
            each=m.resaw * (leaves - 1) + (0.0 if board else m.surface * leaves),
            once=m.set_up * (1 if board else 2),
            yields=leaves,
        )
        return mode, (((number, True), 1),)

    # -- order and bounds ----------------------------------------------------------------------

    def _nodes(
        self,
        modes: Modes,
        order: list[Place],
    ) -> tuple[Node, ...]:
        number = {place: i for i, place in enumerate(order)}
        ways = [modes[place] for place in order]
        uses = [
            [Use(mode.yields, tuple([(number[c], n) for c, n in own])) for mode, own in row]
            for row in ways
        ]
        most = most_needed(uses, self.copies, self.tariff.contents.rows(modes, order))
        kept = worth_making(ways, uses, most)
        alive = [n for n, own in enumerate(kept) if own is not None]
        own = [[ways[n][k] for k in kept[n] or ()] for n in alive]
        return self.nodes([order[n] for n in alive], own, [most[n] for n in alive])

    def nodes(
        self, order: Sequence[Place], ways: Iterable[Ways], most: Iterable[int]
    ) -> tuple[Node, ...]:
        """Nodes for some places.

        Args:
            order: the places; children stand after their parents.
            ways: for each place the modes it keeps.
            most: how many of each are needed at the most.
        """
        number = {place: i for i, place in enumerate(order)}
        pool = {known: i for i, known in enumerate(self.pitches_mm)} | {-1: -1}
        settings = self.setting_numbers
        return tuple(
            [
                Node(
                    kind=place[0],
                    deep=place[1],
                    modes=tuple(
                        [
                            mode.numbered(
                                tuple([(number[child], times) for child, times in children]),
                                tuple([settings[s] for s in mode.settings]),
                                pool[mode.pool],
                            )
                            for mode, children in own
                        ]
                    ),
                    most=times_needed,
                )
                for place, own, times_needed in zip(order, ways, most, strict=True)
            ]
        )

    def last_steps(self, edge_cuts: int) -> float:
        """Minutes for the last steps, which no choice changes; ``edge_cuts`` as for ``problem``."""
        m = self.shop.minutes
        minutes = m.surface * self.copies + m.set_up + backing_minutes(self.shop) * self.copies
        if edge_cuts:
            # opposite sides share a stop, all four of a square board do
            board = self.space.kinds[0].hull
            sides = [Line.through(a, b) for a, b in zip(board, board[1:] + board[:1], strict=True)]
            ups = {up.key: up for up in trim_set_ups(sides, board, board)}
            minutes += edge_cuts * m.trim * self.copies
            minutes += sum(set_up_minutes(up, self.shop) for up in ups.values())
        return minutes
