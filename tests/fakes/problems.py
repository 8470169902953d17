"""Small random choices: parts, ways to make them, bars and settings. All numbers invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import strategies as st

from seamwright.planner.bar_costs import most_bars
from seamwright.planner.bounds import most_needed
from seamwright.planner.contents import Contents
from seamwright.planner.packing import fullest_mm
from seamwright.planner.problem import Mode, Node, Pool, Problem, Resawn
from seamwright.planner.reach import Modes

WAY = Resawn(leaves=1)
costs = st.integers(0, 20).map(float)


@st.composite
def pools(draw: st.DrawFn, settings: int) -> Pool:
    room = draw(st.integers(40, 120))
    each = st.tuples(st.integers(2, 5), st.integers(1, 8).map(float))
    alike = tuple(draw(st.lists(each, max_size=2)))
    return Pool(
        bar=0,
        deep=False,
        room_mm=float(room),
        full_mm=float(room),
        overhead_mm=float(draw(st.integers(0, 30))),
        least_mm=float(draw(st.integers(0, 60))),
        # every stick is in it: no more is saved than is paid
        per_bar=draw(costs) + sum(count * saved for count, saved in alike),
        per_mm=draw(st.integers(0, 4)) / 8.0,
        settings=tuple(sorted(draw(st.sets(st.integers(0, settings - 1), max_size=2)))),
        most=1,
        alike=alike,
        clamping=draw(costs),
        batch=draw(st.integers(1, 3)),
        parting=draw(st.sampled_from([(), ((2, room * 0.75),), ((2, room * 0.75), (3, room / 2))])),
    )


@st.composite
def leaf_modes(draw: st.DrawFn, pools: int, settings: int) -> Mode:
    return Mode(
        way=WAY,
        each=draw(costs),
        once=draw(costs),
        settings=tuple(sorted(draw(st.sets(st.integers(0, settings - 1), max_size=2)))),
        pool=draw(st.integers(-1, pools - 1)),
        pitch_mm=float(draw(st.integers(5, 40))),
    )


@st.composite
def modes(draw: st.DrawFn, number: int, nodes: int, settings: int) -> Mode:
    kids = draw(st.sets(st.integers(number + 1, nodes - 1), min_size=1, max_size=3))
    batch = draw(st.sampled_from([0, 0, 1, 2, 3]))
    yields = draw(st.sampled_from([1, 1, 1, 2, 3]))
    return Mode(
        way=WAY,
        children=tuple((kid, draw(st.integers(1, 3))) for kid in sorted(kids)),
        each=draw(costs),
        once=draw(costs),
        settings=tuple(sorted(draw(st.sets(st.integers(0, settings - 1), max_size=1)))),
        batch=batch,
        clamping=draw(costs) if batch else 0.0,
        yields=yields,
    )


def _reachable(ways: list[list[Mode]]) -> list[tuple[Mode, ...]]:
    alive = {0}
    for number, own in enumerate(ways):
        if number in alive:
            alive |= {child for mode in own for child, _ in mode.children}
    new = {old: at for at, old in enumerate(sorted(alive))}
    return [
        tuple(
            replace(mode, children=tuple((new[c], times) for c, times in mode.children))
            for mode in ways[old]
        )
        for old in sorted(alive)
    ]


def ways(nodes: Sequence[Sequence[Mode]]) -> Modes:
    """The modes of every node, by place."""
    return {
        (number, False): [
            (mode, tuple([((child, False), times) for child, times in mode.children]))
            for mode in modes
        ]
        for number, modes in enumerate(nodes)
    }


@st.composite
def problems(draw: st.DrawFn, most_nodes: int = 7) -> Problem:
    """A problem as pricing makes them: every part reachable, bounds that hold."""
    count, settings = draw(st.integers(1, most_nodes)), draw(st.integers(1, 4))
    bars = draw(st.lists(pools(settings), max_size=3))
    leaf = leaf_modes(len(bars), settings)
    drafts: list[list[Mode]] = []
    for number in range(count):
        kinds = [leaf] if number == count - 1 else [leaf, modes(number, count, settings)] * 2
        most = 3 if number else 4
        drafts.append(draw(st.lists(st.one_of(kinds), min_size=1, max_size=most)))
    own = _reachable(drafts)
    copies = draw(st.integers(1, 6))
    places = ways(own)
    needed = most_needed(own, copies, Contents().rows(places, list(places)))
    drawn = [0.0] * len(bars)
    pitches: list[set[float]] = [set() for _ in bars]
    for number, row in enumerate(own):
        for mode in row:
            if mode.pool >= 0:
                drawn[mode.pool] += mode.pitch_mm * needed[number]
                pitches[mode.pool].add(mode.pitch_mm)
    return Problem(
        nodes=tuple(
            Node(kind=n, deep=False, modes=row, most=needed[n]) for n, row in enumerate(own)
        ),
        pools=tuple(
            replace(
                bar,
                batch=bar.batch if len(each) == 1 else 1,
                full_mm=fullest_mm(bar.room_mm, each) if each else bar.room_mm,
                most=most_bars(bar.room_mm, pitch, each),
            )
            for bar, pitch, each in zip(bars, drawn, pitches, strict=True)
        ),
        setting_minutes=tuple(draw(costs) for _ in range(settings)),
        copies=copies,
        fixed=draw(costs),
        leaves=1,
    )
