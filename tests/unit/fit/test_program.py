"""A plan on real parts: as drawn it gives the board of the bench, and real sizes move it."""

from __future__ import annotations

import numpy as np
import pytest

from fakes.boards import CHECKS, CORNERS, planned, studied
from fakes.hand_plan import plan as hand_plan
from seamwright.bench import execute
from seamwright.fit import Size, study
from seamwright.fit.pruning import pruned
from seamwright.geometry import area
from seamwright.plan import Plan


def areas_agree(plan: Plan) -> None:
    program = study(plan).program
    corners = program.corners(program.run(np.zeros((program.errors, 1))))[:, 0]
    ours = sorted(
        area(tuple((corners[i].real, corners[i].imag) for i in piece.at))
        for piece in program.shape.pieces
    )
    theirs = sorted(area(piece.points) for piece in execute(plan).solid(plan.board).pieces)
    assert ours == pytest.approx(theirs, abs=1e-2)


@pytest.mark.parametrize("text", [CHECKS, CORNERS])
def test_without_errors_the_board_is_that_of_the_bench(text: str) -> None:
    areas_agree(planned(text))


def test_a_plan_of_every_kind_of_step_gives_the_board_of_the_bench() -> None:
    areas_agree(hand_plan())


def test_unequal_strips_move_seams_by_their_difference() -> None:
    looked = studied(CHECKS)
    strip = next(s for s in looked.relations.sizes if s.part == "S1")
    errors = looked.program.uniform({strip: 0.3})
    corners = looked.program.corners(looked.program.run(errors))[:, 0]
    pairs = looked.meetings.pairs
    widest = float(np.abs(corners[pairs[:, 0]] - corners[pairs[:, 1]]).max())
    # two rows drift apart by the difference at one seam; lined up by eye it is shared out
    assert 0.15 <= widest <= 0.3 + 1e-9


def test_equal_strips_meet_whatever_their_width() -> None:
    looked = studied(CHECKS)
    wide = {Size("S1", "width"): 0.7, Size("S2", "width"): 0.7}
    corners = looked.program.corners(looked.program.run(looked.program.uniform(wide)))[:, 0]
    pairs = looked.meetings.pairs
    assert np.abs(corners[pairs[:, 0]] - corners[pairs[:, 1]]).max() < 1e-9


@pytest.mark.parametrize("text", [CHECKS, CORNERS])
def test_a_pruned_program_gives_the_same_corners_and_gaps(text: str) -> None:
    looked = studied(text)
    errors = np.random.default_rng(5).normal(0.0, 0.05, (looked.program.errors, 7))
    whole = looked.program.run(errors)
    used = np.unique(looked.meetings.pairs)
    smaller, numbers, gaps = pruned(looked.program, used, looked.meetings.gaps)
    run = smaller.run(errors)
    assert np.abs(smaller.corners(run)[numbers] - looked.program.corners(whole)[used]).max() < 1e-9
    opened = looked.program.open_mm(whole)[looked.meetings.gap_numbers]
    assert len(gaps) == len(opened)
    assert np.abs(smaller.open_mm(run) - opened).max(initial=0.0) < 1e-9


def test_single_precision_is_good_to_a_thousandth() -> None:
    looked = studied(CORNERS)
    errors = np.random.default_rng(6).normal(0.0, 0.05, (looked.program.errors, 20))
    fine = looked.program.corners(looked.program.run(errors))
    quick = looked.program.corners(looked.program.run(errors.astype(np.float32)))
    assert np.abs(fine - quick).max() < 1e-3
