"""What the grain alone tells, quick enough to follow a drawing as it changes: no elements."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from seamwright.design import Drawing
from seamwright.geometry import Point
from seamwright.strength.board import welded
from seamwright.strength.grain import SeamGrain
from seamwright.strength.ready import grains_of, looked_up
from seamwright.strength.results import Finding, worst_first
from seamwright.strength.seams import seams_of
from seamwright.strength.through import ThroughLine, bridged_share, through_lines
from seamwright.strength.verdicts import through_findings
from seamwright.woods import Species


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamGlance:
    """A seam and what it bears, from the grain on both sides.

    Attributes:
        patches: names of the two patches.
        path: its points [mm].
        grain: class, strength bracket and reason.
    """

    patches: tuple[str, str]
    path: tuple[Point, ...]
    grain: SeamGrain


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """A drawing read by its grain.

    Attributes:
        seams: every seam.
        through: lines few pieces bridge, barest first.
        bridged_up, bridged_across: share of continuous grain at lines running up (place x [mm],
            share) and across (place y [mm], share).
        findings: on the through lines, worst first.
    """

    seams: tuple[SeamGlance, ...]
    through: tuple[ThroughLine, ...]
    bridged_up: tuple[tuple[float, float], ...]
    bridged_across: tuple[tuple[float, float], ...]
    findings: tuple[Finding, ...]


def glance(drawing: Drawing, species_by_letter: Mapping[str, Species]) -> Glance:
    """Seam classes, strength brackets and through lines.

    Raises:
        StrengthError: the drawing or the woods cannot be reckoned; all faults named.
    """
    _, materials, _ = looked_up(drawing, species_by_letter, {})
    board = welded(drawing)
    seams = seams_of(board)
    grains = grains_of(drawing, seams, materials)
    through = through_lines(board, seams, grains)
    patches = drawing.patches
    return Glance(
        seams=tuple(
            SeamGlance(
                patches=(patches[seam.first].name, patches[seam.second].name),
                path=seam.path,
                grain=grain,
            )
            for seam, grain in zip(seams, grains, strict=True)
        ),
        through=through,
        bridged_up=tuple((-offset, share) for offset, share in bridged_share(board, 90.0)),
        bridged_across=bridged_share(board, 0.0),
        findings=worst_first(through_findings(through)),
    )
