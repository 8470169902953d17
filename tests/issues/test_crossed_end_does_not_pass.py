"""A board end of crossed grain is never told to hold: its shear cancels in the mean only."""

from mechanics_boards import drawing, rectangle
from seamwright.strength import Verdict, soundness
from seamwright.woods import find_climate, find_species


def test_a_crossed_end_is_at_risk():
    patches = [
        (rectangle(0, 0, 400, 300), "A", 90.0),
        (rectangle(0, 300, 400, 360), "A", 0.0),
    ]
    found = soundness(
        drawing(patches, 400.0, 360.0),
        {"A": find_species("sugar maple")},
        climates=(find_climate("damp-coast"),),
        element_mm=10.0,
    )
    first = found.findings[0]
    assert first.code == "M1"
    assert first.verdict.rank <= Verdict.RISK.rank
    (seam,) = found.seams
    assert seam.moisture_use[2] > 0.9
    # the two halves pull in opposite directions, so their plain mean is nothing
    assert seam.moisture_use[2] <= seam.moisture_window
