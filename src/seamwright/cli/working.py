"""Long work: told how far it is on a terminal, stopped by Ctrl-C at any moment."""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future
from typing import Protocol, TypeVar

import click

from seamwright.cli.front import ExitCode
from seamwright.errors import Cancelled

Result_co = TypeVar("Result_co", covariant=True)
_BETWEEN_S = 0.1
_PATIENCE_S = 5.0
_WIDTH = 78


class Work(Protocol[Result_co]):
    """Something that takes a while, tells how far it is, and asks whether to go on."""

    def __call__(
        self, *, progress: Callable[[float, str], None], cancelled: Callable[[], bool]
    ) -> Result_co:
        """Do it."""
        ...


def carry_out(work: Work[Result_co]) -> Result_co:
    """Do long work in a thread of its own, so that Ctrl-C is heard even while a solver runs.

    The first Ctrl-C asks the work to stop. Where it does not within some seconds, or on a second
    Ctrl-C, the program leaves at once; files are moved to their places only when all are ready.

    Raises:
        Cancelled: it was stopped.
    """
    stop = threading.Event()
    meter = _Meter()
    outcome: Future[Result_co] = Future()

    def run() -> None:
        try:
            outcome.set_result(work(progress=meter.tell, cancelled=stop.is_set))
        except BaseException as error:
            outcome.set_exception(error)

    try:
        threading.Thread(target=run, daemon=True).start()
        return outcome.result()
    except KeyboardInterrupt:
        stop.set()
        _stopped(outcome)
        raise Cancelled from None
    finally:
        meter.clear()


def _stopped(outcome: Future[Result_co]) -> None:
    """Wait a little for work that was asked to stop, then leave without it."""
    try:
        outcome.exception(timeout=_PATIENCE_S)
    except (KeyboardInterrupt, TimeoutError):
        click.echo("Stopped.", err=True)
        os._exit(ExitCode.CANCELLED)


class _Meter:
    """One line on standard error that is written over, only where a person watches."""

    def __init__(self) -> None:
        self._watched = sys.stderr is not None and sys.stderr.isatty()
        self._next = 0.0
        self._shown = False

    def tell(self, share: float, doing: str) -> None:
        now = time.monotonic()
        if not self._watched or now < self._next:
            return
        self._next = now + _BETWEEN_S
        self._shown = True
        line = f"{100.0 * share:3.0f} %  {doing}"[:_WIDTH]
        sys.stderr.write(f"\r{line:<{_WIDTH}}")
        sys.stderr.flush()

    def clear(self) -> None:
        if self._shown:
            sys.stderr.write("\r" + " " * _WIDTH + "\r")
            sys.stderr.flush()
