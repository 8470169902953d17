"""Design files that are refused, with the words and the line a user sees."""

import pytest

from seamwright import design
from seamwright.errors import DesignError

GOOD = r"""unit = "in"
thickness = "3/4"
[woods]
A = "sugar maple"
B = "black walnut"
[block.x]
columns = "1 1"
rows = "1 1"
cells = '''
A/B B
A   B
'''
[board]
set = "x x"
sashing = { wood = "A", width = "1/4" }
borders = [ { wood = "B", width = 1 } ]
"""


def refusal(text, **options):
    with pytest.raises(DesignError) as caught:
        design.read(text, name="test", **options)
    return str(caught.value).splitlines()


def with_change(old, new):
    assert old in GOOD
    return GOOD.replace(old, new)


CHANGES = [
    ('unit = "in"', "", "the file has no unit: write for example unit = \"in\""),
    ('unit = "in"', 'unit = "inch"', "line 1: unit is 'inch': did you mean 'in'?"),
    ('"3/4"', '"0"', "line 2: thickness is '0': a size must be more than 0"),
    ('"3/4"', "-3", "line 2: thickness is -3: a size must be more than 0"),
    ('"3/4"', '"10000000mm"', "line 2: thickness is '10000000mm': 10 m (32 ft) is the most"),
    ('"3/4"', "1e400", "line 2: thickness is 1E+400: 10 m (32 ft) is the most"),
    ('"3/4"', "nan", "line 2: thickness is NaN: write a length"),
    ('"3/4"', '"20"', "line 2: thickness is 508 mm: 300 mm (about 12 in) is the most"),
    ('"3/4"', '"3/7"', 'line 2: thickness "3/7": 3/7 is not on a rule (2, 4, 8, 16, 32, 64). '
     'Did you mean 27/64"?'),
    ('"3/4"', "true", 'line 2: thickness is true or false: write a length, for example "1-3/8"'),
    ("thickness", "thicknes", 'line 2: thicknes is an unknown key: did you mean "thickness"?'),
    ('"3/4"', '"3/4"\ncopies = 0', "line 3: copies is 0: write a number from 1 to 1000"),
    ('"3/4"', '"3/4"\ncopies = 2.5', "line 3: copies is 2.5: write a number from 1 to 1000"),
    ('"3/4"', '"3/4"\ngrain = "sideways"', "line 3: grain is 'sideways': "
     'write "up", "across" or degrees from x, for example 45'),
    ('"3/4"', '"3/4"\nkind = "thru"', "line 3: kind is 'thru': did you mean 'through'?"),
    ('"sugar maple"', "7", "line 4: woods.A is a number: write it as text in quotes"),
    ('"sugar maple"', '" "', "line 4: woods.A is ' ': write 1 to 60 characters"),
    ("A/B B", "A/Q B", "line 10: woods has no letter 'Q', which patch A1·2 asks for: "
     'add it: Q = "…" ([woods] has A, B)'),
    ("A/B B", "A|B B", "line 10: block.x.cells has 'A|B': write A, A/B or A\\B"),
    ("A   B", "A", "line 11: block.x.cells has a line of 1 cells, but columns has 2 sizes: "
     "give every cell of a line one size in columns"),
    ('rows = "1 1"', 'rows = "1"', "line 9: block.x.cells has 2 lines, but rows has 1 sizes: "
     "give every line of cells one size in rows"),
    ('rows = "1 1"', 'rows = ""', "line 8: block.x.rows is empty: write sizes, for example "
     '"1/2 1 1/2"'),
    ('rows = "1 1"', 'rows = "1 0.001"', "line 8: block.x.rows is '0.001': "
     "nothing under 0.2 mm can be made"),
    ('"x x"', '"x y"', "line 14: board.set names 'y', which is no block: this file has x"),
    ('"x x"', '"x x~45"', "line 14: board.set has 'x~45': "
     "write ~90, ~180 or ~270 to turn it, ~m to mirror it"),
    ('"x x"', '""', "line 14: board.set is empty: write the names of blocks, one row a line"),
    ('"x x"', "'''\nx x\nx\n'''", "line 14: board.set has row 1 4-1/4\" and row 2 2\" wide: "
     "all rows must be of one width"),
    ('", width = "1/4"', '"', "line 15: board.sashing has no width: write for example "
     'width = "1/4"'),
    ("width = 1 ", 'width = 1, sides = "lef" ', "line 16: board.borders 1.sides has 'lef': "
     'write some of "left right top bottom", in the order of gluing'),
    ('cells', 'cell', 'line 9: block.x.cell is an unknown key: '
     "known are patch, grain, size"),
    ("A   B", "A   \\x", "line 11: block.x.cells has '\\\\x': write A, A/B or A\\B"),
    ("[board]", "[bord]", 'line 13: bord is an unknown key: did you mean "board"?'),
    ("[board]", "[[board]]", "line 13: board is a list: write it as a table [board]"),
    ("[woods]", "[[woods]]", "line 3: woods is a list: write it as a table [woods]"),
    ("[block.x]", "[block]", "line 7: block.columns is a text: write it as a table [columns]"),
    ('[woods]', 'unit = "mm"\n[woods]', "line 3: the file is not valid TOML: "
     "Cannot overwrite a value: the same key or table stands here twice; keep one"),
    ('[woods]', '[woods', "line 3: the file is not valid TOML: "
     "Expected ']' at the end of a table declaration"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), CHANGES)
