"""Ways to gather slabs into glue-ups."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from seamwright.planner.grouping import Groups, groupings


def ways_of(kinds: list[int], plain: list[bool], most: int = 12) -> list[Groups]:
    """Ways where no seam runs the other way."""
    return groupings(kinds, plain, [0] * len(kinds), most)


def singly(count: int) -> Groups:
    return tuple((i, i + 1) for i in range(count))


@given(
    st.lists(st.integers(0, 3), min_size=2, max_size=40),
    st.integers(1, 12),
    st.randoms(use_true_random=False),
)
def test_every_way_is_a_partition_that_can_be_clamped(kinds, most, rnd) -> None:
    plain = [rnd.random() < 0.5 for _ in kinds]
    crossing = [rnd.choice([0, 1, 2, 3, 6]) for _ in kinds]
    ways = groupings(kinds, plain, crossing, most)
    assert ways
    assert len(ways) == len(set(ways))
    for groups in ways:
        assert 2 <= len(groups) <= most + 1
        assert groups[0][0] == 0
        assert groups[-1][1] == len(kinds)
        assert all(a < b for a, b in groups)
        assert all(end == start for (_, end), (start, _) in itertools.pairwise(groups))


def test_few_slabs_are_glued_all_at_once() -> None:
    assert ways_of([1, 2, 3], [False] * 3, 12) == [singly(3)]


def test_too_many_seams_are_closed_in_even_stages() -> None:
    (groups,) = ways_of(list(range(25)), [False] * 25, 12)
    assert groups == ((0, 13), (13, 25))
    (groups,) = ways_of(list(range(200)), [False] * 200, 12)
    assert len(groups) <= 13
    assert max(b - a for a, b in groups) - min(b - a for a, b in groups) <= 13


def test_runs_of_stripes_may_be_kept_together() -> None:
    ways = ways_of([1, 2, 9, 3, 4], [True, True, False, True, True], 12)
    assert ways == [singly(5), ((0, 2), (2, 3), (3, 5))]


def test_stripes_alone_are_one_glue_up_and_no_other() -> None:
    assert ways_of([1, 2, 1, 3], [True] * 4, 12) == [singly(4)]


def test_a_unit_that_repeats_may_be_kept_together() -> None:
    ways = ways_of([5, 6, 7, 5, 6, 7, 8], [False] * 7, 12)
    assert ways == [singly(7), ((0, 3), (3, 6), (6, 7))]


def test_the_longest_unit_counts_and_hits_do_not_overlap() -> None:
    ways = ways_of([5, 5, 5, 5, 5], [False] * 5, 12)
    assert ways == [singly(5), ((0, 2), (2, 4), (4, 5))]


def test_a_block_in_a_row_of_others_may_be_kept_together() -> None:
    # two blocks of three columns with a strip between, another column beside
    kinds, crossing = list(range(8)), [3, 3, 3, 0, 12, 12, 12, 1]
    ways = groupings(kinds, [seams == 0 for seams in crossing], crossing, 12)
    assert ways == [singly(8), ((0, 3), (3, 4), (4, 7), (7, 8))]


def test_columns_with_only_some_seams_in_common_are_not_a_block() -> None:
    crossing = [3, 2, 6, 0, 8, 4, 12, 1]
    assert groupings(list(range(8)), [False] * 8, crossing, 12) == [singly(8)]


def test_all_that_share_a_seam_are_parted_the_other_way_first() -> None:
    assert groupings([1, 2, 3], [False] * 3, [1, 1, 1], 12) == [singly(3)]
