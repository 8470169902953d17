"""Design files: what they mean."""

import pytest

from seamwright import design
from seamwright.design import Kind, Unit
from seamwright.errors import DesignError
from seamwright.geometry import area, bounds

HEAD = """
unit = "in"
thickness = "3/4"
[woods]
A = "sugar maple"
B = "black walnut"
"""
TURNSTILE = r"""
[block.turnstile]
columns = "1/2 1 1/2"
rows = "1/2 1 1/2"
cells = '''
A/B  B    A\B
B    A    B
A\B  B    A/B
'''
"""
INCH = 25.4


def read(text, **options):
    return design.read(text, name="test", **options)


def patches(text, **options):
    return {patch.name: patch for patch in read(text, **options).patches}


def corners(patch):
    return {(round(x / INCH, 6), round(y / INCH, 6)) for x, y in patch.points}


def test_head():
    drawing = read('title = " A  panel "\ncopies = 3\nkind = "overlay"\n' + HEAD + TURNSTILE)
    assert (drawing.title, drawing.copies, drawing.kind) == ("A panel", 3, Kind.OVERLAY)
    assert (drawing.unit, drawing.thickness_mm) == (Unit.INCH, 19.05)
    assert drawing.woods == (("A", "sugar maple"), ("B", "black walnut"))
    assert drawing.outline == ((0.0, 0.0), (50.8, 0.0), (50.8, 50.8), (0.0, 50.8))
    assert read(HEAD + TURNSTILE).title == "test"


def test_cells_lean_as_they_are_written():
    got = patches(HEAD + TURNSTILE)
    assert len(got) == 13
    assert corners(got["1"]) == {(0, 1.5), (0.5, 2), (0, 2)}
    assert got["1"].wood == "A"
    assert corners(got["2"]) == {(0, 1.5), (0.5, 1.5), (0.5, 2)}
    assert got["2"].wood == "B"
    assert corners(got["4"]) == {(1.5, 1.5), (2, 1.5), (1.5, 2)}
    assert got["4"].wood == "A"
    assert corners(got["5"]) == {(2, 1.5), (2, 2), (1.5, 2)}
    assert got["7"].wood == "A"
    assert corners(got["7"]) == {(0.5, 0.5), (1.5, 0.5), (1.5, 1.5), (0.5, 1.5)}


def test_lists_are_texts_arrays_or_numbers():
    forms = ['"1 2"', '["1", "2"]', "[1, 2]", '"1in 2"', '[1, "50.8 mm"]', "[1.0, 2]"]
    drawings = [
        read(HEAD + f"[block.x]\ncolumns = {form}\nrows = 1\ncells = 'A B'") for form in forms
    ]
    assert all(drawing == drawings[0] for drawing in drawings)
    assert bounds(drawings[0].outline) == pytest.approx((0, 0, 3 * INCH, INCH))


def test_points_are_texts_or_arrays():
    forms = ['"0,0 1,0 1,1"', "[[0, 0], [1, 0], [1, 1]]", '["0,0", "1in,0", "25.4mm,1"]']
    shapes = [
        read(
            HEAD + f'[[patch]]\nwood = "A"\npoints = {form}\n'
            '[[patch]]\nwood = "B"\npoints = "0,0 1,1 0,1"'
        ).patches[0]
        for form in forms
    ]
    assert all(shape == shapes[0] for shape in shapes)


def test_a_patch_laid_over_cells_cuts_them():
    got = patches(
        HEAD + "[block.x]\ncolumns = '2 2'\nrows = '2'\ncells = 'A A'\n"
        "[[block.x.patch]]\nwood = 'B'\ngrain = 'across'\npoints = '1,0 3,0 3,2 1,2'"
    )
    assert [p.wood for p in got.values()] == ["A", "B", "A"]
    assert corners(got["2"]) == {(1, 0), (3, 0), (3, 2), (1, 2)}
    assert [p.grain_deg for p in got.values()] == [90.0, 0.0, 90.0]