def test_words_and_line(old, new, message):
    assert message in refusal(with_change(old, new))


def test_all_faults_at_once():
    text = GOOD.replace("3/4", "0").replace('"1 1"', '"1 -1"').replace("x x", "x z")
    assert len(refusal(text)) == 4
    codes = {"D207", "D403"}
    with pytest.raises(DesignError) as caught:
        design.read(text, name="test")
    assert {fault.code for fault in caught.value.faults} == codes


def test_many_faults_are_cut_short():
    rows = "".join(f"k{n} = 1\n" for n in range(100))
    lines = refusal(rows + GOOD)
    assert len(lines) == 26
    assert lines[-1] == "the file has 75 more faults: mend these first"


SHAPES = 'unit = "mm"\nthickness = 20\nwoods = { A = "oak" }\n'


def patch(points, name=""):
    named = f'name = "{name}"\n' if name else ""
    return f'[[patch]]\n{named}wood = "A"\npoints = "{points}"\n'


def test_overlap_with_place_and_area():
    lines = refusal(
        SHAPES + patch("0,0 32,0 32,25 0,25", "left") + patch("31,0 60,0 60,25 31,25", "right")
    )
    assert lines == [
        "line 4: patch left overlaps patch right by 25 mm² near (32, 12): "
        "move a corner of one of them"
    ]


def test_gap_with_place_and_area():
    lines = refusal(SHAPES + patch("0,0 30,0 30,25 0,25") + patch("31,0 60,0 60,25 31,25"))
    assert lines == ["the drawing has a gap of 25 mm² near (30, 12): fill it with a patch"]


def test_a_gap_and_an_overlap_of_one_area_are_both_named():
    lines = refusal(
        SHAPES
        + patch("0,0 32,0 32,25 0,25")
        + patch("31,0 60,0 60,25 31,25")
        + patch("61,0 80,0 80,25 61,25")
    )
    assert len(lines) == 2


