"""Plans of seeded racks pass the independent checker; every mutation of them is caught."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.rack import (
    Board,
    CutPlan,
    Demand,
    Fate,
    Flaw,
    FlawKind,
    Offer,
    Rack,
    Stick,
    Stock,
    cut_plan,
    rules_of,
)

RULES = rules_of(SHOP)
STICK = Stick(name="S1", wood="ash", count=1, length_mm=400, width_mm=40, depth_mm=20)


def _case(seed: int, boards: int, lines: int, woods: int, offers: bool = True):
    rack = seeded_rack(seed, boards=boards, woods=woods, offers=offers)
    demand = seeded_demand(seed, lines=lines, woods=woods)
    return rack, demand, cut_plan(rack, demand, shop=SHOP, seconds=1.0, seed=seed)


@pytest.fixture(scope="module")
def case():
    return _case(5, 10, 6, 2)


@pytest.mark.parametrize(
    ("seed", "boards", "lines", "woods", "offers"),
    [(0, 6, 4, 1, True), (1, 12, 6, 1, True), (2, 16, 8, 2, True), (3, 3, 5, 1, False)],
)
def test_plans_pass_the_checker(seed, boards, lines, woods, offers):
    rack, demand, plan = _case(seed, boards, lines, woods, offers)
    assert check(rack, demand, SHOP, RULES, plan) == []
    assert plan.bound > 0


def test_the_unchanged_case_passes(case):
    rack, demand, plan = case
    assert check(rack, demand, SHOP, RULES, plan) == []


def _with_piece(plan: CutPlan, which: Fate, /, **changes) -> CutPlan:
    for b, cuts in enumerate(plan.boards):
        for n, piece in enumerate(cuts.pieces):
            if piece.fate is which:
                moved = {
                    key: getattr(piece, key) + value if key.endswith("_mm") else value
                    for key, value in changes.items()
                }
                pieces = list(cuts.pieces)
                pieces[n] = replace(piece, **moved)
                return _with_cuts(plan, b, replace(cuts, pieces=tuple(pieces)))
    raise AssertionError(f"no piece is {which.value}")


def _with_cuts(plan: CutPlan, b: int, cuts) -> CutPlan:
    return replace(plan, boards=(*plan.boards[:b], cuts, *plan.boards[b + 1 :]))


def _expect(case, plan: CutPlan, *codes: str, rack=None, demand=None) -> None:
    old_rack, old_demand, _ = case
    found = check(rack or old_rack, demand or old_demand, SHOP, RULES, plan)
    heads = {complaint.split(":")[0] for complaint in found}
    assert set(codes) <= heads, found


def test_a_blank_shifted_by_a_tenth_is_caught(case):
    _expect(case, _with_piece(case[2], Fate.BLANK, x_mm=0.1), "replay")


def test_a_blank_shifted_across_is_caught(case):
    _expect(case, _with_piece(case[2], Fate.BLANK, y_mm=-0.1), "replay")


def test_a_shorter_blank_is_caught(case):
    _expect(case, _with_piece(case[2], Fate.BLANK, length_mm=-1.5), "replay", "size")


def test_a_dropped_kerf_is_caught(case):
    plan = case[2]
    for b, cuts in enumerate(plan.boards):
        for n, cut in enumerate(cuts.cuts):
            if cut.near and cut.far:
                thin = replace(cut, kerf_mm=cut.kerf_mm - 0.5)
                changed = (*cuts.cuts[:n], thin, *cuts.cuts[n + 1 :])
                _expect(case, _with_cuts(plan, b, replace(cuts, cuts=changed)), "kerf")
                return
    raise AssertionError("no cut with two sides")


def test_cuts_out_of_order_are_caught(case):
    plan = case[2]
    b, cuts = next((b, c) for b, c in enumerate(plan.boards) if len(c.cuts) > 1)
    turned = replace(cuts, cuts=tuple(reversed(cuts.cuts)))
    _expect(case, _with_cuts(plan, b, turned), "replay")


def test_a_missing_cut_is_caught(case):
    plan = case[2]
    shorter = replace(plan.boards[0], cuts=plan.boards[0].cuts[:-1])
    _expect(case, _with_cuts(plan, 0, shorter), "replay")


def test_a_flaw_under_a_blank_is_caught(case):
    rack, _, plan = case
    cuts = next(c for c in plan.boards if not c.offer and c.of(Fate.BLANK))
    blank = cuts.of(Fate.BLANK)[0]
    knot = Flaw(
        kind=FlawKind.KNOT,
        x_mm=blank.x_mm + 5,
        y_mm=blank.y_mm + 5,
        length_mm=10,
        width_mm=5,
    )
    board = replace(cuts.board, flaws=(*cuts.board.flaws, knot))
    b = plan.boards.index(cuts)
    marked = replace(rack, boards=tuple(board if x.name == board.name else x for x in rack.boards))
    _expect(case, _with_cuts(plan, b, replace(cuts, board=board)), "flaw", rack=marked)
    _expect(case, plan, "stock", rack=marked)


def test_another_wood_is_caught(case):
    _, demand, plan = case
    sticks = (replace(demand.sticks[0], wood="pear"), *demand.sticks[1:])
    _expect(case, plan, "wood", demand=replace(demand, sticks=sticks))


def test_a_raised_count_is_caught(case):
    _, demand, plan = case
    first = demand.sticks[0]
    sticks = (replace(first, count=first.count + 1), *demand.sticks[1:])
    _expect(case, plan, "demand", demand=replace(demand, sticks=sticks))


def test_a_thicker_stick_is_caught(case):
    _, demand, plan = case
    sticks = tuple(replace(s, depth_mm=s.depth_mm + 3) for s in demand.sticks)
    _expect(case, plan, "thickness", demand=replace(demand, sticks=sticks))


def test_a_board_cut_twice_is_caught(case):
    plan = case[2]
    _expect(case, replace(plan, boards=(*plan.boards, plan.boards[0])), "stock", "demand")


def test_waste_called_a_leftover_is_caught(case):
    _expect(case, _with_piece(case[2], Fate.WASTE, fate=Fate.LEFTOVER), "cost")


def test_a_forgotten_leftover_is_caught(case):
    _expect(case, _with_piece(case[2], Fate.LEFTOVER, fate=Fate.WASTE), "cost")


def test_a_bound_above_the_cost_is_caught(case):
    plan = case[2]
    _expect(case, replace(plan, bound=plan.cost * 1.01), "bound")


def test_a_lower_cost_than_the_pieces_is_caught(case):
    plan = case[2]
    _expect(case, replace(plan, cost=plan.cost * 0.99), "cost")


def test_a_larger_machine_minimum_is_caught(case):
    rack, demand, plan = case
    strict = replace(RULES, rip_length_mm=2700.0)
    found = check(rack, demand, SHOP, strict, plan)
    assert any(text.startswith("minima") for text in found)


def test_work_of_gluing_left_out_is_caught():
    rules, stick = rules_of(SHOP, hour=6.0), replace(STICK, width_mm=80.0)
    narrow = Board(
        name="N1", wood="ash", thickness_mm=26, width_mm=60, length_mm=460, stock=Stock.OFFCUT
    )
    yard = Offer(name="y", wood="ash", thickness_mm=26, width_mm=150, length_mm=2400, price=60)
    rack = Rack(boards=(narrow, replace(narrow, name="N2")), offers=(yard,))
    demand = Demand(sticks=(stick,))
    plan = cut_plan(rack, demand, shop=SHOP, seconds=0.3, rules=rules)
    assert check(rack, demand, SHOP, rules, plan) == []
    (line,) = plan.lines
    free = replace(line, variants=tuple(replace(v, glue=0.0) for v in line.variants))
    found = check(rack, demand, SHOP, rules, replace(plan, lines=(free,)))
    assert any(text.startswith("cost: the plan") for text in found)
    dear = replace(line, variants=tuple(replace(v, glue=v.glue * 2) for v in line.variants))
    found = check(rack, demand, SHOP, rules, replace(plan, lines=(dear,)))
    assert any(text.startswith("cost: gluing") for text in found)
