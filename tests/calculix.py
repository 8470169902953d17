"""CalculiX as a separate process: an independent finite element program to compare with.

Debian package ``calculix-ccx``; it is only a tool of the tests and never part of the package.
Moisture stands in as thermal expansion for a temperature rise of one degree.
"""

from __future__ import annotations

import math
import shutil
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from seamwright.strength.elements import Elements
from seamwright.strength.material import Material

Floats = NDArray[np.float64]


def program() -> str:
    """Path of the program.

    Raises:
        RuntimeError: it is not installed; the message says how to install it.
    """
    found = shutil.which("ccx")
    if found is None:
        raise RuntimeError("CalculiX is missing: apt-get install calculix-ccx")
    return found


@dataclass(frozen=True)
class PieceLaw:
    """One piece for CalculiX: stiffness, grain direction, free strain along and across it."""

    material: Material
    grain_deg: float
    along: float
    across: float


def _ordered(elements: Elements) -> NDArray[np.int64]:
    """Nodes of the triangles, all anticlockwise, from 1: corners, then sides 12, 23, 31."""
    nodes = elements.nodes.copy()
    p = elements.places[nodes[:, :3]]
    turn = (p[:, 1, 0] - p[:, 0, 0]) * (p[:, 2, 1] - p[:, 0, 1]) - (p[:, 1, 1] - p[:, 0, 1]) * (
        p[:, 2, 0] - p[:, 0, 0]
    )
    wrong = turn < 0.0
    nodes[wrong] = nodes[wrong][:, [0, 2, 1, 5, 4, 3]]
    return nodes + 1


def deck(elements: Elements, laws: list[PieceLaw]) -> list[str]:
    """The part of the input that does not depend on what is held."""
    lines = ["*NODE, NSET=NALL"]
    lines += [f"{i + 1},{x:.12g},{y:.12g},0." for i, (x, y) in enumerate(elements.places)]
    rows = _ordered(elements)
    for piece in range(len(laws)):
        lines.append(f"*ELEMENT, TYPE=CPS6, ELSET=P{piece}")
        for number in np.flatnonzero(elements.mesh.pieces == piece):
            lines.append(f"{number + 1}," + ",".join(str(n) for n in rows[number]))
    return lines + _laws(laws)


def _laws(laws: list[PieceLaw]) -> list[str]:
    lines = []
    for piece, law in enumerate(laws):
        m = law.material
        c, s = math.cos(math.radians(law.grain_deg)), math.sin(math.radians(law.grain_deg))
        # nothing couples to the thickness: plane stress does not depend on it, and CalculiX
        # would share the stretch of the thickness across the seams
        lines += [
            f"*ORIENTATION, NAME=O{piece}",
            f"{c:.12g},{s:.12g},0.,{-s:.12g},{c:.12g},0.",
            f"*MATERIAL, NAME=M{piece}",
            "*ELASTIC, TYPE=ENGINEERING CONSTANTS",
            f"{m.e1_mpa:.10g},{m.e2_mpa:.10g},{m.e2_mpa:.10g},{m.nu12:.10g},0.,0.,"
            f"{m.g12_mpa:.10g},{m.g13_mpa:.10g}",
            f"{m.g23_mpa:.10g}",
            "*EXPANSION, TYPE=ORTHO",
            f"{law.along:.10g},{law.across:.10g},0.",
            f"*SOLID SECTION, ELSET=P{piece}, MATERIAL=M{piece}, ORIENTATION=O{piece}",
            "1.",
        ]
    return [*lines, "*INITIAL CONDITIONS, TYPE=TEMPERATURE", "NALL,0."]


def _step(printed: str) -> list[str]:
    return [
        "*STEP",
        "*STATIC",
        "*TEMPERATURE",
        "NALL,1.",
        "*NODE PRINT, NSET=NALL",
        printed,
        "*END STEP",
    ]


def run(lines: list[str], folder: Path, name: str) -> float:
    """Solve; returns the seconds it took.

    Raises:
        RuntimeError: it is missing or stopped with an error.
    """
    (folder / f"{name}.inp").write_text("\n".join(lines) + "\n")
    start = time.perf_counter()
    done = subprocess.run(
        [program(), name], cwd=folder, capture_output=True, text=True, check=False, timeout=300
    )
    if done.returncode != 0 or "*ERROR" in done.stdout:
        raise RuntimeError(f"CalculiX stopped: {done.stdout[-800:]}")
    return time.perf_counter() - start


def _table(folder: Path, name: str, count: int) -> Floats:
    """Node results (n, 2) from the .dat file."""
    values = np.zeros((count, 2))
    for line in (folder / f"{name}.dat").read_text().splitlines():
        cells = line.split()
        if len(cells) == 4 and cells[0].isdigit() and int(cells[0]) <= count:
            values[int(cells[0]) - 1] = [float(cells[1]), float(cells[2])]
    return values


def free_board(elements: Elements, laws: list[PieceLaw], folder: Path) -> tuple[Floats, float]:
    """Displacements of a board that may move freely, and the seconds CalculiX took."""
    x = elements.places[: len(elements.mesh.points), 0]
    first, last = int(np.argmin(x)) + 1, int(np.argmax(x)) + 1
    lines = deck(elements, laws)
    lines += ["*BOUNDARY", f"{first},1,2", f"{last},2,2", *_step("U")]
    seconds = run(lines, folder, "free")
    return _table(folder, "free", len(elements.places)), seconds


def piece_forces(
    elements: Elements, law: PieceLaw, piece: int, moved: Floats, folder: Path
) -> dict[int, Floats]:
    """Forces on the nodes of one piece alone, driven through given displacements."""
    mine = np.flatnonzero(elements.mesh.pieces == piece)
    rows = _ordered(elements)[mine]
    used = np.unique(rows)
    new = {int(old): i + 1 for i, old in enumerate(used)}
    lines = ["*NODE, NSET=NALL"]
    for old, i in new.items():
        x, y = elements.places[old - 1]
        lines.append(f"{i},{x:.12g},{y:.12g},0.")
    lines.append("*ELEMENT, TYPE=CPS6, ELSET=P0")
    for i, row in enumerate(rows):
        lines.append(f"{i + 1}," + ",".join(str(new[int(n)]) for n in row))
    lines += [*_laws([law]), "*BOUNDARY"]
    for old, i in new.items():
        u, v = moved[old - 1]
        lines += [f"{i},1,1,{u:.12g}", f"{i},2,2,{v:.12g}"]
    run([*lines, *_step("RF")], folder, f"piece{piece}")
    found = _table(folder, f"piece{piece}", len(new))
    return {old - 1: found[i - 1] for old, i in new.items()}
