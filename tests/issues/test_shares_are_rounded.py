"""A third of a billet was rounded down to nine decimals and multiplied by the copies: the limit of
its share lay a hair below what the cheapest plan needs, and a dearer one was called proven."""

from __future__ import annotations

import math

import pytest

from seamwright.planner.problem import Mode, Node, Problem, Resawn
from seamwright.planner.solver import Relaxed


def made(*children: int, once: float = 0.0, yields: int = 1) -> Mode:
    return Mode(
        way=Resawn(leaves=1),
        children=tuple((child, 1) for child in children),
        once=once,
        yields=yields,
    )


def node(number: int, *modes: Mode, most: int = 2) -> Node:
    return Node(kind=number, deep=False, modes=modes, most=most)


def test_the_cheapest_plan_is_not_ruled_out_by_rounding() -> None:
    problem = Problem(
        nodes=(
            node(0, made(once=1.0), made(4, yields=3), made(1, 2, 3, once=1.0, yields=2), most=4),
            node(1, made()),
            node(2, made(), made(), made()),
            node(3, made(4, yields=3)),
            node(4, made()),
        ),
        pools=(),
        setting_minutes=(0.0,),
        copies=4,
        fixed=0.0,
        leaves=1,
    )
    solved = Relaxed(problem).solve(seconds=20.0, beat=math.inf)
    assert solved.choice is not None
    assert solved.choice.minutes == pytest.approx(0.0)
