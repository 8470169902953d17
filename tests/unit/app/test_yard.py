"""Cut plans in the background: the one set aside is shown, a changed rack asks for a new one."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from seamwright import app
from seamwright.app import yard as yards
from seamwright.app.background import Stage
from seamwright.app.yard import Asked, Yard
from seamwright.rack import demo_rack
from seamwright.store import Store

TRAY = """
title = "Tray"
unit = "mm"
thickness = 18
woods = { A = "hard maple", B = "walnut" }
[block.four]
columns = "70 70"
rows = "70 70"
cells = '''
A B
B A
'''
"""


@pytest.fixture
def store(tmp_path):
    opened = Store.open(f"sqlite:///{tmp_path / 'shop.db'}")
    opened.boards.change(lambda _: demo_rack())
    yield opened
    opened.close()


def test_a_plan_is_made_set_aside_and_shown_until_it_is_used_up(store, monkeypatch):
    monkeypatch.setattr(yards, "YARD_SECONDS", 0.5)
    yard = Yard(store)
    job = store.add(title="Tray", design=TRAY, said="Began")
    report = app.plan(app.read_design(TRAY.encode(), name="tray"))
    asked = Asked(job=job, report=report, wishes=app.Wishes())
    assert yard.work(asked) is None
    assert yard.cut_report(asked) is None
    with pytest.raises(LookupError):
        yard.reserve(asked)
    yard.start(asked)
    until = time.monotonic() + 60
    while yard.work(asked).stage is Stage.RUNNING and time.monotonic() < until:
        time.sleep(0.05)
    made = yard.cut_report(asked)
    assert made is not None
    assert made.plan.boards
    yard.reserve(asked)
    # set aside for itself, the job sees the same rack and the same plan
    assert yard.cut_report(asked) == made
    assert yard.holds(job) == made.plan
    # with other wishes the plan set aside is shown all the same
    other = replace(asked, wishes=app.Wishes(order=app.ORDERS["rip"]))
    assert yard.cut_report(other).plan == made.plan
    store.boards.confirm(job=job.id)
    assert yard.holds(job) is None
    assert yard.work(asked) is None
    yard.close()
