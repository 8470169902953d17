"""Questions about a plan that take many plans to answer: other ways, why, near misses."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from enum import Enum

from seamwright.app.asking import WITHIN_MM, near_text, why_text
from seamwright.app.background import Bench, Work
from seamwright.app.drawings import drawing_of
from seamwright.app.ways import Way, ways
from seamwright.plan import default_shop, read_shop
from seamwright.store import Job, Store

WAYS_SECONDS = 5.0
"""Time for the exact choice of each way [s]."""


class Question(Enum):
    """What is asked."""

    WAYS = "ways"
    WHY = "why"
    NEAR = "near"


class Questions:
    """One question is worked on at a time; asking another drops the one before."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._bench = Bench()

    def close(self) -> None:
        """Stop all work."""
        self._bench.close()

    def start(self, job: Job, question: Question) -> Work:
        """Begin, unless that is done or under way."""
        profile = self._store.shop_profile()
        key = self._key(job, question)
        if question is Question.NEAR:
            return self._bench.start(key, near_text, job.design, profile, WITHIN_MM)
        asked = why_text if question is Question.WHY else ways_text
        return self._bench.start(key, asked, job.design, profile)

    def work(self, job: Job, question: Question) -> Work | None:
        """How far it is; None where it was not asked."""
        return self._bench.state(self._key(job, question))

    def stop(self, job: Job, question: Question) -> None:
        """Stop it."""
        self._bench.cancel(self._key(job, question))

    def _key(self, job: Job, question: Question) -> str:
        told = f"{job.design}\0{self._store.shop_profile()}\0{question.value}"
        return hashlib.sha256(told.encode()).hexdigest()


def ways_text(
    text: str,
    profile: str,
    *,
    progress: Callable[[float, str], None],
    cancelled: Callable[[], bool],
) -> tuple[Way, ...]:
    """``ways`` for a design file and a shop file ("" for the default shop), as background work."""
    shop = read_shop(profile) if profile else default_shop()
    drawing = drawing_of(text)
    return ways(drawing, shop, seconds=WAYS_SECONDS, progress=progress, cancelled=cancelled)
