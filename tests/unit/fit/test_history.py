"""What was measured makes the shop's accuracy; one wild reading spoils nothing."""

from __future__ import annotations

import numpy as np
import pytest

from fakes.boards import CHECKS, planned
from seamwright.fit.history import PRIOR_WORTH, Seen, learn, learned_accuracy, seen_in
from seamwright.plan import Accuracy, Slice, read_accuracy

PRIOR = read_accuracy()


def value(seen: list[Seen], name: str = "fence_mm") -> float:
    return next(v.value for v in learn(PRIOR, seen) if v.name == name)


def settings(*off: float) -> list[Seen]:
    return [Seen(shared="fence_mm", scatter="strip_mm", off_mm=(mm,)) for mm in off]


def test_without_readings_the_prior_stands() -> None:
    found = learned_accuracy(PRIOR, learn(PRIOR, []))
    for name in Accuracy.__slots__:
        assert getattr(found, name) == pytest.approx(getattr(PRIOR, name))


def test_many_settings_outweigh_the_prior() -> None:
    draw = np.random.default_rng(2)
    found = value(settings(*draw.normal(0.0, 0.4, 400).tolist()))
    assert found == pytest.approx(0.4, rel=0.25)
    assert value(settings(*[0.02, -0.02] * 100)) < 0.06


def test_one_wild_reading_changes_little() -> None:
    calm = [0.1, -0.12, 0.15, -0.09, 0.13, -0.14, 0.11, -0.1]
    wild = value(settings(*calm, 6.0))
    plain = ((PRIOR_WORTH * PRIOR.fence_mm**2 + sum(e * e for e in [*calm, 6.0])) / 15.0) ** 0.5
    assert wild < 2.0 * value(settings(*calm))
    assert plain > 8.0 * value(settings(*calm))
    told = next(v for v in learn(PRIOR, settings(*calm, 6.0)) if v.name == "fence_mm")
    assert told.doubted == 1
    assert abs(told.mean_mm) < 0.15


def test_parts_of_one_setting_tell_the_scatter_and_not_the_setting() -> None:
    seen = [Seen(shared="fence_mm", scatter="strip_mm", off_mm=(0.2, 0.2, 0.2, 0.2))] * 30
    assert value(seen, "strip_mm") < 0.03
    assert value(seen, "fence_mm") == pytest.approx(0.2, rel=0.15)


def test_readings_of_a_plan_go_to_the_machine_that_made_the_cut() -> None:
    plan = planned(CHECKS)
    sliced = next(
        number
        for number, step in enumerate(plan.steps, 1)
        if isinstance(step, Slice) and step.set_up.match in {"S1", "S2"}
    )
    stop = plan.steps[sliced - 1].set_up.size_mm
    planed, glued = plan.number("F1"), plan.number("L1")
    read = [(1, (51.0, 50.8)), (sliced, (stop + 0.1,)), (glued, (101.6,)), (planed, (19.2,))]
    seen = seen_in(plan, read)
    assert [s.shared for s in seen] == ["fence_mm", "gauge_mm", "thickness_mm"]
    assert seen[0].off_mm == pytest.approx((0.2, 0.0))
