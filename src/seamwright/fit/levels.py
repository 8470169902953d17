"""Where the faces of every piece of wood lie before they are planed flat.

A part carries two levels for each of its pieces: show face and back. Parts are laid on a flat bed,
each standing off it by a little; planers and saws set new levels. Nothing of this moves a seam: the
pattern is the same at every depth.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from seamwright.fit.counting import uses
from seamwright.fit.operations import Slicing, Trimming
from seamwright.fit.program import Program
from seamwright.fit.shapes import Clip, Indices, Shape, clip
from seamwright.plan import (
    Laminate,
    Machine,
    Mill,
    Plan,
    Resaw,
    SetUp,
    Slice,
    Step,
    Surface,
    Trim,
    settings,
)

Levels = NDArray[np.float32]
"""Pieces × parts × trials [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A planer or resaw fence as it was set once.

    Attributes:
        set_up: machine and size.
        steps: numbers of the steps it serves.
    """

    set_up: SetUp
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """Standard deviations of everything that decides levels [mm].

    Attributes:
        settings: one for each setting.
        planed, leaf, flush: part to part after planing, leaf to leaf, and how far a part stands
            off the bed of a glue-up.
    """

    settings: tuple[float, ...]
    planed: float
    leaf: float
    flush: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Planed:
    """What one planing met.

    Attributes:
        step: its number.
        uneven: how far the highest and lowest piece of the more uneven face lie apart, in the
            worst part (trials) [mm].
        least: how much thinner than the parts were planned to be the wood is that runs through all
            pieces between the two faces, in the worst part: so much must be left for planing.
        room: what the planer as set takes off parts as thick as planned; below ``least`` a face
            stays unclean.
    """

    step: int
    uneven: NDArray[np.float32]
    least: NDArray[np.float32]
    room: NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Depths:
    """A plan made ready for levels.

    Attributes:
        plan: the plan.
        taken: for each step which single parts it takes.
        planned: depth of every kind [mm].
        kept: for each step that cuts which pieces stay, one tuple for each cutting of it.
        settings: all settings of planer and resaw fence.
        setting_of: for each step the number of its setting; −1 where it has none.
    """

    plan: Plan
    planned: Mapping[str, float]
    taken: tuple[tuple[Indices, ...], ...]
    kept: tuple[tuple[Indices, ...], ...]
    settings: tuple[Setting, ...]
    setting_of: tuple[int, ...]


def depths_of(plan: Plan, program: Program) -> Depths:
    """Make a plan ready for levels.

    Args:
        plan: the plan.
        program: made of it.
    """
    cutting: dict[str, list[Slicing | Trimming]] = {}
    for operation in program.operations:
        if isinstance(operation, Slicing | Trimming):
            cutting.setdefault(operation.makes, []).append(operation)
    kept: list[tuple[Indices, ...]] = []
    for step in plan.steps:
        found: list[Indices] = []
        if isinstance(step, Slice | Trim):
            count = step.per_bar if isinstance(step, Slice) and step.apart else 1
            todo = cutting[step.makes]
            found = [_pieces_kept(program, todo.pop(0)) for _ in range(count)]
        kept.append(tuple(found))
    known, setting_of = _settings(plan)
    return Depths(
        plan=plan,
        planned=planned_mm(plan),
        taken=tuple(used.taken for used in uses(plan)),
        kept=tuple(kept),
        settings=known,
        setting_of=setting_of,
    )


def _settings(plan: Plan) -> tuple[tuple[Setting, ...], tuple[int, ...]]:
    """Sticks of one depth are planed together; later each machine keeps what it was set to last."""
    found: list[Setting] = []
    milled: dict[int, int] = {}
    standing: dict[Machine, int] = {}
    of: list[int] = []
    for number, (step, anew) in enumerate(zip(plan.steps, settings(plan), strict=True), start=1):
        at = -1
        if isinstance(step, Mill):
            up = SetUp(machine=Machine.PLANER, size_mm=step.depth_mm)
            at = milled.setdefault(up.key[1], len(found))
        elif isinstance(step, Surface | Resaw):
            up = step.set_up
            at = len(found) if anew else standing[up.machine]
            standing[up.machine] = at
        if at == len(found):
            found.append(Setting(set_up=up, steps=()))
        if at >= 0:
            found[at] = replace(found[at], steps=(*found[at].steps, number))
        of.append(at)
    return tuple(found), tuple(of)


def _pieces_kept(program: Program, operation: Slicing | Trimming) -> Indices:
    """Which pieces a cutting leaves, in the order of the kind it makes."""
    shape = program.shapes[operation.takes]
    marked = Shape(
        points=shape.points,
        pieces=tuple(replace(piece, wood=str(i)) for i, piece in enumerate(shape.pieces)),
    )
    for cut in _clips(operation):
        marked = clip(marked, cut.point, cut.direction)[1]
    pieces = marked.pieces
    if isinstance(operation, Slicing) and len(operation.order):
        # a piece of a row sawn apart: its pieces stand in the order of the first one
        by_ring = {frozenset(piece.at): piece for piece in pieces}
        first = program.shapes[operation.makes].pieces
        pieces = tuple(by_ring[frozenset(int(operation.order[i]) for i in p.at)] for p in first)
    return np.array([int(piece.wood) for piece in pieces], dtype=np.int64)


def _clips(operation: Slicing | Trimming) -> tuple[Clip, ...]:
    if isinstance(operation, Slicing):
        return operation.left, operation.right
    return tuple(cut.clip for cut in operation.cuts)


@dataclass(slots=True, kw_only=True)
class _Shelf:
    depths: Depths
    spreads: Spreads
    off: NDArray[np.float32]
    seed: tuple[int, ...]
    trials: int
    front: dict[str, Levels] = field(default_factory=dict)
    back: dict[str, Levels] = field(default_factory=dict)

    def drawn(self, number: int, parts: int) -> Levels:
        random = np.random.Generator(np.random.SFC64([*self.seed, number]))
        return random.standard_normal((parts, self.trials), dtype=np.float32)

    def bias(self, number: int) -> NDArray[np.float32]:
        return np.asarray(self.off[self.depths.setting_of[number - 1]])

    def put(self, kind: str, front: Levels, back: Levels) -> None:
        for known, new in ((self.front, front), (self.back, back)):
            old = known.get(kind)
            known[kind] = new if old is None else np.concatenate([old, new], axis=1)

    def carry(self, number: int, step: Step) -> Planed | None:
        """One step; what it met where it planes."""
        taken = self.depths.taken[number - 1]
        if isinstance(step, Mill):
            thick = step.depth_mm + self.bias(number)
            thick = thick + self.drawn(number, step.count) * np.float32(self.spreads.planed)
            self.put(step.makes, thick[None].astype(np.float32), np.zeros_like(thick[None]))
        elif isinstance(step, Slice):
            self.slice(number, step, taken[0])
        elif isinstance(step, Trim):
            (kept,) = self.depths.kept[number - 1]
            at = np.ix_(kept, np.repeat(taken[0], step.each))
            self.put(step.makes, self.front[step.takes][at], self.back[step.takes][at])
        elif isinstance(step, Laminate):
            self.lay(number, step, taken)
        elif isinstance(step, Resaw):
            self.resaw(number, step, taken[0])
        else:
            return self.plane(number, step, taken[0])
        return None

    def slice(self, number: int, step: Slice, bars: Indices) -> None:
        front, back = self.front[step.takes], self.back[step.takes]
        each = 1 if step.apart else step.per_bar
        for kept in self.depths.kept[number - 1]:
            at = np.ix_(kept, np.repeat(bars, each))
            self.put(step.makes, front[at], back[at])
        if step.rest:
            self.put(step.rest, front[:, bars], back[:, bars])

    def lay(self, number: int, step: Laminate, taken: tuple[Indices, ...]) -> None:
        """On a flat bed, back down; a part creeps up from it while the clamps close, never down."""
        fronts, backs = [], []
        off = np.abs(self.drawn(number, len(step.parts) * step.count))
        lifts = off.reshape(len(step.parts), step.count, -1) * np.float32(self.spreads.flush)
        for placed, numbers, lift in zip(step.parts, taken, lifts, strict=True):
            front, back = self.front[placed.part][:, numbers], self.back[placed.part][:, numbers]
            if placed.at.over:
                front, back = -back, -front
            up = lift - back.min(axis=0)
            fronts.append(front + up)
            backs.append(back + up)
        self.put(step.makes, np.concatenate(fronts), np.concatenate(backs))

    def resaw(self, number: int, step: Resaw, taken: Indices) -> None:
        """Front against the fence: each leaf is as thick as the fence says, the last what is left.

        Leaves of one billet follow one another.
        """
        front, back = self.front[step.takes][:, taken], self.back[step.takes][:, taken]
        wander = self.drawn(number, step.count).reshape(len(taken), step.leaves, -1)
        wander = wander * np.float32(self.spreads.leaf)
        level = front.max(axis=0)
        made = []
        for leaf in range(step.leaves):
            below = level - step.set_up.size_mm - self.bias(number) - wander[:, leaf]
            flat = np.broadcast_to(below, front.shape)
            high = front if not leaf else np.broadcast_to(level, front.shape)
            made.append((high, back if leaf == step.leaves - 1 else np.maximum(flat, back)))
            level = below - np.float32(self.depths.plan.shop.saws.resaw_kerf_mm)
        shape = (len(front), len(taken) * step.leaves, self.trials)
        both = [np.stack([pair[side] for pair in made], axis=2) for side in (0, 1)]
        self.put(step.makes, both[0].reshape(shape), both[1].reshape(shape))

    def plane(self, number: int, step: Surface, taken: Indices) -> Planed:
        """The show face until it is clean, then the back down to the depth set."""
        front, back = self.front[step.takes][:, taken], self.back[step.takes][:, taken]
        low, high = front.min(axis=0), back.max(axis=0)
        wanted = step.depth_mm + self.bias(number)
        wanted = wanted + self.drawn(number, len(taken)) * np.float32(self.spreads.planed)
        uneven = np.maximum(front.max(axis=0) - low, high - back.min(axis=0))
        face = low
        floor = face - wanted
        self.put(
            step.makes,
            np.minimum(front, face).astype(np.float32),
            np.maximum(back, floor).astype(np.float32),
        )
        margin = low - high - wanted
        worst = margin.argmin(axis=0)
        at = (worst, np.arange(self.trials))
        return Planed(
            step=number,
            uneven=uneven.max(axis=0),
            least=(self.depths.planned[step.takes] - (low - high))[at],
            room=(self.depths.planned[step.takes] - wanted)[at],
        )


def levelled(
    depths: Depths, spreads: Spreads, *, seed: tuple[int, ...], trials: int
) -> Iterator[Planed]:
    """Carry levels through a plan; gives what every planing meets.

    Args:
        depths: from ``depths_of``.
        spreads: standard deviations.
        seed: of the random numbers: the same seed draws the same errors, whatever the deviations.
        trials: how many.
    """
    random = np.random.Generator(np.random.SFC64([*seed, 0]))
    drawn = random.standard_normal((len(depths.settings), trials), dtype=np.float32)
    off = drawn * np.array(spreads.settings, dtype=np.float32)[:, None]
    shelf = _Shelf(depths=depths, spreads=spreads, off=off, seed=seed, trials=trials)
    for number, step in enumerate(depths.plan.steps, start=1):
        found = shelf.carry(number, step)
        if found is not None:
            yield found


def planned_mm(plan: Plan) -> Mapping[str, float]:
    """Depth of every kind as planned [mm]."""
    found: dict[str, float] = {}
    for step in plan.steps:
        if isinstance(step, Mill | Surface):
            depth = step.depth_mm
        elif isinstance(step, Laminate):
            depth = min(found[placed.part] for placed in step.parts)
        elif isinstance(step, Resaw):
            kerf = plan.shop.saws.resaw_kerf_mm
            depth = (found[step.takes] - (step.leaves - 1) * kerf) / step.leaves
        else:
            depth = found[step.takes]
            if isinstance(step, Slice) and step.rest:
                found[step.rest] = depth
        found[step.makes] = depth
    return found