def test_slivers_and_short_edges():
    lines = refusal(
        SHAPES
        + patch("0,0 50,0 50,0.1 0,0.1", "hair")
        + patch("0,0.1 50,0.1 50,30 0.05,30 0,29", "nick")
    )
    assert lines == [
        "line 4: patch hair has an edge of 0.10 mm near (50, 0): "
        "no edge may be under 0.2 mm; bring its two corners together",
        "line 4: patch hair is a sliver, nowhere wider than 0.2 mm, near (25, 0): "
        "widen it or take it out",
    ]
    lines = refusal(SHAPES + patch("0,0 50,0 50,30 0.1,30 0,29.9", "nick"))
    assert lines[0].startswith("line 4: patch nick has an edge of 0.14 mm near (0, 30)")


def test_crossed_flat_and_doubled():
    lines = refusal(SHAPES + patch("0,0 10,0 0,10 10,10", "bow"))
    assert lines == [
        "line 4: patch bow has an outline that crosses itself near (5, 5): "
        "list its corners in order round the edge"
    ]
    assert "lie on one line" in refusal(SHAPES + patch("0,0 10,0 20,0"))[0]
    assert "fewer than three points" in refusal(SHAPES + patch("0,0 10,0"))[0]
    lines = refusal(SHAPES + patch("0,0 9,0 9,9 0,9", "a") + patch("0,0 9,0 9,9 0,9", "a"))
    assert lines[0].startswith("line 4: patch has the name 'a' 2 times")
    lines = refusal(SHAPES + patch("0,0 9,0 9,9 0,9") + patch("0,0 9,0 9,9 0,9"))
    assert lines[0].startswith("line 4: patch 1 overlaps patch 2 by 81 mm²")


def test_many_overlaps_are_counted():
    text = SHAPES + "".join(patch("0,0 9,0 9,9 0,9") for _ in range(8))
    with pytest.raises(DesignError, match="has 16 more overlaps"):
        design.read(text, name="test")


def test_a_hole_is_refused():
    text = GOOD.replace(
        "[board]", '[[block.x.patch]]\nwood="A"\npoints="1.2,.2 1.4,.2 1.4,.4"\n[board]'
    )
    assert "block.x has patch 1, which leaves a hole in a cell" in refusal(text)[0]
    text = GOOD + '[[patch]]\nwood="B"\npoints="1-1/8,1-1/8 1-1/4,1-1/8 1-1/4,1-1/4"\n'
    assert "the file has patch 1, which leaves a hole" in refusal(text)[0]


