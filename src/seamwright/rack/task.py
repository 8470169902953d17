"""Boards and demand split into problems that share no board and no stick."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.rack.boards import Board, Rack, Stock
from seamwright.rack.demand import Demand, Stick, Variant
from seamwright.rack.grid import Blank, grid_board, pitch
from seamwright.rack.price import Kind
from seamwright.rack.problem import Problem
from seamwright.rack.rules import CutRules
from seamwright.rack.tables import menu


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Something blanks may come from: a board of the rack, or a size that can be bought."""

    board: Board
    offer: str
    limit: int
    uses: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A problem, what its rows and places stand for, and units of a row in one stick."""

    problem: Problem
    sticks: tuple[int, ...]
    units: tuple[int, ...]
    sources: tuple[Source, ...]


def tasks_of(
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    demand: Demand,
    rules: CutRules,
    *,
    prices: dict[str, float],
) -> list[Task]:
    """Split into problems that share no board and no stick."""
    group = list(range(len(demand.sticks)))

    def root(n: int) -> int:
        while group[n] != n:
            n = group[n]
        return n

    for source in sources:
        first = root(source.uses[0][0])
        for stick, _ in source.uses:
            group[root(stick)] = first
    tasks = []
    for head in sorted({root(n) for n in range(len(group))}):
        sticks = tuple(n for n in range(len(group)) if root(n) == head)
        mine = [s for s in sources if root(s.uses[0][0]) == head]
        if mine:
            tasks.append(_task(sticks, mine, variants, demand.sticks, rules, prices=prices))
    return tasks


def _task(
    sticks: tuple[int, ...],
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    wanted: tuple[Stick, ...],
    rules: CutRules,
    *,
    prices: dict[str, float],
) -> Task:
    rate = prices.get(wanted[sticks[0]].wood, 1.0)
    units = [max(v.blanks for v in variants[s]) for s in sticks]
    needs = tuple(wanted[s].count * u for s, u in zip(sticks, units, strict=True))
    missing = tuple(
        missing_cost(variants[s], rules, rate) / u for s, u in zip(sticks, units, strict=True)
    )
    kinds: list[Kind] = []
    ordered: list[Source] = []
    costs: list[float] = []
    for blanks, credit, members in _kinds(sticks, sources, variants, units, rules, rate=rate):
        grids = tuple(
            grid_board(
                s.board,
                rules,
                cost=_cost(s, rules, rate),
                credit=credit * s.board.thickness_mm / 1e6,
                limit=min(s.limit, sum(needs)),
            )
            for s in members
        )
        cells, units_across = max(g.cells for g in grids), max(g.units for g in grids)
        choices = menu(blanks, cells=cells, units=units_across, rules=rules)
        kinds.append(Kind(choices, grids, rules))
        ordered.extend(members)
        costs.extend(g.cost for g in grids)
    problem = Problem(
        kinds=tuple(kinds),
        needs=needs,
        missing=missing,
        costs=tuple(costs),
        limits=tuple(min(s.limit, sum(needs)) for s in ordered),
        bought=tuple(s.board.stock is Stock.BOUGHT for s in ordered),
    )
    return Task(problem=problem, sticks=sticks, units=tuple(units), sources=tuple(ordered))


def litre_prices(rack: Rack) -> dict[str, float]:
    """What a litre of each wood costs new: the cheapest offer, else what boards cost, else 1."""
    prices: dict[str, float] = {}
    for wood in {b.wood for b in rack.boards} | {o.wood for o in rack.offers}:
        offers = [o.as_board(o.name) for o in rack.offers if o.wood == wood and o.price]
        paid = [b for b in rack.boards if b.wood == wood and b.price]
        if offers:
            prices[wood] = min((b.price or 0.0) / b.litres for b in offers)
        elif paid:
            prices[wood] = sum(b.price or 0.0 for b in paid) / sum(b.litres for b in paid)
    return prices


def _cost(source: Source, rules: CutRules, rate: float) -> float:
    board, worth = source.board, rules.worth
    if source.offer and board.price:
        return board.price
    share = {Stock.OFFCUT: worth.offcut, Stock.BOARD: worth.board, Stock.BOUGHT: 1.0}
    return share[board.stock] * rate * board.litres


def _credit(source: Source, rules: CutRules, rate: float) -> float:
    """What a leftover gives back per litre."""
    worth = rules.worth
    part = worth.bought_leftover if source.offer else worth.leftover
    return part * _cost(source, rules, rate) / source.board.litres


def blank_litres(variants: tuple[Variant, ...]) -> float:
    """Rough wood [dm³] that a missing stick would need, the usual way."""
    return max(v.length_mm * v.rip_mm * v.rough_mm * v.blanks for v in variants[:1]) / 1e6


def missing_cost(variants: tuple[Variant, ...], rules: CutRules, rate: float) -> float:
    """What a missing stick counts: more than getting it in any way."""
    glue = max(v.glue for v in variants)
    return rules.worth.missing * rate * blank_litres(variants) + 2 * glue


def _kinds(
    sticks: tuple[int, ...],
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    units: list[int],
    rules: CutRules,
    *,
    rate: float,
) -> list[tuple[tuple[Blank, ...], float, list[Source]]]:
    """Sources that take the same blanks and give the same credit per area, together."""
    found: dict[tuple[object, ...], tuple[tuple[Blank, ...], float, list[Source]]] = {}
    for source in sources:
        credit = _credit(source, rules, rate)
        key = (source.uses, round(credit * source.board.thickness_mm, 9))
        if key not in found:
            blanks = []
            for stick, way in source.uses:
                variant, row = variants[stick][way], sticks.index(stick)
                blanks.append(
                    Blank(
                        row=row,
                        stick=stick,
                        variant=way,
                        along=pitch(variant.length_mm, rules.crosscut_kerf_mm, rules.grid.along_mm),
                        across=pitch(variant.rip_mm, rules.rip_kerf_mm, rules.grid.across_mm),
                        gives=variant.sticks * units[row] // variant.blanks,
                        work=variant.glue / variant.blanks,
                    )
                )
            found[key] = (tuple(blanks), credit, [])
        found[key][2].append(source)
    return list(found.values())
