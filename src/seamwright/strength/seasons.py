"""The board after its wood has come to another moisture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.errors import Fault, SeamwrightError, StrengthError
from seamwright.geometry import cos_deg, sin_deg
from seamwright.strength.arrays import Floats
from seamwright.strength.material import free_strain
from seamwright.strength.plane import PlaneAnswer, solve_plane
from seamwright.strength.ready import ReadyBoard
from seamwright.strength.results import MovedPatch, SeasonResult
from seamwright.strength.seam_use import Use, plane_use
from seamwright.strength.tractions import plane_flux, segment_forces
from seamwright.woods import Climate, movement_across, movement_along

RELAXED = (0.2, 0.6, 1.0)
"""Shares of the elastic stress of a slow season: relaxed, expected, elastic.

Wood under changing moisture creeps: across the grain several times its elastic strain (Toratti and
Svensson 2000, Wood Sci. Technol. 34:317, abstract; Svensson and Toratti 2002, 36:145, abstract),
which gives the lower end. The middle is our engineering judgement, near the creep factors of
timber codes. Never used for loads or fast wetting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seasons:
    """The answers of all seasons.

    Attributes:
        results: one for each season.
        strain: (pieces, 3, k) free strain.
        uses: for each seam, elastic.
        pieces: (pieces, k) elastic share of tension across the grain that 95 % stays below.
        free_change_mm: (pieces, k) of the size across the grain.
        shapes: outlines as they move.
    """

    results: tuple[SeasonResult, ...]
    strain: Floats
    uses: tuple[Use, ...]
    pieces: Floats
    free_change_mm: Floats
    shapes: tuple[MovedPatch, ...]


def solve_seasons(ready: ReadyBoard, *, built_pct: float, climates: tuple[Climate, ...]) -> Seasons:
    """Every season, from the moisture at gluing.

    Raises:
        StrengthError: a wood lacks its movement (W110), or a moisture is no moisture (S151).
    """
    if not 0.0 < built_pct <= 30.0:
        what = f"{built_pct:g} % is no moisture of dry wood"
        raise StrengthError(Fault("S151", "the moisture at gluing", what, "give 4 to 16 %"))
    moves, warnings = _movements(ready, built_pct, climates)
    patches = ready.drawing.patches
    strain = np.array(
        [
            [free_strain(along, across, p.grain_deg) for along, across in moves[p.wood]]
            for p in patches
        ]
    ).transpose(0, 2, 1)
    answer = solve_plane(ready.elements, stiffness=ready.stiffness, strain=strain)
    forces = segment_forces(
        ready.lines, ready.elements, answer.forces, plane_flux(answer.corner_stress)
    )
    across = np.array([[across for _, across in moves[p.wood]] for p in patches])
    return Seasons(
        results=tuple(
            SeasonResult(
                name=climate.name,
                moisture_pct=climate.moisture_pct,
                change_mm=_change(answer, case),
                warnings=warnings[case],
            )
            for case, climate in enumerate(climates)
        ),
        strain=strain,
        uses=plane_use(ready.lines, forces, ready.grains),
        pieces=_cross_tension(ready, answer),
        free_change_mm=across * _sizes_across(ready)[:, None],
        shapes=_shapes(ready, answer),
    )


_Moves = dict[str, list[tuple[float, float]]]


def _movements(
    ready: ReadyBoard, built_pct: float, climates: tuple[Climate, ...]
) -> tuple[_Moves, list[tuple[str, ...]]]:
    moves: _Moves = {letter: [] for letter in ready.species}
    warnings: list[tuple[str, ...]] = []
    faults: dict[Fault, None] = {}
    for climate in climates:
        said: list[str] = []
        along = movement_along(from_pct=built_pct, to_pct=climate.moisture_pct).strain
        for letter, species in ready.species.items():
            try:
                moved = movement_across(
                    species,
                    from_pct=built_pct,
                    to_pct=climate.moisture_pct,
                    ring_angle_deg=ready.ring_angle_deg[letter],
                )
            except SeamwrightError as error:
                faults.update(dict.fromkeys(error.faults))
                continue
            said += moved.warnings
            moves[letter].append((along, moved.strain))
        warnings.append(tuple(said))
    if faults:
        raise StrengthError(*faults)
    return moves, warnings


