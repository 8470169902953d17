"""The ways that the last plan took, so that the next one begins with them.

An edit leaves most parts as they were, and what was a good way to make them mostly still is. It is
only where the search begins: whatever it ends with is counted and proven as ever.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from seamwright.planner.options import Space
from seamwright.planner.problem import Choice, Problem, Resawn, Way
from seamwright.planner.reach import Place


@dataclass(slots=True)
class Former:
    """What is remembered of the last plan, as long as numbers mean the same.

    Attributes:
        leaves: leaves in the billets of the last best plan; 1 where nothing was resawn.
    """

    leaves: int = 1
    _line: object = None
    _ways: dict[Place, tuple[Way, int]] = field(default_factory=dict)
    _stood: dict[int, dict[tuple[Place, int], Way]] = field(default_factory=dict)

    def keep(self, space: Space, problem: Problem, choice: Choice) -> None:
        """Remember a choice among the options of a space."""
        self._line = space.line
        self._ways = {}
        for number, mode in choice.modes.items():
            node = problem.nodes[number]
            # 0 is another board next time
            if node.kind:
                used = (node.modes[mode].way, choice.uses[number])
                self._ways[node.kind, node.deep] = used

    def ways(self, space: Space) -> Mapping[Place, tuple[Way, int]]:
        """The way that each place was made in, and how often it was used; none of another line.

        Args:
            space: what is to be made now.
        """
        return self._ways if space.line is self._line else {}

    def start(self, space: Space, problem: Problem) -> dict[int, tuple[int, int]]:
        """For each node that was made before and still can be: (mode, how often it was used).

        Args:
            space: of which the problem is.
            problem: the problem.
        """
        if space.line is not self._line:
            return {}
        found: dict[int, tuple[int, int]] = {}
        for number, node in enumerate(problem.nodes):
            used = self._ways.get((node.kind, node.deep))
            if used is not None:
                same = (k for k, mode in enumerate(node.modes) if is_the_same(mode.way, used[0]))
                found.update((number, (k, used[1])) for k in same)
        return found

    def keep_stood(self, space: Space, problem: Problem, stood: Iterable[tuple[int, int]]) -> None:
        """Remember modes that trying them does not rule out.

        Args:
            space: of which the problem is.
            problem: the problem.
            stood: node and mode of each.
        """
        self._stood[problem.leaves] = {}
        for number, k in stood:
            node = problem.nodes[number]
            way = node.modes[k].way
            self._stood[problem.leaves][(node.kind, node.deep), id(way)] = way
        self._line = space.line

    def stood(self, space: Space, problem: Problem) -> set[tuple[int, int]]:
        """Modes that trying them did not rule out the last time: (node, mode)."""
        known = self._stood.get(problem.leaves, {}) if space.line is self._line else {}
        return {
            (number, k)
            for number, node in enumerate(problem.nodes)
            for k, mode in enumerate(node.modes)
            if node.kind and ((node.kind, node.deep), id(mode.way)) in known
        }


def is_the_same(way: Way, other: Way) -> bool:
    """Whether two ways are one; billets may hold another number of leaves."""
    return way is other or (isinstance(way, Resawn) and isinstance(other, Resawn))
