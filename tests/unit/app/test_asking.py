"""Why, and what if: worths and near misses as the screens and the command line get them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamwright import app
from seamwright.design import Resized, read, write
from seamwright.errors import Cancelled, LengthError, PlanError
from seamwright.lengths import Unit
from seamwright.pictures import Ruler

SASHED = """\
# a board whose sashing is a hair wider than the bars of its blocks
unit = "in"
thickness = "3/4"
woods = { A = "pear", B = "bog oak", C = "plum" }

[block.one]
columns = "2 3/4 2"
rows = "2 3/4 2"
cells = '''
A C B
C B C
B C A
'''

[board]
set = "one one"
sashing = { wood = "C", width = "25/32" }
"""


@pytest.fixture(scope="module")
def misses() -> app.NearMisses:
    return app.near(read(SASHED, name="sashed"), text=SASHED)


def test_sashing_a_hair_too_wide_is_found_and_what_it_saves(misses: app.NearMisses) -> None:
    near = next(
        one
        for one in misses.found
        if isinstance(one.change, Resized) and "sash 1" in one.change.changed
    )
    words = app.near_words(near, Ruler())
    assert words.startswith(
        "Make the sashing 3/4″ (19.1 mm) instead of 25/32″ (19.8 mm), like A1·2"
    )
    assert near.saved.set_ups >= 1
    assert f"{near.saved.set_ups} set-up" in words
    assert near.saved.minutes == pytest.approx(misses.report.best.cost - near.report.best.cost)


def test_the_change_is_written_into_the_file_as_it_was(misses: app.NearMisses) -> None:
    near = next(
        one
        for one in misses.found
        if isinstance(one.change, Resized) and "sash 1" in one.change.changed
    )
    assert near.text == SASHED.replace("25/32", "3/4")
    assert app.plan(read(near.text, name="sashed")).best.cost == near.report.best.cost


def test_without_a_file_the_change_is_bare_patches() -> None:
    drawing = read(SASHED, name="sashed")
    near = app.near(drawing).found[0]
    assert near.text == write(near.change.drawing)
    assert read(near.text, name="sashed") == near.change.drawing


def test_the_largest_gain_comes_first(misses: app.NearMisses) -> None:
    gains = [one.saved.minutes for one in misses.found]
    assert gains == sorted(gains, reverse=True)
    assert all(gain >= 0.5 for gain in gains)
    assert misses.tried >= len(misses.found)


def test_worths_are_told_by_what_they_cost_and_where() -> None:
    why = app.why(replace(read(SASHED, name="sashed"), copies=6))
    lines = "\n".join(app.why_lines(why))
    assert "without it the board costs" in lines
    for choice in app.why_document(why)["choices"]:
        steps = [why.report.plan.steps[number - 1] for number in choice["steps"]]
        assert set(choice["parts"]) <= {step.makes for step in steps}
        assert choice["without"] is None or choice["without"]["minutes"] > -1e-6


def test_both_run_as_background_work() -> None:
    told: list[float] = []

    def progress(share: float, _doing: str) -> None:
        told.append(share)

    why = app.why_text(SASHED, "", progress=progress, cancelled=lambda: False)
    near = app.near_text(SASHED, "", 2.0, progress=progress, cancelled=lambda: False)
    assert why.report.plan == near.report.plan
    assert all(0.0 <= share <= 1.0 for share in told)
    with pytest.raises(Cancelled):
        app.near_text(SASHED, "", 2.0, progress=progress, cancelled=lambda: True)


def test_a_shop_that_cannot_make_it_says_so() -> None:
    with pytest.raises(PlanError):
        app.near_text(
            SASHED,
            "[limits]\nslice_min = 60\nstick_min_width = 40\n[small_parts]\nshooting_boards = 0",
            2.0,
            progress=lambda _s, _d: None, cancelled=lambda: False,
        )  # fmt: skip


def test_limits_are_lengths_and_no_larger_than_sense() -> None:
    assert app.near_limit("1/16", Unit.INCH) == pytest.approx(1.5875)
    assert app.near_limit("2mm", Unit.INCH) == 2.0
    for typed in ("0", "-1", "3", "soon"):
        with pytest.raises(LengthError):
            app.near_limit(typed, Unit.INCH)
