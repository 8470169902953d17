"""The cut plan: boards and demand put into problems, searched, and written down as cuts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from time import monotonic

from seamwright.errors import Cancelled
from seamwright.plan import Shop
from seamwright.rack.boards import Board, Rack, RackError, Stock, rack_faults
from seamwright.rack.demand import (
    Demand,
    Stick,
    Variant,
    best_variants,
    check_demand,
    glued_ways,
    ways,
)
from seamwright.rack.grid import Blank, GridBoard, grid_board, pitch
from seamwright.rack.layout import BoardCuts, CutPlan, Line, Stopped
from seamwright.rack.price import Kind
from seamwright.rack.problem import Choice, Problem, fitted
from seamwright.rack.rules import CutRules, rules_of
from seamwright.rack.sawing import Sawyer
from seamwright.rack.search import Found, search
from seamwright.rack.tables import menu

_MOST_BOUGHT = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Something blanks may come from: a board of the rack, or a size that can be bought."""

    board: Board
    offer: str
    limit: int
    uses: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A problem and what its rows and places stand for."""

    problem: Problem
    sticks: tuple[int, ...]
    sources: tuple[Source, ...]


def cut_plan(
    rack: Rack,
    demand: Demand,
    *,
    shop: Shop,
    seconds: float,
    rules: CutRules | None = None,
    job: str = "",
    seed: int = 1,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> CutPlan:
    """Plan which sticks to cut from which board, and what to buy.

    Boards set aside for another job are left alone. The best plan found in ``seconds`` comes
    back with a proven bound; it is exact where ``stopped`` says so.

    Args:
        rack: boards on hand and sizes that can be bought.
        demand: sticks wanted.
        shop: allowances and kerfs.
        seconds: time to search [s], more than 0; a first plan is made even if it takes longer.
        rules: rules of cutting; those of the shop by default.
        job: the job the plan is for; its own reserved boards may be used.
        seed: of the random choices.
        progress: told a fraction from 0 to 1 and a few words.
        cancelled: asked now and then; True stops the work.

    Raises:
        RackError: the rack or the demand is not sound.
        Cancelled: ``cancelled`` said so.
    """
    faults = rack_faults(rack)
    if faults:
        raise RackError(*faults)
    check_demand(demand)
    rules = rules or rules_of(shop)
    until = monotonic() + seconds

    def check() -> None:
        if cancelled is not None and cancelled():
            raise Cancelled("the cut plan was stopped")

    def tell(fraction: float, text: str) -> None:
        if progress is not None:
            progress(fraction, text)

    sources, variants = _sources(rack, demand, shop, rules, job)
    tasks = tasks_of(sources, variants, demand, rules)
    found = search(
        tuple(t.problem for t in tasks), seed=seed, until=until, check=check, tell=tell
    )
    plan = _written(tasks, found, variants, demand, rules, seed)
    tell(1.0, plan.verdict)
    return plan


def _sources(
    rack: Rack, demand: Demand, shop: Shop, rules: CutRules, job: str
) -> tuple[list[Source], list[tuple[Variant, ...]]]:
    stock = [(b, "", 1) for b in rack.free(job=job)]
    for offer in rack.offers:
        limit = _MOST_BOUGHT if offer.limit is None else offer.limit
        stock.append((offer.as_board(offer.name), offer.name, limit))
    boards = tuple(b for b, *_ in stock)
    variants = []
    for stick in demand.sticks:
        direct = ways(stick, shop, rules)
        if not any(best_variants(b, stick, direct, rules) for b in boards):
            direct = (*direct, *glued_ways(stick, shop, boards))
        variants.append(direct)
    sources = []
    for board, offer, limit in stock:
        uses = tuple(
            (s, v)
            for s, stick in enumerate(demand.sticks)
            for v in best_variants(board, stick, variants[s], rules)
        )
        if uses and limit > 0:
            sources.append(Source(board=board, offer=offer, limit=limit, uses=uses))
    return sources, variants


def tasks_of(
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    demand: Demand,
    rules: CutRules,
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
            tasks.append(_task(sticks, mine, variants, demand.sticks, rules))
    return tasks


def _task(
    sticks: tuple[int, ...],
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    wanted: tuple[Stick, ...],
    rules: CutRules,
) -> Task:
    rate = litre_price(sources)
    units = [max(v.blanks for v in variants[s]) for s in sticks]
    needs = tuple(wanted[s].count * u for s, u in zip(sticks, units, strict=True))
    missing = tuple(
        rules.worth.missing * rate * _blank_litres(variants[s]) / u
        for s, u in zip(sticks, units, strict=True)
    )
    kinds, ordered, costs = [], [], []
    for blanks, credit, members in _kinds(sticks, sources, variants, units, rules, rate):
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
    return Task(problem=problem, sticks=sticks, sources=tuple(ordered))


def litre_price(sources: Iterable[Source]) -> float:
    """What a litre of this wood costs new: the cheapest offer, else what boards cost, else 1."""
    offers = [s.board.price / s.board.litres for s in sources if s.offer and s.board.price]
    if offers:
        return min(offers)
    paid = [s.board for s in sources if s.board.price]
    return sum(b.price or 0.0 for b in paid) / sum(b.litres for b in paid) if paid else 1.0


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


def _blank_litres(variants: tuple[Variant, ...]) -> float:
    return max(v.length_mm * v.rip_mm * v.rough_mm * v.blanks for v in variants[:1]) / 1e6


def _kinds(
    sticks: tuple[int, ...],
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    units: list[int],
    rules: CutRules,
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
                        along=pitch(
                            variant.length_mm, rules.crosscut_kerf_mm, rules.grid.along_mm
                        ),
                        across=pitch(variant.rip_mm, rules.rip_kerf_mm, rules.grid.across_mm),
                        gives=variant.sticks * units[row] // variant.blanks,
                    )
                )
            found[key] = (tuple(blanks), credit, [])
        found[key][2].append(source)
    return list(found.values())


def exact_choice(problem: Problem, choice: Choice) -> Choice:
    """The choice one board at a time, cut back so that no row gets more than it needs."""
    needs, out = problem.needs, []
    single = [c for c, times in choice for _ in range(times)]
    for column in sorted(single, key=lambda c: c.cost):
        whole = fitted(problem, column, needs)
        if any(whole.gives):
            out.append((whole, 1))
            needs = problem.short(needs, [(whole, 1)])
    return out


def _written(
    tasks: list[Task],
    found: tuple[Found, ...],
    variants: list[tuple[Variant, ...]],
    demand: Demand,
    rules: CutRules,
    seed: int,
) -> CutPlan:
    made = [0] * len(demand.sticks)
    boards: list[BoardCuts] = []
    cost = bound = 0.0
    proven = True
    for task, result in zip(tasks, found, strict=True):
        choice = exact_choice(task.problem, result.choice)
        total = task.problem.cost_of(choice)
        cost += total
        bound += min(result.bound, total)
        proven = proven and result.is_proven
        for stick, blanks in zip(task.sticks, task.problem.made(choice), strict=True):
            made[stick] = blanks // max(v.blanks for v in variants[stick])
        for column, _ in choice:
            kind, b = task.problem.where(column.place)
            source = task.sources[column.place]
            grid: GridBoard = kind.boards[b]
            saw = Sawyer(grid, kind.menu, rules)
            boards.append(
                saw.cut(column.pattern, offer=source.offer, cost=column.cost, board=source.board)
            )
    for stick in set(range(len(made))) - {s for task in tasks for s in task.sticks}:
        # nothing on the rack or on offer could give these; a litre counts 1
        lost = rules.worth.missing * _blank_litres(variants[stick]) * demand.sticks[stick].count
        cost += lost
        bound += lost
    lines = tuple(
        Line(
            stick=stick,
            variants=variants[n],
            made=made[n],
            missing=max(0, stick.count - made[n]),
        )
        for n, stick in enumerate(demand.sticks)
    )
    return CutPlan(
        lines=lines,
        boards=tuple(sorted(boards, key=lambda b: (bool(b.offer), b.board.name))),
        cost=cost,
        bound=bound,
        stopped=Stopped.PROVEN if proven else Stopped.TIME,
        seed=seed,
    )
