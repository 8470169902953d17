"""What measured sizes change: verdicts, changes, the least to make again."""

from __future__ import annotations

from functools import cache

import pytest

from fakes.boards import CHECKS, drawing, planned, studied
from seamwright.app.measuring import Reading, Record, fingerprint, read_record, record_text
from seamwright.app.mending import Mended, Verdict, mend
from seamwright.errors import FitError


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
    found = mended(Reading(step=4, sizes_mm=(101.0,)))
    assert found.verdict in {Verdict.MENDED, Verdict.NEARLY}
    assert found.resolved is not None
    sizes = {size.part: mm for size, mm in found.resolved.sizes.items() if size.what == "width"}
    assert sizes["S1"] + sizes["S2"] == pytest.approx(-0.6, abs=1e-6)
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
