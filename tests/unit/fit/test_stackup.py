"""Before cutting: chances, the settings that matter, and first order beside trials."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fakes.boards import CHECKS, CORNERS, planned, studied
from fakes.plans import roomy_shop
from seamwright.fit import Advice, Sort, stack_up, study
from seamwright.fit.sources import sources
from seamwright.fit.trials import run_trials
from seamwright.geometry import Motion
from seamwright.plan import Accuracy, Laminate, Mill, Placed, Plan, Slice, read_accuracy

LOOSE = read_accuracy()


def only(**values: float) -> Accuracy:
    """A shop in which only some things go wrong."""
    nothing = dict.fromkeys(Accuracy.__slots__, 1e-09)
    return Accuracy(**(nothing | values))


# corners pass through more steps, and the small terms of each that first order leaves out add up
@pytest.mark.parametrize(("text", "apart_mm"), [(CHECKS, 0.1), (CORNERS, 0.2)])
def test_trials_and_first_order_agree(text: str, apart_mm: float) -> None:
    looked = studied(text)
    tally = run_trials(
        looked.program,
        looked.meetings,
        sources(looked.plan, looked.program, LOOSE),
        gap_mm=0.4,
        trials=4000,
        seed=3,
        real=4000,
    )
    assert tally.sd_mm == pytest.approx(tally.linear_sd_mm, rel=0.06)
    assert tally.apart_mm < apart_mm


def test_two_levels_give_what_the_real_geometry_alone_gives() -> None:
    looked = studied(CORNERS)
    errors = sources(looked.plan, looked.program, LOOSE)
    gap = 0.4
    all_real = run_trials(
        looked.program, looked.meetings, errors, gap_mm=gap, trials=6000, seed=1, real=6000
    )
    both = run_trials(
        looked.program, looked.meetings, errors, gap_mm=gap, trials=40_000, seed=2, real=2000
    )
    apart = abs(all_real.chance - both.chance)
    assert apart < 4.0 * np.hypot(all_real.chance_error, both.chance_error)
    assert both.chance_error < all_real.chance_error


def test_the_same_seed_gives_the_same_answer() -> None:
    looked = studied(CHECKS)
    one, two = (stack_up(looked, LOOSE, trials=2000, seed=9) for _ in range(2))
    assert one == two
    assert stack_up(looked, LOOSE, trials=2000, seed=10) != one


def test_a_truer_shop_has_better_chances_and_a_wider_gap_too() -> None:
    looked = studied(CORNERS)
    rough = stack_up(looked, LOOSE, trials=4000)
    half = Accuracy(**{name: getattr(LOOSE, name) / 2.0 for name in Accuracy.__slots__})
    assert stack_up(looked, half, trials=4000).chance > rough.chance
    assert stack_up(looked, LOOSE, trials=4000, gap_mm=2.0).chance > rough.chance


def test_what_matters_is_what_is_wrong_and_advice_helps() -> None:
    looked = studied(CHECKS)
    found = stack_up(looked, only(fence_mm=0.4), trials=4000)
    # all strips of one width come from one setting of the fence: its error moves no seam
    assert found.chance == 1.0
    assert not found.matters
    hand = stack_up(looked, only(place_mm=0.4), trials=4000)
    assert all(matter.setting.sort is Sort.HAND for matter in hand.matters)
    assert hand.matters[0].advice is Advice.PINS
    assert hand.chance_advised > hand.chance
    assert 0.0 < hand.matters[0].share <= 1.0


def test_strips_from_one_setting_share_its_error() -> None:
    """Closed form: n strips of one setting are off by n times its error and √n times scatter."""
    count, bias, scatter = 9, 0.2, 0.05
    plan = strips(count)
    looked = study(plan)
    found = sources(plan, looked.program, only(fence_mm=bias, strip_mm=scatter))
    weights = found.matrix.toarray() * found.sd
    rows = looked.program.slots_of(looked.relations.sizes[0])[0].rows
    total = np.sqrt((weights[rows].sum(axis=0) ** 2).sum())
    assert total == pytest.approx(np.sqrt((count * bias) ** 2 + count * scatter**2), rel=1e-6)


def strips(count: int) -> Plan:
    stick = Mill(makes="S1", count=count, wood="A", length_mm=500.0, width_mm=40.0, depth_mm=20.0)
    glued = Laminate(
        makes="L1",
        count=1,
        parts=tuple(Placed(part="S1", at=Motion(y_mm=40.0 * i)) for i in range(count)),
        seams_deg=0.0,
        clampings=1,
    )
    return Plan(title="", steps=(stick, glued), board="L1", copies=1, shop=roomy_shop())


def test_a_stop_set_from_a_real_part_follows_it() -> None:
    plan = planned(CHECKS)
    looked = studied(CHECKS)
    matched = [
        step for step in plan.steps if isinstance(step, Slice) and step.set_up.match in {"S1", "S2"}
    ]
    assert matched
    found = sources(plan, looked.program, only(strip_mm=1.0))
    step = matched[0]
    length = next(s for s in looked.relations.sizes if s.part == step.makes)
    width = next(s for s in looked.relations.sizes if s.part == step.set_up.match)
    weights = found.matrix.toarray() * found.sd
    leader = weights[looked.program.slots_of(width)[0].start]
    for row in weights[looked.program.slots_of(length)[0].rows]:
        assert row @ leader == pytest.approx(1.0, rel=1e-3)


def test_a_board_without_meeting_points_always_meets() -> None:
    lone = replace(strips(1), board="S1")
    assert stack_up(study(lone), LOOSE, trials=100).chance == 1.0
