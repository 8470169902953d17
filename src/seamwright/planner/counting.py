"""In which numbers can a node be needed? Few possible numbers make the exact choice fast.

What of a node ends up in the boards, its *share*, follows from the ways alone, counted in fractions
of a billet or a row. Where parts are made that no board needs, because billets and rows are made
whole, the number needed may be larger by what is in those.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from seamwright.planner.problem import Mode, Problem

_MOST_VALUES = 12
_MOST_SUMS = 64
_FINE = 12
"""Shares that agree to so many decimals are one; with fewer, what rounding takes off the limit of a
share makes the solver rule out what is possible."""

Row = dict[int, "Amounts"]


@dataclass(frozen=True, slots=True, eq=False)
class Amounts:
    """How much there may be of a node; equal ones are one object.

    Attributes:
        low, high: no plan has less or more.
        values: every possible amount, ascending; empty where they are many.
    """

    low: float
    high: float
    values: tuple[float, ...]


class _Book:
    """Amounts and what has been worked out with them: the same few come again and again."""

    def __init__(self) -> None:
        self._known: dict[tuple[float, ...], Amounts] = {}
        self._times: dict[tuple[Amounts, float], Amounts] = {}
        self._sums: dict[tuple[Amounts, Amounts], Amounts] = {}
        self._either: dict[tuple[Amounts, ...], Amounts] = {}
        self.nothing = self.of((0.0,))

    def of(self, values: Iterable[float]) -> Amounts:
        """The amounts with these values."""
        every = tuple(sorted({round(value, _FINE) for value in values}))
        if len(every) > _MOST_VALUES:
            return self.between(every[0], every[-1])
        if every not in self._known:
            self._known[every] = Amounts(every[0], every[-1], every)
        return self._known[every]

    def between(self, low: float, high: float) -> Amounts:
        """Amounts of which only the least and the most are known."""
        key = (math.inf, low, high)
        if key not in self._known:
            self._known[key] = Amounts(low, high, ())
        return self._known[key]

    def times(self, a: Amounts, factor: float) -> Amounts:
        """So many times as much."""
        if factor == 1.0:
            return a
        if (a, factor) not in self._times:
            self._times[a, factor] = (
                self.of(value * factor for value in a.values)
                if a.values
                else self.between(a.low * factor, a.high * factor)
            )
        return self._times[a, factor]

    def both(self, a: Amounts, b: Amounts) -> Amounts:
        """One and the other together."""
        if (a, b) not in self._sums:
            self._sums[a, b] = (
                self.of(x + y for x in a.values for y in b.values)
                if a.values and b.values
                else self.between(a.low + b.low, a.high + b.high)
            )
        return self._sums[a, b]

    def either(self, ways: tuple[Amounts, ...]) -> Amounts:
        """One of several."""
        if ways not in self._either:
            self._either[ways] = (
                self.of(value for way in ways for value in way.values)
                if all(way.values for way in ways)
                else self.between(min(w.low for w in ways), max(w.high for w in ways))
            )
        return self._either[ways]


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """In which numbers a node may be needed, where it is needed at all.

    Attributes:
        share_least, share_most: what of it ends up in the boards.
        least, most: how many of it are needed.
        counts: every possible number, ascending; empty where they are many.
        exact: whether what is made of it all ends up in the boards.
    """

    share_least: float
    share_most: float
    least: int
    most: int
    counts: tuple[int, ...]
    exact: bool


def needed(problem: Problem, *, at_most: int) -> list[Needed]:
    """For each node in which numbers it may be needed.

    Args:
        problem: the problem; children stand after their parents.
        at_most: where more numbers than this are possible, they are not told one by one.
    """
    book = _Book()
    shares, wholes = _shares(problem, book)
    over = [0.0] * len(problem.nodes)
    """What of a node is in parts that no board needs, at the most."""
    sums: list[set[int] | None] = [set() for _ in problem.nodes]
    sums[0] = {problem.copies}
    steps = [0] * len(problem.nodes)
    steps[0] = problem.copies
    found: list[Needed] = []
    for number, node in enumerate(problem.nodes):
        own = _one(
            book.times(shares.get(number, book.nothing), problem.copies),
            over[number],
            sums[number],
            max(steps[number], 1),
            at_most,
        )
        found.append(own)
        waste: dict[int, float] = {}
        for k, mode in enumerate(node.modes):
            uses = 1 if steps[number] % mode.yields else steps[number] // mode.yields
            for child, times in mode.children:
                steps[child] = math.gcd(steps[child], uses * times)
            extra = _too_many(own, mode.yields, steps[number]) / mode.yields
            for child, most in wholes.get((number, k), {}).items() if extra else ():
                waste[child] = max(waste.get(child, 0.0), extra * most)
        for child, extra in waste.items():
            over[child] += extra
        _carry(own, node.modes, sums, problem)
    return found


def _one(share: Amounts, over: float, sums: set[int] | None, step: int, at_most: int) -> Needed:
    positive = [value for value in share.values if value > 1e-6]
    low = positive[0] if positive else max(share.low, 1e-6)
    least = step * math.ceil(low / step - 1e-6)
    most = step * int((share.high + over) / step + 1e-6)
    if not over and share.values:
        counts = sorted({round(value) for value in positive})
    elif sums is not None:
        counts = sorted(count for count in sums if least <= count <= most)
    elif (most - least) // step < at_most:
        counts = list(range(least, most + 1, step))
    else:
        counts = []
    if counts:
        least, most = counts[0], counts[-1]
    return Needed(
        share_least=low,
        share_most=share.high,
        least=least,
        most=most,
        counts=tuple(counts) if len(counts) <= at_most else (),
        exact=not over,
    )


def _too_many(own: Needed, yields: int, step: int) -> int:
    """How many are made too many, at the most, by a mode that makes so many at once."""
    if yields == 1:
        return 0
    if own.counts:
        return max(-count % yields for count in own.counts)
    return yields - math.gcd(yields, step)


def _carry(
    own: Needed, modes: Sequence[Mode], sums: list[set[int] | None], problem: Problem
) -> None:
    """Add what one node may need to the sums of its children."""
    needs: dict[int, set[int] | None] = {}
    for mode in modes:
        for child, times in mode.children:
            if not own.counts:
                needs[child] = None
                continue
            need = needs.setdefault(child, set())
            if need is not None:
                need.update(times * -(-count // mode.yields) for count in own.counts)
    for child, need in needs.items():
        before = sums[child]
        if before is None or need is None:
            sums[child] = None
            continue
        most = problem.nodes[child].most
        both = {sum_ for a in (0, *before) for b in (0, *need) if 0 < (sum_ := a + b) <= most}
        sums[child] = both if len(both) <= _MOST_SUMS else None


def _shares(problem: Problem, book: _Book) -> tuple[Row, dict[tuple[int, int], dict[int, float]]]:
    """What may be in one board, and what is in one use of each mode that makes several."""
    last: dict[int, int] = {}
    for number, node in enumerate(problem.nodes):
        for mode in node.modes:
            for child, _ in mode.children:
                last.setdefault(child, number)
    leaving: dict[int, list[int]] = {}
    for child, number in last.items():
        leaving.setdefault(number, []).append(child)
    rows: dict[int, Row] = {}
    wholes: dict[tuple[int, int], dict[int, float]] = {}
    for number in range(len(problem.nodes) - 1, -1, -1):
        made = []
        for k, mode in enumerate(problem.nodes[number].modes):
            inside = _inside(mode, rows, book)
            made.append(inside)
            if mode.yields > 1:
                wholes[number, k] = {t: a.high * mode.yields for t, a in inside.items()}
        rows[number] = _either(made, book)
        rows[number][number] = book.of((1.0,))
        for child in leaving.get(number, ()):
            # its first parent has been dealt with, and so have all others
            del rows[child]
    return rows[0], wholes


def _inside(mode: Mode, rows: dict[int, Row], book: _Book) -> Row:
    """What is in one part made in a mode."""
    inside: Row = {}
    for child, count in mode.children:
        share = count / mode.yields
        for node, amounts in rows[child].items():
            more = book.times(amounts, share)
            known = inside.get(node)
            inside[node] = more if known is None else book.both(known, more)
    return inside


def _either(made: Sequence[Row], book: _Book) -> Row:
    """What is in a part that is made in one of several modes."""
    if len(made) == 1:
        return made[0]
    nothing = book.nothing
    return {
        node: book.either(tuple(inside.get(node, nothing) for inside in made))
        for node in {node: None for inside in made for node in inside}
    }