HUGE = [
    (SHAPES + "[[patch]]\n" * 100_000, "100000, more than"),
    ("a=" + "[" * 50_000, "not valid TOML|nested too deep"),
    ("a=" + "[" * 50_000 + "]" * 50_000, "nested too deep"),
    ("a=" + "{b=" * 5_000, "nested too deep|not valid TOML"),
    ("a" + ".a" * 100_000 + "=1", "nested too deep"),
    ("a = {b" + " . b" * 100_000 + "=1}", "nested too deep"),
    ("a = " + "9" * 10_000, "too long to read"),
    ("x" * 9_000_000, "larger than 8 million"),
    (GOOD.replace('"x x"', '"' + "x " * 30_000 + '"'), "more than 20000 patches"),
    (GOOD.replace('columns = "1 1"', 'columns = "' + "1 " * 300_000 + '"'), "300000 sizes"),
    (GOOD.replace("A/B B", "A " * 100_000), "more than 20000 cells"),
    (GOOD.replace("1 } ]", "1 }" + ', { wood = "A", width = 1 }' * 5000 + "]"), "5001 borders"),
    (SHAPES + patch("0,0 " * 5000), "5000 points"),
    (SHAPES + "".join(f"[block.b{n}]\n" for n in range(3000)), "3000 blocks"),
    (GOOD.replace("x x", "x" + "~90" * 9000), "write ~90"),
    (
        GOOD.replace("A/B B\nA   B", "\n".join(["A " * 100] * 100))
        + '[[block.x.patch]]\nwood="A"\npoints="0,0 1,0 1,1"\n' * 60,
        "60 patches laid over 10000 cells",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("text", "message"), HUGE, ids=[message for _, message in HUGE])
def test_absurdly_large(text, message):
    with pytest.raises(DesignError, match=message):
        design.read(text, name="test")


def test_bytes():
    assert design.decode(b"\xef\xbb\xbfunit") == "unit"
    with pytest.raises(DesignError) as caught:
        design.decode("unit = 1\nt = 'Büro'\n".encode("latin-1"))
    assert str(caught.value) == (
        "line 2: the file is not UTF-8 text (byte 0xfc): save it as UTF-8 in your editor"
    )
    with pytest.raises(DesignError):
        design.decode(GOOD.encode("utf-16"))
    with pytest.raises(DesignError, match="larger"):
        design.decode(b"x" * 33_000_000)


def test_block_sources():
    base = 'unit = "in"\nthickness = 1\nwoods = { A = "oak", B = "elm" }\n'
    assert 'did you mean "sawtooth star"?' in refusal(
        base + '[block.s]\nfrom = "sawtoth star"\nsize = 2\n'
    )[0]  # fmt: skip
    assert "known are basket weave, " in refusal(base + '[block.s]\nfrom = "qqq"\nsize = 2\n')[0]
    assert "has no size" in refusal(base + '[block.s]\nfrom = "pinwheel"\n')[0]
    assert "has both from and drawing" in refusal(
        base + '[block.s]\nfrom = "pinwheel"\ndrawing = "x.svg"\n'
    )[0]  # fmt: skip
    assert "letters.Z is no letter of the block \"pinwheel\": it has A, B" in refusal(
        base + '[block.s]\nfrom = "pinwheel"\nsize = 2\nletters = { Z = "A" }\n'
    )[0]  # fmt: skip
    assert "has 3 sizes" in refusal(base + '[block.s]\nfrom = "pinwheel"\nsize = "1 2 3"\n')[0]
    assert "block.s is empty" in refusal(base + "[block.s]\n")[0]
    assert "draws no board" in refusal(base)[0]
    assert "lies left of or below" in refusal(
        base + '[block.s]\npatch = [{ wood = "A", points = "0,0 -1,0 -1,-1" }]\n'
    )[0]  # fmt: skip


SQUARE = "[block.s]\ncolumns = 2\nrows = 2\ncells = 'A'\n"
MORE = [
    ("[block.t]\ncolumns = 2\nrows = 1\ncells = 'A'\n[board]\nset = 's t'",
     "has blocks 2.0 mm and 1.0 mm high in row 1"),
    ("[block.t]\ncolumns = '1 3'\nrows = 2\ncells = 'A A'\n[block.u]\ncolumns = 4\nrows = 2\n"
     "cells = 'A'\n[board]\nset = ['t', 'u', 's s']\nsashing = { wood='A', width=1, runs='up' }",
     "line 17: board.set has row 1 4.0 mm and row 3 5.0 mm wide"),
    ("[block.t]\ncolumns = 5\nrows = 2\ncells = 'A'\n[board]\nset = ['t', 's s']\n"
     "sashing = { wood='A', width=1, cornerstones='A' }",
     "board.sashing needs columns, but the blocks form none"),
    ("[board]\nset = 's s'\nborders = [{ wood='A', width=1, sides='top top' }]",
     "names a side twice"),
    ("[board]\nset = 5", "board.set is a number: write it as text in quotes"),
    ("[board]\nset = ['s', 5]", "board.set is a list"),
    ("[board]\nset = 's'\nborders = { wood='A', width=1 }", "board.borders is a table"),
    ("[board]\nset = 's'\nborders = [1]", "board.borders holds a number"),
    ("[board]\nset = 's'\nsashing = 'A'", "board.sashing is a text"),
    ("[board]\nset = 's'\noutline = '1 2 3'", "board.outline is '1 2 3'"),
    ("[board]\nset = 's'\noutline = '0,0 2,0 1,2'", "board.outline is no upright rectangle"),
    ("[board]\nset = 's'\noutline = '0,0 2,0 3,2 0,2'", "board.outline is no upright rectangle"),
    ("[board]\nset = 's'\noutline = '0,0 2,0'", "has fewer than three points"),
    ("[board]\nset = 's'\noutline = '2 x'", 'board.outline "x"'),
    ("[block.t]\npatch = [{ wood='A', points='0,0 1;1 2,2' }]", "has '1;1': write points as x,y"),
    ("[block.t]\npatch = [{ wood='A', points='0,0 1,0 q,2' }]", 'points "q"'),
    ("[block.t]\npatch = [{ wood='A', points='0,0 1,0 99999999,2' }]", "10 m (32 ft) is the most"),
    ("[block.t]\npatch = [{ wood=1, points=[[0,0],[1,0],[1,1]] }]", "wood is a number"),
    ("[block.t]\npatch = [{ points='0,0 1,0 1,1' }]", 'has no wood: write for example wood = "A"'),
    ("[block.t]\npatch = [{ wood='A' }]", "has no points"),
    ("[block.t]\npatch = 3", "block.t.patch is a number: write it as [[patch]]"),
    ("[block]\nt = 7", "block.t is a number: write it as a table [t]"),
    ("[block.t]\nfrom = 5\nsize = 2", "block.t.from is a number"),
    ("[block.t]\ndrawing = 5", "block.t.drawing is a number"),
    ("[block.t]\ncolumns = 1979-05-27\nrows = 1\ncells = 'A'", "is a date or time"),
    ("[block.t]\ncolumns = -1e-40\nrows = 1\ncells = 'A'", "a size must be more than 0"),
    ("[block.t]\ncolumns = 100000000000000000000000\nrows = 1\ncells = 'A'",
     "columns is a very large number: 10 m (32 ft) is the most"),
    ("[block.t]\ncolumns = 1\nrows = 1\ncells = 'A'\ngrain = 361", "grain is 361"),
    ("[block.t]\ncolumns = 1\nrows = 1\ncells = 'A'\ngrain = true", "grain is true"),
    ("[block.t]\ncolumns = 1\nrows = 1\ncells = 'A'\ngrain = inf", "grain is Infinity"),
]  # fmt: skip


@pytest.mark.parametrize(("rest", "message"), MORE)
def test_more_words(rest, message):
    head = SHAPES + (SQUARE if "[block]" not in rest else "")
    assert message in "\n".join(refusal(head + rest))


def test_many_gaps_are_counted():
    text = SHAPES + 'outline = "310 20"\n'
    text += "".join(
        patch(f"{20 * n},0 {20 * n + 10},0 {20 * n + 10},20 {20 * n},20") for n in range(15)
    )
    lines = refusal(text)
    assert len(lines) == 13
    assert lines[-1] == "the drawing has 3 more places like this"


def test_a_patch_that_is_nothing_is_named():
    lines = refusal(SHAPES + patch("0,0 9,0 9,9 0,9") + patch("0,0 0.009,0 0,0.009", "speck"))
    assert lines == ["line 7: patch speck has no area: take it out, or give it three corners"]


def test_a_crossed_patch_over_cells_is_named():
    laid = '[[block.x.patch]]\nwood = "A"\npoints = "0,0 2,0 0,2 2,2"\n'
    text = GOOD.replace("[board]", laid + "[board]")
    assert "has an outline that crosses itself" in refusal(text)[0]
    more = '[[block.x.patch]]\nwood = "B"\npoints = "0,0 1,0 1,1"\n'
    text = GOOD.replace("[board]", laid + more + "[board]")
    assert "has an outline that crosses itself" in refusal(text)[0]


def test_too_many_patches_laid_over_a_board():
    text = GOOD.replace('"x x"', '"' + "x " * 900 + '"') + patch("0,0 1,0 1,1") * 120
    assert "are 120, laid over" in "\n".join(refusal(text))
