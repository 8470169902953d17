"""Plans that differ in kind."""

import re
from dataclasses import replace

import pytest

from seamwright.bench import prove
from seamwright.design import demo, read
from seamwright.errors import PlanError
from seamwright.plan import default_shop, totals
from seamwright.planner import Prefer, alternatives, measure, prefer_plan


@pytest.fixture(scope="module")
def drawing():
    return read(demo(), name="demo")


@pytest.fixture(scope="module")
def found(drawing):
    return alternatives(drawing, default_shop())


def test_every_way_proves_in_the_shop_it_is_for(found, drawing) -> None:
    assert len(found) >= 2
    for way in found:
        assert way.planned.plan.shop == default_shop()
        assert prove(way.planned.plan, drawing).holds


def test_the_cheapest_comes_first_and_no_way_beats_another_in_everything(found) -> None:
    assert found[0].prefer is Prefer.CHEAPEST
    assert found[0].measures.minutes == min(way.measures.minutes for way in found)
    for way in found:
        for other in found:
            if way is not other:
                mine, theirs = way.measures, other.measures
                assert (
                    mine.hands_on > theirs.hands_on
                    or mine.glue_ups > theirs.glue_ups
                    or mine.set_ups > theirs.set_ups
                    or mine.wood_mm3 > theirs.wood_mm3
                    or mine.smallest_mm < theirs.smallest_mm
                    or mine.stages > theirs.stages
                )


def test_what_is_preferred_is_had(found, drawing) -> None:
    by_name = {way.prefer: way.measures for way in found}
    cheapest = by_name[Prefer.CHEAPEST]
    assert by_name[Prefer.LEAST_WOOD].wood_mm3 < cheapest.wood_mm3
    # it may stand under the name of another way that has as few
    fewest = measure(prefer_plan(drawing, default_shop(), Prefer.FEWEST_GLUE_UPS).plan)
    assert fewest.glue_ups == min(way.measures.glue_ups for way in found)


def test_measures_agree_with_the_totals(found) -> None:
    for way in found:
        sums = totals(way.planned.plan)
        assert measure(way.planned.plan).glue_ups == sums.glue_ups
        wood = sums.wood_mm3 / 1e6 * default_shop().minutes.wood_litre
        assert way.measures.hands_on == pytest.approx(sums.minutes - wood)


def test_one_is_one_and_the_thing_comes_last(found) -> None:
    for way in found[1:]:
        assert re.search(r"\b(more|less|fewer)\b", way.trade)
        assert not re.search(r"\b1 (more|fewer) (glue-ups|set-ups)", way.trade)
        assert not re.search(r"\b(more|less) (min|l|mm)\b", way.trade)


def test_the_safest_plan_keeps_sizes_at_the_saw_up(drawing) -> None:
    safest = prefer_plan(drawing, default_shop(), Prefer.SAFEST)
    assert measure(safest.plan).smallest_mm >= default_shop().limits.slice_min_mm
    assert prove(safest.plan, drawing).holds


def test_no_plan_is_no_plan_however_preferred(drawing) -> None:
    shop = default_shop()
    tiny = replace(shop, limits=replace(shop.limits, clamp_reach_mm=60.0))
    for prefer in (Prefer.SAFEST, Prefer.QUICKEST):
        with pytest.raises(PlanError):
            prefer_plan(drawing, tiny, prefer)
