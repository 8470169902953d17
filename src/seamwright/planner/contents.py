"""What parts contain at the most, kept from one edit to the next.

What a part contains follows from its ways and from what their parts contain. So it is worked out
anew only where one of these is another than before: above what was edited.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seamwright.planner.reach import Modes, Place, Ways

_Row = dict[int, float]
"""How many of each place one of a place contains, itself included; only what is there."""


class Contents:
    """Rows of all places met so far, as long as a place means the same kind."""

    def __init__(self) -> None:
        self._known: dict[Place, tuple[Ways, _Row]] = {}

    def rows(self, modes: Modes, order: Sequence[Place]) -> Rows:
        """The rows of one problem.

        Args:
            modes: the ways of every place.
            order: the places of its nodes; children stand after their parents.
        """
        known = self._known
        fresh: set[Place] = set()
        for place in reversed(order):
            ways, before = modes[place], known.get(place)
            if (
                before is None
                or not _are_the_same(ways, before[0])
                or any(child in fresh for _, own in ways for child, _ in own)
            ):
                known[place] = (ways, self._row(place, ways))
                fresh.add(place)
        return Rows([known[place][1] for place in order], order)

    def _row(self, place: Place, ways: Ways) -> _Row:
        row: _Row = {}
        for mode, children in ways:
            inside: _Row = {}
            for child, count in children:
                share = count / mode.yields
                own = self._known[child][1]
                if inside:
                    had = inside.get
                    inside.update([(at, had(at, 0.0) + share * n) for at, n in own.items()])
                else:
                    inside = {at: share * n for at, n in own.items()}
            if row:
                most = row.get
                row.update([entry for entry in inside.items() if entry[1] > most(entry[0], 0.0)])
            else:
                row = inside
        row[_code(place)] = 1.0
        return row


class Rows:
    """For each node how many of every part one of it contains at the most, itself included."""

    def __init__(self, rows: Sequence[_Row], order: Sequence[Place]) -> None:
        self._rows = rows
        self._order = order

    def of(self, number: int) -> Mapping[int, float]:
        """What is in a node: parts, with how many of each."""
        return self._rows[number]

    def part(self, number: int) -> int:
        """What a node is called as a part."""
        return _code(self._order[number])


def _code(place: Place) -> int:
    """A place as one number."""
    return 2 * place[0] + place[1]


def _are_the_same(ways: Ways, before: Ways) -> bool:
    """Whether two lists hold the very same ways, whatever was dropped from either."""
    return ways is before or (
        len(ways) == len(before) and all(a is b for a, b in zip(ways, before, strict=True))
    )
