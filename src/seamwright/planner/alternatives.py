"""Plans that differ in kind, each with what it trades.

Minutes are one person's guess at what matters. So the drawing is planned again with other things
in mind (less wood, fewer glue-ups, fewer settings, larger parts at the saw), every answer is
measured by the shop's own minutes, and what is beaten in everything by another plan is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import Hold, Laminate, Plan, Shop, Slice, Totals, Trim, inputs, totals
from seamwright.planner.cells import Locks
from seamwright.planner.choosing import Progress
from seamwright.planner.overlays import face_shop
from seamwright.planner.planning import Planned, make_plan


class Prefer(Enum):
    """What matters most."""

    CHEAPEST = "cheapest"
    QUICKEST = "quickest"
    LEAST_WOOD = "least-wood"
    FEWEST_GLUE_UPS = "fewest-glue-ups"
    FEWEST_SET_UPS = "fewest-set-ups"
    SAFEST = "safest"
    AS_DRAWN = "as-drawn"
    """No added seams where the drawing locks: parts are pushed into inside corners."""
    HALF_STARS = "half-stars"
    """Where a star locks, it is divided straight through its centre, and its halves again."""

    @property
    def locks(self) -> Locks:
        """What becomes of patches that lock each other."""
        return _LOCKS.get(self, Locks.ADD_SEAMS)


_LOCKS = {Prefer.AS_DRAWN: Locks.SET_IN, Prefer.HALF_STARS: Locks.HALF_STARS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """What plans are compared by.

    Attributes:
        minutes: the shop's minutes, wood at its worth in minutes.
        hands_on: minutes without the wood.
        glue_ups, set_ups: as in ``Totals``.
        wood_mm3: rough wood [mm³].
        smallest_mm: smallest stop or width kept at the saw [mm]: how near small parts come; what
            is sawn and shot by hand does not count.
        stages: glue-ups one behind the other on the longest way from stick to board; each adds
            its own error.
    """

    minutes: float
    hands_on: float
    glue_ups: int
    set_ups: int
    wood_mm3: float
    smallest_mm: float
    stages: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """One way of making the board.

    Attributes:
        prefer: what it was looked for.
        planned: the plan, priced by the shop's own minutes.
        measures: what it comes to.
        trade: one sentence: what it gives for what, against the cheapest plan.
    """

    prefer: Prefer
    planned: Planned
    measures: Measures
    trade: str


def prefer_plan(
    drawing: Drawing,
    shop: Shop,
    prefer: Prefer,
    *,
    seconds: float = 20.0,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Planned:
    """The plan that is best when one thing matters most.

    What is proven of it is proven of the weights used for the search, not of the shop's minutes:
    ``best`` tells that cost, and ``option_space`` says so.

    Args:
        drawing, shop, seconds, progress, cancelled: as for ``make_plan``.
        prefer: what matters most.
    Raises:
        PlanError: no plan is feasible.
    """
    if prefer is Prefer.SAFEST:
        return _safest(drawing, shop, seconds, progress, cancelled)
    if prefer in _LOCKS:
        return make_plan(
            drawing,
            shop,
            seconds=seconds,
            locks=prefer.locks,
            progress=progress,
            cancelled=cancelled,
        )
    found = [
        make_plan(
            drawing,
            _weighted(shop, weight),
            seconds=seconds,
            progress=progress,
            cancelled=cancelled,
        )
        for weight in _LOOKED_AT.get(prefer, (prefer,))
    ]
    shop = face_shop(drawing, shop)
    planned = [_for_shop(one, shop, prefer) for one in found]
    return min(planned, key=lambda one: _glue_ups_first(one.plan)) if planned[1:] else planned[0]


def alternatives(
    drawing: Drawing,
    shop: Shop,
    *,
    seconds: float = 20.0,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Alternative, ...]:
    """Plans that no other one beats in everything, the cheapest first.

    Args:
        drawing, shop, cancelled: as for ``make_plan``.
        seconds: time limit for each of them.
        progress: told how far all of it is.
    Raises:
        PlanError: no plan is feasible.
    """
    found: list[tuple[Prefer, Planned, Measures]] = []
    for done, prefer in enumerate(Prefer):
        if progress is not None:
            progress(done / len(Prefer), f"looking for the {prefer.value.replace('-', ' ')} plan")
        if prefer in _LOCKS and not found[0][1].added:
            continue
        try:
            planned = prefer_plan(drawing, shop, prefer, seconds=seconds, cancelled=cancelled)
        except PlanError:
            if prefer in _LOCKS:
                continue
            raise
        measures = measure(planned.plan)
        if prefer in _LOCKS:
            found.append((prefer, planned, measures))
        elif all(not _covers(known, measures) for _, _, known in found):
            found = [
                row for row in found if row[0] is Prefer.CHEAPEST or not _covers(measures, row[2])
            ]
            found.append((prefer, planned, measures))
    first = found[0][2]
    cheapest = _cheapest(
        [prefer.value for prefer, _, own in found if own.minutes < first.minutes - 0.5]
    )
    return tuple(
        Alternative(
            prefer=prefer,
            planned=planned,
            measures=measures,
            trade=_trade(prefer, measures, first) if prefer is not Prefer.CHEAPEST else cheapest,
        )
        for prefer, planned, measures in found
    )


def measure(plan: Plan) -> Measures:
    """What a plan comes to."""
    sums: Totals = totals(plan)
    wood_minutes = sums.wood_mm3 / 1e6 * plan.shop.minutes.wood_litre
    depth: dict[str, int] = {}
    sizes = [float("inf")]
    for step in plan.steps:
        below = max((depth.get(kind, 0) for kind in inputs(step)), default=0)
        depth[step.makes] = below + isinstance(step, Laminate)
        if isinstance(step, Slice):
            sizes.append(step.set_up.size_mm)
            if step.rest:
                depth[step.rest] = below
        elif isinstance(step, Trim) and step.hold is not Hold.HAND:
            sizes.extend(up.size_mm for up in step.set_ups)
    return Measures(
        minutes=sums.minutes,
        hands_on=sums.minutes - wood_minutes,
        glue_ups=sums.glue_ups,
        set_ups=sums.set_ups,
        wood_mm3=sums.wood_mm3,
        smallest_mm=min(sizes),
        stages=max(depth.values(), default=0),
    )


def _weighted(shop: Shop, prefer: Prefer) -> Shop:
    m = shop.minutes
    if prefer is Prefer.QUICKEST:
        m = replace(m, wood_litre=m.wood_litre * 0.01)
    elif prefer is Prefer.LEAST_WOOD:
        m = replace(m, wood_litre=m.wood_litre * 20.0)
    elif prefer is Prefer.FEWEST_GLUE_UPS:
        m = replace(m, glue_up=m.glue_up * 20.0)
    elif prefer is Prefer.FEWEST_SET_UPS:
        m = replace(m, set_up=m.set_up * 20.0, set_up_angle=m.set_up_angle * 20.0)
    return replace(shop, minutes=m)


_LOOKED_AT = {Prefer.FEWEST_GLUE_UPS: (Prefer.FEWEST_GLUE_UPS, Prefer.QUICKEST)}
"""Weights that are tried: which clampings can be shared is known only once a choice is made."""


def _glue_ups_first(plan: Plan) -> tuple[int, float]:
    sums = totals(plan)
    return (sums.glue_ups, sums.minutes)


def _for_shop(planned: Planned, shop: Shop, prefer: Prefer) -> Planned:
    if prefer is Prefer.CHEAPEST:
        return planned
    space = planned.best.option_space + f"; weighed for {prefer.value.replace('-', ' ')}"
    return replace(
        planned,
        plan=replace(planned.plan, shop=shop),
        best=replace(planned.best, option_space=space),
    )


def _safest(
    drawing: Drawing,
    shop: Shop,
    seconds: float,
    progress: Progress | None,
    cancelled: Callable[[], bool] | None,
) -> Planned:
    """Raise the least sizes at the saw, the carrier's too, as far as a plan still exists.

    What is sawn and shot by hand keeps its own: parts the raised sizes forbid go there.
    """
    best: Planned | None = None
    for factor in (4.0, 3.0, 2.0, 1.5, 1.0):
        limits = replace(
            shop.limits,
            part_min_mm=shop.limits.part_min_mm * factor,
            slice_min_mm=shop.limits.slice_min_mm * factor,
            stick_min_width_mm=shop.limits.stick_min_width_mm * min(factor, 2.0),
        )
        small = shop.small_parts
        small = replace(small, carrier_min_mm=small.carrier_min_mm * factor)
        try:
            best = make_plan(
                drawing,
                replace(shop, limits=limits, small_parts=small),
                seconds=seconds,
                progress=progress,
                cancelled=cancelled,
            )
        except PlanError:
            if factor == 1.0:
                raise
            continue
        break
    if best is None:
        raise AssertionError("the last factor plans or raises")
    return _for_shop(best, face_shop(drawing, shop), Prefer.SAFEST)


def _covers(a: Measures, b: Measures) -> bool:
    """Whether a is at least as good as b in everything."""
    return (
        a.hands_on <= b.hands_on + 0.5
        and a.glue_ups <= b.glue_ups
        and a.set_ups <= b.set_ups
        and a.wood_mm3 <= b.wood_mm3 * 1.001
        and a.smallest_mm >= b.smallest_mm - 0.01
        and a.stages <= b.stages
    )


def _cheapest(cheaper: Sequence[str]) -> str:
    """What the plan that is made unless another is asked for stands for."""
    told = "The cheapest by your shop's minutes, wood at its worth"
    if not cheaper:
        return told + "."
    takes = "takes" if len(cheaper) == 1 else "take"
    return f"{told}, with the fewest seams added; {' and '.join(cheaper)} {takes} less."


def _trade(prefer: Prefer, own: Measures, first: Measures) -> str:
    gains: list[str] = []
    costs: list[str] = []
    for told, mine, theirs, more_is_good in (
        ("{} min {less} work", round(own.hands_on), round(first.hands_on), False),
        ("{} {fewer} glue-up{s}", own.glue_ups, first.glue_ups, False),
        ("{} {fewer} set-up{s}", own.set_ups, first.set_ups, False),
        ("{} l {less} wood", own.wood_mm3 / 1e6, first.wood_mm3 / 1e6, False),
        (
            "{} mm {less} at the smallest part",
            round(own.smallest_mm),
            round(first.smallest_mm),
            True,
        ),
        ("{} {fewer} glue-up{s} in a row", own.stages, first.stages, False),
    ):
        difference = round(mine - theirs, 1)
        if difference:
            less, fewer = ("more", "more") if difference > 0 else ("less", "fewer")
            s = "" if abs(difference) == 1 else "s"
            words = told.format(f"{abs(difference):g}", less=less, fewer=fewer, s=s)
            (gains if (difference > 0) is more_is_good else costs).append(words)
    if prefer in _GAINS:
        gains.insert(0, _GAINS[prefer])
    if not gains:
        return "No gain over the cheapest plan: " + ", ".join(costs) + "."
    text = "Against the cheapest: " + ", ".join(gains)
    return text + (" for " + ", ".join(costs) if costs else "") + "." + _DRAWBACKS.get(prefer, "")


_GAINS = {
    Prefer.AS_DRAWN: "no seam added to the drawing",
    Prefer.HALF_STARS: "the star closes along one straight seam through its centre",
}
_DRAWBACKS = {
    Prefer.AS_DRAWN: " Parts pushed into corners close two seams at once, and must be true.",
    Prefer.HALF_STARS: " What is set in between its points is cut in two, its grain kept; that "
    "seam shows.",
}
