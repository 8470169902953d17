from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.seams import SeamClass
from seamwright.strength import seam_grain
from seamwright.strength.material import material
from seamwright.woods import find_species, with_stand_ins

MAPLE, WALNUT = (
    material(with_stand_ins(find_species(name))[0], ring_angle_deg=0.0)
    for name in ("sugar maple", "walnut")
)


def share(angle: float) -> tuple[float, float]:
    return seam_grain(0.0, (angle, angle), (MAPLE, MAPLE)).share_of_wood


def test_an_edge_seam_is_as_strong_as_the_wood_beside_it() -> None:
    """Wood Handbook, FPL-GTR-190, ch. 10: side-grain joints about as strong as the wood."""
    edge = seam_grain(90.0, (90.0, 90.0), (MAPLE, WALNUT))
    assert edge.kind is SeamClass.LONG_GRAIN
    weaker = min(MAPLE.tension_across_mpa, WALNUT.tension_across_mpa)
    assert edge.tension_mpa == pytest.approx((weaker, weaker))
    assert edge.share_of_wood == (1.0, 1.0)


def test_an_end_grain_butt_reaches_a_quarter_at_most() -> None:
    """Wood Handbook, FPL-GTR-190, ch. 10: even special techniques reach about 25 %."""
    low, high = share(90.0)
    assert high == pytest.approx(0.25)
    assert low < high


def test_scarfs_stay_on_the_safe_side_of_published_tests() -> None:
    """Published boat-building tests: 65 % at 1:4, 95 % at 1:20."""
    assert share(math.degrees(math.atan(1 / 4)))[1] <= 0.65
    assert share(math.degrees(math.atan(1 / 20)))[1] <= 0.95


@given(st.floats(2.5, 55.0), st.floats(0.5, 4.0))
def test_a_steeper_seam_keeps_less_of_the_wood(angle: float, more: float) -> None:
    """Up to about 60°; there pull and shear together are a little worse than a square butt."""
    steeper = angle + more
    assert share(steeper)[0] <= share(angle)[0] + 1e-12


@given(st.floats(0.0, 180.0), st.floats(0.0, 180.0), st.floats(0.0, 180.0))
def test_the_weaker_side_governs(direction: float, one: float, other: float) -> None:
    both = seam_grain(direction, (one, other), (MAPLE, WALNUT))
    for grain, wood in ((one, MAPLE), (other, WALNUT)):
        alone = seam_grain(direction, (grain, grain), (wood, wood))
        assert both.tension_mpa[0] <= alone.tension_mpa[0] + 1e-9
        assert both.shear_mpa[0] <= alone.shear_mpa[0] + 1e-9
        assert both.share_of_wood[0] <= alone.share_of_wood[0] + 1e-9


def test_reasons_are_told_in_words() -> None:
    assert "1:1.0" in seam_grain(45.0, (0.0, 0.0), (MAPLE, MAPLE)).reason
    assert "end grain" in seam_grain(90.0, (0.0, 0.0), (MAPLE, MAPLE)).reason
