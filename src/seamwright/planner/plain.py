"""Plain boards that go with a face: its balancing veneer, and a backing of solid wood.

Each is planned by itself like any board, exactly; its steps join those of the face, and the order
of all of them is chosen so that machines are set least.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from functools import lru_cache
from typing import TypeVar

from seamwright.design import BOUGHT, Drawing, Kind, Patch, Unit
from seamwright.errors import PlanError
from seamwright.geometry import angle_between, area
from seamwright.plan import Backed, Mill, Plan, Shop, Slice, Step
from seamwright.planner.cells import prepare
from seamwright.planner.choosing import choose
from seamwright.planner.ordering import fewest_settings
from seamwright.planner.space import explore
from seamwright.planner.writing import write_plan

T = TypeVar("T")
_SECONDS = 5.0
_IDS = {"makes", "takes", "rest", "part", "match"}


def with_backing(face: Plan, backed: Backed | None, drawing: Drawing) -> Plan:
    """The plan of a face with what it is pressed to: made in the same steps, where it can be.

    Args:
        face: the plan of the face alone.
        backed: what it is glued to; None where the pattern runs through.
        drawing: of the face.
    """
    if backed is None:
        return face
    shop, steps = face.shop, list(face.steps)
    core = counter = None
    if backed.grain_deg is not None and drawing.backing is not None:
        size = (backed.wide_mm, backed.high_mm, backed.depth_mm)
        core = _plain(drawing.backing.material, backed.grain_deg, size, face.copies, shop)
    wood = _veneer_wood(drawing)
    if wood is not None and backed.counter_mm:
        size = (backed.wide_mm, backed.high_mm, backed.counter_mm)
        counter = _plain(wood, _most_grain_deg(drawing), size, face.copies, shop)
    for plain, prefix, name in ((core, "K", "Backing"), (counter, "V", "Veneer")):
        if plain is not None:
            steps = _joined(steps, [_renamed(s, prefix, plain.board, name) for s in plain.steps])
    backed = replace(
        backed,
        core=None if core is None else "Backing",
        counter=None if counter is None else "Veneer",
    )
    whole = replace(face, steps=tuple(steps), backed=backed)
    return fewest_settings(whole).plan if backed.made else whole


def _joined(steps: list[Step], more: list[Step]) -> list[Step]:
    """Both, all sticks milled on one day, and all bars sliced together: so settings are counted."""
    sliced = _last_sliced(more)
    milled = [step for step in more if isinstance(step, Mill)]
    bars = [step for step in more[:sliced] if not isinstance(step, Mill)]
    rest = [step for step in more[sliced:] if not isinstance(step, Mill)]
    first = sum(isinstance(step, Mill) for step in steps)
    then = max(_last_sliced(steps), first)
    return [*steps[:first], *milled, *steps[first:then], *bars, *steps[then:], *rest]


def _last_sliced(steps: list[Step]) -> int:
    """How many steps there are up to the last bar that is sliced; rows sawn apart aside."""
    return max(
        (n for n, step in enumerate(steps, 1) if isinstance(step, Slice) and not step.apart),
        default=0,
    )


def _veneer_wood(drawing: Drawing) -> str | None:
    """Letter of the wood the balancing veneer is made of; None where it is bought."""
    chosen = drawing.backing.veneer if drawing.backing else None
    if chosen is not None:
        return None if chosen == BOUGHT else chosen
    used: dict[str, float] = {}
    for patch in drawing.patches:
        used[patch.wood] = used.get(patch.wood, 0.0) + area(patch.points)
    return max(sorted(used), key=lambda letter: round(used[letter], 3))


def _most_grain_deg(drawing: Drawing) -> float:
    """Up or across, whichever most of the face is nearer to [°]."""
    up = sum(
        area(patch.points) * (1.0 if angle_between(patch.grain_deg, 90.0) < 45.0 else -1.0)
        for patch in drawing.patches
    )
    return 90.0 if up >= 0.0 else 0.0


# an edit leaves the backing as it was
@lru_cache(maxsize=32)
def _plain(
    wood: str, grain_deg: float, size_mm: tuple[float, float, float], copies: int, shop: Shop
) -> Plan | None:
    """A plain rectangle of one wood; None where the shop cannot make it."""
    wide, high, deep = size_mm
    ring = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    drawing = Drawing(
        title="plain",
        unit=Unit.MM,
        thickness_mm=deep,
        kind=Kind.THROUGH,
        woods=((wood, wood),),
        patches=(Patch(name="1", points=ring, wood=wood, grain_deg=grain_deg),),
        outline=ring,
        copies=copies,
    )
    # it is cut over-size and trimmed flush with the face: no wood is left on for an edge of its own
    exact = replace(shop, allowances=replace(shop.allowances, edge_mm=0.0))
    try:
        cells = prepare(drawing, exact)
        space = explore(cells, exact)
    except PlanError:
        return None
    chosen = choose(space, exact, deep, copies, edge_cuts=0, seconds=_SECONDS)
    if chosen is None:
        return None
    return write_plan(space, chosen, exact, title="plain", outline=ring, edge_mm=0.0)


def _renamed(step: Step, prefix: str, board: str, name: str) -> Step:
    return _with_ids(step, lambda kind: name if kind == board else f"{prefix}{kind}")


def _with_ids(thing: T, new: Callable[[str], str]) -> T:
    """A frozen dataclass with every id of a kind in it, however deep, changed."""
    if not is_dataclass(thing) or isinstance(thing, type):
        return thing
    changed: dict[str, object] = {}
    for entry in fields(thing):
        value = getattr(thing, entry.name)
        if entry.name in _IDS and value:
            changed[entry.name] = new(value)
        elif isinstance(value, tuple):
            changed[entry.name] = tuple(_with_ids(each, new) for each in value)
        else:
            changed[entry.name] = _with_ids(value, new)
    return replace(thing, **changed)
