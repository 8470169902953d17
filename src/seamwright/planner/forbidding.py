"""What each choice of a plan is worth: forbid it, choose again, compare.

A choice is what somebody might ask "why?" about: a strip set, a part trimmed from a larger one, a
glue-up, the number of leaves in a billet, a way of slicing a single piece. What a choice is worth
is what the best plan without it costs more. Worths do not add up: two choices may stand in for
each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from time import monotonic

from seamwright.design import Drawing
from seamwright.errors import Cancelled, PlanError
from seamwright.plan import Shop
from seamwright.planner.cells import Cells, prepare
from seamwright.planner.choosing import Chosen, Progress, choose
from seamwright.planner.options import Cut, Join, Option, Space, TrimDown
from seamwright.planner.overlays import face_of, face_shop
from seamwright.planner.planning import Planned, pick, written
from seamwright.planner.problem import Resawn
from seamwright.planner.refusals import why_not
from seamwright.planner.second_look import with_second_look
from seamwright.planner.space import explore
from seamwright.planner.writing import part_names


class Sort(Enum):
    """What a choice is about."""

    STRIP_SET = "strip set"
    PIECE = "single piece"
    TRIM = "trim"
    GLUE_UP = "glue-up"
    RESAW = "resaw"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """A choice the plan makes.

    Attributes:
        sort: what it is about.
        parts: ids, in the plan, of the parts made by it.
        leaves: leaves of a billet, for a resaw; 0 otherwise.
    """

    sort: Sort
    parts: tuple[str, ...]
    leaves: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Without:
    """A choice, and the best plan that does without it.

    Attributes:
        decided: the choice.
        planned: the plan without it; None where nothing else would do.
    """

    decided: Decided
    planned: Planned | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """A plan and what each of its choices is worth.

    Attributes:
        planned: the plan.
        without: its choices; those without any other way come last.
    """

    planned: Planned
    without: tuple[Without, ...]


def forbid_each(
    drawing: Drawing,
    shop: Shop,
    *,
    seconds: float = 20.0,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Reasons:
    """Plan a drawing, then plan it without each of the choices made.

    Args:
        drawing, shop: as for ``make_plan``.
        seconds: time limit for each exact choice.
        progress: told how far all of it is.
        cancelled: asked now and then.
    Raises:
        PlanError: no plan is feasible.
        Cancelled: the user stopped it.
    """
    say = progress or (lambda _share, _doing: None)
    say(0.0, "searching the ways to make it")
    shop = face_shop(drawing, shop)
    drawing = face_of(drawing, shop)
    cells = prepare(drawing, shop)
    space = explore(cells, shop, cancelled=cancelled)
    asked = _Asked(drawing, shop, cells, seconds, cancelled)
    say(0.1, "choosing among them")
    start = monotonic()
    chosen = asked.choose(space)
    if chosen is None:
        raise PlanError(*why_not(space, drawing, shop))
    took = monotonic() - start
    looked = with_second_look(cells, shop, chosen, took=took, seconds=seconds, cancelled=cancelled)
    picked = pick(drawing, shop, cells, looked)
    space = picked.chosen.space
    without: list[Without] = []
    choices = list(_choices(space, picked.chosen, shop))
    for done, (decided, options, leaves) in enumerate(choices):
        if cancelled is not None and cancelled():
            raise Cancelled
        say(0.2 + 0.8 * done / len(choices), f"planning without {' and '.join(decided.parts)}")
        other = None
        fewer = space if leaves else _forbidding(space, options)
        if fewer is not None:
            other = asked.choose(fewer, without_leaves=(leaves,) if leaves else ())
        planned = None if other is None else written(drawing, shop, cells, other)
        without.append(Without(decided=decided, planned=planned))
    without.sort(key=lambda w: -w.planned.best.cost if w.planned else 0.0)
    planned = written(drawing, shop, cells, chosen, picked)
    return Reasons(planned=planned, without=tuple(without))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What stays the same from one choice to the next."""

    drawing: Drawing
    shop: Shop
    cells: Cells
    seconds: float
    cancelled: Callable[[], bool] | None

    def choose(self, space: Space, without_leaves: tuple[int, ...] = ()) -> Chosen | None:
        return choose(
            space,
            self.shop,
            self.drawing.thickness_mm,
            self.drawing.copies,
            edge_cuts=len(self.cells.outline) if self.cells.edge_mm > 0.0 else 0,
            seconds=self.seconds,
            without_leaves=without_leaves,
            cancelled=self.cancelled,
        )


_Places = tuple[tuple[int, Option], ...]


def _choices(space: Space, chosen: Chosen, shop: Shop) -> Iterator[tuple[Decided, _Places, int]]:
    """The choices of a plan: each with the options it takes, or its number of leaves."""
    names = part_names(space, chosen, shop)
    found: dict[tuple[object, ...], tuple[Sort, list[str], dict[int, Option]]] = {}
    leaves: dict[int, list[str]] = {}
    for number, k in sorted(chosen.choice.modes.items()):
        node = chosen.problem.nodes[number]
        way = node.modes[k].way
        if isinstance(way, Resawn):
            leaves.setdefault(way.leaves, []).append(names[number])
            continue
        sort = _sort(space, way)
        # slices of one strip set are one choice; anything else is a choice of its part alone
        shared = isinstance(way, Cut) and sort is Sort.STRIP_SET
        key = (sort, way.bar) if isinstance(way, Cut) and shared else (sort, node.kind)
        _, parts, options = found.setdefault(key, (sort, [], {}))
        if names[number] not in parts:
            parts.append(names[number])
        options[node.kind] = way
    for count, parts in leaves.items():
        yield Decided(sort=Sort.RESAW, parts=tuple(parts), leaves=count), (), count
    for sort, parts, options in found.values():
        yield Decided(sort=sort, parts=tuple(parts)), tuple(options.items()), 0


def _sort(space: Space, way: Option) -> Sort:
    if isinstance(way, Cut):
        return Sort.STRIP_SET if len(space.bars[way.bar].strips) > 1 else Sort.PIECE
    if isinstance(way, TrimDown):
        return Sort.TRIM
    return Sort.GLUE_UP if isinstance(way, Join) else Sort.OTHER


def _forbidding(space: Space, places: _Places) -> Space | None:
    """The space without some options; a strip set goes as a whole. None where a part is lost."""
    bars = {
        way.bar for _, way in places if isinstance(way, Cut) and _sort(space, way) is Sort.STRIP_SET
    }
    taken = dict(places)
    kinds = []
    for number, kind in enumerate(space.kinds):
        options = [
            option
            for option in kind.options
            if option is not taken.get(number)
            and not (isinstance(option, Cut) and option.bar in bars)
        ]
        if number in taken and not options:
            return None
        kinds.append(kind if len(options) == len(kind.options) else replace(kind, options=options))
    return replace(space, kinds=tuple(kinds))
