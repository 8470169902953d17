"""The first plan after an edit, chosen among few ways: those that may differ from the last plan's.

What the last plan made and the edit left alone is made in the same way, as long as as many of it
are needed. Where another number is needed, and in what was never met before, all ways are compared;
below them stands the one that looks best. What comes of it is a choice of the whole problem too,
which is priced and solved afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

from seamwright.plan import Shop
from seamwright.planner.bar_costs import most_bars
from seamwright.planner.depths import Depths
from seamwright.planner.descent import mended, minutes_alone
from seamwright.planner.former import Former, is_the_same
from seamwright.planner.options import Space
from seamwright.planner.pricing import Pricing
from seamwright.planner.problem import Choice, Pool, Problem, Resawn, Way
from seamwright.planner.reach import Modes, Place, Ways, drop_circles, in_order, is_needed
from seamwright.planner.tariffs import Draft, Tariffs

_ROUNDS = 6
"""Times the ways to be compared are chosen anew."""
_BOARD: Place = (0, False)

_Uses = dict[Place, tuple[Way, int]]
"""For each place that is made its way, and how often it is used."""


def sketch(
    space: Space,
    shop: Shop,
    depths: Depths,
    copies: int,
    *,
    edge_cuts: int,
    tariffs: Tariffs,
    former: Former,
) -> tuple[Problem, Choice] | None:
    """A good choice among few ways, with the problem these are.

    Args:
        space, shop, depths, copies, edge_cuts, tariffs: as for ``price``.
        former: what the last plan was like.
    Returns:
        None where the last plan is no help, or what comes of it may be none of the whole problem.
    """
    made = former.ways(space)
    few = _Sketch(space, shop, depths, copies, tariffs.of(space, shop, depths), made=made)
    return few.chosen(edge_cuts) if made and not few.is_too_thin else None


@dataclass(slots=True)
class _Sketch(Pricing):
    """Few ways, priced.

    Attributes:
        made: what the last plan made.
        now: the way that each place has at the moment.
        open: places all of whose ways are compared.
        wanted: how many are needed of what is made at the moment.
        banned: ways that make more at once than are needed, by the numbers of their objects.
    """

    made: Mapping[Place, tuple[Way, int]] = field(default_factory=dict)
    now: dict[Place, Way] = field(default_factory=dict)
    open: set[Place] = field(default_factory=lambda: {_BOARD})
    wanted: dict[Place, int] = field(default_factory=dict)
    banned: set[tuple[Place, int]] = field(default_factory=set)

    def chosen(self, edge_cuts: int) -> tuple[Problem, Choice] | None:
        """The choice and its problem; None where there is none to be relied on."""
        if not self._open_changed():
            return None
        for _ in range(_ROUNDS):
            modes = self._few()
            order = [] if modes is None else in_order(modes)
            if modes is None or drop_circles(modes, order):
                return None
            problem = self._drawn_up(modes, order, edge_cuts)
            picked = {n: self._at(place, modes[place]) or 0 for n, place in enumerate(order)}
            choice = mended(problem, picked)
            uses: _Uses = {
                order[n]: (problem.nodes[n].modes[k].way, choice.uses[n])
                for n, k in choice.modes.items()
            }
            self.wanted = {order[n]: count for n, count in _wanted(problem, choice).items()}
            banned = self._ban(problem, choice, order)
            if not self._open(uses) and not banned:
                return (problem, choice) if self._may_be_deep(problem, choice) else None
        return None

    # -- which ways are compared ---------------------------------------------------------------

    def _open_changed(self) -> bool:
        """Open what is needed in another number than before; whether there is a plan at all."""
        modes: Modes = {}
        todo = [_BOARD]
        while todo:
            place = todo.pop()
            if place not in modes:
                likely = self._likely(place)
                if not likely:
                    return False
                modes[place] = likely
                todo.extend([child for child, _ in likely[0][1]])
        uses: _Uses = {}
        wanted = {_BOARD: self.copies}
        for place in in_order(modes):
            mode, children = modes[place][0]
            used = -(-wanted.get(place, 0) // mode.yields)
            uses[place] = (mode.way, used)
            for child, times in children:
                wanted[child] = wanted.get(child, 0) + times * used
        self.wanted = wanted
        self._open(uses)
        return True

    def _open(self, uses: _Uses) -> bool:
        """Open what is made in another way or number than before; whether anything is."""
        fresh = {
            place
            for place, (way, used) in uses.items()
            if place not in self.open
            and not (
                (before := self.made.get(place))
                and before[1] == used
                and is_the_same(before[0], way)
            )
            and len(self.known_modes(place)) > 1
        }
        self.open |= fresh
        self.now = {place: way for place, (way, _) in uses.items()}
        return bool(fresh)

    def _few(self) -> Modes | None:
        """All ways of what is open, one of everything else; None where something has none."""
        modes: Modes = {}
        todo = [_BOARD]
        while todo:
            place = todo.pop()
            if place in modes:
                continue
            ways = self.known_modes(place)
            own = self._possible(place, ways) if place in self.open else self._likely(place)
            if not own:
                return None
            modes[place] = own
            for _, children in own:
                todo.extend([child for child, _ in children])
        return modes

    def _possible(self, place: Place, ways: Ways) -> Ways:
        """The ways that make no more than may be needed, of what can be made."""
        most = self._most(place)
        return [
            (mode, children)
            for mode, children in ways
            if is_needed(mode, most)
            and (place, id(mode.way)) not in self.banned
            and all(self._minutes_alone(child) < inf for child, _ in children)
        ]

    def _most(self, place: Place) -> int:
        """How many of a place may be needed: as many as now, or in the last drawing."""
        return max(self.wanted.get(place, 0), self.tariff.most.get(place, self.copies))

    def _likely(self, place: Place) -> Ways:
        """The one way of a place that is taken unless it is open; none where it has none."""
        ways = self.known_modes(place)
        at = self._at(place, ways)
        if at is None:
            # its ways are others than when it was looked at alone
            self.tariff.alone.pop(place, None)
            self._minutes_alone(place)
            at = self._at(place, ways)
        return [] if at is None else [ways[at]]

    def _at(self, place: Place, ways: Ways) -> int | None:
        """Where the likely way stands among some: as now, as before, as it is best alone."""
        before = self.made.get(place)
        for way in (
            self.now.get(place),
            before[0] if before else None,
            self.tariff.alone.get(place, (None, inf))[0],
        ):
            if way is not None and (place, id(way)) not in self.banned:
                for at, (mode, _) in enumerate(ways):
                    if is_the_same(mode.way, way):
                        return at
        return None

    def known_modes(self, place: Place) -> Ways:
        """The modes of a place; one that was never met before is open."""
        if place not in self.tariff.modes:
            self.open.add(place)
        return Pricing.known_modes(self, place)

    def _minutes_alone(self, place: Place) -> float:
        """Minutes for one of a place when nothing else is made; no end of them where it cannot."""
        known = self.tariff.alone
        begun: set[Place] = set()
        todo = [place]
        while todo:
            at = todo[-1]
            if at not in known:
                ways = self.known_modes(at)
                missing = [c for _, children in ways for c, _ in children if c not in known]
                if missing and at not in begun:
                    begun.add(at)
                    todo.extend(missing)
                    continue
                known[at] = self._cheapest_alone(ways, self._most(at))
            todo.pop()
        return known[place][1]

    def _cheapest_alone(self, ways: Ways, most: int) -> tuple[Way | None, float]:
        best: tuple[Way | None, float] = (None, inf)
        tariff = self.tariff
        for mode, children in ways:
            if not is_needed(mode, most):
                continue
            below = 0.0
            for child, times in children:
                known = tariff.alone.get(child)
                below += known[1] * times if known else inf
            settings = sum([tariff.setting_minutes[s] for s in mode.settings])
            pool = tariff.pools[mode.pool] if mode.pool >= 0 else None
            each = minutes_alone(mode, below, settings, pool, most)
            if each < best[1]:
                best = (mode.way, each)
        return best

    # -- the problem ---------------------------------------------------------------------------

    def _drawn_up(self, modes: Modes, order: list[Place], edge_cuts: int) -> Problem:
        self.setting_numbers.clear()
        self.pitches_mm.clear()
        self.number(modes)
        for pool in self.pitches_mm:
            # bars are no better here than where slices of all sorts may share them
            self.pitches_mm[pool] = self.tariff.pools[pool].pitches_mm
        most = {_BOARD: self.copies}
        for place in order:
            reach: dict[Place, int] = {}
            for mode, children in modes[place]:
                uses = -(-most[place] // mode.yields)
                for child, times in children:
                    reach[child] = max(reach.get(child, 0), uses * times)
            for child, count in reach.items():
                most[child] = most.get(child, 0) + count
        nodes = self.nodes(
            order, [modes[place] for place in order], [most[place] for place in order]
        )
        return Problem(
            nodes=nodes,
            pools=self.finished_pools(nodes),
            setting_minutes=self.numbered_minutes,
            copies=self.copies,
            fixed=self.last_steps(edge_cuts),
            leaves=self.depths.leaves,
        )

    def finished(self, draft: Draft, pitches_mm: set[float], pitch_mm: float) -> Pool:
        """A pool whose bars may be full to the brim: nothing is proven with these."""
        return draft.pool(
            least_mm=self.shop.limits.stick_min_length_mm,
            full_mm=draft.room_mm,
            most=most_bars(draft.room_mm, pitch_mm, pitches_mm),
            settings=tuple(map(self.setting_numbers.__getitem__, draft.settings)),
            one_pitch=len(pitches_mm) == 1,
        )

    # -- whether it is a choice of the whole problem -------------------------------------------

    def _ban(self, problem: Problem, choice: Choice, order: list[Place]) -> bool:
        """Ban ways that make more at once than are needed; whether there are any."""
        many = False
        for n, k in choice.modes.items():
            mode = problem.nodes[n].modes[k]
            if not is_needed(mode, self._most(order[n])):
                self.banned.add((order[n], id(mode.way)))
                self.open.add(order[n])
                many = True
        return many

    def _may_be_deep(self, problem: Problem, choice: Choice) -> bool:
        """Whether there is a billet all of whose leaves are needed, or nothing is resawn."""
        leaves = problem.leaves
        return leaves == 1 or any(
            isinstance(problem.nodes[n].modes[choice.modes[n]].way, Resawn) and wanted >= leaves
            for n, wanted in _wanted(problem, choice).items()
        )


def _wanted(problem: Problem, choice: Choice) -> dict[int, int]:
    """How many of each node a choice needs."""
    wanted = {0: problem.copies}
    for n, k in choice.modes.items():
        for child, times in problem.nodes[n].modes[k].children:
            wanted[child] = wanted.get(child, 0) + times * choice.uses[n]
    return wanted
