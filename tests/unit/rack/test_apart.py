"""Jobs in processes of their own: answers, losses, stopping."""

from __future__ import annotations

import gc
import os
import time
from pathlib import Path

import pytest

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.errors import Cancelled
from seamwright.rack import cut_plan, rules_of, search
from seamwright.rack.apart import side_by_side


def _nothing(*_):
    pass


def _answering(seconds, report, check):
    report(3.0, 2.0)
    return os.getpid(), seconds


def _dying(seconds, report, check):
    os._exit(3)


def _stumbling(seconds, report, check):
    raise ValueError


def _sleeping(seconds, report, check):
    time.sleep(600)


def test_every_job_answers_from_a_process_of_its_own():
    told = []
    found = side_by_side((_answering, _answering), seconds=7, check=_nothing, heard=told.append)
    assert len({os.getpid(), *(pid for pid, _ in found)}) == 3
    assert [seconds for _, seconds in found] == [7, 7]
    assert told[-1] == [(3.0, 2.0), (3.0, 2.0)]


def test_a_lost_job_has_no_answer_and_the_others_do():
    jobs = (_dying, _answering, _stumbling)
    found = side_by_side(jobs, seconds=1, check=_nothing, heard=_nothing)
    assert found[0] is None
    assert found[1] is not None
    assert found[2] is None


def test_what_was_kept_shared_is_collected_again_afterwards():
    before = gc.get_freeze_count()
    side_by_side((_answering, _dying), seconds=1, check=_nothing, heard=_nothing)
    assert gc.get_freeze_count() == before == 0


def test_stopping_ends_the_processes():
    def stop():
        raise Cancelled("enough")

    before = _children()
    with pytest.raises(Cancelled):
        side_by_side((_sleeping, _sleeping), seconds=1, check=stop, heard=_nothing)
    assert _children() == before


def _children() -> set[str]:
    """Processes this thread has split off, whoever else runs tests beside it."""
    return set(Path(f"/proc/self/task/{os.getpid()}/children").read_text("ascii").split())


@pytest.mark.parametrize("apart", [True, False])
def test_woods_side_by_side_make_a_sound_plan(monkeypatch, apart):
    monkeypatch.setattr(search, "can_split", lambda: apart)
    rack, demand = seeded_rack(3, boards=8, woods=2), seeded_demand(3, lines=4, woods=2)
    told = []
    plan = cut_plan(
        rack, demand, shop=SHOP, seconds=1.0, progress=lambda share, text: told.append(share)
    )
    assert check(rack, demand, SHOP, rules_of(SHOP), plan) == []
    assert plan.bound <= plan.cost + 1e-9
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_woods_of_lost_processes_are_solved_here(monkeypatch):
    monkeypatch.setattr(search, "can_split", lambda: True)
    monkeypatch.setattr(search, "side_by_side", lambda jobs, **_: [None] * len(jobs))
    rack, demand = seeded_rack(3, boards=8, woods=2), seeded_demand(3, lines=4, woods=2)
    plan = cut_plan(rack, demand, shop=SHOP, seconds=1.0)
    assert check(rack, demand, SHOP, rules_of(SHOP), plan) == []
