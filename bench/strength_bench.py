"""Time and memory of the mechanics on boards of 50, 200 and 500 pieces, against CalculiX.

Run: ``python bench/strength_bench.py`` (CalculiX from the Debian package ``calculix-ccx``).
Both solve the moisture case on the same mesh in the same run; the ratio is what counts, seconds
depend on the machine.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parent.parent / part) for part in ("src", "tests")]

from calculix import PieceLaw, free_board
from mechanics_boards import check_board
from seamwright.strength import soundness
from seamwright.strength.board import welded
from seamwright.strength.elements import prepared
from seamwright.strength.material import free_strain, material, plane_stiffness
from seamwright.strength.mesh import meshed
from seamwright.strength.plane import solve_plane
from seamwright.woods import Quantity, find_species, with_stand_ins

WOODS = {"A": find_species("sugar maple"), "B": find_species("black walnut")}
BOARDS = {50: (10, 5, 40.0), 200: (20, 10, 22.0), 500: (25, 20, 18.0)}
ELEMENT_MM = 5.0


def measured(pieces: int) -> dict[str, float]:
    """One board: the whole chain, then the moisture case alone against CalculiX."""
    columns, rows, side = BOARDS[pieces]
    board = check_board(columns, rows, side=side)
    start = time.perf_counter()
    result = soundness(board, WOODS, element_mm=ELEMENT_MM)
    whole = time.perf_counter() - start
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    full = {letter: with_stand_ins(wood)[0] for letter, wood in WOODS.items()}
    laws = [
        PieceLaw(
            material=material(full[p.wood], ring_angle_deg=0.0),
            grain_deg=p.grain_deg,
            along=-0.0002,
            across=-4.0 * full[p.wood].needed(Quantity.TANGENTIAL_COEFFICIENT),
        )
        for p in board.patches
    ]
    mesh = meshed(welded(board), size_mm=ELEMENT_MM)
    start = time.perf_counter()
    elements = prepared(mesh)
    strain = np.array([free_strain(law.along, law.across, law.grain_deg) for law in laws])
    solve_plane(
        elements,
        stiffness=np.array([plane_stiffness(law.material, law.grain_deg) for law in laws]),
        strain=strain[:, :, None],
    )
    moisture = time.perf_counter() - start
    with tempfile.TemporaryDirectory() as folder:
        _, theirs = free_board(elements, laws, Path(folder))
    return {
        "pieces": pieces,
        "triangles": result.triangles,
        "whole_s": round(whole, 2),
        "peak_mb": round(memory),
        "moisture_s": round(moisture, 2),
        "calculix_s": round(theirs, 2),
        "calculix_over_ours": round(theirs / moisture, 1),
    }


def main() -> None:
    """Each board in a process of its own, so that its peak memory is its own."""
    if len(sys.argv) > 1:
        print(json.dumps(measured(int(sys.argv[1]))))
        return
    print("| pieces | triangles | whole chain s | peak MB | moisture s | CalculiX s | ratio |")
    print("|---|---|---|---|---|---|---|")
    for pieces in BOARDS:
        done = subprocess.run(
            [sys.executable, __file__, str(pieces)], capture_output=True, text=True, check=True
        )
        print("| " + " | ".join(str(value) for value in json.loads(done.stdout).values()) + " |")


if __name__ == "__main__":
    main()
