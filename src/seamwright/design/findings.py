"""Collect everything that is wrong with a design before refusing it."""

from __future__ import annotations

from collections.abc import Iterable

from seamwright.design.source import LineFinder, Path
from seamwright.errors import DesignError, Fault

MOST_FAULTS = 25
"""More than this many at once help nobody."""


class Findings:
    """The faults found so far."""

    def __init__(self, lines: LineFinder | None = None) -> None:
        self._lines = lines
        self._faults: list[Fault] = []
        self._seen: set[tuple[str, str, str]] = set()

    def add(
        self, code: str, path: Path, message: str, remedy: str = "", *, row: int | None = None
    ) -> None:
        """Note a fault at a place in the file, or at a row (from 0) of the text there."""
        self.extend([Fault(code, subject(path), message, remedy, self.line(path, row=row))])

    def line(self, path: Path, *, row: int | None = None) -> int | None:
        """Line of a place in the file, None where it is not known."""
        return self._lines.line(path, row=row) if self._lines else None

    def extend(self, faults: Iterable[Fault]) -> None:
        """Note faults found elsewhere; the same fault is kept once."""
        for fault in faults:
            key = (fault.code, fault.subject, fault.message)
            if key not in self._seen:
                self._seen.add(key)
                self._faults.append(fault)

    def refuse(self) -> None:
        """Stop here if anything is wrong.

        Raises:
            DesignError: with all faults, in the order of the file.
        """
        if not self._faults:
            return
        ordered = sorted(self._faults, key=lambda fault: fault.line or 0)
        shown, rest = ordered[:MOST_FAULTS], len(ordered) - MOST_FAULTS
        if rest > 0:
            shown.append(Fault("D100", "the file", f"has {rest} more faults", "mend these first"))
        raise DesignError(*shown)


def subject(path: Path) -> str:
    """A place in the file in words.

    >>> subject(("block", "star", "patch", 2)), subject(())
    ('block.star.patch 3', 'the file')
    """
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f" {part + 1}"
        else:
            short = part if len(part) <= 40 else part[:39] + "…"
            text += f".{short}" if text else short
    return text or "the file"
