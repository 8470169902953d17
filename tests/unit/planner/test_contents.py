"""What parts contain, remembered, is what is worked out afresh."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.problems import problems, ways
from seamwright.planner.contents import Contents
from seamwright.planner.problem import Problem


@given(problems(), st.data())
@settings(deadline=None, max_examples=60)
def test_rows_out_of_memory_are_fresh_ones(problem: Problem, data: st.DataObject) -> None:
    """Ways come and go, as from one drawing to the next; parents only ever need later nodes."""
    whole, known = ways([node.modes for node in problem.nodes]), Contents()
    for _ in range(4):
        some = {
            place: [own[i] for i in sorted(kept)]
            for place, own in whole.items()
            if (kept := data.draw(st.sets(st.integers(0, len(own) - 1), min_size=1)))
        }
        told, fresh = known.rows(some, list(some)), Contents().rows(some, list(some))
        for number in range(len(some)):
            assert told.of(number) == fresh.of(number)
            assert told.of(number)[told.part(number)] == 1.0
