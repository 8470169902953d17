"""Choose over all billet depths: the best plan, what is proven of it, and in what space."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

from seamwright.plan import Shop
from seamwright.planner.depths import Depths, depths, leaf_counts
from seamwright.planner.descent import descend, made_alone
from seamwright.planner.former import Former
from seamwright.planner.options import Space
from seamwright.planner.pricing import price
from seamwright.planner.problem import Choice, Problem
from seamwright.planner.sketching import sketch
from seamwright.planner.solver import Relaxed
from seamwright.planner.tariffs import Tariffs

_DRAWS = 20
_MANY = 250
"""With more nodes than this a draw takes longer than the solver gains by it."""

Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The best choice found.

    Attributes:
        space: the options it was chosen among.
        problem: the problem it answers.
        choice: the chosen modes with their counts.
        depths: flat and billet depth.
        bound: no plan of the option space costs less [min].
        stopped: "proven", or "time" where the solver was stopped by its limit.
        others: good choices besides, met with other numbers of leaves in a billet or in a wider
            space.
    """

    space: Space
    problem: Problem
    choice: Choice
    depths: Depths
    bound: float
    stopped: str
    others: tuple[Chosen, ...] = ()


def _met(space: Space, deep: Depths, problem: Problem, choice: Choice) -> Chosen:
    """A choice of which nothing is proven."""
    return Chosen(
        space=space, problem=problem, choice=choice, depths=deep, bound=0.0, stopped="time"
    )


@dataclass(slots=True)
class _Early:
    """Whoever waits for a good choice before the exact one: told the first there is.

    Attributes:
        space: all options.
        former: where it is remembered.
        first: who waits, until told.
    """

    space: Space
    former: Former
    first: Callable[[Chosen], None] | None

    @property
    def waits(self) -> bool:
        """Whether anybody waits."""
        return self.first is not None

    def leaves(self, thickness_mm: float, shop: Shop) -> tuple[int, ...]:
        """Numbers of leaves to begin with, as for the last plan before flat; none for nobody."""
        counts = leaf_counts(thickness_mm, self.former.leaves, shop)
        return tuple(dict.fromkeys((counts[-1], 1))) if self.waits else ()

    def tell(self, deep: Depths, problem: Problem, choice: Choice) -> None:
        """Tell a good choice, if nobody has told one."""
        if self.first is not None:
            tell, self.first = self.first, None
            self.former.keep(self.space, problem, choice)
            tell(
                Chosen(
                    space=self.space,
                    problem=problem,
                    choice=choice,
                    depths=deep,
                    bound=0.0,
                    stopped="time",
                )
            )


