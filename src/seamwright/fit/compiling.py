"""From a plan to a program on real parts."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from seamwright.fit.counting import uses
from seamwright.fit.joints import gluing
from seamwright.fit.operations import (
    Assembling,
    EdgeCutting,
    Keeping,
    Milling,
    Slicing,
    Trimming,
    gap_corners,
)
from seamwright.fit.program import Gap, Operation, Program
from seamwright.fit.rows import Row, long_edges, seats
from seamwright.fit.shapes import (
    ON_LINE_MM,
    Corners,
    Indices,
    Points,
    Shape,
    clip,
    direction,
    sides,
)
from seamwright.fit.sizes import Size, Slots, What
from seamwright.geometry import sin_deg
from seamwright.plan import Laminate, Mill, Plan, Resaw, Slice, Step, Trim


@dataclass(slots=True, kw_only=True)
class _Compiler:
    plan: Plan
    shapes: dict[str, Shape] = field(default_factory=dict)
    slots: list[Slots] = field(default_factory=list)
    ends: dict[str, float] = field(default_factory=dict)
    errors: int = 0

    def room(self, step: int, size: Size, count: int) -> slice:
        """Room for the errors of one size."""
        slots = Slots(size=size, step=step, start=self.errors, count=count)
        self.slots.append(slots)
        self.errors += count
        return slots.rows

    def operation(self, number: int, step: Step, taken: tuple[Indices, ...]) -> list[Operation]:
        """A step as operations."""
        if isinstance(step, Mill):
            return [self.mill(number, step)]
        if isinstance(step, Slice):
            return self.slice(number, step, taken[0])
        if isinstance(step, Trim):
            return [self.trim(number, step, np.repeat(taken[0], step.each))]
        if isinstance(step, Laminate):
            return [self.laminate(number, step, taken)]
        self.shapes[step.makes] = self.shapes[step.takes]
        leaves = step.leaves if isinstance(step, Resaw) else 1
        return [Keeping(takes=step.takes, makes=step.makes, numbers=np.repeat(taken[0], leaves))]

    def mill(self, number: int, step: Mill) -> Milling:
        """Sticks."""
        x, y = step.length_mm, step.width_mm
        piece = Corners(at=(0, 1, 2, 3), wood=step.wood, grain_deg=0.0, stick=step.makes)
        self.shapes[step.makes] = Shape(
            points=np.array([0.0, x, x + 1j * y, 1j * y]), pieces=(piece,)
        )
        return Milling(
            makes=step.makes,
            length_mm=x,
            width_mm=y,
            widths=self.room(number, Size(step.makes, What.WIDTH.value), step.count),
        )

    def slice(self, number: int, step: Slice, bars: Indices) -> list[Operation]:
        """Slices, and what remains of the bars."""
        if step.apart:
            return self.sawn_apart(number, step, bars)
        kerf = self.plan.shop.saws.table_kerf_mm
        cuts = step.cuts
        if step.squared:
            start, lean, closing = 0.0, self.ends.get(step.takes, cuts[0].angle_deg), 0
        else:
            start = cuts[0].at_mm + kerf / sin_deg(cuts[0].angle_deg)
            lean, closing = cuts[0].angle_deg, 1
        end = cuts[closing].at_mm
        left, rough = clip(self.shapes[step.takes], complex(start), -direction(lean))
        right, shape = clip(rough, complex(end), direction(cuts[closing].angle_deg))
        sliced = tuple(
            Corners(at=p.at, wood=p.wood, grain_deg=p.grain_deg, stick=p.stick, sliced=step.makes)
            for p in shape.pieces
        )
        self.shapes[step.makes] = Shape(points=shape.points - start, pieces=sliced)
        each, pieces = step.per_bar, np.arange(step.count)
        bar, k = pieces // each, pieces % each
        turned = (k % 2 == 1) & step.head_to_tail
        before, after = bar * (each + 1) + k, bar * (each + 1) + k + 1
        size = Size(step.makes, What.LENGTH.value)
        made: list[Operation] = [
            Slicing(
                takes=step.takes,
                makes=step.makes,
                bars=bars[bar],
                left=left,
                right=right,
                start_mm=start,
                end_mm=end,
                lengths=self.room(number, size, step.count),
                angles=self.room(
                    number, Size(step.makes, What.ANGLE.value), step.bars * (each + 1)
                ),
                at_left=np.where(turned, after, before),
                at_right=np.where(turned, before, after),
            )
        ]
        if step.rest:
            last = cuts[-1]
            back = last.at_mm + kerf / sin_deg(last.angle_deg)
            old = self.shapes[step.takes]
            self.shapes[step.rest] = Shape(points=old.points - back, pieces=old.pieces)
            self.ends[step.rest] = last.angle_deg
            made.append(Keeping(takes=step.takes, makes=step.rest, numbers=bars, back_mm=back))
        return made

    def sawn_apart(self, number: int, step: Slice, bars: Indices) -> list[Operation]:
        """A row sawn apart: every piece is cut where it lies, from parts of its own."""
        kerf = self.plan.shop.saws.table_kerf_mm
        made: list[Operation] = []
        row = self.shapes[step.takes]
        earlier: list[slice] = []
        size, lean = Size(step.makes, What.LENGTH.value), Size(step.makes, What.ANGLE.value)
        for k, (first, closing) in enumerate(pairwise(step.cuts)):
            start = first.at_mm + kerf / sin_deg(first.angle_deg)
            left, rough = clip(row, complex(start), -direction(first.angle_deg))
            right, shape = clip(rough, complex(closing.at_mm), direction(closing.angle_deg))
            shape = _named(shape, step.makes, start)
            order = np.arange(len(shape.points))
            if k:
                order = _alike(self.shapes[step.makes], shape)
            else:
                self.shapes[step.makes] = shape
            at = np.arange(step.bars)
            lengths = self.room(number, size, step.bars)
            made.append(
                Slicing(
                    takes=step.takes,
                    makes=step.makes,
                    bars=bars,
                    left=left,
                    right=right,
                    start_mm=start,
                    end_mm=closing.at_mm,
                    lengths=lengths,
                    angles=self.room(number, lean, 2 * step.bars),
                    earlier=tuple(earlier),
                    at_left=at,
                    at_right=step.bars + at,
                    order=order,
                )
            )
            earlier.append(lengths)
        return made

    def trim(self, number: int, step: Trim, taken: Indices) -> Trimming:
        """Edges off."""
        shape = self.shapes[step.takes]
        made: list[EdgeCutting] = []
        for k, cut in enumerate(step.cuts):
            along = direction(cut.angle_deg)
            through = complex(cut.x_mm, cut.y_mm)
            recipe, smaller = clip(shape, through, along)
            away = sides(shape.points, recipe.point, along)
            outer = np.unique(recipe.outer)
            made.append(
                EdgeCutting(
                    clip=recipe,
                    reference=np.flatnonzero(away >= away.max() - ON_LINE_MM),
                    reference_mm=float(away.max()),
                    stays=self.room(number, Size(step.makes, What.STAYS.value, k), step.count),
                    angles=self.room(number, Size(step.makes, What.ANGLE.value, k), step.count),
                    beyond=outer,
                    touching=recipe.kept[np.abs(away[recipe.kept]) <= ON_LINE_MM],
                )
            )
            shape = smaller
        self.shapes[step.makes] = shape
        return Trimming(takes=step.takes, makes=step.makes, numbers=taken, cuts=tuple(made))

    def row(self, number: int, step: Laminate, taken: tuple[Indices, ...]) -> Row:
        """A row with fillers pushed into corners."""
        parts = [placed.part for placed in step.parts]
        motions, found, shape = seats(step, [self.shapes[part] for part in parts])
        self.shapes[step.makes] = shape
        return Row(
            makes=step.makes,
            count=step.count,
            taken=tuple(zip(parts, taken, strict=True)),
            motions=motions,
            seats=found,
            edges=long_edges(shape),
            along=tuple(
                self.room(
                    number,
                    Size(step.makes, What.ALONG.value, k),
                    step.count if k and len(seat.touches) < 2 else 0,
                )
                for k, seat in enumerate(found)
            ),
        )

    def laminate(self, number: int, step: Laminate, taken: tuple[Indices, ...]) -> Operation:
        """A glue-up."""
        if step.corner_deg is not None:
            return self.row(number, step, taken)
        parts = [placed.part for placed in step.parts]
        sawn_apart = any(isinstance(u, Slice) and u.apart for u in self.plan.users(step.makes))
        glued, shape = gluing(step, [self.shapes[part] for part in parts], sawn_apart=sawn_apart)
        self.shapes[step.makes] = shape
        return Assembling(
            makes=step.makes,
            count=step.count,
            taken=tuple(zip(parts, taken, strict=True)),
            gluing=glued,
            along=tuple(
                self.room(
                    number,
                    Size(step.makes, What.ALONG.value, k),
                    0 if k == glued.reference else step.count,
                )
                for k in range(len(parts))
            ),
        )


def _named(shape: Shape, part: str, start_mm: float) -> Shape:
    """A slice in its own frame, its pieces marked as cut in this step."""
    pieces = tuple(replace(piece, sliced=part) for piece in shape.pieces)
    return Shape(points=shape.points - start_mm, pieces=pieces)


def _alike(first: Shape, other: Shape) -> Indices:
    """Corners of another shape in the order of the first, to which it is equal as drawn."""
    order = np.zeros(len(first.points), dtype=np.int64)
    left = list(other.pieces)
    for piece in first.pieces:
        ring = first.points[list(piece.at)]
        twin = min(left, key=lambda p: _apart(ring, other.points[list(p.at)]))
        left.remove(twin)
        for i in piece.at:
            order[i] = min(twin.at, key=lambda j: abs(other.points[j] - first.points[i]))
    return order


def _apart(one: Points, other: Points) -> float:
    """How far two outlines are from being the same."""
    if len(one) != len(other):
        return math.inf
    return float(np.abs(one[:, None] - other[None, :]).min(axis=1).max())


def program(plan: Plan) -> Program:
    """A plan made ready for real parts.

    Args:
        plan: one that holds on the virtual bench.
    """
    compiler = _Compiler(plan=plan)
    operations: list[Operation] = []
    for number, (step, used) in enumerate(zip(plan.steps, uses(plan), strict=True), start=1):
        operations += compiler.operation(number, step, used.taken)
    return Program(
        board=plan.board,
        board_at=plan.board_at,
        operations=tuple(operations),
        slots=tuple(slots for slots in compiler.slots if slots.count),
        errors=compiler.errors,
        shapes=compiler.shapes,
        gaps=_gaps(plan, operations),
    )


def _gaps(plan: Plan, operations: list[Operation]) -> tuple[Gap, ...]:
    """The gaps that are left on the board: their corner is found there again by its number."""
    numbers = _Numbers()
    marks: list[tuple[str, int, int, int]] = []
    for operation in operations:
        for row, mark, number, made_of in numbers.carry(operation):
            marks.append((made_of, row, number, mark))
    where = {int(mark): i for i, mark in enumerate(numbers.of[plan.board][:, 0])}
    return tuple(
        Gap(part=part, row=row, number=number, point=where[mark])
        for part, row, number, mark in marks
        if mark in where
    )


class _Numbers:
    """Every corner of every single part gets a number, which it keeps."""

    def __init__(self) -> None:
        self.of: dict[str, Indices] = {}
        self.next = 0

    def new(self, points: int, parts: int) -> Indices:
        fresh = self.next + np.arange(points * parts).reshape(points, parts)
        self.next += points * parts
        return fresh

    def put(self, part: str, numbers: Indices) -> None:
        known = self.of.get(part)
        self.of[part] = numbers if known is None else np.concatenate([known, numbers], axis=1)

    def carry(self, operation: Operation) -> list[tuple[int, int, int, str]]:
        """Carry the numbers through; gives the gaps of a lamination: (row, mark, number, kind)."""
        if isinstance(operation, Milling):
            self.put(operation.makes, self.new(4, operation.widths.stop - operation.widths.start))
        elif isinstance(operation, Slicing):
            points = self.of[operation.takes][:, operation.bars]
            for recipe in (operation.left, operation.right):
                points = self._cut(points, recipe.kept, len(recipe.inner))
            self.put(operation.makes, points[operation.order] if len(operation.order) else points)
        elif isinstance(operation, Keeping):
            self.put(operation.makes, self.of[operation.takes][:, operation.numbers])
        elif isinstance(operation, Trimming):
            points = self.of[operation.takes][:, operation.numbers]
            for cut in operation.cuts:
                points = self._cut(points, cut.clip.kept, len(cut.clip.inner))
            self.put(operation.makes, points)
        elif isinstance(operation, Row):
            laid = np.concatenate([self.of[kind][:, at] for kind, at in operation.taken])
            self.put(operation.makes, laid)
            return [
                (row, int(laid[corner, number]), number, operation.makes)
                for row, corner in enumerate(operation.edge_corners())
                for number in range(operation.count)
            ]
        elif isinstance(operation, Assembling):
            parts = [self.of[kind][:, numbers] for kind, numbers in operation.taken]
            self.put(operation.makes, np.concatenate(parts))
            return [
                (row, int(parts[part][point, number]), number, operation.makes)
                for row, (part, point) in enumerate(gap_corners(operation.gluing))
                for number in range(operation.count)
            ]
        return []

    def _cut(self, points: Indices, kept: Indices, crossed: int) -> Indices:
        return np.concatenate([points[kept], self.new(crossed, points.shape[1])])
