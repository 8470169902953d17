"""What a board is made on, as typed on the screen."""

from __future__ import annotations

import pytest

from seamwright.app import read_design
from seamwright.app.making_on import Base, base_view, base_words, make_on
from seamwright.app.redrawing import mirror, quarter_turn
from seamwright.design import Drawing, Kind, read, write
from seamwright.errors import DesignError
from seamwright.pictures import Ruler

TEXT = (
    'unit = "in"\nthickness = "3/4"\nwoods = { A = "sugar maple", B = "black walnut" }\n'
    "[block.b]\ncolumns = '2 2'\nrows = '2 2'\ncells = '''\nA B\nB A\n'''\n"
)


def board() -> Drawing:
    return read_design(TEXT.encode(), name="try")


def typed(**changed: str) -> dict[str, str]:
    view = base_view(board(), Ruler(), 12.0)
    return {key: str(value) for key, value in view.items()} | changed


def test_a_face_on_a_panel_and_back_again() -> None:
    made = make_on(board(), Base.PANEL, typed(panel=" birch  plywood ", thickness="1/2"))
    assert made.kind is Kind.OVERLAY
    assert made.thickness_mm == pytest.approx(3.175)
    assert made.backing is not None
    assert made.backing.material == "birch plywood"
    assert made.backing.thickness_mm == pytest.approx(12.7)
    assert read(write(made), name="try") == made
    assert "7/8" not in base_words(board(), Ruler(), 12.0)
    assert "3/4″" in base_words(made, Ruler(), 12.0), "1/8 + 1/2 + 1/8"
    again = make_on(made, Base.THROUGH, typed(board="3/4"))
    assert again.kind is Kind.THROUGH
    assert again.backing is None
    assert again == board()


def test_solid_wood_turns_with_the_board() -> None:
    made = make_on(board(), Base.WOOD, typed(wood="B", grain="30", thickness="5/8"))
    assert made.backing is not None
    assert (made.backing.material, made.backing.grain_deg) == ("B", 30.0)
    turned, mirrored = quarter_turn(made), mirror(made)
    assert turned.backing is not None
    assert mirrored.backing is not None
    assert turned.backing.grain_deg == pytest.approx(120.0)
    assert mirrored.backing.grain_deg == pytest.approx(150.0)
    assert made.backing.veneer is None
    sawn = make_on(board(), Base.PANEL, typed(veneer="B"))
    assert sawn.backing is not None
    assert sawn.backing.veneer == "B"
    assert read(write(sawn), name="try") == sawn
    left_blank = make_on(board(), Base.WOOD, typed(wood="A", grain=" "))
    assert left_blank.backing is not None
    assert left_blank.backing.grain_deg == 90.0


@pytest.mark.parametrize("base", list(Base))
def test_what_is_shown_may_be_sent_back_and_changes_nothing(base: Base) -> None:
    made = make_on(board(), base, typed(wood="B", grain="across", veneer="bought"))
    view = base_view(made, Ruler(), 12.0)
    assert view["base"] == base.value
    shown = {key: str(value) for key, value in view.items()}
    assert make_on(made, base, shown) == made


def test_an_overlay_without_a_backing_shows_the_panel_of_the_shop() -> None:
    text = TEXT.replace('thickness = "3/4"', 'thickness = "1/8"\nkind = "overlay"')
    view = base_view(read_design(text.encode(), name="try"), Ruler(), 12.7)
    assert (view["base"], view["face"], view["thickness"]) == ("panel", "1/8", "1/2")


@pytest.mark.parametrize(
    ("base", "changed", "about"),
    [
        (Base.THROUGH, {"board": "thick"}, {"thickness"}),
        (Base.PANEL, {"face": "400mm"}, {"thickness"}),
        (Base.PANEL, {"panel": ""}, {"backing.panel"}),
        (Base.PANEL, {"panel": "", "thickness": "0"}, {"backing.panel", "backing.thickness"}),
        (Base.PANEL, {"veneer": "Z"}, {"backing.veneer"}),
        (Base.WOOD, {"wood": "Z", "grain": "sideways"}, {"backing.wood", "backing.grain"}),
    ],
)
def test_each_fault_names_the_field_it_is_about(
    base: Base, changed: dict[str, str], about: set[str]
) -> None:
    with pytest.raises(DesignError) as refusal:
        make_on(board(), base, typed(**changed))
    assert {fault.subject for fault in refusal.value.faults} == about
