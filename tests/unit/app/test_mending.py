"""What measured sizes change: verdicts, changes, the least to make again."""

from __future__ import annotations

from functools import cache

import pytest

from fakes.boards import CHECKS, drawing, planned, studied
from seamwright.app.measuring import Reading, Record, fingerprint, read_record, record_text
from seamwright.app.mending import Mended, Verdict, mend
from seamwright.errors import FitError
from seamwright.fit import planned_mm
from seamwright.plan import Mill


@cache
def mended(*readings: Reading) -> Mended:
    record = Record(design="", plan=planned(CHECKS), readings=readings)
    return mend(drawing(CHECKS), studied(CHECKS), record)


def test_sizes_as_drawn_change_nothing() -> None:
    found = mended(Reading(step=1, sizes_mm=(50.8, 50.8)), Reading(step=2))
    assert found.verdict is Verdict.AS_PLANNED
    assert found.changes == ()
    assert found.proof is not None
    assert found.proof.holds


def test_a_narrow_strip_makes_the_other_one_follow_and_the_plan_is_proven() -> None:
    found = mended(Reading(step=1, sizes_mm=(50.1, 50.2, 50.3)))
    assert found.verdict is Verdict.MENDED
    assert found.proof is not None
    assert found.proof.holds
    told = {(change.part, change.what): change.new_mm for change in found.changes}
    assert told["S2", "width"] == pytest.approx(50.2, abs=1e-6)
    assert ("S1", "width") not in told
    assert found.border_mm > 0.2


def test_strips_that_hardly_differ_are_taken_as_they_are() -> None:
    found = mended(Reading(step=1, sizes_mm=(50.7,)), Reading(step=2, sizes_mm=(50.9,)))
    assert found.verdict is Verdict.NEARLY
    assert found.proof is None
    assert found.resolved is not None
    assert 0.05 < found.resolved.widest_mm <= 0.2


def test_strips_that_differ_much_have_to_be_made_again_at_the_least_cost() -> None:
    found = mended(Reading(step=1, sizes_mm=(50.2,)), Reading(step=2, sizes_mm=(52.6,)))
    assert found.verdict is Verdict.REMAKE
    assert found.remake is not None
    assert found.remake.steps in {(1,), (2,)}
    assert found.remake.resolved.mends()
    sliced = mended(
        Reading(step=1, sizes_mm=(50.2,)),
        Reading(step=2, sizes_mm=(52.6,)),
        Reading(step=5, sizes_mm=(50.2,)),
    )
    assert sliced.remake is not None
    # what was glued and sliced from the strip has to be made again too
    assert {4, 5} < set(sliced.remake.steps)
    assert sliced.remake.minutes > found.remake.minutes


def test_a_measured_glue_up_says_what_its_strips_became() -> None:
    found = mended(Reading(step=4, sizes_mm=(202.6,)))
    assert found.verdict in {Verdict.MENDED, Verdict.NEARLY}
    assert found.resolved is not None
    sizes = {size.part: mm for size, mm in found.resolved.sizes.items() if size.what == "width"}
    # two strips of each
    assert 2.0 * sizes["S1"] + 2.0 * sizes["S2"] == pytest.approx(-0.6, abs=1e-6)
    assert sizes["S1"] == pytest.approx(sizes["S2"], abs=1e-3)


def test_records_come_back_as_they_were() -> None:
    record = Record(
        design=fingerprint(drawing(CHECKS)),
        plan=planned(CHECKS),
        readings=(Reading(step=1, sizes_mm=(50.1, 50.2), good=1), Reading(step=4)),
    )
    assert read_record(record_text(record)) == record
    with pytest.raises(FitError, match="measure anew"):
        read_record("[]")


def test_a_thin_strip_thins_the_others_and_the_plan_is_proven_with_what_was_measured() -> None:
    found = mended(Reading(step=1, thick_mm=(20.35, 20.3)))
    assert found.verdict is Verdict.MENDED
    assert found.proof is not None
    assert found.proof.holds
    assert found.rewritten is not None
    thick = {s.makes: s.depth_mm for s in found.rewritten.plan.steps if isinstance(s, Mill)}
    planned_thick = planned_mm(planned(CHECKS))
    first, *others = [s for s in planned(CHECKS).steps if isinstance(s, Mill)]
    # the thinnest reading counts; strips of the same glue-up follow it
    assert thick[first.makes] == pytest.approx(20.3)
    same = [s for s in others if abs(s.depth_mm - first.depth_mm) < 1e-6]
    assert same
    assert {round(thick[s.makes], 6) for s in same} <= {20.3, round(planned_thick[first.makes], 6)}
    assert found.rewritten.drawing.thickness_mm == drawing(CHECKS).thickness_mm
    assert found.thicker is None


def test_a_board_that_has_to_come_out_thinner_is_told_with_what_would_save_it() -> None:
    board_mm = drawing(CHECKS).thickness_mm
    found = mended(Reading(step=1, thick_mm=(board_mm - 0.6,)))
    assert found.verdict is Verdict.MENDED
    assert found.proof is not None
    assert found.proof.holds
    assert found.rewritten is not None
    assert found.rewritten.drawing.thickness_mm <= board_mm - 0.6 + 1e-6
    assert found.thicker is not None
    assert found.thicker.steps[0] == 1
    gone = mended(Reading(step=1, thick_mm=(board_mm * 0.8,)))
    assert gone.verdict is Verdict.REMAKE
    assert "less than 90 %" in gone.refused
    assert gone.thicker is not None
