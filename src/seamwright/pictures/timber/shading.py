"""The colour of a point of wood: rings, fibre, pores, rays, light.

Sizes are millimetres of wood, never pixels, so a larger picture shows more, not coarser grain.
The recipe is our own, judged by eye; none of its figures is measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamwright.pictures.looks import Figure, channels, mixed
from seamwright.pictures.timber.logs import Logs
from seamwright.pictures.timber.noise import Floats, noise, scatter, smoothstep

F = np.float32
Indices = NDArray[np.intp]
_END_LOSS = np.array([0.10, 0.17, 0.27], dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """Colours and strengths of every wood in a picture, one row per wood."""

    early: Floats
    late: Floats
    streak: Floats
    pore: Floats
    ring_mm: Floats
    contrast: Floats
    rise: Floats
    streaks: Floats
    pores: Floats
    pore_dark: Floats
    rays: Floats
    ribbon: Floats
    fibre: Floats


def figures(made: Sequence[Figure], *, aged_share: float) -> Figures:
    """Tables of some woods, new (share 0) to five years old (share 1)."""

    def colours(name: str) -> Floats:
        return np.array(
            [channels(_aged(getattr(f, name), f, aged_share)) for f in made], dtype=np.float32
        )

    def numbers(name: str) -> Floats:
        return np.array([getattr(f, name) for f in made], dtype=np.float32)

    return Figures(
        early=colours("early"),
        late=colours("late"),
        streak=colours("streak"),
        pore=colours("pore"),
        ring_mm=numbers("ring_mm"),
        contrast=numbers("contrast") * F(1.0 - 0.2 * aged_share),
        rise=numbers("rise"),
        streaks=numbers("streaks"),
        pores=numbers("pores"),
        pore_dark=numbers("pore_dark"),
        rays=numbers("rays"),
        ribbon=numbers("ribbon"),
        fibre=numbers("fibre"),
    )


def _aged(colour: str, figure: Figure, share: float) -> str:
    """Move a colour as far as the wood's flat colour moves with the years."""
    shift = [b - a for a, b in zip(channels(figure.flat), channels(figure.aged), strict=True)]
    moved = [
        min(255, max(0, round(c + share * d))) for c, d in zip(channels(colour), shift, strict=True)
    ]
    return mixed(colour, "#{:02x}{:02x}{:02x}".format(*moved), 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spots:
    """Points of wood, as arrays of one value per point.

    Attributes:
        u, v, w: places in the sticks: along the grain, across, into the depth [mm].
        stick: which stick each point belongs to.
        wood: which wood.
        light: light on the face, about 1.
        ends: how much of the grain's ends the face shows, 0 to 1.
        pixel_mm: size of a pixel, so that what is too fine for it fades instead of flickering.
    """

    u: Floats
    v: Floats
    w: Floats
    stick: Indices
    wood: Indices
    light: Floats
    ends: Floats
    pixel_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _InLog:
    """The same points in their logs, with the stick's drift through the noise.

    Attributes:
        x, y, z: from the pith, and along it [mm].
        radius, theta: the same around the pith [mm], [rad].
        ring_mm: radius bent by the log's growth [mm].
        slow: slow noise, -0.5 to 0.5.
        drift: three offsets.
    """

    x: Floats
    y: Floats
    z: Floats
    radius: Floats
    theta: Floats
    ring_mm: Floats
    slow: Floats
    drift: tuple[Floats, Floats, Floats]


def shade(spots: Spots, timber: Logs, table: Figures) -> Floats:
    """Colours, rows of red, green, blue from 0 to 255.

    Args:
        spots: points of wood.
        timber: where their sticks lay in their logs.
        table: the woods.
    """
    place = _in_log(spots, timber)
    colour, late = _rings(spots, place, timber, table)
    light = _fibre(spots, place, table) * _ribbon(spots, place, table)
    light = light * (F(1.0) + timber.shade[spots.stick]) * spots.light
    colour = colour * light[:, None]
    colour = _pores(colour, spots, place, late, table)
    colour = _rays(colour, spots, place, timber, table)
    # ends drink light: darker, and warmer, or pale woods would turn grey
    tint: Floats = F(1.0) - spots.ends[:, None] * _END_LOSS
    return colour * tint


def _in_log(spots: Spots, timber: Logs) -> _InLog:
    stick, u = spots.stick, spots.u
    v = spots.v + timber.run[stick] * u
    w = spots.w + timber.run2[stick] * u
    c, s = timber.c[stick], timber.s[stick]
    x = timber.pith_mm[stick] + c * v + s * w
    y = c * w - s * v
    z = u + timber.start_mm[stick]
    ox, oy, oz = (timber.drift[stick, k] for k in range(3))
    radius = np.sqrt(x * x + y * y)
    theta = np.arctan2(y, x)
    slow = noise(z / F(140.0) + ox, x / F(45.0) + oy, y / F(45.0) + oz) - F(0.5)
    quick = noise(z / F(38.0) + oy, x / F(11.0) + oz, y / F(11.0) + ox) - F(0.5)
    bent = radius + timber.taper[stick] * u + F(11.0) * slow + F(1.8) * quick
    bent = bent + F(0.9) * np.sin(F(3.0) * theta + timber.phase[stick])
    return _InLog(
        x=x, y=y, z=z, radius=radius, theta=theta, ring_mm=bent, slow=slow, drift=(ox, oy, oz)
    )


def _rings(spots: Spots, place: _InLog, timber: Logs, table: Figures) -> tuple[Floats, Floats]:
    """Early to late wood within each ring, and the slow streaks; also how late each point is."""
    stick, wood = spots.stick, spots.wood
    t = place.ring_mm / table.ring_mm[wood]
    t = t + F(0.33) * np.sin(F(0.71) * t + timber.phase[stick])
    t = t + F(0.22) * np.sin(F(1.93) * t + timber.phase2[stick])
    k = np.floor(t)
    phase = t - k
    fall = np.clip(F(spots.pixel_mm) / table.ring_mm[wood], F(0.05), F(0.5))
    drop = np.clip((phase - (F(1.0) - fall)) / fall, F(0.0), F(1.0))
    drop = drop * drop * (F(3.0) - F(2.0) * drop)
    strength = F(0.55) + F(0.65) * scatter(k)
    late = phase ** table.rise[wood] * (F(1.0) - drop) * strength
    share = np.clip(table.contrast[wood] * late, F(0.0), F(1.0))[:, None]
    colour = table.early[wood] + (table.late[wood] - table.early[wood]) * share
    across = noise(place.z / F(260.0), place.ring_mm / F(9.0), F(1.6) * place.theta)
    share = (smoothstep(0.45, 0.85, across) * table.streaks[wood])[:, None]
    return colour + (table.streak[wood] - colour) * share, late


def _fibre(spots: Spots, place: _InLog, table: Figures) -> Floats:
    u, v, w = spots.u, spots.v, spots.w
    fine = noise(u / F(22.0) + place.drift[0], v / F(0.55), w / F(0.55)) - F(0.5)
    broad = noise(u / F(60.0), v / F(1.7) + place.drift[0], w / F(1.7)) - F(0.5)
    fade = F(min(1.0, 0.55 / spots.pixel_mm))
    out: Floats = F(1.0) + table.fibre[spots.wood] * (F(0.8) * fade * fine + F(0.9) * broad)
    return out


def _ribbon(spots: Spots, place: _InLog, table: Figures) -> Floats:
    """Bands of light where the fibres lean to and fro."""
    lean = F(0.698) * place.ring_mm + F(4.0) * place.slow + F(1.2) * np.sin(place.z / F(55.0))
    out: Floats = F(1.0) + F(0.35) * table.ribbon[spots.wood] * np.sin(lean)
    return out


def _pores(colour: Floats, spots: Spots, place: _InLog, late: Floats, table: Figures) -> Floats:
    u, v, w = spots.u, spots.v, spots.w
    drift = place.drift[1]
    amount = table.pores[spots.wood]
    # each row of pores starts elsewhere, or they would line up like writing
    row = noise(v / F(0.3), w / F(0.3), drift) * F(7.0)
    dots = noise(u / F(3.1) + row, v / F(0.30), w / F(0.30))
    patch = noise(u / F(31.0), v / F(5.0) + drift, w / F(5.0))
    edge = F(0.93) - F(1.1) * amount * (F(1.15) - np.minimum(late, F(1.0))) * (F(0.5) + patch)
    there = np.clip((dots - edge) / F(0.06), F(0.0), F(1.0))
    fade = F(1.0 if spots.pixel_mm <= 0.28 else 0.45)
    share = (there * table.pore_dark[spots.wood] * fade * (amount > 0))[:, None]
    out: Floats = colour + (table.pore[spots.wood] - colour) * share
    return out


def _rays(colour: Floats, spots: Spots, place: _InLog, timber: Logs, table: Figures) -> Floats:
    """Fleck where the face lies near a plane through the pith."""
    c, s = timber.c[spots.stick], timber.s[spots.stick]
    # the face's normal is the depth direction of the stick, (s, c) in the log
    across = np.abs((s * place.x + c * place.y) / np.maximum(place.radius, F(1.0)))
    near = (F(1.0) - across) ** 2
    arc = place.theta * place.radius
    fleck = noise(spots.u / F(0.9), place.radius / F(2.6), arc / F(0.30))
    mask = noise(spots.u / F(17.0), place.radius / F(12.0), place.theta * F(3.0))
    there = np.clip((fleck - F(0.62)) / F(0.33), F(0.0), F(1.0)) * smoothstep(0.35, 0.75, mask)
    amount = np.minimum(table.rays[spots.wood], F(0.10)) * F(1.8)
    share = (there * near * amount)[:, None]
    out: Floats = colour + (F(255.0) - colour) * share
    return out
