from __future__ import annotations

import pytest

from seamwright.rack import FlawKind, RackError, Ring, Stock
from seamwright.rack.table import (
    boards_from_csv,
    boards_to_csv,
    rack_from_csv,
    rack_to_csv,
)

TEXT = """name,wood,thickness_mm,width_mm,length_mm,stock,ring,flaws
A,cherry,4/4,150,1200,offcut,flat,knot 10 20 30 15; grain runout 500 0 80.5 40
B,black walnut,26.5,90,700,,,
"""


def test_a_table_is_read():
    a, b = boards_from_csv(TEXT)
    assert a.thickness_mm == pytest.approx(25.4)
    assert (a.stock, a.ring) == (Stock.OFFCUT, Ring.FLAT)
    assert [f.kind for f in a.flaws] == [FlawKind.KNOT, FlawKind.RUNOUT]
    assert a.flaws[1].length_mm == 80.5
    assert (b.stock, b.ring, b.flaws) == (Stock.BOARD, Ring.UNKNOWN, ())


def test_what_is_written_is_read_back():
    boards = boards_from_csv(TEXT)
    assert boards_from_csv(boards_to_csv(boards)) == boards


def test_a_byte_order_mark_and_empty_lines_do_not_matter():
    assert boards_from_csv("\ufeff\n" + TEXT + "\n\n") == boards_from_csv(TEXT)


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("", ["R113"]),
        ("name,wood\n", ["R115", "R115", "R115"]),
        ("name,wood,thickness_mm,width_mm,length_mm,colour\n", ["R116"]),
        ("name,wood,thickness_mm,width_mm,length_mm\nA,oak,26,150\n", ["R117"]),
        ("name,wood,thickness_mm,width_mm,length_mm\nA,oak,26,wide,\n", ["R118", "R118"]),
        ("name,wood,thickness_mm,width_mm,length_mm\nA,oak,7/4,150,900\n", ["R111"]),
        ("name,wood,thickness_mm,width_mm,length_mm,ring\nA,oak,26,150,900,round\n", ["R119"]),
        ("name,wood,thickness_mm,width_mm,length_mm,flaws\nA,oak,26,150,900,knot 1 2\n", ["R114"]),
        (
            "name,wood,thickness_mm,width_mm,length_mm,flaws\nA,oak,26,150,900,knot 890 0 20 20\n",
            ["R110"],
        ),
        (
            "name,wood,thickness_mm,width_mm,length_mm\nA,oak,26,150,900\nA,oak,26,150,-9\n"
            "A,oak,26,150,900\n",
            ["R104", "R107"],
        ),
        ('name,wood,thickness_mm,width_mm,length_mm\nA,"oak,26\n', ["R112"]),
    ],
)
def test_faults_have_codes(text, codes):
    with pytest.raises(RackError) as caught:
        boards_from_csv(text)
    assert [fault.code for fault in caught.value.faults] == codes


def test_a_fault_names_its_line():
    with pytest.raises(RackError) as caught:
        boards_from_csv(
            "name,wood,thickness_mm,width_mm,length_mm\nA,oak,26,150,900\nB,oak,0,1,1\n"
        )
    assert caught.value.faults[0].line == 3


def test_sizes_that_can_be_bought_are_lines_of_their_own():
    head = "name,wood,thickness_mm,width_mm,length_mm,finish,stock,price,limit\n"
    rack = rack_from_csv(head + "yard,oak,8/4,150,2440,milled,offer,60,4\nA,oak,26,90,700,,,,\n")
    assert [b.name for b in rack.boards] == ["A"]
    (offer,) = rack.offers
    assert (offer.price, offer.limit) == (60.0, 4)
    assert offer.thickness_mm == pytest.approx(44.45)  # 8/4 planed both faces is 1 3/4 in
    assert rack_from_csv(rack_to_csv(rack)) == rack


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("yard,oak,26,150,2440,offer,,", "R106"),
        ("yard,oak,26,150,2440,offer,60,-1", "R118"),
        ("yard,oak,26,150,2440,offer,60,1.5", "R118"),
        ("A,oak,26,150,2440,board,60,3", "R118"),
        ("A,oak,26,150,2440,bought,60,", "R119"),
        (f"{'A' * 81},oak,26,150,2440,board,,", "R102"),
        ("A,oak,26,150,20001,board,,", "R104"),
    ],
)
def test_offers_that_cannot_be_are_refused(line, code):
    head = "name,wood,thickness_mm,width_mm,length_mm,stock,price,limit\n"
    with pytest.raises(RackError) as caught:
        rack_from_csv(f"{head}{line}\n")
    assert code in {fault.code for fault in caught.value.faults}
