"""Smooth value noise from one small table: the same numbers on every machine and run."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

_SIZE = 64
_MASK = _SIZE - 1
_SEED = 20_071


@cache
def _table() -> Floats:
    # the legacy generator: its numbers are promised never to change
    values = np.random.RandomState(_SEED).random_sample(_SIZE**3)
    return values.astype(np.float32)


def noise(x: Floats, y: Floats, z: Floats) -> Floats:
    """Smooth random values, 0 to 1, one lattice cell per unit; repeats after 64 cells."""
    table = _table()
    xf, yf, zf = np.floor(x), np.floor(y), np.floor(z)
    tx, ty, tz = x - xf, y - yf, z - zf
    # smooth steps: no creases where cells meet
    tx *= tx * (np.float32(3.0) - np.float32(2.0) * tx)
    ty *= ty * (np.float32(3.0) - np.float32(2.0) * ty)
    tz *= tz * (np.float32(3.0) - np.float32(2.0) * tz)
    xi = xf.astype(np.int32) & _MASK
    yi = (yf.astype(np.int32) & _MASK) << 6
    zi = (zf.astype(np.int32) & _MASK) << 12
    xj = (xi + 1) & _MASK
    yj = (yi + 64) & (_MASK << 6)
    zj = (zi + 4096) & (_MASK << 12)
    planes: list[Floats] = []
    for level in (zi, zj):
        first, second = yi | level, yj | level
        a, b = table.take(xi | first), table.take(xj | first)
        c, d = table.take(xi | second), table.take(xj | second)
        near = a + (b - a) * tx
        far = c + (d - c) * tx
        planes.append(near + (far - near) * ty)
    low, high = planes
    out: Floats = low + (high - low) * tz
    return out


def scatter(whole: Floats) -> Floats:
    """One fixed random value, 0 to 1, for each whole number."""
    out: Floats = _table().take((whole.astype(np.int32) * 7919) & (_SIZE**3 - 1))
    return out


def smoothstep(low: float, high: float, x: Floats) -> Floats:
    """0 below, 1 above, smooth between."""
    t = np.clip((x - np.float32(low)) / np.float32(high - low), 0.0, 1.0)
    out: Floats = t * t * (np.float32(3.0) - np.float32(2.0) * t)
    return out
