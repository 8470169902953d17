"""Can it be put together along straight seams that run right through?"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from seamwright.geometry import Polygon, is_convex
from seamwright.seams.lines import Through, members, supporting_lines


def locked_groups(cells: Sequence[Polygon]) -> tuple[tuple[int, ...], ...]:
    """Split along straight-through seams as far as it goes; what stays together is locked.

    A single hollow cell (one with an inward corner) is locked with itself: no straight cut frees
    its corner. Order does not matter: a line that runs straight through a region still runs
    through each of its parts.

    Args:
        cells: polygons that tile a region [mm].
    Returns:
        Groups of cell numbers that cannot be split; empty where all is free.
    """
    return _locked_groups(tuple(cells))


# a wood or a grain that is changed changes nothing of what locks, and a board is looked at often
@lru_cache(maxsize=64)
def _locked_groups(cells: tuple[Polygon, ...]) -> tuple[tuple[int, ...], ...]:
    lines = supporting_lines(cells)
    groups: list[tuple[int, ...]] = []
    todo: list[tuple[int, tuple[Through, ...]]] = [((1 << len(cells)) - 1, lines)]
    while todo:
        region, candidates = todo.pop()
        if not region & (region - 1):
            cell = members(region)[0]
            if not _is_convex(cells[cell]):
                groups.append((cell,))
            continue
        near = tuple(x for x in candidates if x.left & region and x.right & region)
        seam = next((x for x in near if not x.crossed & region), None)
        if seam is None:
            groups.append(tuple(members(region)))
            continue
        todo.append((region & seam.left, near))
        todo.append((region & seam.right, near))
    return tuple(sorted(groups))


@lru_cache(maxsize=1 << 14)
def _is_convex(cell: Polygon) -> bool:
    return is_convex(cell)


def splits(cells: Sequence[Polygon]) -> bool:
    """Whether cells can be taken apart completely by seams that run straight through.

    >>> brick = lambda x, y, w, h: ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
    >>> splits([brick(0, 0, 2, 1), brick(0, 1, 1, 1), brick(1, 1, 1, 1)])
    True
    >>> swirl = [brick(0, 0, 2, 1), brick(2, 0, 1, 2), brick(1, 2, 2, 1), brick(0, 1, 1, 2)]
    >>> splits([*swirl, brick(1, 1, 1, 1)])
    False
    """
    return not locked_groups(cells)
