"""Other ways, why and near misses, worked out aside; a way can be followed."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from seamwright.app.background import Stage, Work
from seamwright.app.desk import Desk
from seamwright.app.questions import Question
from seamwright.planner import Prefer
from seamwright.store import Job, Store, choose_way

TEXT = """title = "Sixteen"
unit = "mm"
thickness = "20"
woods = { A = "sugar maple", B = "black walnut" }
[block.x]
columns = "40 40 41 40"
rows = "40 40"
cells = '''
A B A B
B A B A
'''
"""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    home: Path = tmp_path_factory.mktemp("desk")
    desk = Desk(Store.open(f"sqlite:///{home / 'shop.db'}"))
    yield desk
    desk.close()


@pytest.fixture(scope="module")
def job(desk: Desk) -> Job:
    return desk.begin(TEXT, said="Began")


def answered(desk: Desk, job: Job, question: Question) -> Work:
    desk.questions.start(job, question)
    for _ in range(1200):
        work = desk.questions.work(job, question)
        assert work is not None
        if work.stage is not Stage.RUNNING:
            return work
        time.sleep(0.05)
    raise AssertionError("no answer in a minute")


def test_every_question_is_answered(desk: Desk, job: Job) -> None:
    found = answered(desk, job, Question.WAYS).result
    assert found[0].prefer is Prefer.CHEAPEST
    assert all(way.report.proof.holds for way in found)
    assert answered(desk, job, Question.WHY).result.worths
    near = answered(desk, job, Question.NEAR).result
    assert near.found[0].saved.minutes > 0.0


def test_a_question_that_was_stopped_can_be_asked_again(desk: Desk, job: Job) -> None:
    other = desk.begin(TEXT.replace("Sixteen", "Again"), said="Began")
    desk.questions.start(other, Question.WHY)
    desk.questions.stop(other, Question.WHY)
    work = desk.questions.work(other, Question.WHY)
    assert work is not None
    assert work.stage is Stage.STOPPED
    assert answered(desk, other, Question.WHY).stage is Stage.DONE


def test_a_way_once_chosen_is_planned_and_unknown_ones_are_the_cheapest(
    desk: Desk, job: Job
) -> None:
    assert desk.way(job) is Prefer.CHEAPEST
    desk.start_plan(job)
    choose_way(desk.store, job.id, "fewest-set-ups")
    assert desk.way(job) is Prefer.FEWEST_SET_UPS
    assert desk.plan_work(job) is None
    choose_way(desk.store, job.id, "from a newer version")
    assert desk.way(job) is Prefer.CHEAPEST
