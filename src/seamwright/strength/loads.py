"""Loads a board meets, and the forces that hold it up against them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from seamwright.design import Drawing
from seamwright.errors import Fault, StrengthError
from seamwright.geometry import Point, bounds
from seamwright.strength.arrays import Flags, Floats
from seamwright.strength.elements import Elements

GRAVITY = 9.81
_MOST_N = 20_000.0
"""Two tonnes; more is a slip of the unit."""

Rectangle = tuple[float, float, float, float]
"""x from, y from, x to, y to [mm]."""


class Axis(Enum):
    """Which way the board spans."""

    X = 0
    Y = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A force on a part of the board, and where the board is held.

    Attributes:
        key: short name.
        name: what happens, in words.
        force_n: pressing down, more than 0.
        on: where it presses, spread evenly.
        held: where hands or supports act; their pressure is the linear one that makes balance.
        axis: the way the board spans between load and hold.
    """

    key: str
    name: str
    force_n: float
    on: Rectangle
    held: tuple[Rectangle, ...]
    axis: Axis


def usual_loads(drawing: Drawing) -> tuple[Load, ...]:
    """The loads a board meets in a kitchen or workshop; forces are our own choice."""
    x0, y0, x1, y1 = bounds(drawing.outline)
    axis = Axis.X if x1 - x0 >= y1 - y0 else Axis.Y
    across = Axis.Y if axis is Axis.X else Axis.X
    frame = (x0, y0, x1, y1)

    def band(way: Axis, start: float, end: float, width: float = 1.0) -> Rectangle:
        return _band(frame, way, start, end, width)

    return (
        Load(
            key="carried",
            name="carried by both ends with 5 kg on it",
            force_n=50.0,
            on=band(axis, 0.33, 0.67, 0.5),
            held=(band(axis, 0.0, 0.08, 0.5), band(axis, 0.92, 1.0, 0.5)),
            axis=axis,
        ),
        Load(
            key="carried-across",
            name="carried by its long sides with 5 kg on it",
            force_n=50.0,
            on=band(across, 0.33, 0.67, 0.5),
            held=(band(across, 0.0, 0.1, 0.3), band(across, 0.9, 1.0, 0.3)),
            axis=across,
        ),
        Load(
            key="hand-hold",
            name="held by one end with 2 kg at the other",
            force_n=20.0,
            on=band(axis, 0.8, 1.0, 0.5),
            held=(band(axis, 0.0, 0.06, 0.4), band(axis, 0.17, 0.23, 0.4)),
            axis=axis,
        ),
        Load(
            key="middle",
            name="resting on both ends with 20 kg in the middle",
            force_n=200.0,
            on=band(axis, 0.42, 0.58, 0.3),
            held=(band(axis, 0.0, 0.06), band(axis, 0.94, 1.0)),
            axis=axis,
        ),
        Load(
            key="cutting",
            name="pressed with 150 N while a third of it hangs over the bench",
            force_n=150.0,
            on=band(axis, 0.9, 1.0, 0.2),
            held=(band(axis, 0.0, 0.08), band(axis, 0.6, 0.67)),
            axis=axis,
        ),
    )


_OWN_NAMES = {
    "carried": "carried by both ends with {force} on it",
    "carried-across": "carried by its long sides with {force} on it",
    "hand-hold": "held by one end with {force} at the other",
    "middle": "resting on both ends with {force} in the middle",
    "cutting": "pressed with {force} while a third of it hangs over the bench",
}
_FOOT_MM = 30.0
"""Half the side of the square that a load at a place of the user's own presses on."""


