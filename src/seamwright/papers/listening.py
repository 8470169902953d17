"""How long work is told about, and stopped."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[float, str], None]
"""Told the share done, 0 to 1, and what is being done."""


def silent(share: float, doing: str) -> None:
    """Progress told to nobody."""
    del share, doing


def never() -> bool:
    """Nobody wants to stop."""
    return False
