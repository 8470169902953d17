"""Planning again and again while somebody draws: a first plan at once, then the best one."""

from __future__ import annotations

import gc
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace

from seamwright.app.planning import PlanReport, proven
from seamwright.bench import Workbook
from seamwright.design import Drawing
from seamwright.plan import Shop
from seamwright.planner import Memory, Planned, Progress, make_plan
from seamwright.woods import Species

_SHOPS = 3
"""Shops that are remembered; what is known of a part is known for one shop."""


class Drafts:
    """What was found out about the drawings planned so far, shop by shop."""

    def __init__(self) -> None:
        self._memories: OrderedDict[Shop, tuple[Memory, Workbook]] = OrderedDict()

    def memory(self, shop: Shop) -> tuple[Memory, Workbook]:
        """What is known in a shop: of its plans, and of what was carried out on its bench."""
        known = self._memories.setdefault(shop, (Memory(), Workbook()))
        self._memories.move_to_end(shop)
        while len(self._memories) > _SHOPS:
            self._memories.popitem(last=False)
        return known

    def replan(
        self,
        drawing: Drawing,
        shop: Shop,
        *,
        seconds: float,
        own: tuple[Species, ...] = (),
        early: Callable[[PlanReport], None] | None = None,
        progress: Progress | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> PlanReport:
        """The cheapest plan of a drawing; what it shares with earlier ones is not searched again.

        Args:
            drawing, shop, seconds, own, cancelled: as for ``plan``.
            early: told a first plan at once: carried out on virtual wood and found to make the
                drawing, while nothing is proven yet of its cost.
            progress: told how far the work is, 0 to 1, and what is being done.
        Raises:
            PlanError: no plan is possible in this shop; every reason is named.
            UnprovenError: a plan found does not make the drawing.
            Cancelled: the user stopped it.
        """
        say = progress or (lambda _share, _doing: None)
        memory, workbook = self.memory(shop)

        def first(planned: Planned) -> None:
            if early is not None:
                early(replace(proven(drawing, planned, workbook=workbook), own=own))
            gc.enable()

        # until the first plan nothing is looked through for garbage: nearly all there is stays
        if early is not None:
            gc.disable()
        try:
            planned = make_plan(
                drawing,
                shop,
                seconds=seconds,
                memory=memory,
                early=first if early is not None else None,
                progress=lambda share, doing: say(0.9 * share, doing),
                cancelled=cancelled,
            )
        finally:
            gc.enable()
        say(0.9, "carrying the plan out on virtual wood")
        report = replace(proven(drawing, planned, workbook=workbook), own=own)
        say(1.0, "done")
        return report
