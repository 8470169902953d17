"""What the dust of a wood can do."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Effect(Enum):
    """An effect of dust."""

    IRRITANT = "irritant"
    SENSITISER = "sensitiser"
    LUNG = "lung"
    NAUSEA = "nausea"
    CARCINOGEN = "carcinogen"
    SUSPECTED = "suspected"

    @property
    def words(self) -> str:
        """The effect in words that follow "its dust"."""
        return _WORDS[self]


_WORDS = {
    Effect.IRRITANT: "irritates skin, eyes and nose",
    Effect.SENSITISER: "can make you allergic: each exposure may then be worse",
    Effect.LUNG: "can inflame the lungs",
    Effect.NAUSEA: "can make you feel sick",
    Effect.CARCINOGEN: "is classed as a cause of cancer",
    Effect.SUSPECTED: "is suspected of causing cancer",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """What a wood's dust can do.

    Attributes:
        effects: the effects found.
        strength: 1 (slight) to 4 (strong), as the source grades it.
        sources: codes of the sources.
    """

    effects: tuple[Effect, ...]
    strength: int
    sources: tuple[str, ...]