def choose(
    space: Space,
    shop: Shop,
    thickness_mm: float,
    copies: int,
    *,
    edge_cuts: int,
    seconds: float,
    without_leaves: Collection[int] = (),
    first: Callable[[Chosen], None] | None = None,
    former: Former | None = None,
    tariffs: Tariffs | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Chosen | None:
    """The cheapest plan over all billet depths.

    Args:
        space: all options.
        shop: minutes, limits and allowances.
        thickness_mm: finished thickness of the board.
        copies: boards wanted.
        edge_cuts: cuts that bring the glued board to its outline.
        seconds: time limit for the exact choice.
        without_leaves: numbers of leaves that no billet may hold.
        first: told a good choice at once, before the exact one is begun.
        former: what the last plan was like, and from now on what this one is.
        tariffs: prices from earlier searches of the same line.
        progress: told how far the work is, 0 to 1.
        cancelled: asked now and then.
    Returns:
        The best choice; None where no plan is feasible in this shop.
    """
    deadline = time.monotonic() + seconds
    say = progress or (lambda _share, _doing: None)
    tried: list[tuple[Depths, Problem]] = []
    good: list[Choice] = []
    former, tariffs = former or Former(), tariffs or Tariffs()
    early = _Early(space, former, None if without_leaves else first)

    def priced(leaves: int) -> tuple[Depths, Problem]:
        deep = depths(thickness_mm, leaves, shop)
        return deep, price(space, shop, deep, copies, edge_cuts=edge_cuts, tariffs=tariffs)

    likely = former.leaves if early.waits else 1
    for leaves in early.leaves(thickness_mm, shop):
        deep = depths(thickness_mm, leaves, shop)
        few = sketch(space, shop, deep, copies, edge_cuts=edge_cuts, tariffs=tariffs, former=former)
        if few is not None:
            early.tell(deep, *few)
            break
    for pair in _problems(priced, thickness_mm, copies, shop, likely):
        if pair[0].leaves in without_leaves:
            continue
        tried.append(pair)
        alone = made_alone(pair[1])
        tariffs.of(space, shop, pair[0]).keep_alone(pair[1], alone.picked, alone.minutes)
        good.append(descend(pair[1], former.start(space, pair[1]), alone))
        early.tell(*pair, good[0])
    if not tried:
        return None
    relaxed = sorted(
        ((Relaxed(pair[1], resawn=pair[0].leaves > 1), pair) for pair in tried),
        key=lambda item: item[0].bound,
    )
    met = [
        *zip(tried, good, strict=True),
        *((pair, model.rounded(draws=0)) for model, pair in relaxed if model.bound < math.inf),
    ]
    best, best_choice = min(met, key=lambda found: found[1].minutes)
    bound, stopped = math.inf, "proven"
    for done, (model, pair) in enumerate(relaxed):
        leaves = pair[0].leaves
        text = "flat parts" if leaves == 1 else f"billets of {leaves} leaves"
        say(done / len(relaxed), f"choosing among {text}")
        if model.bound < best_choice.minutes:
            trial = model.rounded(draws=_DRAWS if len(pair[1].nodes) <= _MANY else 0)
            met.append((pair, trial))
            if trial.minutes < best_choice.minutes:
                best, best_choice = pair, trial
        model.stood |= former.stood(space, pair[1])
        solved = model.solve(
            seconds=deadline - time.monotonic(), beat=best_choice.minutes, cancelled=cancelled
        )
        former.keep_stood(space, pair[1], model.stood)
        bound = min(bound, solved.bound)
        if solved.stopped == "time":
            stopped = "time"
        if solved.choice is not None:
            best, best_choice = pair, solved.choice
            met.append((pair, solved.choice))
    former.leaves = best[0].leaves
    former.keep(space, best[1], best_choice)
    return Chosen(
        space=space,
        problem=best[1],
        choice=best_choice,
        depths=best[0],
        bound=min(bound, best_choice.minutes),
        stopped=stopped,
        others=_others(space, met, best),
    )


def _others(
    space: Space, met: Sequence[tuple[tuple[Depths, Problem], Choice]], best: tuple[Depths, Problem]
) -> tuple[Chosen, ...]:
    """Of every number of leaves but the best one's, the best choice that was met."""
    found: dict[int, Chosen] = {}
    for (deep, problem), choice in sorted(met, key=lambda one: one[1].minutes):
        if deep.leaves != best[0].leaves and choice.minutes < math.inf:
            other = Chosen(
                space=space, problem=problem, choice=choice, depths=deep, bound=0.0, stopped="time"
            )
            found.setdefault(deep.leaves, other)
    return tuple(found.values())


def _problems(
    priced: Callable[[int], tuple[Depths, Problem]],
    thickness_mm: float,
    copies: int,
    shop: Shop,
    likely: int,
) -> Iterator[tuple[Depths, Problem]]:
    """The problems for all numbers of leaves that are worth trying, the likely one first.

    Flat parts can be chosen whatever the billets hold.
    """
    done = {1}
    if likely > 1 and likely in leaf_counts(thickness_mm, likely, shop):
        deep, problem = priced(likely)
        if _resaws(problem) and _most(problem, copies) >= likely:
            yield deep, problem
        done.add(likely)
    flat, problem = priced(1)
    if problem.nodes:
        yield flat, problem
    for leaves in leaf_counts(thickness_mm, _most(problem, copies), shop):
        if leaves not in done:
            deep, problem = priced(leaves)
            if _resaws(problem):
                yield deep, problem


def _most(problem: Problem, copies: int) -> int:
    """How many equal flat parts a plan could need at the most."""
    return max((node.most for node in problem.nodes if not node.deep), default=copies)


def _resaws(problem: Problem) -> bool:
    return any(node.deep for node in problem.nodes)
