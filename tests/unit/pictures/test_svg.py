from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from fakes import hand_plan
from seamwright.pictures import Ink, Path, Ruler, Text, framed, looks, panel, svg
from seamwright.pictures.hatching import lines_across
from seamwright.pictures.looks import HATCHES, figure, luminance
from seamwright.pictures.primitives import text_width_mm


def test_one_user_unit_is_one_millimetre() -> None:
    line = Path(points=((0.0, 0.0), (100.0, 0.0)), ink=Ink(line="#000000"))
    root = ET.fromstring(svg(framed([line], title="bar", margin_mm=2.0)))
    assert root.attrib["width"] == "104mm"
    assert root.attrib["viewBox"] == "0 0 104 4"


def test_the_board_is_written_at_real_size_with_y_turned_over() -> None:
    drawing = hand_plan.drawing()
    picture = panel(
        drawing, looks=looks(drawing.woods), ruler=Ruler(), scale=1.0, names=False, sizes=False
    )
    root = ET.fromstring(svg(picture))
    outline = root[-1].attrib["d"]
    numbers = [float(n) for n in re.findall(r"-?[0-9.]+", outline)]
    xs, ys = numbers[::2], numbers[1::2]
    assert max(xs) - min(xs) == pytest.approx(12 * 25.4, abs=1e-4)
    assert max(ys) - min(ys) == pytest.approx(18 * 25.4 - 2.0 + 19.0 - 2.0 + 2.0, abs=2.1)
    assert ys[0] > ys[2], "the drawing's lower edge is low on the page"


def test_labels_with_signs_of_markup_stay_text() -> None:
    text = Text(at=(0.0, 0.0), text='3/4" < "B & C"', size_mm=3.0, colour="#000000")
    root = ET.fromstring(svg(framed([text], title="a <b> & c")))
    assert root[-1].text == '3/4" < "B & C"'
    assert root[0].text == "a <b> & c"


def test_hatch_lines_stay_inside_and_run_with_the_grain() -> None:
    triangle = ((0.0, 0.0), (30.0, 0.0), (0.0, 20.0))
    lines = lines_across(triangle, angle_deg=30.0, spacing_mm=1.0)
    assert len(lines) > 10
    for (ax, ay), (bx, by) in lines:
        assert (by - ay) / (bx - ax) == pytest.approx(0.57735, abs=1e-5)
        for x, y in ((ax, ay), (bx, by)):
            assert x >= -1e-9
            assert y >= -1e-9
            assert x / 30.0 + y / 20.0 <= 1.0 + 1e-9


def test_a_notch_is_left_bare() -> None:
    ell = ((0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (10.0, 10.0), (10.0, 30.0), (0.0, 30.0))
    for a, b in lines_across(ell, angle_deg=0.0, spacing_mm=2.0):
        assert max(a[0], b[0]) <= (30.0 if a[1] < 10.0 else 10.0) + 1e-9


def test_small_patches_still_show_their_wood() -> None:
    tiny = ((0.0, 0.0), (3.0, 0.0), (3.0, 1.0), (0.0, 1.0))
    assert lines_across(tiny, angle_deg=0.0, spacing_mm=2.6)


def test_every_wood_of_a_drawing_has_its_own_kind_of_line() -> None:
    woods = tuple((chr(65 + i), f"wood {i}") for i in range(len(HATCHES)))
    kinds = {(look.hatch.spacing_mm, look.hatch.dash_mm) for look in looks(woods).values()}
    assert len(kinds) == len(HATCHES)
    assert len({look.hatch.said for look in looks(woods).values()}) == len(HATCHES)


def test_hatch_lines_stand_out_on_their_wood_in_grey() -> None:
    for look in looks((("A", "sugar maple"), ("B", "black walnut"), ("C", "wenge"))).values():
        assert abs(luminance(look.line) - luminance(look.fill)) > 0.15


def test_common_names_find_their_colours() -> None:
    assert figure("Sugar maple") == figure("maple, silver")
    assert figure("black walnut") != figure("sugar maple")
    assert figure("no such wood", 1) == figure("maple")


def test_text_widths_are_on_the_safe_side() -> None:
    assert text_width_mm("1-51/64″", 4.6) > 15.0
    assert text_width_mm("", 4.6) == 0.0


def test_signs_that_xml_forbids_are_replaced() -> None:
    text = Text(at=(0.0, 0.0), text="a\x00b\x1bc\ufffe", size_mm=3.0, colour="#000000")
    root = ET.fromstring(svg(framed([text], title="t\x07")))
    assert root[-1].text == "a?b?c?"
