"""What a picture shows: pieces of face, each with its place in its stick."""

from __future__ import annotations

import math
from dataclasses import dataclass

from seamwright.bench import Shelf
from seamwright.design import Drawing
from seamwright.geometry import IDENTITY, Motion, Polygon
from seamwright.pictures.timber.tracing import Tracer
from seamwright.plan import Plan

Row = tuple[float, float, float]
"""A linear function of the picture's x and y: constant, by x, by y."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A flat piece of wood as the picture shows it, lying or standing.

    Attributes:
        outline: where it is seen [mm].
        wood: letter of its wood.
        stick: id of the one stick it was cut from.
        rows: place in the stick (along the grain, across, into the depth) by place in the picture.
        light: how brightly it is lit, 1 where it faces the viewer.
        ends: how much of the grain's ends it shows, 0 to 1.
    """

    outline: Polygon
    wood: str
    stick: str
    rows: tuple[Row, Row, Row]
    light: float = 1.0
    ends: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """A piece of face that lies flat.

    Attributes:
        outline: where it is seen [mm].
        wood: letter of its wood.
        stick: id of the one stick it was cut from.
        to_stick: from the picture's frame to the stick's: x along the grain.
        depth_mm: how deep below the stick's show face the seen face lies [mm].
    """

    outline: Polygon
    wood: str
    stick: str
    to_stick: Motion
    depth_mm: float

    @property
    def face(self) -> Face:
        """The same as a face of the picture."""
        (u0, v0), (ux, vx), (uy, vy) = (
            self.to_stick.point(p) for p in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
        )
        rows = ((u0, ux - u0, uy - u0), (v0, vx - v0, vy - v0), (self.depth_mm, 0.0, 0.0))
        along = math.atan2(uy - u0, ux - u0)
        return Face(
            outline=self.outline, wood=self.wood, stick=self.stick, rows=rows, light=sheen(along)
        )


def sheen(along_rad: float) -> float:
    """Light by the way the grain runs: turned pieces of one wood differ, as they do in the hand."""
    return 1.0 + 0.055 * math.cos(2.0 * (along_rad - math.radians(35.0)))


def from_drawing(drawing: Drawing) -> tuple[Sight, ...]:
    """Every patch from a stick of its own, for a board that is only drawn."""
    return tuple(
        Sight(
            outline=patch.points,
            wood=patch.wood,
            stick=f"{drawing.title}/{patch.name}",
            to_stick=Motion(turn_deg=-patch.grain_deg),
            depth_mm=0.0,
        )
        for patch in drawing.patches
    )


def from_plan(plan: Plan, shelf: Shelf, *, kind: str = "") -> tuple[Sight, ...]:
    """The show face of the board (or of any kind), every piece traced back to its stick.

    Equal parts are used up in the order they were made, so neighbours on the board are often
    neighbours in a stick, as they would be from a triangle-marked stack.

    Args:
        plan: the plan.
        shelf: the plan, carried out.
        kind: what to show; the board by default.
    """
    tracer = Tracer(plan, shelf)
    shown = kind or plan.board
    at = plan.board_at if shown == plan.board else IDENTITY
    solid = dict(shelf.solids)[shown]
    return tuple(
        Sight(
            outline=at.polygon(outline),
            wood=root.wood,
            stick=root.stick,
            to_stick=root.here.inverse().after(at.inverse()),
            depth_mm=root.depth_mm + (root.inwards * solid.depth_mm if at.over else 0.0),
        )
        for outline, root in zip(tracer.outlines(shown), tracer.next(shown), strict=True)
    )
