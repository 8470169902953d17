"""The cut plan: boards and demand put into problems, searched, and written down as cuts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import monotonic

from seamwright.errors import Cancelled, Fault
from seamwright.plan import Shop
from seamwright.rack.boards import Rack, RackError, rack_faults
from seamwright.rack.demand import (
    Demand,
    Variant,
    best_variants,
    check_demand,
    glued_ways,
    has_room,
    ways,
    weighed_ways,
)
from seamwright.rack.fit import fitted
from seamwright.rack.layout import BoardCuts, CutPlan, Line, Stopped
from seamwright.rack.match import Matched, match_sources
from seamwright.rack.problem import Choice, Problem
from seamwright.rack.ready import get_ready
from seamwright.rack.recount import counted
from seamwright.rack.rules import CutRules, rules_of
from seamwright.rack.sawing import Sawyer
from seamwright.rack.search import PROOF, Found, search
from seamwright.rack.task import Source, Task, litre_prices, missing_cost, tasks_of

_MOST_BOUGHT = 10_000


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
        seconds: time to search [s], more than 0; choosing boards for matched colour and getting
            ready come on top, and a first plan is made even if it takes longer.
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

    def check() -> None:
        if cancelled is not None and cancelled():
            raise Cancelled("the cut plan was stopped")

    def tell(fraction: float, text: str) -> None:
        if progress is not None:
            progress(fraction, text)

    tell(0.0, "getting ready")
    get_ready()
    prices = litre_prices(rack)
    sources, variants = _sources(rack, demand, shop, rules, job, prices)
    sources, matched = match_sources(sources, variants, demand, rules, prices=prices, check=check)
    tasks = tasks_of(sources, variants, demand, rules, prices=prices)
    until = monotonic() + seconds
    found = search(tuple(t.problem for t in tasks), seed=seed, until=until, check=check, tell=tell)
    plan = _written(
        tasks, found, variants, demand, rules, prices=prices, seed=seed, matched=matched
    )
    tell(1.0, plan.verdict)
    return plan


def _sources(
    rack: Rack, demand: Demand, shop: Shop, rules: CutRules, job: str, prices: dict[str, float]
) -> tuple[list[Source], list[tuple[Variant, ...]]]:
    stock = [(b, "", 1) for b in rack.free(job=job)]
    for offer in rack.offers:
        limit = _MOST_BOUGHT if offer.limit is None else offer.limit
        stock.append((offer.as_board(offer.name), offer.name, limit))
    boards = tuple(b for b, *_ in stock)
    variants = []
    faults = []
    for stick in demand.sticks:
        direct = ways(stick, shop, rules)
        if not direct:
            faults.append(
                Fault(
                    "R133",
                    f"stick {stick.name}",
                    f"is narrower than the {rules.rip_width_mm:g} mm that may be ripped",
                    "make it wider, or rip it after gluing to its neighbour",
                )
            )
        whole = any(
            has_room(board, direct[v], rules)
            for board in boards
            for v in best_variants(board, stick, direct, rules)
        )
        if not whole:
            direct = (*direct, *glued_ways(stick, shop, boards, rules))
        elif stick.wood in prices:
            # without a price of the wood, work and wood cannot be weighed
            direct = (*direct, *weighed_ways(stick, shop, boards, rules, whole=direct))
        variants.append(direct)
    if faults:
        raise RackError(*faults)
    sources = []
    for board, name, limit in stock:
        uses = tuple(
            (s, v)
            for s, stick in enumerate(demand.sticks)
            for v in best_variants(board, stick, variants[s], rules)
        )
        if uses and limit > 0:
            sources.append(Source(board=board, offer=name, limit=limit, uses=uses))
    return sources, variants


def exact_choice(task: Task, choice: Choice) -> Choice:
    """The choice one board at a time, cut back so that no row gets more than it needs.

    Blanks too few to glue a whole stick from are not cut.
    """
    problem = task.problem
    out = _cut_back(problem, choice, problem.needs)
    made = problem.made(out)
    whole = tuple(m - m % u for m, u in zip(made, task.units, strict=True))
    return out if whole == made else _cut_back(problem, out, whole)


def _cut_back(problem: Problem, choice: Choice, needs: tuple[int, ...]) -> Choice:
    out: Choice = []
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
    *,
    prices: dict[str, float],
    seed: int,
    matched: tuple[Matched, ...],
) -> CutPlan:
    made = [0] * len(demand.sticks)
    boards: list[BoardCuts] = []
    cost = bound = 0.0
    proven = True
    for task, result in zip(tasks, found, strict=True):
        choice = exact_choice(task, result.choice)
        total = task.problem.cost_of(choice)
        for column, _ in choice:
            kind, b = task.problem.where(column.place)
            source, grid = task.sources[column.place], kind.boards[b]
            cut = Sawyer(grid, kind.menu, rules).cut(
                column.pattern, offer=source.offer, cost=column.cost, board=source.board
            )
            exact = counted(cut, rules, cost=grid.cost, credit=grid.credit)
            total += exact - grid.cost + column.pattern.credit
            boards.append(replace(cut, cost=exact))
        cost += total
        bound += min(result.bound, total)
        # counted again: blanks too few for a whole stick are worth nothing
        proven = proven and total - result.bound <= PROOF * max(total, 1e-9)
        rows = zip(task.sticks, task.problem.made(choice), task.units, strict=True)
        for stick, blanks, unit in rows:
            made[stick] = blanks // unit
    for stick in set(range(len(made))) - {s for task in tasks for s in task.sticks}:
        # nothing on the rack or on offer could give these
        wanted = demand.sticks[stick]
        rate = prices.get(wanted.wood, 1.0)
        lost = missing_cost(variants[stick], rules, rate) * wanted.count
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
        bound=max(0.0, bound),
        stopped=Stopped.PROVEN if proven else Stopped.TIME,
        seed=seed,
        matched=tuple((m.mark, m.board) for m in matched),
    )
