"""From drawing to plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from time import monotonic

from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import Plan, Shop, totals
from seamwright.planner.cells import Cells, Locks, prepare
from seamwright.planner.choosing import Chosen, Progress, choose
from seamwright.planner.ordering import Ordered
from seamwright.planner.overlays import backed, face_of, face_shop
from seamwright.planner.plain import with_backing
from seamwright.planner.recalling import Memory
from seamwright.planner.refusals import still_locked, why_not
from seamwright.planner.second_look import with_second_look
from seamwright.planner.shared_clampings import GluedSize
from seamwright.planner.sharing import shared_at_once, shared_in_order
from seamwright.planner.space import explore
from seamwright.planner.writing import write
from seamwright.seams import AddedSeam

OPTION_SPACE = (
    "all straight seams of one direction in one glue-up, or with runs of plain stripes, the "
    "longest repeated unit or the blocks of a row glued first; slices of strip sets, square or "
    "slanted, all slices of one profile sharing bars; single pieces from sticks, head to tail "
    "where two angles meet; over-building to a parallelogram and trimming; strips whose grain "
    "runs aslant glued for two slices or as many as boards are wide; corners of equal blocks "
    "filled in rows of two or as many as clamps and glue allow; one size of deep billet, resawn; "
    "each kind of part made in one way; as few bars as slices are packed into, each as long as "
    "those ask for; equal sticks of one bar milled as one; bars of one profile and one height of "
    "slice clamped side by side; settings after the slicing counted for each step"
)
_SHARED = (
    ", then saved by runs of neighbours kept together in what the plan glues up, where one was "
    "found that pays, by strip sets ripped from wide laminations, by shared long sticks and "
    "clampings"
)
_ORDERED = ", and by the order of the steps"
_AS_IT_CAME = "; the order of the steps as it came: there are too many to try them all"


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """What is proven of a plan.

    Attributes:
        proven: whether no plan of the option space is cheaper.
        cost: minutes of the plan, wood at its worth in minutes.
        chosen: minutes of the choice, before what is shared and the order of steps save [min].
        bound: what it would cost if the choice were as cheap as any in the option space can be,
            and saved as much afterwards [min].
        gap: (cost − bound) / cost.
        option_space: the ways of making that were compared, in words.
        stopped: why the search ended: "proven" or "time".
    """

    proven: bool
    cost: float
    chosen: float
    bound: float
    gap: float
    option_space: str
    stopped: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan and how good it is.

    Attributes:
        plan: the plan; not yet proven on the virtual bench.
        best: what is proven of its cost.
        added: seams added because the drawing locks.
        fewest: whether fewer added seams would not do.
        widened: names of patches that are glued up from several boards' width.
        edge_mm: wood left around the outline until the last cut [mm].
    """

    plan: Plan
    best: Best
    added: tuple[AddedSeam, ...]
    fewest: bool
    widened: tuple[str, ...]
    edge_mm: float


def make_plan(
    drawing: Drawing,
    shop: Shop,
    *,
    seconds: float = 20.0,
    locks: Locks = Locks.ADD_SEAMS,
    memory: Memory | None = None,
    early: Callable[[Planned], None] | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Planned:
    """The cheapest plan for a drawing in a shop.

    Args:
        drawing: a checked drawing.
        shop: the shop.
        seconds: time limit for the exact choice; afterwards the best plan so far comes with a gap.
        locks: what to do where the drawing does not come apart along straight seams.
        memory: what was found out for earlier drawings in the same shop.
        early: told a good plan at once, of whose cost nothing is proven yet.
        progress: told how far the work is, 0 to 1, and what is being done.
        cancelled: asked now and then; a true answer stops the work.
    Raises:
        PlanError: no plan is feasible in this shop; every reason is named.
        Cancelled: the user stopped it.
    """
    say = progress or (lambda _fraction, _text: None)
    shop = face_shop(drawing, shop)
    drawing = face_of(drawing, shop)
    backed(drawing, shop)
    say(0.0, "looking for straight seams")
    cells = prepare(drawing, shop, locks=locks)
    say(0.1, "searching the ways to make it")
    set_in = locks is Locks.SET_IN
    space = explore(
        cells, shop, set_in=set_in, memory=None if set_in else memory, cancelled=cancelled
    )
    edge_cuts = len(cells.outline) if cells.edge_mm > 0.0 else 0

    def first(good: Chosen) -> None:
        if early is not None:
            at_once = pick(drawing, shop, cells, good, shared=shared_at_once)
            early(written(drawing, shop, cells, good, at_once))

    start = monotonic()
    chosen = choose(
        space,
        shop,
        drawing.thickness_mm,
        drawing.copies,
        edge_cuts=edge_cuts,
        seconds=seconds,
        first=first if early is not None else None,
        former=None if memory is None or set_in else memory.former,
        tariffs=None if memory is None or set_in else memory.tariffs,
        progress=lambda fraction, text: say(0.3 + 0.6 * fraction, text),
        cancelled=cancelled,
    )
    if chosen is None:
        stuck = still_locked(space) if locks is Locks.SET_IN else ()
        raise PlanError(*(stuck or why_not(space, drawing, shop)))
    say(0.9, "looking again at its glue-ups")
    took = monotonic() - start
    chosen = with_second_look(
        cells, shop, chosen, took=took, seconds=seconds, set_in=set_in, cancelled=cancelled
    )
    say(0.95, "writing the steps")
    return written(drawing, shop, cells, chosen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """Of a choice and the others met with it the one whose plan, shared and in order, is cheapest.

    Attributes:
        chosen: the one.
        ordered: its plan.
    """

    chosen: Chosen
    ordered: Ordered


def pick(
    drawing: Drawing,
    shop: Shop,
    cells: Cells,
    chosen: Chosen,
    *,
    shared: Callable[[Plan, Mapping[str, GluedSize]], Ordered] = shared_in_order,
) -> Picked:
    """What is planned in the end: other good choices may save more by what is shared afterwards.

    Args:
        drawing, shop, cells, chosen: what is planned, and how.
        shared: shares what can be shared, and puts the steps in order.
    """
    found = []
    for one in (chosen, *chosen.others):
        plan = write(
            one.space,
            one,
            shop,
            title=drawing.title,
            outline=drawing.outline,
            edge_mm=cells.edge_mm,
        )
        found.append(Picked(chosen=one, ordered=shared(plan.plan, plan.square)))
    if len(found) == 1:
        return found[0]
    return min(found, key=lambda one: totals(one.ordered.plan).minutes)


def written(
    drawing: Drawing, shop: Shop, cells: Cells, chosen: Chosen, picked: Picked | None = None
) -> Planned:
    """The plan behind a choice, and how good it is."""
    ordered = (picked or pick(drawing, shop, cells, chosen)).ordered
    face = ordered.plan
    plan = with_backing(face, backed(drawing, shop), drawing)
    cost = totals(plan).minutes
    # what is shared is no part of what was proven: the plan keeps its distance to the bound
    bound = min(cost - chosen.choice.minutes + chosen.bound, cost)
    return Planned(
        plan=plan,
        best=Best(
            proven=chosen.stopped == "proven" and cost - bound <= 1e-6 * cost,
            cost=cost,
            chosen=chosen.choice.minutes,
            bound=bound,
            gap=(cost - bound) / cost if cost > 0.0 else 0.0,
            option_space=OPTION_SPACE + _SHARED + (_ORDERED if ordered.proven else _AS_IT_CAME),
            stopped=chosen.stopped,
        ),
        added=cells.added,
        fewest=cells.fewest,
        widened=cells.widened,
        edge_mm=cells.edge_mm,
    )