def test_a_later_patch_lies_over_an_earlier_one():
    got = patches(
        HEAD + "[block.x]\ncolumns = '4'\nrows = '2'\ncells = 'A'\n"
        "[[block.x.patch]]\nwood = 'B'\npoints = '0,0 2,0 2,2 0,2'\n"
        "[[block.x.patch]]\nwood = 'A'\npoints = '1,0 3,0 3,2 1,2'"
    )
    assert [(p.wood, area(p.points) / INCH**2) for p in got.values()] == [
        ("B", pytest.approx(2)),
        ("A", pytest.approx(4)),
        ("A", pytest.approx(2)),
    ]


@pytest.mark.parametrize(
    ("turn", "place"),
    [
        ("", {(0, 2), (1, 2), (0, 3)}),
        ("~90", {(1, 0), (1, 1), (0, 0)}),
        ("~180", {(2, 1), (1, 1), (2, 0)}),
        ("~270", {(2, 1), (2, 2), (3, 2)}),
        ("~m", {(2, 2), (2, 3), (1, 2)}),
        ("~m~m", {(0, 2), (1, 2), (0, 3)}),
        ("~90~m", {(2, 0), (2, 1), (3, 0)}),
        ("~m~90", {(1, 2), (1, 1), (0, 2)}),
    ],
)
def test_turns_are_anticlockwise_and_mirrors_left_to_right(turn, place):
    """A corner triangle at the upper left, two wide and three high, followed by hand."""
    got = patches(
        HEAD + "[block.x]\ncolumns = '1 1'\nrows = '1 2'\ncells = '''A\\B B\nB B'''\n"
        f"[board]\nset = 'x{turn}'"
    )
    assert corners(got["1"]) == place


def test_the_boards_grain_does_not_turn_but_a_blocks_own_does():
    text = HEAD.replace("[woods]", "grain = 30\n[woods]") + (
        "[block.x]\ncolumns = 1\nrows = 1\ncells = 'A'\n"
        "[block.y]\ngrain = 10\ncolumns = 1\nrows = 1\ncells = 'A'\n"
        "[board]\nset = 'x x~90 x~m y y~90 y~m'\n"
    )
    grains = [patch.grain_deg for patch in read(text).patches]
    assert grains == [30.0, 30.0, 30.0, 10.0, 100.0, 170.0]


def test_names_tell_row_column_and_number():
    text = (
        HEAD + TURNSTILE + "[board]\nset = '''\nturnstile turnstile~90\nturnstile turnstile~m\n'''"
    )
    text += "\nsashing = {wood='A', width='1/4'}\nborders = [{wood='B', width=1}]"
    names = [patch.name for patch in read(text).patches]
    assert len(set(names)) == len(names) == 4 * 13 + 3 + 4
    assert names[0] == "A1·1"
    assert "B2·13" in names
    assert names[-4:] == ["left 1", "right 1", "top 1", "bottom 1"]
    got = patches(text)
    assert area(got["A1·1"].points) == pytest.approx(area(got["B2·1"].points))
    assert got["A1·1"].wood == got["A2·1"].wood == got["B2·1"].wood


BLOCKS = "[block.x]\ncolumns = '2'\nrows = '1'\ncells = 'A'\n[board]\nset = '''\nx x\nx x\n'''\n"


@pytest.mark.parametrize(
    ("extra", "sizes"),
    [
        ("", ["1/2 by 1", "1/2 by 1", "4-1/2 by 1/2"]),
        ("runs = 'up', ", ["1/2 by 2-1/2", "2 by 1/2", "2 by 1/2"]),
        ("cornerstones = 'A', ", ["1/2 by 1", "1/2 by 1", "1/2 by 1/2", "2 by 1/2", "2 by 1/2"]),
    ],
)
def test_sashing(extra, sizes):
    got = patches(HEAD + BLOCKS + f"sashing = {{{extra}wood = 'B', width = '1/2'}}")
    strips = []
    for name, patch in got.items():
        if name.startswith(("sash", "stone")):
            x0, y0, x1, y1 = bounds(patch.points)
            strips.append(" by ".join(shown((b - a) / INCH) for a, b in ((x0, x1), (y0, y1))))
    assert sorted(strips) == sorted(sizes)


