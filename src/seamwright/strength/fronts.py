"""The direct solver: one dense block for each step of taking the board apart.

Dense blocks are far quicker here than a general sparse factorization (docs/concepts/mechanics.md
has the figures). The blocks are small, so more than one thread would only wait for the others.

Reference:
    Duff and Reid (1983), "The multifrontal solution of indefinite sparse symmetric linear
    equations".
"""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.linalg.lapack import dpotrf, dtrtrs
from threadpoolctl import ThreadpoolController

from seamwright.errors import Fault, StrengthError
from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.dissect import Part


@cache
def _libraries() -> ThreadpoolController:
    return ThreadpoolController()


def one_thread() -> AbstractContextManager[object]:
    """Within it, each caller's dense algebra stays on its own thread."""
    held: AbstractContextManager[object] = _libraries().limit(limits=1, user_api="blas")
    return held


@dataclass(frozen=True, slots=True)
class _Front:
    """A solved step: factor of its own block, and the coupling to its rim."""

    own: Ints
    rim: Ints
    lower: Floats
    coupling: Floats


@dataclass(frozen=True, slots=True)
class Factor:
    """A factored stiffness matrix, ready for any number of loads."""

    fronts: tuple[_Front, ...]

    def solve(self, loads: Floats) -> Floats:
        """Unknowns for (n, k) loads; fixed unknowns must have no load."""
        answer = loads.copy()
        with one_thread():
            for front in self.fronts:
                solved, _ = dtrtrs(front.lower, answer[front.own], lower=1)
                answer[front.own] = solved
                answer[front.rim] -= front.coupling.T @ solved
            for front in reversed(self.fronts):
                rest = answer[front.own] - front.coupling @ answer[front.rim]
                answer[front.own] = dtrtrs(front.lower, rest, lower=1, trans=1)[0]
        return answer


def factored(
    parts: tuple[Part, ...], matrices: Floats, nodes: Ints, *, unknowns: int, fixed: Ints
) -> Factor:
    """Factor the sum of element matrices, some unknowns held at zero.

    Args:
        parts: the order of solution (``dissect.dissected``).
        matrices: (m, 6·u, 6·u) symmetric element matrices.
        nodes: (m, 6) nodes of each triangle.
        fixed: numbers (u·node + unknown) held at zero.

    Raises:
        StrengthError: the board can still move freely, or a stiffness is not positive (S130).
    """
    matrices = _held(nodes, matrices, unknowns, fixed)
    fronts: list[_Front] = []
    rests: list[Floats | None] = []
    largest = max(len(part.own) + len(part.rim) for part in parts) * unknowns
    room = np.empty((3, largest * (largest + unknowns)))
    with one_thread():
        for part in parts:
            block = _block(part, matrices, unknowns, rests, room)
            front, rest = _eliminated(block, part, unknowns)
            fronts.append(front)
            rests.append(rest)
    return Factor(tuple(front for front in fronts if len(front.own)))


def _held(nodes: Ints, matrices: Floats, u: int, fixed: Ints) -> Floats:
    """Rows and columns of fixed unknowns emptied, their diagonal kept."""
    numbers = (nodes[:, :, None] * u + np.arange(u)).reshape(len(nodes), -1)
    flags = np.isin(numbers, fixed)
    touched = np.flatnonzero(flags.any(axis=1))
    if not len(touched):
        return matrices
    matrices = matrices.copy()
    for triangle in touched:
        where = flags[triangle]
        diagonal = np.diag(matrices[triangle])[where]
        matrices[triangle][where, :] = 0.0
        matrices[triangle][:, where] = 0.0
        matrices[triangle][where, where] = diagonal
    return matrices


def _block(
    part: Part, matrices: Floats, u: int, rests: list[Floats | None], room: Floats
) -> Floats:
    """The dense matrix of one step: its triangles, and what its children left over.

    Args:
        room: (3, n) memory that is used again and again: fresh memory costs more than the sums.
    """
    size = (len(part.own) + len(part.rim)) * u
    if len(part.triangles):
        rows = (part.local[:, :, None] * u + np.arange(u)).reshape(len(part.local), -1)
        keys = rows[:, :, None] * size + rows[:, None, :]
        weights = matrices[part.triangles].ravel()
        flat = np.bincount(keys.ravel(), weights=weights, minlength=size * size)
        summed: Floats = np.asarray(flat, dtype=np.float64).reshape(size, size)
        return summed
    block: Floats = room[0][: size * size].reshape(size, size)
    for place, (child, seats) in enumerate(zip(part.children, part.seats, strict=True)):
        rest = rests[child]
        if rest is not None:
            _seat(block, rest, seats, u, room[1:], first=place == 0)
        rests[child] = None  # no longer needed, and they add up
    return block


def _seat(block: Floats, rest: Floats, seats: Ints, u: int, room: Floats, *, first: bool) -> None:
    """Put a child's rest on the rows and columns of its seats, or add it to what is there.

    Every place of the block fetches its entry, those without one the zeros at the rest's end; a
    node's unknowns move as one item and rows as a whole. Fetching takes about half the passes
    through memory that adding at the seats would.
    """
    count = len(block) // u
    source = np.full(count, len(seats))
    source[seats] = np.arange(len(seats))
    item = np.dtype((np.void, 8 * u))
    wide = room[0][: len(rest) * len(block)].reshape(len(rest), len(block))
    np.take(rest.view(item), source, axis=1, out=wide.view(item), mode="clip")
    rows = wide.reshape(len(seats) + 1, u * len(block))
    target = block if first else room[1][: block.size].reshape(block.shape)
    np.take(rows, source, axis=0, out=target.reshape(count, u * len(block)), mode="clip")
    if not first:
        block += target


def _eliminated(block: Floats, part: Part, u: int) -> tuple[_Front, Floats]:
    split = len(part.own) * u
    own = (part.own[:, None] * u + np.arange(u)).ravel()
    rim = (part.rim[:, None] * u + np.arange(u)).ravel()
    if split == 0:
        return _Front(own, rim, np.zeros((0, 0)), np.zeros((0, len(rim)))), _padded(block, u)
    lower, failed = dpotrf(block[:split, :split].T, lower=1, clean=1)
    pivots = np.diag(lower)
    if failed or pivots.min() < 1e-7 * pivots.max():
        raise StrengthError(
            Fault(
                "S130",
                "the board",
                "is not held together firmly enough to be reckoned",
                "look for parts that touch at corners only, and for stiffness values of zero",
            )
        )
    if not len(rim):
        return _Front(own, rim, lower, np.zeros((split, 0))), np.zeros((0, 0))
    # the block is symmetric; turned over, its columns lie as LAPACK wants them
    coupling, _ = dtrtrs(lower, block[split:, :split].T, lower=1)
    rest = _padded(block[split:, split:], u)
    rest[:-u, :-u] -= coupling.T @ coupling
    return _Front(own, rim, lower, coupling), rest


def _padded(rest: Floats, u: int) -> Floats:
    """The rest with a node's worth of zeros behind its rows and columns, for ``_seat``."""
    size = len(rest) + u
    padded = np.empty((size, size))
    padded[:-u, :-u] = rest
    padded[-u:] = 0.0
    padded[:, -u:] = 0.0
    return padded
