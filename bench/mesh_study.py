"""How the answers of the mechanics settle as the elements get smaller.

Run: ``python bench/mesh_study.py``. Each board is solved at four sizes; the finest is the
reference. Figures stand in docs/concepts/mechanics.md.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parent.parent / part) for part in ("src", "tests")]

from mechanics_boards import WOODS, check_board, triangle_board
from seamwright.design import Drawing
from seamwright.strength.loads import pressure_of, usual_loads
from seamwright.strength.plane import solve_plane
from seamwright.strength.plate import solve_plate
from seamwright.strength.ready import made_ready
from seamwright.strength.seam_use import plane_use, plate_use
from seamwright.strength.seasons import solve_seasons
from seamwright.strength.tractions import plane_flux, plate_flux, segment_forces
from seamwright.woods import find_climate, find_species

SPECIES = {letter: find_species(name) for letter, name in WOODS}
SIZES = (10.0, 5.0, 2.5, 1.25)


def answers(board: Drawing, size: float) -> dict[str, np.ndarray]:
    """What is compared: seam means, worst windows and sampled stress; deflection and moments."""
    ready = made_ready(board, SPECIES, ring_angle_deg={}, size_mm=size)
    seasons = solve_seasons(ready, built_pct=10.0, climates=(find_climate("dry-southwest"),))
    plane = solve_plane(ready.elements, stiffness=ready.stiffness, strain=seasons.strain)
    flux = plane_flux(plane.corner_stress)
    forces = segment_forces(ready.lines, ready.elements, plane.forces, flux)
    sampled = []
    for seam, run in zip(ready.seams, ready.lines.runs, strict=True):
        total = np.zeros(2)
        for triangle in ready.lines.triangles[run].T:
            mean = plane.stress[triangle][:, :, :, 0].mean(axis=1)
            n, length = ready.lines.normals[run], ready.lines.lengths_mm[run]
            pull = np.column_stack(
                (
                    mean[:, 0] * n[:, 0] + mean[:, 2] * n[:, 1],
                    mean[:, 2] * n[:, 0] + mean[:, 1] * n[:, 1],
                )
            )
            total += (pull * length[:, None]).sum(axis=0) / 2.0
        sampled.append(total / seam.length_mm)
    means = [
        forces[run].sum(axis=0)[:, 0] / seam.length_mm
        for seam, run in zip(ready.seams, ready.lines.runs, strict=True)
    ]
    load = usual_loads(board)[3]
    pressure = pressure_of(load, ready.elements, weight_mpa=ready.weight_mpa)[:, :, None]
    plate = solve_plate(
        ready.elements,
        stiffness=ready.stiffness,
        shear=ready.shear,
        thickness_mm=board.thickness_mm,
        pressure=pressure,
    )
    bent = segment_forces(
        ready.lines,
        ready.elements,
        plate.forces,
        plate_flux(plate.corner_moment, plate.corner_shear),
    )
    uses = plate_use(ready.lines, bent, ready.grains, thickness_mm=board.thickness_mm)
    corners = len(ready.board.nodes)
    return {
        "triangles": np.array(len(ready.elements.nodes)),
        "moved": plane.moved[:corners, :, 0],
        "mean": np.array(means),
        "sampled": np.array(sampled),
        "window": np.array([u.window[0] for u in plane_use(ready.lines, forces, ready.grains)]),
        "sunk": np.array(np.ptp(plate.sunk[:corners, 0, 0])),
        "bent": np.array([u.whole[0] for u in uses]),
        "bent window": np.array([u.window[0] for u in uses]),
    }


def error(one: np.ndarray, best: np.ndarray) -> float:
    """Root mean square difference over root mean square value [%]."""
    return float(100.0 * np.sqrt(((one - best) ** 2).mean() / (best**2).mean()))


def main() -> None:
    """Both boards, all sizes."""
    print(
        "| board | size mm | triangles | moved | seam mean | same, sampled | worst 10 mm "
        "| sunk | bent mean | bent 10 mm |"
    )
    print("|---|---|---|---|---|---|---|---|---|---|")
    for name, board in (
        ("48 triangles", triangle_board()),
        ("60 checks", check_board(10, 6, side=30.0)),
    ):
        rows = [answers(board, size) for size in SIZES]
        best = rows[-1]
        for size, row in zip(SIZES[:-1], rows[:-1], strict=True):
            cells = [error(row[key], best[key]) for key in ("moved", "mean")]
            cells.append(error(row["sampled"], best["mean"]))
            cells += [error(row[k], best[k]) for k in ("window", "sunk", "bent", "bent window")]
            told = " | ".join(f"{cell:.2f} %" for cell in cells)
            print(f"| {name} | {size:g} | {int(row['triangles'])} | {told} |", flush=True)


if __name__ == "__main__":
    main()
