"""The verb "check", on boards small enough to count by hand."""

import pytest

from seamwright.app import check, read_design, shares, split_words

HEAD = 'unit = "mm"\nthickness = 20\nwoods = { A = "sugar maple", B = "black walnut" }\n'
CROSS = HEAD + "[block.b]\ncolumns = '60 40'\nrows = '30 30'\ncells = '''\nA B\nB A\n'''\n"
SLANT = HEAD + "[block.b]\ncolumns = '60'\nrows = '60'\ncells = 'A/B'\n"
SWIRL = (
    HEAD + "patch = [\n"
    "{ name = 'south', wood = 'A', points = '0,0 120,0 120,60 0,60' },\n"
    "{ name = 'east', wood = 'B', points = '120,0 180,0 180,120 120,120' },\n"
    "{ name = 'north', wood = 'A', points = '60,120 180,120 180,180 60,180' },\n"
    "{ name = 'west', wood = 'B', points = '0,60 60,60 60,180 0,180' },\n"
    "{ name = 'heart', wood = 'A', points = '60,60 120,60 120,120 60,120' },\n]\n"
)


def looked_over(text):
    return check(read_design(text.encode(), name="try"))


def test_four_patches_have_four_seams():
    report = looked_over(CROSS)
    assert report.splits
    assert report.locked == ()
    assert report.added == ()
    found = sorted((round(seam.length_mm, 6), seam.words) for seam in report.seams)
    assert found == [
        (30.0, "long grain"),
        (30.0, "long grain"),
        (40.0, "end grain"),
        (60.0, "end grain"),
    ]


def test_every_seam_has_both_sides():
    (seam,) = looked_over(SLANT).seams
    assert seam.length_mm == pytest.approx(60.0 * 2.0**0.5)
    assert seam.words == "slanted 45°"
    assert {side.patch for side in seam.sides} == {"1", "2"}
    assert [side.angle_deg for side in seam.sides] == pytest.approx([45.0, 45.0])
    assert [side.words for side in seam.sides] == ["slanted 45°", "slanted 45°"]


def test_the_weaker_side_governs():
    text = HEAD + (
        "patch = [{ wood = 'A', grain = 'up', points = '0,0 60,0 60,40 0,40' },\n"
        "{ wood = 'B', grain = 'across', points = '60,0 120,0 120,40 60,40' }]\n"
    )
    (seam,) = looked_over(text).seams
    assert seam.words == "end grain"
    assert sorted(side.words for side in seam.sides) == ["end grain", "long grain"]


def test_a_swirl_is_named_and_freed_by_one_seam():
    report = looked_over(SWIRL)
    assert not report.splits
    assert report.locked == (("south", "east", "north", "west", "heart"),)
    assert report.fewest
    (seam,) = report.added
    assert seam.patch in {"south", "east", "north", "west"}
    assert seam.length_mm == pytest.approx(60.0)
    words = split_words(report)
    assert words[1] == "  south, east, north, west, heart"
    assert words[2].startswith("One more seam frees them (fewer will not do)")


def test_classes_are_summed_in_order_of_strength():
    found = shares(looked_over(CROSS))
    assert [(share.words, share.count, round(share.length_mm)) for share in found] == [
        ("long grain", 2, 60),
        ("end grain", 2, 100),
    ]


def test_unknown_woods_are_remarked_upon():
    report = looked_over(SLANT.replace("black walnut", "blac walnut"))
    assert [fault.code for fault in report.remarks] == ["D601"]
    assert "black walnut" in str(report.remarks[0])


def test_trade_names_are_known():
    assert looked_over(SLANT.replace("sugar maple", "hard maple")).remarks == ()
