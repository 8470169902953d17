from __future__ import annotations

import pytest

from seamwright.rack import FlawKind, RackError, Ring, Stock
from seamwright.rack.table import boards_from_csv, boards_to_csv

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
