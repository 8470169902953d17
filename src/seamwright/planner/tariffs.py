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
from seamwright.planner.reach import Place, Ways


@dataclass(frozen=True, slots=True)
class Draft:
    """A pool before its bounds are known."""

    bar: int
    deep: bool
    settings: tuple[int, ...]


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
    """

    modes: dict[Place, tuple[list[Option], Ways]] = field(default_factory=dict)
    settings: dict[object, int] = field(default_factory=dict)
    setting_minutes: list[float] = field(default_factory=list)
    drafts: dict[Place, int] = field(default_factory=dict)
    pools: list[Draft] = field(default_factory=list)
    contents: Contents = field(default_factory=Contents)


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