def shown(inches):
    return {0.5: "1/2", 2.5: "2-1/2", 4.5: "4-1/2"}.get(round(inches, 6), f"{inches:.0f}")


def test_borders_are_added_in_the_order_of_their_sides():
    board = BLOCKS + "borders = [{wood='B', width=1, sides='top left'}, {wood='A', width='1/2'}]"
    got = patches(HEAD + board)
    sizes = {
        name: tuple(round(v / INCH, 6) for v in bounds(patch.points))
        for name, patch in got.items()
        if "·" not in name
    }
    assert sizes == {
        "top 1": (1.5, 2.5, 5.5, 3.5),
        "left 1": (0.5, 0.5, 1.5, 3.5),
        "left 2": (0.0, 0.5, 0.5, 3.5),
        "right 2": (5.5, 0.5, 6.0, 3.5),
        "top 2": (0.0, 3.5, 6.0, 4.0),
        "bottom 2": (0.0, 0.0, 6.0, 0.5),
    }


def test_known_blocks_at_any_size_with_other_letters():
    text = HEAD + "[block.s]\nfrom = 'Sawtooth Star'\nsize = 3\nletters = {C = 'B'}\ngrain = 0\n"
    drawing = read(text)
    assert len(drawing.patches) == 17
    assert {patch.wood for patch in drawing.patches} == {"A", "B"}
    assert {patch.grain_deg for patch in drawing.patches} == {0.0}
    assert bounds(drawing.outline) == pytest.approx((0, 0, 76.2, 76.2))
    stretched = read(text.replace("size = 3", "size = '3 6'"))
    assert bounds(stretched.outline) == pytest.approx((0, 0, 76.2, 152.4))


OBLONG = ("flying geese unit", "tumbling blocks")


@pytest.mark.parametrize("name", design.known_blocks())
def test_every_known_block_makes_a_sound_board(name):
    letters = "ABCDE"
    text = 'unit = "mm"\nthickness = 20\n[woods]\n'
    text += "".join(f'{letter} = "wood {letter}"\n' for letter in letters)
    turn = "~180~m" if name in OBLONG else "~90~m"
    text += f'[block.x]\nfrom = "{name}"\nsize = 85.3\n[board]\nset = "x x{turn}"\n'
    drawing = read(text)
    total = sum(area(patch.points) for patch in drawing.patches)
    assert total == pytest.approx(area(drawing.outline), rel=1e-9)


def test_bare_patches_by_other_programs():
    text = HEAD + (
        "[[patch]]\nwood = 'A'\npoints = '0,0 2,0 2,1 0,1'\n"
        "[[patch]]\nwood = 'B'\nname = 'top'\ngrain = 45.5\npoints = '0,1 1,1 2,1 2,2 0,2'\n"
    )
    got = patches(text)
    assert list(got) == ["1", "top"]
    assert got["top"].grain_deg == 45.5
    assert len(got["top"].points) == 4


def test_patches_laid_over_a_board():
    text = HEAD + BLOCKS + "[[patch]]\nwood = 'B'\npoints = '1,0 3,0 3,2 1,2'\n"
    drawing = read(text)
    assert sorted(patch.name for patch in drawing.patches) == [
        "A1·1", "A2·1", "B1·1", "B2·1", "laid 1",
    ]  # fmt: skip
    assert sum(area(patch.points) for patch in drawing.patches) == pytest.approx(8 * INCH**2)


def test_parts_of_a_cut_patch_get_letters():
    text = HEAD + "[block.x]\ncolumns = 4\nrows = 1\ncells = 'A'\n[board]\nset = 'x'\n"
    text += "[[patch]]\nwood = 'B'\nname = 'bar'\npoints = '1,0 2,0 2,1 1,1'\n"
    assert [patch.name for patch in read(text).patches] == ["1a", "1b", "laid bar"]


