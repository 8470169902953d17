"""The verb "cut": which sticks of a plan to cut from which board on hand, and what to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TypeVar

from seamwright.app.boards import wood_named
from seamwright.app.open_bars import Yard, split_bars
from seamwright.app.planning import PlanReport
from seamwright.app.sheets import sheet_purchases
from seamwright.design import Drawing
from seamwright.errors import Fault
from seamwright.plan import Money
from seamwright.rack import (
    CutPlan,
    CutRules,
    Demand,
    Goal,
    Match,
    Order,
    Rack,
    RackError,
    Ring,
    cut_plan,
    demand_of,
    rules_of,
)
from seamwright.rack.shopping import Grade, Purchase, shopping_list

T = TypeVar("T")
U = TypeVar("U")
CUT_SECONDS = 10.0
"""Time for the cut plan unless told otherwise [s]."""


class Bars(Enum):
    """Whether the lengths of bars that are sliced are open."""

    FIXED = "fixed"
    """As the plan has them."""
    OPEN = "open"
    """Several shorter ones may give the same slices, where that saves more than it costs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the user asks of a cut plan.

    Attributes:
        order: what is sawn first.
        goal: what is saved first.
        ring: growth rings wanted on every show face; UNKNOWN where they do not matter.
        match: which sticks shall come from one board.
        bars: whether lengths of bars are open.
        allowance_pct: bought on top of what is needed [%].
        hour: what an hour of work counts, where more work would save wood.
        grade: grade of boards that still have to be bought; None takes clear wood.
    """

    order: Order = Order.EITHER
    goal: Goal = Goal.WOOD
    ring: Ring = Ring.UNKNOWN
    match: Match = Match.FREE
    bars: Bars = Bars.FIXED
    allowance_pct: float = 15.0
    hour: float = 40.0
    grade: Grade | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CutReport:
    """A cut plan for a board that was planned and proven.

    Attributes:
        report: the plan the sticks are for, with its proof.
        wishes: what was asked.
        rack: boards and offers it was worked out for.
        demand: the sticks.
        rules: what every cut keeps.
        plan: the cut plan with its bound.
        shopping: what to buy.
        split: what was decided about bars of open length, in words.
    """

    report: PlanReport
    wishes: Wishes
    rack: Rack
    demand: Demand
    rules: CutRules
    plan: CutPlan
    shopping: tuple[Purchase, ...]
    split: tuple[str, ...] = field(default=())

    @property
    def changes_plan(self) -> bool:
        """Whether bars were split, so that the order of work is another one."""
        return len(self.split) > 1

    @property
    def suits_plan(self) -> bool:
        """Whether the sticks are those of the plan, in size and number."""
        woods = wood_names(self.drawing)
        return _sticks(self.demand) == _sticks(demand_of(self.report.plan, woods))

    @property
    def drawing(self) -> Drawing:
        """The board that is wanted."""
        return self.report.drawing


def cut(
    report: PlanReport,
    rack: Rack,
    *,
    wishes: Wishes | None = None,
    job: str = "",
    seconds: float = CUT_SECONDS,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> CutReport:
    """Plan the cuts for the sticks of a plan.

    Args:
        report: a plan that holds.
        rack: boards on hand and sizes that can be bought; boards set aside for others are left.
        wishes: what is asked.
        job: whose boards set aside may be used.
        seconds: time to search, more than 0 [s]; afterwards the best so far is taken.
        progress: told how far the work is, 0 to 1, and what is being done.
        cancelled: asked now and then; a true answer stops the work.
    Raises:
        RackError: the rack or a stick is not sound.
        Cancelled: the user stopped it.
    """
    wishes = wishes or Wishes()
    rules = rules_of(report.plan.shop, order=wishes.order, goal=wishes.goal, hour=wishes.hour)
    woods = wood_names(report.drawing)
    split: tuple[str, ...] = ()
    if wishes.bars is Bars.OPEN:
        yard = Yard(
            rack=rack,
            rules=rules,
            woods=woods,
            ring=wishes.ring,
            match=wishes.match,
            job=job,
            hour=wishes.hour,
            cancelled=cancelled,
        )
        choice = split_bars(report, yard, seconds=seconds, progress=progress)
        report, plan, split = choice.report, choice.plan, choice.told
        demand = yard.demand(report.plan)
    else:
        demand = demand_of(report.plan, woods, ring=wishes.ring, match=wishes.match)
        plan = cut_plan(
            rack,
            demand,
            shop=report.plan.shop,
            seconds=seconds,
            rules=rules,
            job=job,
            progress=progress,
            cancelled=cancelled,
        )
    return CutReport(
        report=report,
        wishes=wishes,
        rack=rack,
        demand=demand,
        rules=rules,
        plan=plan,
        shopping=_shopping(report, plan, wishes),
        split=split,
    )


ORDERS = {"either": Order.EITHER, "crosscut": Order.CROSSCUT, "rip": Order.RIP}
GRADES = {
    "fas": Grade.FAS,
    "1": Grade.NO_1_COMMON,
    "2a": Grade.NO_2A_COMMON,
    "3a": Grade.NO_3A_COMMON,
}
MOST_ALLOWANCE_PCT = 300.0


def wishes_typed(typed: Mapping[str, str], money: Money) -> Wishes:
    """Wishes as they are typed: order, save, ring, match, bars, allowance, grade; "" is the usual.

    Raises:
        RackError: a word is not known, or the allowance is no number.
    """
    faults: list[Fault] = []

    def word(key: str, known: Mapping[str, T], usual: U) -> T | U:
        text = typed.get(key, "")
        if text and text not in known:
            remedy = f"use {', '.join(known)}"
            faults.append(Fault("R119", f"word {text[:20]!r}", "is not known here", remedy))
        return known.get(text, usual)

    try:
        allowance = float(typed.get("allowance", "") or money.values["allowance_pct"])
    except ValueError:
        allowance = -1.0
    if not 0 <= allowance <= MOST_ALLOWANCE_PCT:
        faults.append(Fault("R118", "the allowance", "is no share", "give 0 to 300 %"))
    wishes = Wishes(
        order=word("order", ORDERS, Order.EITHER),
        goal=word("save", {g.value: g for g in Goal}, Goal.WOOD),
        ring=word("ring", {r.value: r for r in Ring}, Ring.UNKNOWN),
        match=word("match", {"1": Match.STRIP_SETS}, Match.FREE),
        bars=word("bars", {b.value: b for b in Bars}, Bars.FIXED),
        allowance_pct=allowance,
        hour=money.values["hour"],
        grade=word("grade", GRADES, None),
    )
    if faults:
        raise RackError(*faults)
    return wishes


def _sticks(demand: Demand) -> Counter[tuple[str, float, float, float]]:
    found: Counter[tuple[str, float, float, float]] = Counter()
    for s in demand.sticks:
        size = (round(s.length_mm, 3), round(s.width_mm, 3), round(s.depth_mm, 3))
        found[s.wood, *size] += s.count
    return found


def held_report(report: PlanReport, plan: CutPlan, rack: Rack, wishes: Wishes) -> CutReport:
    """A cut plan that was made and set aside before, with what is told of it."""
    return CutReport(
        report=report,
        wishes=wishes,
        rack=rack,
        demand=Demand(sticks=tuple(line.stick for line in plan.lines)),
        rules=rules_of(report.plan.shop, order=wishes.order, goal=wishes.goal, hour=wishes.hour),
        plan=plan,
        shopping=_shopping(report, plan, wishes),
    )


def _shopping(report: PlanReport, plan: CutPlan, wishes: Wishes) -> tuple[Purchase, ...]:
    wood = shopping_list(plan, allowance_pct=wishes.allowance_pct, grade=wishes.grade)
    return (*wood, *sheet_purchases(report.plan))


def wood_names(drawing: Drawing) -> dict[str, str]:
    """The wood of each letter under its usual name, as the rack has it."""
    return {letter: wood_named(name) for letter, name in drawing.woods}