def _change(answer: PlaneAnswer, case: int) -> tuple[float, float]:
    """Change of the board's width and height [mm]: its mean strain times its size.

    The mean, because the outline becomes wavy: its outermost points say little about the board.
    """
    elements = answer.elements
    local = answer.moved[elements.nodes, :, case]
    turned = np.einsum("mpic,mp->mic", elements.few_slopes, elements.few_weights)
    strain = (turned * local).sum(axis=(0, 1))
    size = np.ptp(elements.places, axis=0)
    change = strain / elements.few_weights.sum() * size
    return (float(change[0]), float(change[1]))


def _sizes_across(ready: ReadyBoard) -> Floats:
    """(pieces,) extent of each piece square to its grain [mm]."""
    sizes = []
    for patch in ready.drawing.patches:
        c, s = cos_deg(patch.grain_deg), sin_deg(patch.grain_deg)
        heights = [c * y - s * x for x, y in patch.points]
        sizes.append(max(heights) - min(heights))
    return np.array(sizes)


def _cross_tension(ready: ReadyBoard, answer: PlaneAnswer) -> Floats:
    """(pieces, k) the 95 % area quantile of tension across the grain over its strength."""
    grain = np.radians([p.grain_deg for p in ready.drawing.patches])[ready.elements.mesh.pieces]
    c, s = np.cos(grain)[:, None, None], np.sin(grain)[:, None, None]
    xx, yy, xy = (answer.stress[:, :, i] for i in range(3))
    across = s * s * xx + c * c * yy - 2.0 * s * c * xy
    strength = np.array([m.tension_across_mpa for m in ready.piece_materials])
    share: Floats = quantiles(ready, np.maximum(across, 0.0)) / strength[:, None]
    return share


def quantiles(ready: ReadyBoard, values: Floats) -> Floats:
    """(pieces, k) the 95 % area quantile of (m, p, k) values in each piece."""
    piece = np.repeat(ready.elements.mesh.pieces, values.shape[1])
    weights = ready.elements.few_weights.ravel()
    flat = values.reshape(len(piece), -1)
    count = len(ready.drawing.patches)
    out = np.zeros((count, flat.shape[1]))
    starts = np.searchsorted(np.sort(piece), np.arange(count + 1))
    for case in range(flat.shape[1]):
        order = np.lexsort((flat[:, case], piece))
        sums = np.cumsum(weights[order])
        before = np.concatenate(([0.0], sums))[starts]
        aim = before[:-1] + 0.95 * (before[1:] - before[:-1])
        index = np.clip(np.searchsorted(sums, aim), starts[:-1], starts[1:] - 1)
        out[:, case] = flat[order[index], case]
    return out


def _shapes(ready: ReadyBoard, answer: PlaneAnswer) -> tuple[MovedPatch, ...]:
    """Outlines with the mesh's points along them, and how they move."""
    mesh = ready.elements.mesh
    edges = list(ready.board.edges)
    between: dict[tuple[int, int], list[int]] = {edge: [] for edge in edges}
    for segment, owner in zip(mesh.segments.tolist(), mesh.owners.tolist(), strict=True):
        between[edges[owner]] += segment
    for (a, b), points in between.items():
        along = mesh.points[b] - mesh.points[a]
        inner = set(points) - {a, b}
        between[a, b] = sorted(inner, key=lambda n: float((mesh.points[n]) @ along))
    places = _points(mesh.points)
    moves = [_points(answer.moved[:, :, case]) for case in range(answer.moved.shape[2])]
    shapes = []
    for patch, ring in zip(ready.drawing.patches, ready.board.rings, strict=True):
        nodes: list[int] = []
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            inner_nodes = between[min(a, b), max(a, b)]
            nodes += [a, *(inner_nodes if a < b else inner_nodes[::-1])]
        shapes.append(
            MovedPatch(
                patch=patch.name,
                points=tuple(places[node] for node in nodes),
                moves=tuple(tuple(move[node] for node in nodes) for move in moves),
            )
        )
    return tuple(shapes)


def _points(array: Floats) -> list[tuple[float, float]]:
    return list(zip(array[:, 0].tolist(), array[:, 1].tolist(), strict=True))
