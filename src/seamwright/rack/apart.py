"""Problems solved side by side, each in a process of its own.

A process is split off by forking: it has everything at hand at once, and there is nothing to send
but the answer. That is safe only where the process runs nothing else beside, so elsewhere (another
system, other threads, a single core) problems take turns as before.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import Pipe
from multiprocessing.connection import Connection, wait
from typing import Generic, TypeVar

from seamwright.errors import Cancelled

A = TypeVar("A")
_ASKED_S = 0.05

Report = Callable[[float, float], None]
"""Told what the best plan so far costs, and its bound."""
Job = Callable[[float, Report, Callable[[], None]], A]
"""Work for so many seconds, reporting, and calling what may raise to stop it."""


@dataclass(slots=True, kw_only=True)
class _Split(Generic[A]):
    process: int
    pipe: Connection
    said: tuple[float, float] | None = None
    answer: A | None = None


def cores() -> int:
    """Processors that this process may use."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


def can_split() -> bool:
    """Whether a process may be split off here."""
    return sys.platform == "linux" and cores() > 1 and threading.active_count() == 1


def limit(seconds: float, _number: int) -> float:
    """Time each of a number of processes gets: all of it, since they run at once."""
    return seconds


def side_by_side(
    jobs: tuple[Job[A], ...],
    *,
    seconds: float,
    check: Callable[[], None],
    heard: Callable[[list[tuple[float, float]]], None],
) -> list[A | None]:
    """Answers of all jobs, each done in a process of its own; None where one was lost.

    Args:
        jobs: what to do.
        seconds: for each of them.
        check: may raise to stop everything.
        heard: told cost and bound of every job, once each has reported.
    """
    splits: list[_Split[A]] = []
    # what there is stays shared: a collector that looks at it would make it each process's own
    gc.freeze()
    try:
        splits.extend(_split(job, limit(seconds, len(jobs))) for job in jobs)
        _listen(splits, check, heard)
    finally:
        gc.unfreeze()
        for split in splits:
            with suppress(ProcessLookupError):
                os.kill(split.process, signal.SIGKILL)
            os.waitpid(split.process, 0)
            split.pipe.close()
    return [split.answer for split in splits]


def _listen(
    splits: list[_Split[A]],
    check: Callable[[], None],
    heard: Callable[[list[tuple[float, float]]], None],
) -> None:
    waiting = {split.pipe: split for split in splits}
    while waiting:
        check()
        for pipe in wait(list(waiting), timeout=_ASKED_S):
            assert isinstance(pipe, Connection)
            split = waiting[pipe]
            try:
                what, content = pipe.recv()
            except (EOFError, OSError):
                what, content = "lost", None
            if what == "said":
                split.said = content
                continue
            split.answer = content
            del waiting[pipe]
        said = [split.said for split in splits if split.said is not None]
        if len(said) == len(splits):
            heard(said)


def _split(job: Job[A], seconds: float) -> _Split[A]:
    ours, theirs = Pipe(duplex=False)
    parent = os.getpid()
    process = os.fork()
    if process:
        theirs.close()
        return _Split(process=process, pipe=ours)
    try:
        ours.close()
        _carry_out(job, seconds, theirs, parent)
    finally:
        # nothing of what the parent would do at its end is done here
        os._exit(0)


def _carry_out(job: Job[A], seconds: float, pipe: Connection, parent: int) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def check() -> None:
        if os.getppid() != parent:
            raise Cancelled("nobody waits for this any more")

    def report(cost: float, bound: float) -> None:
        pipe.send(("said", (cost, bound)))

    with suppress(Exception):
        pipe.send(("done", job(seconds, report, check)))
