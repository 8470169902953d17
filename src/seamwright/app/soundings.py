"""What is being reckoned of boards while somebody looks: in a process of its own, newest first."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from seamwright.app.background import Bench, Work
from seamwright.app.drawings import drawing_of
from seamwright.app.situation import Situation, situation_of
from seamwright.app.sounding import SoundReport, reckoned, sound_glance
from seamwright.design import Drawing
from seamwright.plan import read_own_woods
from seamwright.store import Job, Store
from seamwright.strength import BUILT_PCT
from seamwright.woods import Species


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the user wants to know, as typed; see ``situation_of``.

    Attributes:
        swaps: woods to try instead of those drawn, by letter.
    """

    seasons: tuple[str, ...] = ()
    airs: tuple[str, ...] = ()
    built_pct: float = BUILT_PCT
    loads: tuple[str, ...] = ()
    use: str | None = None
    finish: str = "none"
    rings: tuple[str, ...] = ()
    swaps: tuple[tuple[str, str], ...] = ()


class Soundings:
    """One board reckoned at a time; asking for another drops the one before."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._bench = Bench()

    def close(self) -> None:
        """Stop all work."""
        self._bench.close()

    def own_woods(self) -> tuple[Species, ...]:
        """The user's own woods, as they stand in the shop's profile."""
        return own_woods_in(self._store.shop_profile())

    def start(self, job: Job, asked: Asked) -> Work:
        """Begin reckoning a board as it stands, unless that is done or under way.

        Raises:
            StrengthError: what was asked is not understood; all faults named.
        """
        profile = self._store.shop_profile()
        situation_in(job.design, asked)
        return self._bench.start(self._key(job, asked), sound_text, job.design, profile, asked)

    def work(self, job: Job, asked: Asked) -> Work | None:
        """How far it is; None where it was not asked for."""
        return self._bench.state(self._key(job, asked))

    def stop(self, job: Job, asked: Asked) -> None:
        """Stop it."""
        self._bench.cancel(self._key(job, asked))

    def _key(self, job: Job, asked: Asked) -> str:
        told = f"{job.design}\0{self._store.shop_profile()}\0{asked}"
        return hashlib.sha256(told.encode()).hexdigest()


@lru_cache(maxsize=8)
def own_woods_in(profile: str) -> tuple[Species, ...]:
    """The user's own woods in a shop profile."""
    return read_own_woods(profile) if profile else ()


def situation_in(design: str, asked: Asked) -> tuple[Drawing, Situation]:
    """The drawing with the woods to try, and what it will meet.

    Raises:
        StrengthError: what was asked is not understood; all faults named.
    """
    drawing = drawing_of(design)
    swaps = dict(asked.swaps)
    woods = tuple((letter, swaps.get(letter, name)) for letter, name in drawing.woods)
    drawing = replace(drawing, woods=woods)
    situation = situation_of(
        drawing,
        seasons=asked.seasons,
        airs=asked.airs,
        built_pct=asked.built_pct,
        loads=asked.loads,
        use=asked.use,
        finish=asked.finish,
        rings=asked.rings,
    )
    return drawing, situation


@lru_cache(maxsize=16)
def glance_text(design: str, profile: str, asked: Asked) -> SoundReport:
    """What is known of a board at once.

    Raises:
        StrengthError: what was asked is not understood; all faults named.
    """
    drawing, situation = situation_in(design, asked)
    return sound_glance(drawing, situation, own=own_woods_in(profile))


def sound_text(
    design: str,
    profile: str,
    asked: Asked,
    *,
    progress: Callable[[float, str], None],
    cancelled: Callable[[], bool],
) -> SoundReport:
    """Reckon the board of a design file; runs in a process of its own."""
    quick = glance_text(design, profile, asked)
    own = own_woods_in(profile)
    return reckoned(quick, own=own, progress=progress, cancelled=cancelled)
