"""The way from drawing to plan as a whole: progress, limits, being stopped."""

from __future__ import annotations

import pytest

from fakes.drawings import random_split
from fakes.plans import plain_shop
from seamwright.design import read
from seamwright.errors import Cancelled, PlanError
from seamwright.planner import grouping, make_plan, ordering
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


TWO_BLOCKS = """
unit = "mm"
thickness = 20
woods = { A = "pear", B = "bog oak", C = "plum" }
[block.bars]
columns = "40 40 40"
rows = "40 40 40"
cells = '''
A B C
A B C
A B C
'''
[block.cross]
columns = "30 60 30"
rows = "30 60 30"
cells = '''
B A B
A C A
B A B
'''
[board]
set = ["cross bars cross bars", "bars~180 cross bars~180 cross", "cross bars cross bars"]
sashing = { wood = "B", width = 8 }
"""


def test_blocks_of_a_row_glued_first_are_never_dearer(monkeypatch: pytest.MonkeyPatch) -> None:
    # random drawings have no blocks, so nothing is saved there
    drawings = [
        read(TWO_BLOCKS, name="two"),
        *(random_split(n, 14, step_mm=25.0) for n in range(4)),
    ]
    with_blocks = [make_plan(drawing, plain_shop()) for drawing in drawings]
    monkeypatch.setattr(grouping, "_blocks", lambda _crossing: ())
    without = [make_plan(drawing, plain_shop()) for drawing in drawings]
    saved = [b.best.bound - a.best.bound for a, b in zip(with_blocks, without, strict=True)]
    assert all(each >= -1e-6 for each in saved)
    assert saved[0] > 20.0


def test_an_order_that_was_not_searched_to_its_end_is_not_claimed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    drawing = random_split(3, 8, step_mm=25.0)
    said = make_plan(drawing, plain_shop()).best.option_space
    assert said.endswith("and by the order of the steps")
    monkeypatch.setattr(ordering, "_MOST_WORK", 0)
    said = make_plan(drawing, plain_shop()).best.option_space
    assert said.endswith("too many to try them all")
