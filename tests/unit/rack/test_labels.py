"""Counts packed into words, and what breaks a limit, against counting in the open."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.rack.labels import keys_of

LIMITS = st.lists(st.integers(0, 200), min_size=1, max_size=30).map(tuple)


@settings(max_examples=60, deadline=None)
@given(LIMITS, st.data())
def test_sums_of_packed_counts_break_limits_as_plain_ones_do(limits, data):
    keys = keys_of(limits)
    one, two = (tuple(data.draw(st.integers(0, limit)) for limit in limits) for _ in range(2))
    packed = [
        sum((keys.packed(row, n) for row, n in enumerate(counts)), np.zeros_like(keys.comp))
        for counts in (one, two)
    ]
    total = packed[0] + packed[1]
    breaks = bool((((total + keys.comp) & keys.guard) != 0).any())
    assert breaks == any(a + b > top for a, b, top in zip(one, two, limits, strict=True))
    assert keys.unpacked(packed[0]) == one
    assert tuple(keys.counts(packed[1][None, :])[0].tolist()) == two
