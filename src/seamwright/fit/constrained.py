"""Small least squares with equations and inequalities, exactly.

Reference:
    Lawson & Hanson 1974, "Solving Least Squares Problems", chapters 20 to 23: equations by the
    null space, then least distance programming by non-negative least squares (from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import nnls

Floats = NDArray[np.float64]

_EQUAL = 1e-7
_RANK = 1e-7
"""Rows that differ from others by less, as a share of the largest, say nothing of their own: slopes
come from differences and are good to about a hundredth of this."""
_EMPTY = 1e-9
_FACING = 1e-10
_MET = 1e-6


def least_squares(
    weights: Floats,
    wanted: Floats,
    equal: tuple[Floats, Floats],
    least: tuple[Floats, Floats],
) -> Floats | None:
    """The x that makes |weights x − wanted| smallest with A x = b and G x ≥ h.

    Args:
        weights, wanted: matrix with full column rank, and vector.
        equal: A and b; may have no rows.
        least: G and h; may have no rows.
    Returns:
        x, or None where no x satisfies equations and inequalities.

    >>> one = np.eye(2)
    >>> least_squares(one, np.zeros(2), (np.array([[1.0, 1.0]]), np.array([2.0])),
    ...               (np.array([[1.0, 0.0]]), np.array([1.5]))).round(6).tolist()
    [1.5, 0.5]
    """
    count = weights.shape[1]
    start: Floats = np.zeros(count)
    free: Floats = np.eye(count)
    if len(equal[0]):
        start = np.asarray(np.linalg.lstsq(equal[0], equal[1], rcond=_RANK)[0])
        left = np.abs(equal[0] @ start - equal[1]).max(initial=0.0)
        if left > _EQUAL * max(1.0, float(np.abs(equal[1]).max(initial=0.0))):
            return None
        free = _null_space(equal[0])
    if not free.shape[1]:
        met = not len(least[0]) or bool((least[0] @ start >= least[1] - _EQUAL).all())
        return start if met else None
    tight = _tight(least[0] @ free, least[1] - least[0] @ start)
    if len(tight):
        both = (
            np.concatenate([equal[0], least[0][tight]]),
            np.concatenate([equal[1], least[1][tight]]),
        )
        others = np.setdiff1d(np.arange(len(least[0])), tight)
        return least_squares(weights, wanted, both, (least[0][others], least[1][others]))
    q, r = np.linalg.qr(weights @ free)
    aim = q.T @ (wanted - weights @ start)
    back = np.linalg.solve(r, np.eye(len(r)))
    bound = least[0] @ free @ back
    moved = _least_distance(bound, least[1] - least[0] @ start - bound @ aim)
    if moved is None:
        return None
    return np.asarray(start + free @ (back @ (moved + aim)))


def _tight(rows: Floats, least: Floats) -> NDArray[np.int64]:
    """Inequalities that face each other and leave no room: together they are equations.

    Left as they are, their rounding alone would decide what comes out.
    """
    size = np.linalg.norm(rows, axis=1)
    at = np.flatnonzero(size > _RANK)
    unit, level = rows[at] / size[at, None], least[at] / size[at]
    if not len(at):
        return at
    facing = unit @ unit.T < -1.0 + _FACING
    room = level[:, None] + level[None, :] > -_EQUAL * 10.0
    return np.asarray(at[(facing & room).any(axis=1)])


def _null_space(rows: Floats) -> Floats:
    _, sizes, right = np.linalg.svd(rows)
    rank = int((sizes > _RANK * max(1.0, float(sizes.max(initial=0.0)))).sum())
    return np.asarray(right[rank:].T)


def _least_distance(rows: Floats, least: Floats) -> Floats | None:
    """The shortest z with rows z ≥ least; None where there is none."""
    count = rows.shape[1]
    if not len(rows) or bool((least <= 0.0).all()):
        return np.zeros(count)
    size = np.linalg.norm(rows, axis=1)
    if bool((least[size <= _RANK] > _MET).any()):
        return None
    rows, least, scale = rows[size > _RANK], least[size > _RANK], size[size > _RANK]
    tall = np.concatenate([(rows / scale[:, None]).T, (least / scale)[None]])
    target = np.zeros(count + 1)
    target[-1] = 1.0
    try:
        shares, left = nnls(tall, target)
    except RuntimeError:  # it did not come to an end
        return None
    if left < _EMPTY:
        return None
    rest = tall @ shares - target
    found = -rest[:-1] / rest[-1]
    met = (rows / scale[:, None]) @ found - least / scale
    return np.asarray(found) if met.min() > -_MET * max(1.0, float(np.abs(found).max())) else None
