"""Long work in another process: done once, told, stopped, and survived."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest

from fakes.works import double, ignore, listen, refuse, stumble, twice, vanish
from seamwright.app.background import Bench, Stage, Work


@pytest.fixture(scope="module")
def bench() -> Iterator[Bench]:
    made = Bench()
    yield made
    made.close()


def settled(bench: Bench, key: str) -> Work:
    while True:
        work = bench.state(key)
        assert work is not None
        if work.stage is not Stage.RUNNING:
            return work
        time.sleep(0.02)


def test_a_result_comes_back_and_is_kept(bench: Bench) -> None:
    bench.start("a", double, 21)
    assert settled(bench, "a").result == 42
    assert bench.start("a", stumble).result == 42


def test_a_first_answer_is_there_while_a_better_one_is_looked_for(bench: Bench, tmp_path) -> None:
    bench.start("better", twice, str(tmp_path / "go on"))
    while (work := bench.state("better")) is None or work.share < 0.5:
        time.sleep(0.02)
    assert (work.stage, work.result) == (Stage.RUNNING, "a first answer")
    (tmp_path / "go on").touch()
    assert settled(bench, "better").result == "the last answer"


def test_refusals_and_stumbles_are_told_in_words(bench: Bench) -> None:
    bench.start("refused", refuse)
    assert str(settled(bench, "refused").faults[0]) == "the number is wrong"
    bench.start("stumble", stumble)
    assert "ZeroDivisionError" in str(settled(bench, "stumble").faults[0])


def test_a_process_that_dies_takes_nothing_along(bench: Bench) -> None:
    bench.start("gone", vanish)
    assert settled(bench, "gone").stage is Stage.REFUSED
    bench.start("after", double, 4)
    assert settled(bench, "after").result == 8


@pytest.mark.parametrize("work", [listen, ignore])
def test_work_is_stopped_whether_it_listens_or_not(bench: Bench, work) -> None:
    key = work.__name__
    bench.start(key, work)
    bench.cancel(key)
    bench.start(f"{key} next", double, 5)
    assert settled(bench, f"{key} next").result == 10
    assert settled(bench, key).stage is Stage.STOPPED


def test_new_work_takes_the_place_of_old(bench: Bench) -> None:
    bench.start("old", listen)
    bench.start("newer", double, 1)
    bench.start("newest", double, 2)
    assert settled(bench, "newest").result == 4
    assert settled(bench, "old").stage is Stage.STOPPED
    assert settled(bench, "newer").stage is Stage.STOPPED


def test_work_asked_for_again_while_it_is_being_dropped_is_done(bench: Bench) -> None:
    bench.start("again", listen)
    bench.start("between", double, 1)
    bench.start("again", double, 3)
    assert settled(bench, "again").result == 6
    bench.start("twice", listen)
    bench.cancel("twice")
    bench.start("twice", double, 5)
    assert settled(bench, "twice").result == 10
