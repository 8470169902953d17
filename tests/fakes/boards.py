"""Two small boards with their plans, for tests of the fit. Invented sizes."""

from __future__ import annotations

from functools import cache

from seamwright.design import Drawing, read
from seamwright.fit import Study, study
from seamwright.plan import Plan, default_shop
from seamwright.planner import make_plan

CHECKS = """
title = "Checks"
copies = 2
unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut" }
[block.checks]
columns = "2 2 2 2"
rows = "2 2 2 2"
cells = '''
A B A B
B A B A
A B A B
B A B A
'''
[board]
set = "checks"
borders = [ { wood = "B", width = "2", sides = "left right" } ]
"""

CORNERS = """
title = "Corners"
unit = "mm"
thickness = "19"
woods = { A = "sugar maple", B = "black walnut" }
[block.turn]
columns = "30 60 30"
rows = "30 60 30"
cells = '''
A/B  B    A\\B
B    A    B
A\\B  B    A/B
'''
[board]
set = "turn turn"
borders = [ { wood = "A", width = "40" } ]
"""


def drawing(text: str) -> Drawing:
    return read(text, name="board")


@cache
def planned(text: str) -> Plan:
    return make_plan(drawing(text), default_shop(), seconds=10.0).plan


@cache
def studied(text: str) -> Study:
    return study(planned(text))
