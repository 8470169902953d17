"""Finding one's way about a plan."""

from __future__ import annotations

import pytest

from fakes import plans
from seamwright.plan import inputs, outputs, set_ups


def test_who_makes_and_uses_what() -> None:
    plan, _ = plans.quarter_turns()
    assert plan.maker("SR").makes == "P1"
    assert plan.number("SR") == plan.number("P1") == 2
    assert [step.makes for step in plan.users("SR")] == ["P2"]
    with pytest.raises(KeyError):
        plan.maker("X")


def test_what_goes_in_comes_out_and_is_set() -> None:
    plan, _ = plans.quarter_turns()
    mill, first, _, glue_up, _ = plan.steps
    assert inputs(mill) == {}
    assert inputs(glue_up) == {"P1": 2, "P2": 1}
    assert outputs(first) == {"P1": 2, "SR": 1}
    assert [s.size_mm for s in set_ups(mill)] == [21.6, 45.0]
    assert set_ups(glue_up) == ()
    triangles = plans.half_square()[0].steps[2]
    assert [s.key for s in set_ups(triangles)] == [
        ("crosscut sled", 60_000, 90_000),
        ("crosscut sled", 60_000, 45_000),
    ]
