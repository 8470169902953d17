"""Lots: sticks of several kinds milled as one long stick, several kinds glued in one clamping.

A lot is written in the step of one of its kinds; the steps of the others say how many of theirs are
in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from seamwright.errors import Fault
from seamwright.plan.model import Plan
from seamwright.plan.steps import Held, Laminate, Lot, Mill, inputs

_SAME_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class LongStick:
    """A stick as it is milled.

    Attributes:
        holds: the kinds it is parted into, one behind the other, and how many of each.
        times: how many are milled.
        length_mm: of one, the kerfs that part it included [mm].
    """

    holds: tuple[Held, ...]
    times: int
    length_mm: float


def long_sticks(step: Mill, plan: Plan) -> tuple[LongStick, ...]:
    """The sticks that are milled in a step, long ones before they are parted; the fullest first."""
    if not step.is_shared:
        lots: Iterable[Lot] = (
            Lot(holds=(Held(kind=step.makes, count=each),), times=times)
            for each, times in step.long_sticks
        )
    else:
        lots = step.long
    kerf = plan.shop.saws.table_kerf_mm
    lengths = {s.makes: s.length_mm for s in plan.steps if isinstance(s, Mill)}
    return tuple(
        LongStick(
            holds=lot.holds,
            times=lot.times,
            length_mm=sum((lengths[h.kind] + kerf) * h.count for h in lot.holds) - kerf,
        )
        for lot in lots
    )


def host(step: Mill | Laminate, plan: Plan) -> tuple[str, ...]:
    """Kinds in whose steps this kind's sticks are milled, or its glue-ups are clamped."""
    return tuple(
        other.makes
        for other in plan.steps
        if other.makes != step.makes
        and any(held.kind == step.makes for lot in _lots(other) for held in lot.holds)
    )


def unshared(plan: Plan) -> Plan:
    """The plan with every stick milled, and every kind of glue-up clamped, by itself."""
    steps = (s.alone() if isinstance(s, Mill | Laminate) else s for s in plan.steps)
    return replace(plan, steps=tuple(steps))


def still_shared(plan: Plan) -> Plan:
    """The plan, its lots undone where sizes that changed no longer allow them."""
    return unshared(plan) if lot_faults(plan) else plan


def lot_numbers(lots: Iterable[Lot]) -> Iterator[float]:
    """Every number written in lots."""
    for lot in lots:
        yield lot.times
        yield from (held.count for held in lot.holds)


def lot_faults(plan: Plan) -> tuple[tuple[int, Fault], ...]:
    """What cannot be right about the lots of a plan, with the numbers of the steps."""
    steps = {step.makes: step for step in plan.steps if isinstance(step, Mill | Laminate)}
    elsewhere: dict[str, int] = {}
    for step in plan.steps:
        for lot in _lots(step):
            for held in lot.holds:
                if held.kind != step.makes:
                    elsewhere[held.kind] = elsewhere.get(held.kind, 0) + held.count * lot.times
    found: list[tuple[int, Fault]] = []
    for number, step in enumerate(plan.steps, start=1):
        subject = f"step {number} ({step.verb} {step.makes})"
        if isinstance(step, Mill | Laminate) and (step.is_shared or step.makes in elsewhere):
            told = _own(step, elsewhere.get(step.makes, 0), subject)
            found.extend((number, fault) for fault in (*told, *_alike(step, steps, subject)))
    found.extend(_apart(plan))
    return tuple(found)


def _lots(step: object) -> tuple[Lot, ...]:
    if isinstance(step, Mill):
        return step.long
    return step.lots if isinstance(step, Laminate) else ()


def _own(step: Mill | Laminate, elsewhere: int, subject: str) -> Iterator[Fault]:
    """Counts of a step against the lots."""
    away = step.parted if isinstance(step, Mill) else step.beside
    what = "off long sticks" if isinstance(step, Mill) else "in clampings"
    if away != elsewhere:
        yield Fault(
            "P117", subject, f"has {away} come {what} of other steps; those hold {elsewhere}"
        )
    lots = _lots(step)
    if any(lot.times < 1 or any(held.count < 1 for held in lot.holds) for lot in lots):
        yield Fault("P117", subject, "has a lot of nothing", "use 1 or more of each kind")
    if any(step.makes not in {held.kind for held in lot.holds} for lot in lots):
        yield Fault("P117", subject, f"has a lot in which no {step.makes} lies")
    own = sum(h.count * lot.times for lot in lots for h in lot.holds if h.kind == step.makes)
    if own + away != step.count:
        yield Fault(
            "P117", subject, f"has {own} in its own lots and {away} in others, not {step.count}"
        )
    if isinstance(step, Laminate) and step.clampings != sum(lot.times for lot in lots):
        yield Fault("P111", subject, f"has {step.clampings} clampings for {len(lots)} lots")


def _alike(
    step: Mill | Laminate, steps: Mapping[str, Mill | Laminate], subject: str
) -> Iterator[Fault]:
    """Whatever is in one lot is made in one way."""
    for kind in dict.fromkeys(held.kind for lot in _lots(step) for held in lot.holds):
        other = steps.get(kind)
        if type(other) is not type(step):
            what = "stick" if isinstance(step, Mill) else "glue-up"
            yield Fault(
                "P118", subject, f"has {kind or 'a nameless part'} in it, which is no {what}"
            )
        elif isinstance(step, Mill) and isinstance(other, Mill):
            sizes = (step.width_mm - other.width_mm, step.depth_mm - other.depth_mm)
            if step.wood != other.wood or max(map(abs, sizes)) > _SAME_MM:
                yield Fault(
                    "P118", subject, f"is milled in one with {kind}, of another wood or section"
                )
        elif isinstance(other, Laminate) and (other.angled or other.corner_deg is not None):
            yield Fault("P118", subject, f"has {kind} in its clamps, whose faces slant")


def _apart(plan: Plan) -> Iterator[tuple[int, Fault]]:
    """What is clamped together is glued in steps one behind the other, none waiting for another."""
    at = {step.makes: n for n, step in enumerate(plan.steps)}
    for n, step in enumerate(plan.steps):
        if not isinstance(step, Laminate) or not step.lots:
            continue
        kinds = {held.kind for lot in step.lots for held in lot.holds if held.kind in at}
        places = sorted(at[kind] for kind in kinds)
        subject = f"step {n + 1} ({step.verb} {step.makes})"
        if places and places[-1] - places[0] != len(places) - 1:
            yield (
                n + 1,
                Fault(
                    "P119",
                    subject,
                    f"is clamped together with {', '.join(sorted(kinds - {step.makes}))}",
                    "put their steps one behind the other",
                ),
            )
        waits = {kind for place in places for kind in inputs(plan.steps[place])} & kinds
        if waits:
            yield n + 1, Fault("P119", subject, f"has {', '.join(sorted(waits))} in its own clamps")
