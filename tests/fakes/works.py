"""Pieces of work for the other process, which must be able to import them."""

from __future__ import annotations

import os
import time
from collections.abc import Callable

from seamwright.errors import Cancelled, DesignError, Fault

Say = Callable[[float, str], None]
Ask = Callable[[], bool]


def double(number: int, *, progress: Say, cancelled: Ask) -> int:
    progress(0.5, "doubling")
    return 2 * number


def refuse(*, progress: Say, cancelled: Ask) -> None:
    raise DesignError(Fault("D001", "the number", "is wrong"))


def stumble(*, progress: Say, cancelled: Ask) -> None:
    raise ZeroDivisionError("oh")


def vanish(*, progress: Say, cancelled: Ask) -> None:
    os._exit(3)


def listen(*, progress: Say, cancelled: Ask) -> None:
    while not cancelled():
        time.sleep(0.02)
    raise Cancelled


def ignore(*, progress: Say, cancelled: Ask) -> None:
    progress(0.1, "deaf")
    time.sleep(120)


def twice(wait: str, *, early: Callable[[str], None], progress: Say, cancelled: Ask) -> str:
    """A first answer, then the last one, once a file is there."""
    early("a first answer")
    progress(0.5, "looking for a better one")
    while not os.path.exists(wait):
        time.sleep(0.02)
    return "the last answer"
