"""Drawings by the text of their files: an edit knows both, so nothing is read back."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from seamwright.app.files import read_design
from seamwright.design import Drawing


class _Drawings:
    """The drawings used last, by their text."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._known: OrderedDict[str, Drawing] = OrderedDict()
        self._lock = Lock()

    def keep(self, text: str, drawing: Drawing) -> None:
        """Remember what a text draws."""
        with self._lock:
            self._known[text] = drawing
            self._known.move_to_end(text)
            while len(self._known) > self._most:
                self._known.popitem(last=False)

    def of(self, text: str) -> Drawing:
        """The drawing in a text, read where it is not known."""
        with self._lock:
            known = self._known.get(text)
        if known is None:
            known = read_design(text.encode(), name="Board")
            self.keep(text, known)
        return known


_DRAWINGS = _Drawings(64)


def drawing_of(text: str) -> Drawing:
    """The drawing in the text of a design file.

    Raises:
        DesignError: anything in it is wrong.
    """
    return _DRAWINGS.of(text)


def remember(text: str, drawing: Drawing) -> None:
    """Keep in mind what a text draws, so that it need not be read.

    Args:
        text: as ``write`` gives it for the drawing.
    """
    _DRAWINGS.keep(text, drawing)
