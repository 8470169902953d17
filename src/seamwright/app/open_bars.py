"""Planner and rack together: long bars made as several short ones, where that saves more wood than
the extra work costs. The plan so changed is proven on virtual wood like any other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from time import monotonic

from seamwright.app.planning import PlanReport, UnprovenError, proven
from seamwright.plan import Mill, OpenBar, Plan, Shop, open_bars, totals, with_split
from seamwright.planner import with_long_sticks
from seamwright.rack import CutPlan, CutRules, Demand, Match, Rack, Ring, cut_plan, demand_of
from seamwright.rack.flexible import Layer, StripSet, flexible_plan

_MOST_BARS = 6
_SEARCH_SHARE = 0.5
_TRY_S = 0.15
_LEAST_GAIN = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What was decided.

    Attributes:
        report: the plan to build, changed or not.
        plan: its cut plan.
        told: what was looked into, and what came of it.
    """

    report: PlanReport
    plan: CutPlan
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Yard:
    """What stays the same while splits are tried."""

    rack: Rack
    rules: CutRules
    woods: dict[str, str]
    ring: Ring
    match: Match
    job: str
    hour: float
    cancelled: Callable[[], bool] | None

    def demand(self, plan: Plan) -> Demand:
        """Sticks of a plan."""
        return demand_of(plan, self.woods, ring=self.ring, match=self.match)

    def cut(self, plan: Plan, seconds: float) -> CutPlan:
        """The cut plan for all sticks of a plan."""
        return cut_plan(
            self.rack,
            self.demand(plan),
            shop=plan.shop,
            seconds=seconds,
            rules=self.rules,
            job=self.job,
            cancelled=self.cancelled,
        )


def split_bars(
    report: PlanReport,
    yard: Yard,
    *,
    seconds: float,
    progress: Callable[[float, str], None] | None = None,
) -> Choice:
    """Decide which bars to make as several shorter ones.

    Bars are taken one after the other, the longest first; the others stay as they are then. What
    is decided is judged by whole cut plans, with the extra work at the shop's hour.

    Args:
        report: a plan that holds.
        yard: boards, rules and wishes.
        seconds: for everything [s].
        progress: told how far it is.
    Raises:
        Cancelled: the user stopped it.
    """
    say = progress or (lambda _share, _doing: None)
    start = monotonic()
    say(0.0, "the plan with its bars as they are")
    before = yard.cut(report.plan, 0.25 * seconds)
    plan, told = report.plan, []
    bars = [bar for bar in open_bars(plan) if bar.slices > 1][:_MOST_BARS]
    for number, bar in enumerate(bars):
        left = _SEARCH_SHARE * seconds - (monotonic() - start - 0.25 * seconds)
        if left <= 0.0:
            break
        say(0.25 + _SEARCH_SHARE * number / len(bars), f"splits of bar {bar.takes}")
        split = _best_split(plan, bar, yard, seconds=max(_TRY_S, left / (len(bars) - number)))
        if sorted(split) != [bar.per_bar] * bar.bars:
            plan = with_split(plan, bar, split)
            told.append(_words(bar, split))
    looked = ", ".join(bar.takes for bar in bars)
    if not told:
        return Choice(report=report, plan=before, told=(_nothing(looked),))
    plan = with_long_sticks(plan)
    say(0.8, "the plan with shorter bars")
    after = yard.cut(plan, 0.2 * seconds)
    extra = _work(plan, yard.hour) - _work(report.plan, yard.hour)
    gain = before.cost - after.cost - extra
    changed = _proven(report, plan)
    if gain <= _LEAST_GAIN * before.cost or changed is None:
        return Choice(report=report, plan=before, told=(_nothing(looked),))
    told.append(
        f"Together they save {before.cost - after.cost:.2f} of wood for {extra:.2f} of extra "
        "work. The plan so changed was carried out on virtual wood and makes the board; print its "
        "own sheets, the earlier ones no longer fit."
    )
    return Choice(report=changed, plan=after, told=tuple(told))


def _best_split(plan: Plan, bar: OpenBar, yard: Yard, *, seconds: float) -> tuple[int, ...]:
    sticks = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    layers = tuple(
        Layer(
            name=kind,
            wood=yard.woods.get(sticks[kind].wood, sticks[kind].wood),
            width_mm=sticks[kind].width_mm,
            depth_mm=sticks[kind].depth_mm,
            count=each,
            ring=yard.ring,
        )
        for kind, each in zip(bar.sticks, bar.each, strict=True)
    )
    strip_set = StripSet(
        layers=layers,
        slices=bar.slices,
        slice_mm=bar.pitch_mm,
        kerf_mm=0.0,
        square_mm=0.0,
        tail_mm=bar.extra_mm,
        glue_up=_bar_minutes(bar, plan.shop) * yard.hour / 60,
    )
    usual = (bar.per_bar,) * bar.bars
    rest = replace(plan, steps=tuple(s for s in plan.steps if s.makes not in bar.sticks))
    found = flexible_plan(
        yard.rack,
        strip_set,
        shop=plan.shop,
        seconds=seconds,
        fixed=yard.demand(rest),
        rules=yard.rules,
        job=yard.job,
        first=usual,
        cancelled=yard.cancelled,
    )
    tried = dict(found.tried)
    # a split must win clearly: plans that had little time differ by chance
    better = tried[usual] - found.cost > 0.01 * tried[usual]
    return found.split if better else usual


def _bar_minutes(bar: OpenBar, shop: Shop) -> float:
    """Minutes one more bar takes: its sticks, its glue-up, its planing, its first cut."""
    m = shop.minutes
    sticks = sum(bar.each)
    glue = m.glue_up + m.glue_line * (sticks - 1) if bar.is_glued else 0.0
    planing = m.surface if bar.glued != bar.takes else 0.0
    return m.stick * sticks + glue + planing + m.slice


def _work(plan: Plan, hour: float) -> float:
    """What a plan costs in work, its wood aside."""
    found = totals(plan)
    wood = found.wood_mm3 / 1e6 * plan.shop.minutes.wood_litre
    return (found.minutes - wood) * hour / 60


def _proven(report: PlanReport, plan: Plan) -> PlanReport | None:
    try:
        found = proven(report.drawing, replace(report.planned, plan=plan))
    except UnprovenError:
        return None
    return replace(found, own=report.own)


def _words(bar: OpenBar, split: tuple[int, ...]) -> str:
    counts = sorted(split, reverse=True)
    lengths = " and ".join(
        f"{counts.count(n)} of {bar.length_mm(n):.0f} mm for {n} slices"
        for n in dict.fromkeys(counts)
    )
    what = "strip set" if bar.is_glued else "bar"
    return (
        f"{what.capitalize()} {bar.takes}: instead of {bar.bars} of "
        f"{bar.length:.0f} mm for {bar.per_bar} slices, make {lengths}."
    )


def _nothing(looked: str) -> str:
    if not looked:
        return "No bar of this plan can be made as several shorter ones."
    return f"Bars stay as the plan has them: shorter ones were tried for {looked} and do not pay."
