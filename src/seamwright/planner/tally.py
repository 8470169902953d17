"""The running cost of a choice: change one mode, pay only for what that changes."""

from __future__ import annotations

from heapq import heappop, heappush

from seamwright.planner.problem import Problem, bars_minutes


class Tally:
    """Counts and minutes of a choice, kept up to date.

    Attributes:
        picked: the mode of every node, needed or not.
        wanted: how many of each node are needed.
        minutes: the cost; equal to ``recount`` but for rounding.
    """

    def __init__(self, problem: Problem, picked: dict[int, int]) -> None:
        self.problem = problem
        self.picked = dict(picked)
        self.wanted = [0] * len(problem.nodes)
        self.minutes = problem.fixed
        self._drawn: list[dict[float, int]] = [{} for _ in problem.pools]
        self._bars = [0.0] * len(problem.pools)
        self._users = [0] * len(problem.setting_minutes)
        self._spread({0: problem.copies})

    def active(self) -> list[int]:
        """The nodes that are needed."""
        return [number for number, count in enumerate(self.wanted) if count]

    def uses(self, number: int) -> int:
        """How often the mode of a node is used."""
        mode = self.problem.nodes[number].modes[self.picked[number]]
        return -(-self.wanted[number] // mode.yields)

    def change(self, number: int, mode: int) -> None:
        """Make a node in another mode."""
        count = self.wanted[number]
        moved: dict[int, int] = {}
        if count:
            self._count(number, count, -1, moved)
        self.picked[number] = mode
        if count:
            self._count(number, count, 1, moved)
        self._spread(moved)

    def _spread(self, moved: dict[int, int]) -> None:
        """Carry changed needs down; children stand after their parents."""
        heap: list[int] = []
        for number in moved:
            heappush(heap, number)
        while heap:
            number = heappop(heap)
            change = moved.pop(number, 0)
            if not change:
                continue
            before, after = self.wanted[number], self.wanted[number] + change
            self.wanted[number] = after
            below: dict[int, int] = {}
            if before:
                self._count(number, before, -1, below)
            if after:
                self._count(number, after, 1, below)
            for child, difference in below.items():
                if child not in moved:
                    heappush(heap, child)
                moved[child] = moved.get(child, 0) + difference

    def _count(self, number: int, count: int, sign: int, moved: dict[int, int]) -> None:
        """Add (or take away) one node's own cost; note what it needs below."""
        mode = self.problem.nodes[number].modes[self.picked[number]]
        uses = -(-count // mode.yields)
        cost = mode.once + mode.each * uses
        if mode.batch:
            cost += mode.clamping * -(-uses // mode.batch)
        self.minutes += sign * cost
        for setting in mode.settings:
            self._set(setting, sign)
        if mode.pool >= 0:
            self._draw(mode.pool, mode.pitch_mm, sign * uses)
        for child, times in mode.children:
            moved[child] = moved.get(child, 0) + sign * times * uses

    def _set(self, setting: int, sign: int) -> None:
        before = self._users[setting]
        self._users[setting] = before + sign
        if not before or not before + sign:
            self.minutes += sign * self.problem.setting_minutes[setting]

    def _draw(self, number: int, pitch_mm: float, count: int) -> None:
        pool, drawn = self.problem.pools[number], self._drawn[number]
        before = bool(drawn)
        drawn[pitch_mm] = drawn.get(pitch_mm, 0) + count
        if not drawn[pitch_mm]:
            del drawn[pitch_mm]
        self.minutes -= self._bars[number]
        self._bars[number] = bars_minutes(pool, drawn)
        self.minutes += self._bars[number]
        if before != bool(drawn):
            for setting in pool.settings:
                self._set(setting, 1 if drawn else -1)
