"""A board made ready for the solvers: mesh, seams, materials, and what had to be assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from seamwright.design import Drawing
from seamwright.errors import Fault, SeamwrightError, StrengthError
from seamwright.strength.arrays import Floats
from seamwright.strength.board import Board, welded
from seamwright.strength.elements import Elements, prepared
from seamwright.strength.grain import SeamGrain, seam_grain
from seamwright.strength.loads import GRAVITY
from seamwright.strength.material import Material, material, plane_stiffness, shear_stiffness
from seamwright.strength.mesh import meshed
from seamwright.strength.seams import SeamRun, seams_of
from seamwright.strength.tractions import SeamLines, seam_lines
from seamwright.woods import Datum, Quantity, Species, with_stand_ins


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyBoard:
    """Everything the cases share.

    Attributes:
        board, elements, seams, lines: the net, its mesh, the seams and their segments.
        species: by letter, gaps filled.
        ring_angle_deg: by letter.
        materials: by letter.
        piece_materials: one for each piece.
        grains: one for each seam.
        stiffness, shear: (pieces, 3, 3) and (pieces, 2, 2) [MPa].
        weight_mpa: (pieces,) own weight per area.
        assumptions: gaps that were filled and values from memory, in words.
    """

    board: Board
    elements: Elements
    seams: tuple[SeamRun, ...]
    lines: SeamLines
    species: Mapping[str, Species]
    ring_angle_deg: Mapping[str, float]
    materials: Mapping[str, Material]
    piece_materials: tuple[Material, ...]
    grains: tuple[SeamGrain, ...]
    stiffness: Floats
    shear: Floats
    weight_mpa: Floats
    assumptions: tuple[str, ...]

    @property
    def drawing(self) -> Drawing:
        """The drawing it was made from."""
        return self.board.drawing


def made_ready(
    drawing: Drawing,
    species_by_letter: Mapping[str, Species],
    *,
    ring_angle_deg: Mapping[str, float],
    size_mm: float,
) -> ReadyBoard:
    """Check, weld, mesh and look up everything.

    Raises:
        StrengthError: every fault of the drawing or the woods.
    """
    species, materials, assumptions = looked_up(drawing, species_by_letter, ring_angle_deg)
    board = welded(drawing)
    elements = prepared(meshed(board, size_mm=size_mm))
    seams = seams_of(board)
    patches = drawing.patches
    grains = grains_of(drawing, seams, materials)
    stiff = {(p.wood, p.grain_deg): None for p in patches}
    plane = {key: plane_stiffness(materials[key[0]], key[1]) for key in stiff}
    slide = {key: shear_stiffness(materials[key[0]], key[1]) for key in stiff}
    density = np.array([materials[p.wood].density_kg_m3 for p in patches])
    return ReadyBoard(
        board=board,
        elements=elements,
        seams=seams,
        lines=seam_lines(elements, seams),
        species=species,
        ring_angle_deg={letter: ring_angle_deg.get(letter, 0.0) for letter in species},
        materials=materials,
        piece_materials=tuple(materials[p.wood] for p in patches),
        grains=grains,
        stiffness=np.array([plane[p.wood, p.grain_deg] for p in patches]),
        shear=np.array([slide[p.wood, p.grain_deg] for p in patches]),
        weight_mpa=density * 1e-9 * GRAVITY * drawing.thickness_mm,
        assumptions=assumptions,
    )


def grains_of(
    drawing: Drawing, seams: tuple[SeamRun, ...], materials: Mapping[str, Material]
) -> tuple[SeamGrain, ...]:
    """What each seam bears; alike ones reckoned once.

    Args:
        materials: by letter.
    """
    known: dict[tuple[object, ...], SeamGrain] = {}
    out = []
    for seam in seams:
        one, other = drawing.patches[seam.first], drawing.patches[seam.second]
        direction = round(seam.direction_deg, 6)
        key = (direction, one.grain_deg, other.grain_deg, one.wood, other.wood)
        if key not in known:
            known[key] = seam_grain(
                direction,
                (one.grain_deg, other.grain_deg),
                (materials[one.wood], materials[other.wood]),
            )
        out.append(known[key])
    return tuple(out)


def looked_up(
    drawing: Drawing,
    species_by_letter: Mapping[str, Species],
    ring_angle_deg: Mapping[str, float],
) -> tuple[dict[str, Species], dict[str, Material], tuple[str, ...]]:
    """Species with gaps filled and materials, by letter, and what was assumed.

    Raises:
        StrengthError: letters without a wood (S150), woods that lack values (W110).
    """
    used = sorted({patch.wood for patch in drawing.patches})
    faults: list[Fault] = []
    species: dict[str, Species] = {}
    materials: dict[str, Material] = {}
    assumptions: list[str] = []
    for letter in used:
        wood = species_by_letter.get(letter)
        if wood is None:
            remedy = "give a wood for this letter"
            faults.append(Fault("S150", f"wood {letter}", "is not named", remedy))
            continue
        full, added = with_stand_ins(wood)
        assumptions += [_assumed(wood.name, datum) for datum in added]
        if wood.unsure:
            assumptions.append(f"{wood.name}: from memory only: {_labels(wood.unsure)}")
        try:
            materials[letter] = material(full, ring_angle_deg=ring_angle_deg.get(letter, 0.0))
            species[letter] = full
        except SeamwrightError as error:
            faults += error.faults
    if faults:
        raise StrengthError(*faults)
    return species, materials, tuple(dict.fromkeys(assumptions))


def _labels(quantities: tuple[Quantity, ...]) -> str:
    """The properties in words; the many stiffness ratios under one name."""
    names = [
        "stiffness and Poisson's ratios"
        if quantity.value.startswith(("ratio_", "poisson_"))
        else quantity.label
        for quantity in quantities
    ]
    return ", ".join(dict.fromkeys(names))


def _assumed(name: str, datum: Datum) -> str:
    small = "coefficient" in datum.quantity.value
    amount = f"{datum.amount:.5f}" if small else f"{datum.amount:.3g} {datum.quantity.unit}".strip()
    return f"{name}: {datum.quantity.label} {amount}, {datum.certainty.words} ({datum.note})"
