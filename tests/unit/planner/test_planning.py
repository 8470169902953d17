"""The way from drawing to plan as a whole: progress, limits, being stopped."""

from __future__ import annotations

import pytest

from fakes.drawings import random_split
from fakes.plans import plain_shop
from seamwright.errors import Cancelled, PlanError
from seamwright.planner import make_plan
from seamwright.planner import space as searching


def test_progress_goes_forward() -> None:
    told: list[float] = []
    make_plan(
        random_split(3, 8, step_mm=25.0),
        plain_shop(),
        progress=lambda fraction, text: told.append(fraction) if text else None,
    )
    assert told == sorted(told)
    assert told[0] == 0.0
    assert told[-1] <= 1.0


@pytest.mark.parametrize("after", [0, 3])
def test_whoever_asked_may_stop_it(after: int) -> None:
    asked = iter(range(10**6))
    with pytest.raises(Cancelled):
        make_plan(
            random_split(3, 20, step_mm=25.0),
            plain_shop(),
            cancelled=lambda: next(asked) >= after,
        )


def test_a_drawing_with_too_many_sub_assemblies_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(searching, "MOST_KINDS", 10)
    with pytest.raises(PlanError) as refused:
        make_plan(random_split(3, 20), plain_shop())
    (fault,) = refused.value.faults
    assert (fault.code, fault.subject) == ("P110", "the drawing")


def test_without_time_there_is_a_plan_and_an_honest_gap() -> None:
    planned = make_plan(random_split(8, 20, grains=(90.0,)), plain_shop(), seconds=0.0)
    best = planned.best
    assert best.bound <= best.cost
    assert best.stopped in {"time", "proven"}
    assert best.proven == (best.stopped == "proven" and best.gap <= 1e-6)
