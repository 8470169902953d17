"""The exact choice against a search of everything, on small drawings of a 3 × 3 grid, grain up.

One board in the default shop: all 259 partitions of the grid into one to six rectangles with two
woods in turn, and with one and with three woods the 80 that are left when those are taken for one
that turning by 180° or a mirror lays on each other (which grain that runs up allows). Four boards
in a shop that resaws small parts, for every number of leaves its saw takes: those 80 with two
woods in turn. One of the 80 (two of the 259) locks and is left out. Of the colourings this is a
sample; of the partitions and of the ways to make them it is everything: the search knows no bound
and counts the minutes of every assignment of modes to the parts it needs.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from fakes.drawings import drawing, with_joints
from fakes.exhaustive import assignments
from seamwright.design import Drawing
from seamwright.geometry import Polygon
from seamwright.plan import Shop, default_shop
from seamwright.planner import choose
from seamwright.planner.cells import prepare
from seamwright.planner.depths import depths, leaf_counts
from seamwright.planner.pricing import price
from seamwright.planner.problem import Problem, recount
from seamwright.planner.solver import Relaxed
from seamwright.planner.space import explore

Box = tuple[int, int, int, int]
SIZE, THICKNESS_MM = 40.0, 12.0


def partitions(size: int = 3) -> list[tuple[Box, ...]]:
    """All partitions of a square grid into rectangles: the first free square gets the next."""
    found = []
    todo: list[tuple[Box, ...]] = [()]
    while todo:
        boxes = todo.pop()
        taken = {(x, y) for a, b, c, d in boxes for x in range(a, c) for y in range(b, d)}
        free = [(x, y) for y in range(size) for x in range(size) if (x, y) not in taken]
        if not free:
            found.append(tuple(sorted(boxes)))
            continue
        a, b = free[0]
        for c in range(a + 1, size + 1):
            for d in range(b + 1, size + 1):
                squares = {(x, y) for x in range(a, c) for y in range(b, d)}
                if not squares & taken:
                    todo.append((*boxes, (a, b, c, d)))
    return sorted(found)


def mirrored(boxes: tuple[Box, ...], size: int = 3) -> list[tuple[Box, ...]]:
    """The partition itself, mirrored both ways, and turned by 180°."""
    across = tuple(sorted((size - c, b, size - a, d) for a, b, c, d in boxes))
    ways = [boxes, across]
    return ways + [tuple(sorted((a, size - d, c, size - b) for a, b, c, d in way)) for way in ways]


SMALL = [boxes for boxes in partitions() if len(boxes) <= 6]
CLASSES = sorted({min(mirrored(boxes)) for boxes in SMALL})


def drawn(boxes: tuple[Box, ...], woods: str, *, copies: int = 1) -> Drawing:
    rings: list[Polygon] = [
        tuple((x * SIZE, y * SIZE) for x, y in ((a, b), (c, b), (c, d), (a, d)))
        for a, b, c, d in boxes
    ]
    letters = [woods[i % len(woods)] for i in range(len(boxes))]
    return drawing(
        with_joints(rings), letters, [90.0] * len(boxes), thickness=THICKNESS_MM, copies=copies
    )


def resawing_shop() -> Shop:
    shop = default_shop()
    return replace(
        shop,
        limits=replace(shop.limits, resaw_min_part_mm=20.0),
        saws=replace(shop.saws, table_depth_mm=120.0),
    )


def cheapest(problem: Problem) -> tuple[float, int]:
    """The least minutes over all assignments, and how many there are."""
    least, count = math.inf, 0
    for picked in assignments(problem):
        least, count = min(least, recount(problem, picked).minutes), count + 1
    return least, count


def compare(board: Drawing, shop: Shop) -> tuple[int, int] | None:
    """Problems and assignments compared; None where the drawing locks."""
    cells = prepare(board, shop)
    if cells.added:
        return None
    space = explore(cells, shop)
    problems: list[Problem] = []
    most = board.copies
    for leaves in leaf_counts(board.thickness_mm, 9 * board.copies, shop):
        deep = depths(board.thickness_mm, leaves, shop)
        problem = price(space, shop, deep, board.copies, edge_cuts=4)
        if leaves == 1:
            most = max(node.most for node in problem.nodes)
        if leaves <= most:
            problems.append(problem)
    best, tried = math.inf, 0
    for problem in problems:
        least, count = cheapest(problem)
        solved = Relaxed(problem).solve(seconds=20.0, beat=math.inf)
        assert solved.choice is not None
        assert solved.stopped == "proven"
        assert solved.choice.minutes == pytest.approx(least, abs=1e-5)
        assert solved.bound <= least + 1e-5
        best, tried = min(best, least), tried + count
    chosen = choose(space, shop, board.thickness_mm, board.copies, edge_cuts=4, seconds=20.0)
    assert chosen is not None
    assert chosen.stopped == "proven"
    assert chosen.choice.minutes == pytest.approx(best, abs=1e-5)
    assert chosen.bound == pytest.approx(best, abs=1e-5)
    return len(problems), tried


def test_the_partitions_are_all_there() -> None:
    assert len(partitions(1)) == 1
    assert len(partitions(2)) == 8
    assert len(SMALL) == len(set(SMALL)) == 259
    assert len(CLASSES) == 80


def test_no_cheaper_plan_for_any_small_drawing() -> None:
    answers = [compare(drawn(boxes, "AB"), default_shop()) for boxes in SMALL]
    assert answers.count(None) == 2, "the swirl and its mirror picture lock, nothing else"
    assert sum(tried for _, tried in filter(None, answers)) > len(SMALL) * 2


@pytest.mark.parametrize("woods", ["A", "ABC"])
def test_no_cheaper_plan_in_other_colours(woods: str) -> None:
    answers = [compare(drawn(boxes, woods), default_shop()) for boxes in CLASSES]
    assert answers.count(None) == 1
    assert sum(tried for _, tried in filter(None, answers)) > len(CLASSES) * 2


def test_no_cheaper_plan_for_four_boards_with_resawing() -> None:
    answers = [compare(drawn(boxes, "AB", copies=4), resawing_shop()) for boxes in CLASSES]
    assert answers.count(None) == 1
    assert sum(problems for problems, _ in filter(None, answers)) > 3 * len(CLASSES)
    assert sum(tried for _, tried in filter(None, answers)) > 10_000
