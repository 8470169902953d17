"""What must hold of every drawing: area kept, names unique, turns a group, files exact."""

import itertools
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright import design
from seamwright.design.library import known_block, known_blocks
from seamwright.design.straighten import straightened
from seamwright.design.weld import welded
from seamwright.errors import DesignError
from seamwright.geometry import Line, area, clip, convex_hull, distance, snap_point

HEAD = 'unit = "{unit}"\nthickness = "20mm"\nwoods = {{ A = "oak", B = "elm" }}\n'


@st.composite
def split_shapes(draw):
    """A rectangle cut by up to fourteen straight seams, each through one of its parts."""
    width, height = draw(st.integers(60, 300)), draw(st.integers(60, 300))
    parts = [((0.0, 0.0), (float(width), 0.0), (float(width), float(height)), (0.0, float(height)))]
    for _ in range(draw(st.integers(0, 14))):
        k = draw(st.integers(0, len(parts) - 1))
        part = parts[k]
        i = draw(st.integers(0, len(part) - 1))
        (ax, ay), (bx, by) = part[i - 1], part[i]
        t = draw(st.integers(2, 6)) / 8.0
        angle = draw(st.sampled_from([0.0, 45.0, 90.0, 135.0, 26.5, 71.3]))
        line = Line.at_angle((ax + t * (bx - ax), ay + t * (by - ay)), angle)
        halves = clip(part, line) + clip(part, line.reversed())
        if len(halves) == 2 and min(map(thickness, halves)) > 3.0:
            parts[k : k + 1] = halves
    return tuple(tuple(map(snap_point, part)) for part in parts)


def thickness(polygon):
    """Smallest width of a convex polygon, or 0 where an edge is short."""
    hull = convex_hull(polygon)
    edges = list(zip(hull, hull[1:] + hull[:1], strict=True))
    if min((abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in edges), default=0.0) < 2.0:
        return 0.0
    return min(max(Line.through(a, b).side(p) for p in hull) for a, b in edges)


def bare_file(parts, *, unit="mm"):
    text = HEAD.format(unit=unit)
    for number, part in enumerate(parts):
        points = " ".join(f"{x:.9f}mm,{y:.9f}mm" for x, y in part)
        text += f'[[patch]]\nwood = "{"AB"[number % 2]}"\npoints = "{points}"\n'
    return text


@given(split_shapes(), st.sampled_from(["mm", "in"]))
@settings(max_examples=60, deadline=None)
def test_split_boards_are_sound_and_written_exactly(parts, unit):
    drawing = design.read(bare_file(parts, unit=unit), name="split")
    assert len(drawing.patches) == len(parts)
    total = sum(area(patch.points) for patch in drawing.patches)
    assert total == pytest.approx(area(drawing.outline), rel=1e-9)
    assert design.read(design.write(drawing), name="again") == drawing
    rings = [patch.points for patch in drawing.patches]
    assert list(welded(rings)) == rings
    assert not straightened(rings)


def shaken(part, random):
    return tuple(
        (x + random.uniform(-1, 1) * 0.002, y + random.uniform(-1, 1) * 0.002) for x, y in part
    )


@given(st.integers(2, 6), st.integers(2, 6), st.booleans(), st.randoms(use_true_random=False))
@settings(max_examples=30, deadline=None)
def test_seams_between_rows_of_bricks_stay_straight(count, rows, joints, random):
    """Corners of both sides alternate along each seam; some programs write them on both sides."""
    bricks = []
    for r in range(rows):
        shift = 15.0 * (r % 2)
        ends = sorted({0.0, 30.0 * count, *(shift + 30.0 * k for k in range(count + 1))})
        ends = [x for x in ends if x <= 30.0 * count]
        for a, b in itertools.pairwise(ends):
            y, top = 20.0 * r, 20.0 * r + 20.0
            middle = (a + b) / 2.0
            below = [(middle, y)] if joints and b - a > 20.0 else []
            above = [(middle, top)] if joints and b - a > 20.0 else []
            bricks.append(((a, y), *below, (b, y), (b, top), *above, (a, top)))
    drawing = design.read(bare_file([shaken(brick, random) for brick in bricks]), name="wall")
    assert len(drawing.patches) == len(bricks)
    heights = {round(y, 7) for patch in drawing.patches for _, y in patch.points}
    for patch in drawing.patches:
        assert len(patch.points) == 4
    seams = [[y for y in heights if abs(y - 20.0 * r) < 1.0] for r in range(rows + 1)]
    assert sum(map(len, seams)) == len(heights)
    assert drawing == design.read(design.write(drawing), name="again")