def own_load(drawing: Drawing, *, key: str, force_n: float, at: Point | None = None) -> Load:
    """One of the usual loads with the user's own force, and pressing where they say.

    Args:
        drawing: the board.
        key: of the usual load it is like; it tells how the board is held.
        force_n: pressing down [N].
        at: the middle of a square of 60 mm that is pressed; None for the usual place.

    Raises:
        StrengthError: no such load (S142), a force out of range (S140), a place off the board
            (S143).
    """
    usual = {load.key: load for load in usual_loads(drawing)}
    what = f"the load {key[:40]!r}"
    if key not in usual:
        raise StrengthError(Fault("S142", what, "is not known", "take " + ", ".join(usual)))
    if not 0.0 < force_n <= _MOST_N:
        told = f"of {force_n:g} N cannot be reckoned"
        raise StrengthError(Fault("S140", what, told, f"more than 0, at most {_MOST_N:g} N"))
    name = _OWN_NAMES[key].format(force=f"{force_n:g} N")
    if at is None:
        return replace(usual[key], name=name, force_n=force_n)
    x0, y0, x1, y1 = bounds(drawing.outline)
    if not (x0 <= at[0] <= x1 and y0 <= at[1] <= y1):
        told = f"presses at ({at[0]:g}, {at[1]:g}) mm, which is not on the board"
        remedy = f"give a place from ({x0:g}, {y0:g}) to ({x1:g}, {y1:g})"
        raise StrengthError(Fault("S143", what, told, remedy))
    foot = (at[0] - _FOOT_MM, at[1] - _FOOT_MM, at[0] + _FOOT_MM, at[1] + _FOOT_MM)
    held = "pressed" if key == "cutting" else name.rsplit(" with ", 1)[0]
    place = f"({at[0]:.0f}, {at[1]:.0f})"
    over = " while a third of it hangs over the bench" if key == "cutting" else ""
    name = f"{held} with {force_n:g} N at {place}{over}"
    return replace(usual[key], name=name, force_n=force_n, on=foot)


def _band(frame: Rectangle, way: Axis, start: float, end: float, width: float) -> Rectangle:
    """A part of the frame: from share to share along one way, a share of the other."""
    low, high = np.array(frame[:2]), np.array(frame[2:])
    size = high - low
    a, b = low.copy(), high.copy()
    a[way.value], b[way.value] = (low + start * size)[way.value], (low + end * size)[way.value]
    other = 1 - way.value
    middle = (low[other] + high[other]) / 2.0
    a[other], b[other] = middle - width * size[other] / 2.0, middle + width * size[other] / 2.0
    return (float(a[0]), float(a[1]), float(b[0]), float(b[1]))


def pressure_of(load: Load, elements: Elements, *, weight_mpa: Floats) -> Floats:
    """(m, q) pressure at the integration points [MPa], up positive, in exact balance.

    Args:
        weight_mpa: (pieces,) the board's own weight per area.

    Raises:
        StrengthError: the force is not above zero (S140), or the hold cannot balance it (S141).
    """
    if not load.force_n > 0.0:
        raise StrengthError(Fault("S140", f'the load "{load.name}"', "needs a force above zero"))
    points, weights = elements.points, elements.weights
    pressed = _inside(points, (load.on,))
    down = weight_mpa[elements.mesh.pieces][:, None] * np.ones_like(weights)
    down = down + pressed * (load.force_n / float((pressed * weights).sum()))
    held = _inside(points, load.held)
    # measured from the middle of the hold: a small hold is then as well conditioned as a wide one
    x, y = (points - points[held].mean(axis=0)).reshape(-1, 2).T
    basis = np.stack((np.ones(weights.size), x, y))
    system = (basis * (weights * held).ravel()) @ basis.T
    wanted = basis @ (weights * down).ravel()
    scale = np.sqrt(np.diag(system))
    if np.linalg.cond(system / np.outer(scale, scale)) > 1e10:
        what = f'the load "{load.name}"'
        raise StrengthError(Fault("S141", what, "is not held in balance", "hold a wider part"))
    up = (np.linalg.solve(system, wanted) @ basis).reshape(weights.shape) * held
    total: Floats = up - down
    return total


def _inside(points: Floats, parts: tuple[Rectangle, ...]) -> Flags:
    """(m, q) which integration points lie in rectangles; the nearest ones where none does."""
    found = np.zeros(points.shape[:2], dtype=bool)
    for x0, y0, x1, y1 in parts:
        x, y = points[..., 0], points[..., 1]
        inside = (x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)
        if not inside.any():
            away = (x - (x0 + x1) / 2.0) ** 2 + (y - (y0 + y1) / 2.0) ** 2
            inside = away <= np.partition(away.ravel(), 11)[11]
        found |= inside
    return found


def section_moment(pressure: Floats, elements: Elements, axis: Axis, positions: Floats) -> Floats:
    """Bending moment of the whole cross-section at positions along the span [N·mm], by statics."""
    force = (pressure * elements.weights).ravel()
    at = elements.points[..., axis.value].ravel()
    order = np.argsort(at)
    at, force = at[order], force[order]
    sums = np.concatenate(([0.0], np.cumsum(force)))
    levers = np.concatenate(([0.0], np.cumsum(force * at)))
    index = np.searchsorted(at, positions)
    beyond = sums[-1] - sums[index], levers[-1] - levers[index]
    moment: Floats = beyond[1] - positions * beyond[0]
    return moment
