from __future__ import annotations

import pytest

from mechanics_boards import check_board, triangle_board
from seamwright.errors import StrengthError
from seamwright.strength import glance, soundness
from seamwright.woods import find_species

SPECIES = {
    letter: find_species(name)
    for letter, name in (("A", "sugar maple"), ("B", "walnut"), ("C", "cherry"))
}


def test_a_glance_says_of_every_seam_what_the_whole_check_says() -> None:
    board = triangle_board(4, 3)
    quick, whole = glance(board, SPECIES), soundness(board, SPECIES, element_mm=12.0)
    assert [s.patches for s in quick.seams] == [s.patches for s in whole.seams]
    for one, other in zip(quick.seams, whole.seams, strict=True):
        assert one.grain.kind.value == other.kind
        assert one.grain.tension_mpa == other.tension_mpa
        assert one.grain.reason == other.reason
    assert quick.through == whole.through
    told = {f.subject for f in whole.findings if f.code == "T1"}
    assert {f.subject for f in quick.findings} == told


def test_shares_of_continuous_grain_lie_along_the_board() -> None:
    quick = glance(check_board(6, 4, side=30.0), SPECIES)
    places = [x for x, _ in quick.bridged_up]
    assert all(0.0 < x < 180.0 for x in places)
    assert all(0.0 < y < 120.0 for y, _ in quick.bridged_across)
    shares = [share for _, share in (*quick.bridged_up, *quick.bridged_across)]
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert max(shares) > 0.3


def test_a_glance_refuses_in_words_too() -> None:
    with pytest.raises(StrengthError, match="wood B is not named"):
        glance(check_board(2, 2), {"A": SPECIES["A"]})