def test_an_outline_checks_the_size():
    text = HEAD + BLOCKS
    assert read(text + "outline = '4 2'") == read(text)
    assert read(text + "outline = '0,0 4,0 4,2 0,2'") == read(text)
    with pytest.raises(DesignError, match="gap of 645 mm²"):
        read(text + "outline = '4-1/2 2'")
    with pytest.raises(DesignError, match="wood outside its outline of 645 mm²"):
        read(text + "outline = '3-1/2 2'")


def test_samples_are_sound():
    demo, starter = read(design.demo()), read(design.starter())
    assert 60 <= len(demo.patches) <= 150
    assert len(demo.woods) == 3
    assert {patch.grain_deg for patch in demo.patches} == {90.0}
    assert design.remarks(demo, known_woods=[name for _, name in demo.woods]) == ()
    assert design.remarks(starter, known_woods=["Sugar Maple", "black walnut"]) == ()


def test_wood_names():
    drawing = read(design.demo())
    assert drawing.wood_name("W") == "black walnut"
    assert drawing.wood_name("?") == "?"


def test_odd_letters_and_titles_are_written_and_read():
    title = "title = 'a \"b\" \\ c'\n"
    text = title + HEAD.replace("[woods]", "[woods]\n'Ä w' = 'elm'")
    text += "[[patch]]\nwood = 'Ä w'\nname = 'x\"y'\npoints = '0,0 1,0 1,1'\n"
    text += "[[patch]]\nwood = 'A'\ngrain = 26.56505117707799\npoints = '0,0 1,1 0,1'\n"
    drawing = read(text)
    assert drawing.title == 'a "b" \\ c'
    assert drawing.patches[1].grain_deg == 26.56505117707799
    assert read(design.write(drawing)) == drawing


def test_remarks_on_woods():
    drawing = read(HEAD + "C = 'blak walnut'\n" + TURNSTILE)
    found = design.remarks(drawing, known_woods=["sugar maple", "black walnut"])
    assert [str(fault) for fault in found] == [
        "woods.C is used by no patch: take it out, or check the letters in the cells",
        "woods.C is 'blak walnut', not known here: did you mean 'black walnut'?",
    ]
    assert design.remarks(drawing, known_woods=[])[0].code == "D601"


def test_welding_takes_the_numbers_of_other_programs():
    third = 100 / 3
    text = "unit = 'mm'\nthickness = 10\nwoods = {A = 'oak'}\n"
    text += f"[[patch]]\nwood = 'A'\npoints = '0,0 {third:.3f},0 {third:.2f},50 0,50'\n"
    text += f"[[patch]]\nwood = 'A'\npoints = '{third:.2f},0 100,0 100,50 {third:.3f},50'\n"
    text += f"[[patch]]\nwood = 'A'\npoints = '0,50.004 {third:.3f},49.997 100,50 100,80 0,80'\n"
    drawing = read(text)
    assert sum(area(p.points) for p in drawing.patches) == pytest.approx(8000.0, abs=0.4)


def test_a_point_may_end_on_a_neighbours_slanted_edge():
    text = "unit = 'mm'\nthickness = 10\nwoods = {A = 'oak'}\n"
    text += "[[patch]]\nwood = 'A'\npoints = '0,0 100,0 0,70'\n"
    text += "[[patch]]\nwood = 'A'\npoints = '100,0 100,70 66.667,70 66.667,23.333'\n"
    text += "[[patch]]\nwood = 'A'\npoints = '66.667,23.333 66.667,70 0,70'\n"
    drawing = read(text)
    assert sum(area(p.points) for p in drawing.patches) == pytest.approx(7000.0, abs=1e-3)


def test_write_and_read_again():
    for text in (design.demo(), design.starter(), HEAD + TURNSTILE):
        drawing = read(text)
        assert read(design.write(drawing)) == drawing
