"""Prices kept from one edit to the next.

What a part costs in each of its ways follows from the part, the shop and the depths alone: it is
worked out once for all edits that go on with the same numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from seamwright.plan import Shop
from seamwright.planner.contents import Contents
from seamwright.planner.depths import Depths
from seamwright.planner.options import Option, Space
from seamwright.planner.problem import Pool, Problem, Way
from seamwright.planner.reach import Place, Ways


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A pool before its bounds are known.

    Attributes:
        batch: bars that fit in one clamping side by side, where all hold slices of one pitch.
        settings: by the numbers of the tariff.
        pitches_mm: what slices draw from it [mm], in whatever drawing.
    """

    bar: int
    deep: bool
    room_mm: float
    overhead_mm: float
    per_bar: float
    per_mm: float
    alike: tuple[tuple[int, float], ...]
    parting: tuple[tuple[int, float], ...]
    clamping: float
    batch: int
    settings: tuple[int, ...]
    pitches_mm: set[float] = field(default_factory=set)

    def pool(
        self,
        *,
        least_mm: float,
        full_mm: float,
        most: int,
        settings: tuple[int, ...],
        one_pitch: bool,
    ) -> Pool:
        """The pool; arguments as its attributes, ``one_pitch`` where all its slices are alike."""
        return Pool(
            bar=self.bar,
            deep=self.deep,
            room_mm=self.room_mm,
            full_mm=full_mm,
            overhead_mm=self.overhead_mm,
            least_mm=least_mm,
            per_bar=self.per_bar,
            per_mm=self.per_mm,
            settings=settings,
            most=most,
            alike=self.alike,
            parting=self.parting,
            clamping=self.clamping,
            batch=self.batch if one_pitch else 1,
        )


@dataclass(slots=True)
class Tariff:
    """What has been priced, by the numbers of kinds and bars of one line of searches.

    Attributes:
        modes: for each place the options priced and their modes, with numbers of settings and
            pools here.
        settings: numbers of settings.
        setting_minutes: minutes for each.
        drafts: numbers of pools.
        pools: bars that can be milled.
        contents: what parts contain at the most.
        alone: for each place the way that is cheapest when it is made and nothing else is, and
            the minutes for one; no way and no end of minutes where it cannot be made.
        most: how many of each place the last drawing needed at the most.
    """

    modes: dict[Place, tuple[list[Option], Ways]] = field(default_factory=dict)
    settings: dict[object, int] = field(default_factory=dict)
    setting_minutes: list[float] = field(default_factory=list)
    drafts: dict[Place, int] = field(default_factory=dict)
    pools: list[Draft] = field(default_factory=list)
    contents: Contents = field(default_factory=Contents)
    alone: dict[Place, tuple[Way | None, float]] = field(default_factory=dict)
    most: dict[Place, int] = field(default_factory=dict)

    def keep_alone(self, problem: Problem, picked: dict[int, int], minutes: list[float]) -> None:
        """Remember what the nodes of a problem cost alone, and how many are needed at the most.

        Args:
            problem: for the last drawing.
            picked: the mode of each node that is cheapest alone.
            minutes: for one of each node.
        """
        for number, node in enumerate(problem.nodes):
            way = node.modes[picked[number]].way
            place = (node.kind, node.deep)
            self.alone[place], self.most[place] = (way, minutes[number]), node.most


@dataclass(slots=True)
class Tariffs:
    """Prices kept from one edit to the next, as long as numbers mean the same."""

    line: object = None
    _known: dict[tuple[Shop, Depths], Tariff] = field(default_factory=dict)

    def of(self, space: Space, shop: Shop, depths: Depths) -> Tariff:
        """What has been priced in a shop at these depths."""
        if space.line is not self.line:
            self._known.clear()
            self.line = space.line
        return self._known.setdefault((shop, depths), Tariff())
