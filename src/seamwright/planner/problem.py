"""The choice to be made, in numbers: nodes, modes, bars, settings and their minutes.

A node is a kind at a depth: flat, or as a deep billet from which several leaves are resawn. A mode
is one way to make a node. Everything a mode costs is linear in how often it is used, plus what is
paid once when it is used at all: so the same numbers serve the solver, the recount and the
exhaustive search of the tests.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from seamwright.planner.options import CrossStrips, Cut, FilledRow, Join, TrimDown
from seamwright.planner.packing import Share, Sizes, pitch_of, shared_out, sizes_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Resawn:
    """Resaw a deep billet of the same kind into leaves."""

    leaves: int


Way = Join | FilledRow | CrossStrips | Cut | TrimDown | Resawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """One way to make a node.

    Attributes:
        way: the option behind it.
        children: (node, how many of it for one).
        each: minutes for one.
        once: minutes when it is used at all, settings of its own included.
        settings: numbers of shared machine settings it needs.
        pool: number of the bar pool it draws from, or −1.
        pitch_mm: length drawn from the pool for one [mm].
        batch: how many fit into one clamping; 0 where nothing is clamped.
        clamping: minutes for one clamping.
        yields: how many of the node one use makes (leaves of a billet, parts of a row).
    """

    way: Way
    children: tuple[tuple[int, int], ...] = ()
    each: float = 0.0
    once: float = 0.0
    settings: tuple[int, ...] = ()
    pool: int = -1
    pitch_mm: float = 0.0
    batch: int = 0
    clamping: float = 0.0
    yields: int = 1

    def numbered(
        self, children: tuple[tuple[int, int], ...], settings: tuple[int, ...], pool: int
    ) -> Mode:
        """The same mode with other numbers for what it needs; the fields apart, nothing is copied.

        Args:
            children, settings, pool: as the attributes.
        """
        return Mode(
            way=self.way,
            children=children,
            each=self.each,
            once=self.once,
            settings=settings,
            pool=pool,
            pitch_mm=self.pitch_mm,
            batch=self.batch,
            clamping=self.clamping,
            yields=self.yields,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A kind at a depth.

    Attributes:
        kind: number of the kind.
        deep: whether it is a billet.
        modes: ways to make it.
        most: no plan needs more of it than this.
    """

    kind: int
    deep: bool
    modes: tuple[Mode, ...]
    most: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """Bars of one kind, style and depth; slices of any length share them.

    A bar holds slices of total pitch ``room_mm``; where they need several, each bar is as long as
    its own slices ask for.

    Attributes:
        bar, deep: which bar, and whether it is as deep as a billet.
        room_mm: length for slices in the longest bar [mm].
        full_mm: no bar holds more pitch than this, whatever slices it is filled with [mm].
        overhead_mm: squared end, wedge and safe tail of each bar [mm].
        least_mm: shortest length that may be milled [mm].
        per_bar: minutes for each bar, whatever its length; the clamping aside.
        per_mm: minutes' worth of wood for each millimetre of bar.
        settings: shared settings its sticks need.
        most: no plan needs more bars than this.
        alike: for each section that several sticks of one bar have: how many, and the minutes
            saved by each that is parted from a longer one instead of milled by itself.
        parting: (sticks in a long one, longest bar for which they fit [mm]), from 2 on.
        clamping: minutes to load the clamps once.
        batch: bars of one length that fit in one clamping, side by side.
    """

    bar: int
    deep: bool
    room_mm: float
    full_mm: float
    overhead_mm: float
    least_mm: float
    per_bar: float
    per_mm: float
    settings: tuple[int, ...]
    most: int
    alike: tuple[tuple[int, float], ...] = ()
    parting: tuple[tuple[int, float], ...] = ()
    clamping: float = 0.0
    batch: int = 1

    def together(self, length_mm: float) -> int:
        """Sticks that are milled as one for a bar of this length [mm]."""
        return max((n for n, most in self.parting if length_mm <= most + 1e-9), default=1)

    def saved(self, together: int) -> float:
        """Minutes saved in one bar when so many sticks are milled as one."""
        return sum(each * (n - -(-n // together)) for n, each in self.alike)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Which mode for each node?

    Attributes:
        nodes: node 0 is the board; children stand after their parents.
        pools: bar pools.
        setting_minutes: minutes for each shared setting.
        copies: boards wanted.
        fixed: minutes for the last steps, which no choice changes.
        leaves: leaves in a deep billet; 1 where nothing is resawn.
    """

    nodes: tuple[Node, ...]
    pools: tuple[Pool, ...]
    setting_minutes: tuple[float, ...]
    copies: int
    fixed: float
    leaves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """An answer to a problem.

    Attributes:
        modes: for each node that is made, the number of its mode.
        uses: for each node, how often its mode is used (billets for resawn nodes).
        minutes: the whole cost, recounted from the modes.
    """

    modes: dict[int, int]
    uses: dict[int, int]
    minutes: float


def shares(pool: Pool, sizes: Sizes) -> tuple[tuple[Share, int], ...]:
    """How many slices of each size come off each bar, and how many bars have it."""
    return shared_out(pool.room_mm, pool.least_mm - pool.overhead_mm, sizes)


@dataclass(frozen=True, slots=True)
class Laid:
    """Slices laid on bars: (share, bars, length [mm]); and how often the clamps are loaded."""

    rows: tuple[tuple[Share, int, float], ...]
    clampings: int

    @property
    def bars(self) -> int:
        """Bars in all."""
        return sum(bars for _, bars, _ in self.rows)

    def minutes(self, pool: Pool) -> float:
        """Minutes for the bars, settings aside, each stick milled by itself."""
        length = sum(bars * long for _, bars, long in self.rows)
        return pool.per_bar * self.bars + pool.clamping * self.clampings + pool.per_mm * length


def laid_out(pool: Pool, sizes: Sizes) -> Laid:
    """The bars for slices: each as long as it must be, or all alike where that saves clampings."""
    rows = tuple(
        (share, bars, max(pool.least_mm, pool.overhead_mm + pitch_of(share, sizes)))
        for share, bars in shares(pool, sizes)
    )
    apart = Laid(rows, sum(bars for _, bars, _ in rows))
    if pool.batch == 1 or apart.bars == 1:
        return apart
    longest = max(long for _, _, long in rows)
    alike = Laid(
        tuple((share, bars, longest) for share, bars, _ in rows), -(-apart.bars // pool.batch)
    )
    return min(apart, alike, key=lambda laid: laid.minutes(pool))


def bars_of(pool: Pool, drawn: Mapping[float, int]) -> tuple[tuple[float, int], ...]:
    """The bars that hold slices: (length [mm], how many); none for nothing.

    Args:
        pool: the bars.
        drawn: pitches [mm] with how many slices of each.
    """
    sizes = sizes_of(drawn)
    if not sizes:
        return ()
    return tuple((length, bars) for _, bars, length in laid_out(pool, sizes).rows)


def bars_minutes(pool: Pool, drawn: Mapping[float, int]) -> float:
    """Minutes for the bars that hold slices, settings aside; arguments as for ``bars_of``."""
    pitch = sum(each * count for each, count in drawn.items())
    if 0.0 < pitch <= pool.room_mm + 1e-6:
        length = max(pool.least_mm, pool.overhead_mm + pitch)
        alone = pool.per_bar + pool.clamping + pool.per_mm * length
        return alone - pool.saved(pool.together(length))
    sizes = sizes_of(drawn)
    return laid_out(pool, sizes).minutes(pool) if sizes else 0.0


def recount(problem: Problem, picked: dict[int, int]) -> Choice:
    """What a set of modes costs, counted from the board down.

    Args:
        problem: the problem; a parent stands before its children.
        picked: a mode for every node that may be needed; others are ignored.
    Returns:
        The choice with exact counts and minutes.
    Raises:
        KeyError: a node is needed for which no mode was picked.
    """
    wanted = {0: problem.copies}
    drawn: list[dict[float, int]] = [{} for _ in problem.pools]
    settings: set[int] = set()
    modes: dict[int, int] = {}
    uses: dict[int, int] = {}
    minutes = problem.fixed
    for number, node in enumerate(problem.nodes):
        count = wanted.get(number, 0)
        if not count:
            continue
        mode = node.modes[picked[number]]
        used = -(-count // mode.yields)
        modes[number], uses[number] = picked[number], used
        minutes += mode.once + mode.each * used
        if mode.batch:
            minutes += mode.clamping * -(-used // mode.batch)
        settings.update(mode.settings)
        if mode.pool >= 0:
            own = drawn[mode.pool]
            own[mode.pitch_mm] = own.get(mode.pitch_mm, 0) + used
        for child, times in mode.children:
            wanted[child] = wanted.get(child, 0) + times * used
    for pool, own in zip(problem.pools, drawn, strict=True):
        if own:
            settings.update(pool.settings)
            minutes += bars_minutes(pool, own)
    minutes += sum(problem.setting_minutes[s] for s in settings)
    return Choice(modes=modes, uses=uses, minutes=minutes)
