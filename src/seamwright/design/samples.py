"""The demo board and the file a new design starts from."""

from __future__ import annotations

from importlib import resources


def demo() -> str:
    """The design file of the demo: a reading-desk panel of two blocks in three woods."""
    return _text("demo.toml")


def starter() -> str:
    """A commented design file to change into one's own."""
    return _text("starter.toml")


def _text(name: str) -> str:
    return (resources.files("seamwright.design") / "data" / name).read_text("utf-8")