@given(split_shapes(), st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_rounding_of_other_programs_is_welded(parts, random):
    """Every corner written a little differently by each patch that has it: still one board."""
    drawing = design.read(bare_file([shaken(part, random) for part in parts]), name="shaken")
    assert len(drawing.patches) == len(parts)
    for patch, part in zip(drawing.patches, parts, strict=True):
        assert area(patch.points) == pytest.approx(area(part), rel=0.01)


@given(split_shapes(), st.integers(0, 40))
@settings(max_examples=40, deadline=None)
def test_a_missing_or_doubled_patch_is_always_noticed(parts, k):
    k %= len(parts)
    outline = "outline = [{}]\n".format(
        ", ".join(f'["{x}mm", "{y}mm"]' for x, y in design.read(bare_file(parts), name="").outline)
    )
    whole = bare_file(parts).replace("[[patch]]", outline + "[[patch]]", 1)
    assert len(design.read(whole, name="whole").patches) == len(parts)
    if len(parts) > 1:
        fewer = bare_file(parts[:k] + parts[k + 1 :]).replace("[[patch]]", outline + "[[patch]]", 1)
        with pytest.raises(DesignError, match=r"gap of .* near"):
            design.read(fewer, name="fewer")
    with pytest.raises(DesignError, match="overlaps patch"):
        design.read(bare_file((*parts, parts[k])), name="more")


turns = st.lists(st.sampled_from(["90", "180", "270", "m"]), max_size=4)


@given(st.sampled_from(known_blocks()), turns)
@settings(max_examples=60)
def test_turns_are_a_group(name, steps):
    block = known_block(name).resized(Fraction(80), Fraction(80))
    turned = block
    for step in steps:
        turned = turned.turned(step)
    back = {"90": "270", "180": "180", "270": "90", "m": "m"}
    for step in reversed(steps):
        turned = turned.turned(back[step])
    for piece, first in zip(turned.pieces, block.pieces, strict=True):
        assert piece.wood == first.wood
        for here, there in zip(piece.points, first.points, strict=True):
            assert min(distance(here, p) for p in first.points) < 1e-7
            assert min(distance(there, p) for p in piece.points) < 1e-7


@given(
    st.lists(
        st.lists(
            st.tuples(st.sampled_from(["star", "path", "bar"]), turns), min_size=2, max_size=2
        ),
        min_size=1,
        max_size=3,
    ),
    st.sampled_from(["", 'sashing = { wood = "A", width = 7, runs = "up" }\n',
                     'sashing = { wood = "A", width = 7, cornerstones = "B" }\n']),
    st.sampled_from(["", 'borders = [{ wood = "B", width = 9, sides = "top left right" }]\n']),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_every_set_tiles_its_board(rows, sashing, borders):
    lines = "\n".join(
        " ".join(name + "".join(f"~{turn}" for turn in steps) for name, steps in row)
        for row in rows
    )
    text = HEAD.format(unit="mm") + (
        '[block.star]\nfrom = "sawtooth star"\nsize = 80\nletters = { C = "A" }\n'
        '[block.path]\nfrom = "snails trail"\nsize = 80\n'
        '[block.bar]\ncolumns = "30 50"\nrows = "33.3 46.7"\ncells = "A/B A\\\\B\\nB A"\n'
        f"[board]\nset = '''\n{lines}\n'''\n{sashing}{borders}"
    )
    drawing = design.read(text, name="set")
    names = [patch.name for patch in drawing.patches]
    assert len(set(names)) == len(names)
    total = sum(area(patch.points) for patch in drawing.patches)
    assert total == pytest.approx(area(drawing.outline), rel=1e-9)
