"""Sizes that differ by a micrometre are two sizes: taken for one, their errors add up over a board
until it is no longer the drawing."""

from __future__ import annotations

import pytest

from seamwright.bench import prove
from seamwright.design import read
from seamwright.plan import default_shop
from seamwright.planner import make_plan


@pytest.mark.parametrize("last", ["33.334", "33.3345", "33.3335", "33.33331"])
def test_a_board_of_thirds_is_the_drawing(last: str) -> None:
    wanted = read(
        f"""
        unit = "mm"
        thickness = 19
        woods = {{ A = "pear", B = "bog oak" }}
        [block.t]
        columns = "33.3333 {last} 33.3333"
        rows = "33.3333 33.3333 {last}"
        cells = '''
        A B A
        B A B
        A B A
        '''
        [board]
        set = "t t t"
        """,
        name="thirds",
    )
    proof = prove(make_plan(wanted, default_shop()).plan, wanted)
    assert proof.holds, proof.findings
