"""Straight-through splits against published counts of floorplans.

E. Ackerman, G. Barequet, R. Y. Pinter, "A bijection between permutations and floorplans, and its
applications", Discrete Applied Mathematics 154 (2006): mosaic floorplans with n rooms are counted
by the Baxter numbers (OEIS A001181), those that come apart by straight cuts (slicing floorplans)
by the large Schröder numbers (OEIS A006318).
"""

import pytest

from seamwright.seams import splits

BAXTER = {1: 1, 2: 2, 3: 6, 4: 22, 5: 92, 6: 422}
LARGE_SCHROEDER = {1: 1, 2: 2, 3: 6, 4: 22, 5: 90, 6: 394}

Room = tuple[int, int, int, int]


def grown(rooms: tuple[Room, ...]) -> list[tuple[tuple[Room, ...]]]:
    """Every floorplan got by pushing one new room in at the top right corner.

    A new wall always gets a new coordinate, so no two walls line up by accident.
    """
    width = max(r[2] for r in rooms)
    height = max(r[3] for r in rooms)
    plans = []
    for left in [r[0] for r in rooms if r[3] == height]:
        raised = tuple(
            (a, b, c, height + 1) if d == height and a < left else (a, b, c, d)
            for a, b, c, d in rooms
        )
        plans.append((*raised, (left, height, width, height + 1)))
    for low in [r[1] for r in rooms if r[2] == width]:
        widened = tuple(
            (a, b, width + 1, d) if c == width and b < low else (a, b, c, d) for a, b, c, d in rooms
        )
        plans.append((*widened, (width, low, width + 1, height)))
    return plans


def mosaics(count: int) -> list[tuple[Room, ...]]:
    plans: list[tuple[Room, ...]] = [((0, 0, 1, 1),)]
    for _ in range(count - 1):
        plans = [bigger for plan in plans for bigger in grown(plan)]
    return plans


def cells(rooms: tuple[Room, ...]) -> list[tuple[tuple[float, float], ...]]:
    return [
        ((float(a), float(b)), (float(c), float(b)), (float(c), float(d)), (float(a), float(d)))
        for a, b, c, d in rooms
    ]


@pytest.mark.parametrize("count", BAXTER)
def test_as_many_drawings_split_as_published(count: int) -> None:
    plans = mosaics(count)
    assert len(plans) == len(set(plans)) == BAXTER[count]
    assert sum(splits(cells(plan)) for plan in plans) == LARGE_SCHROEDER[count]
