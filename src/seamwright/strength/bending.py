"""The board under the loads it meets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Floats
from seamwright.strength.loads import Load, pressure_of, section_moment
from seamwright.strength.plate import PlateAnswer, solve_plate
from seamwright.strength.ready import ReadyBoard
from seamwright.strength.results import LoadResult
from seamwright.strength.seam_use import Use, plate_use
from seamwright.strength.seasons import quantiles
from seamwright.strength.tractions import plate_flux, segment_forces
from seamwright.strength.weakest import Links, links_of, weakest_line


@dataclass(frozen=True, slots=True, kw_only=True)
class Bending:
    """The answers of all loads.

    Attributes:
        results: one for each load.
        uses: for each seam.
        pieces: (pieces, k) share of the wood's strength that 95 % of a piece stays below.
    """

    results: tuple[LoadResult, ...]
    uses: tuple[Use, ...]
    pieces: Floats


def solve_loads(ready: ReadyBoard, loads: tuple[Load, ...]) -> Bending:
    """Every load; one factoring serves them all, because each is in balance by itself.

    Raises:
        StrengthError: a load makes no sense (S140, S141).
    """
    elements, thickness = ready.elements, ready.drawing.thickness_mm
    pressure = np.stack(
        [pressure_of(load, elements, weight_mpa=ready.weight_mpa) for load in loads], axis=2
    )
    answer = solve_plate(
        elements,
        stiffness=ready.stiffness,
        shear=ready.shear,
        thickness_mm=thickness,
        pressure=pressure,
    )
    flux = plate_flux(answer.corner_moment, answer.corner_shear)
    forces = segment_forces(ready.lines, elements, answer.forces, flux)
    uses = plate_use(ready.lines, forces, ready.grains, thickness_mm=thickness)
    pieces = _wood_use(ready, answer)
    links = links_of(ready.board, ready.seams, ready.grains, ready.piece_materials)
    results = tuple(
        _result(ready, load, answer, uses, pieces, links, pressure[:, :, case], case)
        for case, load in enumerate(loads)
    )
    return Bending(results=results, uses=uses, pieces=pieces)


def _wood_use(ready: ReadyBoard, answer: PlateAnswer) -> Floats:
    """(pieces, k) stress at the faces against the wood's strength along and across the grain."""
    grain = np.radians([p.grain_deg for p in ready.drawing.patches])[ready.elements.mesh.pieces]
    c, s = np.cos(grain)[:, None, None], np.sin(grain)[:, None, None]
    xx, yy, xy = (6.0 / ready.drawing.thickness_mm**2 * answer.moment[:, :, i] for i in range(3))
    along = c * c * xx + s * s * yy + 2.0 * s * c * xy
    across = s * s * xx + c * c * yy - 2.0 * s * c * xy
    shear = (c * c - s * s) * xy + s * c * (yy - xx)
    strength = np.array(
        [(m.tension_along_mpa, m.tension_across_mpa, m.shear_mpa) for m in ready.piece_materials]
    )[ready.elements.mesh.pieces][:, :, None, None]
    use = np.sqrt(
        (along / strength[:, 0]) ** 2
        + (across / strength[:, 1]) ** 2
        + (shear / strength[:, 2]) ** 2
    )
    return quantiles(ready, use)


def _result(
    ready: ReadyBoard,
    load: Load,
    answer: PlateAnswer,
    uses: tuple[Use, ...],
    pieces: Floats,
    links: Links,
    pressure: Floats,
    case: int,
) -> LoadResult:
    seam_uses = np.array([float(use.window[case]) for use in uses])
    worst_seam = int(np.argmax(seam_uses)) if len(seam_uses) else None
    worst_piece = int(np.argmax(pieces[:, case]))
    seam_use = float(seam_uses[worst_seam]) if worst_seam is not None else 0.0
    piece_use = float(pieces[worst_piece, case])
    safety = 1.0 / max(seam_use, piece_use, 1e-9)
    places = ready.elements.places[:, load.axis.value]
    positions = np.linspace(places.min(), places.max(), 201)
    line = weakest_line(
        links,
        thickness_mm=ready.drawing.thickness_mm,
        axis=load.axis,
        positions=positions,
        moment=section_moment(pressure, ready.elements, load.axis, positions),
    )
    return LoadResult(
        key=load.key,
        name=load.name,
        force_n=load.force_n,
        sinks_mm=_sinks(ready, answer, case),
        safety=safety,
        first_crack_n=safety * load.force_n,
        breaks_n=line.factor * load.force_n,
        weakest=line,
        seam=worst_seam if seam_use >= piece_use else None,
        patch=ready.drawing.patches[worst_piece].name,
    )


def _sinks(ready: ReadyBoard, answer: PlateAnswer, case: int) -> float:
    """Greatest deflection less the plane that fits best [mm]: what the eye would see."""
    places = ready.elements.places
    basis = np.column_stack((np.ones(len(places)), places))
    sunk = answer.sunk[:, 0, case]
    plane, *_ = np.linalg.lstsq(basis, sunk, rcond=None)
    return float(np.ptp(sunk - basis @ plane))
