"""What is typed of a step, and how it is read back."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.app.desk import Desk
from seamwright.app.fit_desk import measure, record_of, to_measure
from seamwright.app.planning import PlanReport, plan
from seamwright.design import read
from seamwright.errors import FitError
from seamwright.plan import default_shop
from seamwright.store import Job, Store

INCHES = """
title = "two stripes"
unit = "in"
thickness = "3/4"

[woods]
A = "sugar maple"
B = "black walnut"

[block.two]
columns = "2 2"
rows = "10"
cells = "A B"

[board]
set = "two"
"""


@pytest.fixture(scope="module")
def report() -> PlanReport:
    return plan(read(INCHES, name="two"), default_shop())


@pytest.fixture
def kept(tmp_path: Path):
    desk = Desk(Store.open(f"sqlite:///{tmp_path}/shop.db"))
    yield desk, desk.begin(INCHES, said="begun")
    desk.close()


def told(kept: tuple[Desk, Job], report: PlanReport, typed: str) -> tuple[tuple[float, ...], str]:
    desk, job = kept
    measure(desk, job, report.plan, 1, typed=typed, good="")
    record = record_of(desk, job, report.plan)
    assert record is not None
    reading = record.reading(1)
    assert reading is not None
    return reading.sizes_mm, to_measure(report.plan, 1, record, report.drawing.unit).sizes


@pytest.mark.parametrize(
    ("typed", "sizes_in", "again"),
    [
        ("2 1/32", [2.03125], "2-1/32"),
        ("2 1/32, 2-1/16", [2.03125, 2.0625], "2-1/32, 2-1/16"),
        ("2.031; 2.029", [2.031, 2.029], "2.031, 2.029"),
        ("2.5 2.25 63/32", [2.5, 2.25, 1.96875], "2-1/2, 2-1/4, 1-31/32"),
    ],
)
def test_a_mixed_number_is_one_size(kept, report, typed, sizes_in, again) -> None:
    sizes_mm, shown = told(kept, report, typed)
    assert sizes_mm == pytest.approx([25.4 * size for size in sizes_in])
    assert shown == again


def test_what_is_read_back_means_the_same(kept, report) -> None:
    @given(st.lists(st.floats(1.5, 2.5), min_size=1, max_size=4))
    def check(sizes: list[float]) -> None:
        sizes_mm, shown = told(kept, report, ", ".join(f"{size:.4f}" for size in sizes))
        assert told(kept, report, shown)[0] == pytest.approx(sizes_mm, abs=0.002)

    check()


def test_nonsense_is_named_and_nothing_kept(kept, report) -> None:
    desk, job = kept
    with pytest.raises(FitError, match="step 1"):
        measure(desk, job, report.plan, 1, typed="two and a bit", good="")
    assert record_of(desk, job, report.plan) is None
