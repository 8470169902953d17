"""Columns and rows of the exact choice: how often each mode is used, and what it then needs.

Variables: how often each mode is used and whether at all, clampings, bars and their length,
settings. Three families of rows make the relaxation tight: a node that a chosen mode needs must
have a mode of its own; whatever a chosen mode needs once (a setting, a bar) is paid in full; and
what of a node ends up in the boards is told apart from what is only left over (``shares``).
"""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.planner.counting import needed
from seamwright.planner.model import INF, Model
from seamwright.planner.must import shared_needs
from seamwright.planner.packing import sizes_of
from seamwright.planner.problem import Laid, Mode, Problem, Resawn, laid_out

MOST_COUNTS = 16
"""A node that may be needed in more different numbers gets a column for its uses instead."""

Terms = list[tuple[int, float]]


@dataclass(frozen=True, slots=True)
class Bars:
    """The bars of a pool: the column that counts them, and pitch and uses of all slices."""

    column: int
    sliced: tuple[tuple[float, Terms], ...]


class Columns:
    """The model of a problem: what each mode's use, its being picked and its needs are made of."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = Model()
        self.settings = [self.model.column(c, 1.0) for c in problem.setting_minutes]
        self.pools = [self.model.column(0.0, 1.0) for _ in problem.pools]
        self.picked: dict[tuple[int, int], Terms] = {}
        self.used: dict[tuple[int, int], Terms] = {}
        self.needed = needed(problem, at_most=MOST_COUNTS)
        self.counts = [node.counts for node in self.needed]
        self.bars: dict[int, Bars] = {}
        self.many: set[int] = set()
        for n, node in enumerate(problem.nodes):
            for k, mode in enumerate(node.modes):
                if self.counts[n]:
                    self._by_count(n, k, mode)
                else:
                    self._by_use(n, k, mode)

    def _by_count(self, n: int, k: int, mode: Mode) -> None:
        """Few counts are possible: one column for each, with its exact cost."""
        self.picked[n, k], self.used[n, k] = [], []
        for count in self.counts[n]:
            uses = -(-count // mode.yields)
            cost = mode.once + mode.each * uses
            if mode.batch:
                cost += mode.clamping * -(-uses // mode.batch)
            column = self.model.column(cost, 1.0)
            self.picked[n, k].append((column, 1.0))
            self.used[n, k].append((column, float(uses)))

    def _by_use(self, n: int, k: int, mode: Mode) -> None:
        """Many counts are possible: a column for the number of uses."""
        model = self.model
        least = -(-self.needed[n].least // mode.yields)
        most = -(-self.needed[n].most // mode.yields)
        pick = model.column(mode.once, 1.0)
        uses = model.column(mode.each, most, whole=mode.yields > 1)
        self.picked[n, k], self.used[n, k] = [(pick, 1.0)], [(uses, 1.0)]
        self.many.add(uses)
        model.row([(uses, 1.0), (pick, -float(most))], -INF, 0.0)
        model.row([(uses, 1.0), (pick, -float(least))], 0.0)
        if mode.batch:
            loads = model.column(mode.clamping, -(-most // mode.batch))
            model.row([(loads, float(mode.batch)), (uses, -1.0)], 0.0)
            model.row([(loads, 1.0), (pick, -float(-(-least // mode.batch)))], 0.0)

    def any_pick(self, n: int) -> Terms:
        """Whether a node is made at all."""
        modes = range(len(self.problem.nodes[n].modes))
        return [term for k in modes for term in self.picked[n, k]]

    def resawn(self) -> Terms:
        """Whether billets are resawn: how many sorts of them."""
        return [
            term
            for (n, k), terms in self.picked.items()
            if isinstance(self.problem.nodes[n].modes[k].way, Resawn)
            for term in terms
        ]

    def thing(self, number: int) -> Terms:
        """Column of a node, a pool or a setting, numbered as in ``must``."""
        nodes, pools = len(self.problem.nodes), len(self.pools)
        if number < nodes:
            return self.any_pick(number)
        pool = number - nodes
        return [(self.pools[pool] if pool < pools else self.settings[pool - pools], 1.0)]


def build(problem: Problem) -> Columns:
    """Columns and rows of a problem."""
    columns = Columns(problem)
    _needs_rows(columns)
    _balance_rows(columns)
    _draw_rows(columns)
    return columns


def less_of(terms: Terms) -> Terms:
    """The same terms, taken away."""
    return [(column, -value) for column, value in terms]


def _needs_rows(columns: Columns) -> None:
    """A picked mode has everything it needs, and is the only one of its node."""
    model, problem = columns.model, columns.problem
    for pool, column in zip(problem.pools, columns.pools, strict=True):
        for setting in pool.settings:
            model.row([(columns.settings[setting], 1.0), (column, -1.0)], 0.0)
    for n, node in enumerate(problem.nodes):
        model.row(columns.any_pick(n), 1.0 if n == 0 else 0.0, 1.0)
        for k, mode in enumerate(node.modes):
            less = less_of(columns.picked[n, k])
            for setting in mode.settings:
                model.row([(columns.settings[setting], 1.0), *less], 0.0)
            if mode.pool >= 0:
                model.row([(columns.pools[mode.pool], 1.0), *less], 0.0)
            for child, _ in mode.children:
                model.row([*columns.any_pick(child), *less], 0.0)
    for n, users, thing in shared_needs(problem):
        less = [term for k in users for term in less_of(columns.picked[n, k])]
        model.row([*columns.thing(thing), *less], 0.0)


def _balance_rows(columns: Columns) -> None:
    """What is made covers what is needed."""
    model, problem = columns.model, columns.problem
    needs: list[Terms] = [[] for _ in problem.nodes]
    for n, node in enumerate(problem.nodes):
        for k, mode in enumerate(node.modes):
            for child, times in mode.children:
                needs[child].extend((c, -times * v) for c, v in columns.used[n, k])
                _at_least_rows(columns, n, k, child, times)
    for n, node in enumerate(problem.nodes):
        wanted = float(problem.copies) if n == 0 else 0.0
        supply: Terms = []
        for k, mode in enumerate(node.modes):
            if columns.counts[n]:
                supply += [
                    (column, float(count))
                    for (column, _), count in zip(
                        columns.picked[n, k], columns.counts[n], strict=True
                    )
                ]
            else:
                supply += [(column, value * mode.yields) for column, value in columns.used[n, k]]
        model.row([*supply, *needs[n]], wanted, wanted if columns.counts[n] else INF)


def _at_least_rows(columns: Columns, n: int, k: int, child: int, times: int) -> None:
    """A parent picked for so many needs a child picked for at least as many times that."""
    counts, mode = columns.counts, columns.problem.nodes[n].modes[k]
    if not counts[n] or not counts[child]:
        return
    modes = range(len(columns.problem.nodes[child].modes))
    for i, count in enumerate(counts[n]):
        needed = times * -(-count // mode.yields)
        if needed <= counts[child][0]:
            continue
        enough = [
            columns.picked[child, j][at]
            for j in modes
            for at, value in enumerate(counts[child])
            if value >= needed
        ]
        columns.model.row([*enough, *less_of(columns.picked[n, k][i:])], 0.0)


def _draw_rows(columns: Columns) -> None:
    """Bars are long enough for what is sliced from them."""
    model, problem = columns.model, columns.problem
    sliced: list[list[tuple[float, Terms]]] = [[] for _ in problem.pools]
    for n, node in enumerate(problem.nodes):
        for k, mode in enumerate(node.modes):
            if mode.pool >= 0:
                sliced[mode.pool].append((mode.pitch_mm, columns.used[n, k]))
    for number, (pool, used) in enumerate(zip(problem.pools, columns.pools, strict=True)):
        if not sliced[number]:
            continue
        drawn = [(c, -v * pitch) for pitch, terms in sliced[number] for c, v in terms]
        shared = pool.batch > 1 and pool.most > 1
        own_clamping = 0.0 if shared else pool.clamping
        bars = model.column(pool.per_bar + own_clamping, float(pool.most))
        length = model.column(pool.per_mm, INF, whole=False)
        model.row([(bars, 1.0), (used, -1.0)], 0.0)
        model.row([(length, 1.0), (bars, -pool.overhead_mm), *drawn], 0.0)
        model.row([(length, 1.0), (bars, -pool.least_mm)], 0.0)
        model.row([(bars, pool.full_mm), *drawn], 0.0)
        if shared:
            _clamping_rows(columns, number, bars, length, sliced[number])
        _parting_rows(columns, number, bars, length, sliced[number])
        columns.bars[number] = Bars(bars, tuple(sliced[number]))


def _clamping_rows(
    columns: Columns, number: int, bars: int, length: int, sliced: list[tuple[float, Terms]]
) -> None:
    """Several bars of one length share a clamping.

    Where one node alone draws from the pool, its counts tell bars, length and clampings exactly.
    """
    model, pool = columns.model, columns.problem.pools[number]
    clampings = model.column(pool.clamping, float(pool.most))
    model.row([(clampings, float(pool.batch)), (bars, -1.0)], 0.0)
    model.row([(clampings, 1.0), (columns.pools[number], -1.0)], 0.0)
    if len(sliced) > 1 or any(column in columns.many for column, _ in sliced[0][1]):
        return
    pitch, terms = sliced[0]
    exact: list[tuple[int, Laid]] = [
        (column, laid_out(pool, sizes_of({pitch: round(uses)}))) for column, uses in terms
    ]
    model.row([(bars, 1.0), *((c, -float(laid.bars)) for c, laid in exact)], 0.0)
    model.row([(clampings, 1.0), *((c, -float(laid.clampings)) for c, laid in exact)], 0.0)
    long = [(c, -sum(n * mm for _, n, mm in laid.rows)) for c, laid in exact]
    model.row([(length, 1.0), *long], 0.0)


def _parting_rows(
    columns: Columns, number: int, bars: int, length: int, sliced: list[tuple[float, Terms]]
) -> None:
    """Sticks of one bar milled as one: what that saves, where the bar is short enough."""
    model, pool = columns.model, columns.problem.pools[number]
    used: Terms = [(columns.pools[number], -1.0)]
    longest = pool.most * max(pool.room_mm + pool.overhead_mm, pool.least_mm)
    picks: Terms = []
    for together, most_mm in pool.parting:
        pick = model.column(-pool.saved(together), 1.0)
        picks.append((pick, 1.0))
        model.row([(bars, 1.0), (pick, pool.most - 1.0)], -INF, float(pool.most))
        model.row([(length, 1.0), (pick, longest - most_mm)], -INF, longest)
        for pitch, terms in sliced:
            # slices that make the bar too long by themselves
            alone = [
                (column, 1.0)
                for column, uses in terms
                if column not in columns.many and pool.overhead_mm + uses * pitch > most_mm + 1e-6
            ]
            if alone:
                model.row([(pick, 1.0), *alone, *used], -INF, 0.0)
    if picks:
        model.row([*picks, *used], -INF, 0.0)
