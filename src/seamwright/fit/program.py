"""A plan as a program on real parts: from the errors of single cuts to the corners of the board.

Each step becomes one operation on arrays (points × single parts × trials), so that all parts of a
kind and many trials are carried through at once. Nothing is linearised: lines are crossed and
parts are turned as they lie.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import DTypeLike, NDArray

from seamwright.fit.joints import Complexes, Reals
from seamwright.fit.shapes import Shape
from seamwright.fit.sizes import Size, Slots
from seamwright.geometry import Motion


@dataclass(slots=True, kw_only=True)
class Run:
    """What the operations read and write.

    Attributes:
        errors: all errors (slots × trials) [mm or °].
        points: for each kind made so far its points (points × parts × trials).
        open_mm: for each lamination how far faces stand off the faces they are glued to.
        places: for each lamination the motion of each part of the first one, as (turn, over,
            shift), for the first trial.
        taken_off: for each cut of a trim, by kind and number, how far what it saws off the first
            part reaches past it (corners × trials) [mm].
        lines: for each trim the cuts on the first part, as (point, direction), first trial.
    """

    errors: Reals
    points: dict[str, Complexes] = field(default_factory=dict)
    open_mm: dict[str, Reals] = field(default_factory=dict)
    places: dict[str, tuple[tuple[complex, bool, complex], ...]] = field(default_factory=dict)
    taken_off: dict[tuple[str, int], Reals] = field(default_factory=dict)
    lines: dict[str, tuple[tuple[complex, complex], ...]] = field(default_factory=dict)

    @property
    def kind(self) -> DTypeLike:
        """Type of the points: as exact as the errors are."""
        return np.complex64 if self.errors.dtype == np.float32 else np.complex128

    def put(self, part: str, points: Complexes) -> None:
        """Add parts to those of their kind."""
        known = self.points.get(part)
        self.points[part] = points if known is None else np.concatenate([known, points], axis=1)


class Operation(Protocol):
    """One step, ready to be carried out."""

    def carry_out(self, run: Run) -> None:
        """Make its parts."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A corner of a face that may stand off the face it is glued to.

    Attributes:
        part: the lamination.
        row: in ``Run.open_mm`` of that lamination.
        number: of the single lamination.
        point: of the finished board, where it shows.
    """

    part: str
    row: int
    number: int
    point: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A plan ready to be carried out on real parts.

    Attributes:
        board: id of the finished kind.
        board_at: from its frame into the drawing's.
        operations: one for each step.
        slots: where each size's errors lie.
        errors: number of all errors.
        shapes: each kind as drawn.
        gaps: corners of faces that have to close, as far as they are left on the board.
    """

    board: str
    board_at: Motion
    operations: tuple[Operation, ...]
    slots: tuple[Slots, ...]
    errors: int
    shapes: dict[str, Shape]
    gaps: tuple[Gap, ...]

    @property
    def shape(self) -> Shape:
        """The finished board as drawn, in its own frame."""
        return self.shapes[self.board]

    def run(self, errors: Reals) -> Run:
        """Carry the plan out.

        Args:
            errors: (errors × trials), in the order of the slots; float32 is quick and good to
                0.0002 mm on a board of half a metre, float64 is exact.
        """
        run = Run(errors=errors)
        for operation in self.operations:
            operation.carry_out(run)
        return run

    def corners(self, run: Run) -> Complexes:
        """Corners of the first board (points × trials) in the board's own frame [mm]."""
        return np.asarray(run.points[self.board][:, 0, :])

    def open_mm(self, run: Run) -> Reals:
        """How far each of ``gaps`` stands open (gaps × trials) [mm]."""
        if not self.gaps:
            return np.zeros((0, run.errors.shape[1]), dtype=run.errors.dtype)
        return np.stack([run.open_mm[gap.part][gap.row, gap.number] for gap in self.gaps])

    def slots_of(self, size: Size) -> tuple[Slots, ...]:
        """Where one size's errors lie: in several runs where several steps make the kind."""
        return tuple(slots for slots in self.slots if slots.size == size)

    def uniform(self, sizes: dict[Size, float]) -> NDArray[np.float64]:
        """Errors (errors × 1) that are the same for all parts of a kind."""
        errors = np.zeros((self.errors, 1))
        for slots in self.slots:
            errors[slots.rows] = sizes.get(slots.size, 0.0)
        return errors
