"""A glue-up pulled apart, in wood: tops, sides and ends of the very sticks."""

from __future__ import annotations

import math
from dataclasses import dataclass

from seamwright.bench import Shelf
from seamwright.geometry import Motion, Point
from seamwright.pictures.space.camera import Camera, Place
from seamwright.pictures.space.exploded import offsets
from seamwright.pictures.space.order import painter_order
from seamwright.pictures.space.prisms import Prism, convex_parts
from seamwright.pictures.timber.sights import Face, Row, sheen
from seamwright.pictures.timber.tracing import Root, Tracer
from seamwright.plan import Laminate, Plan

_SIDE_LIGHT = (0.66, 0.88)
"""Light on sides turned away from the viewer, and on those that face them."""


def exploded_faces(
    step: Laminate, plan: Plan, shelf: Shelf, *, camera: Camera | None = None
) -> tuple[Face, ...]:
    """Every face of a glue-up that can be seen, from back to front.

    Args:
        step: a glue-up of the plan.
        plan: the plan.
        shelf: the plan, carried out.
        camera: where from.
    """
    view = camera or Camera()
    solids = dict(shelf.solids)
    tracer = Tracer(plan, shelf)
    prisms: list[Prism] = []
    roots: list[Root] = []
    for placed, move in zip(step.parts, offsets(step, solids), strict=True):
        at = Motion(x_mm=move[0], y_mm=move[1]).after(placed.at)
        solid = solids[placed.part]
        traced = tracer.next(placed.part)
        for outline, piece, root in zip(
            tracer.outlines(placed.part), solid.pieces, traced, strict=True
        ):
            prisms.extend(
                Prism(
                    outline=convex,
                    low_mm=-solid.depth_mm,
                    high_mm=0.0,
                    wood=piece.wood,
                    grain_deg=at.undirected_deg(piece.grain_deg),
                    part=len(roots),
                )
                for convex in convex_parts(at.polygon(outline))
            )
            roots.append(root.carried(at, solid.depth_mm))
    standing = _Standing(view)
    return tuple(
        face
        for prism in painter_order(prisms, view)
        for face in standing.faces(prism, roots[prism.part])
    )


@dataclass(frozen=True, slots=True)
class _Standing:
    view: Camera

    def faces(self, prism: Prism, root: Root) -> list[Face]:
        """The faces of one prism that look at the viewer, sides first."""
        tx, ty, _ = self.view.towards
        found: list[Face] = []
        ring = prism.outline
        for index, (a, b) in enumerate(zip(ring, ring[1:] + ring[:1], strict=True)):
            long = math.hypot(b[0] - a[0], b[1] - a[1])
            facing = ((b[1] - a[1]) * tx - (b[0] - a[0]) * ty) / max(long, 1e-9)
            if facing > 1e-9 and prism.side_is_face(index):
                found.append(self._side(prism, root, (a, b), facing))
        if prism.capped[1]:
            found.append(self._top(prism, root))
        return found

    def _top(self, prism: Prism, root: Root) -> Face:
        z = prism.high_mm
        rows = self._rows(root, (0.0, 0.0, z), (1.0, 0.0, z), (0.0, 1.0, z))
        along = math.radians(prism.grain_deg)
        return Face(
            outline=tuple(self.view.seen((x, y, z)) for x, y in prism.outline),
            wood=prism.wood,
            stick=root.stick,
            rows=rows,
            light=sheen(along),
        )

    def _side(self, prism: Prism, root: Root, edge: tuple[Point, Point], facing: float) -> Face:
        (ax, ay), (bx, by) = edge
        low, high = prism.low_mm, prism.high_mm
        corners = ((ax, ay, low), (bx, by, low), (bx, by, high), (ax, ay, high))
        rows = self._rows(root, corners[0], corners[1], corners[3])
        along = math.atan2(by - ay, bx - ax) - math.radians(prism.grain_deg)
        dark, bright = _SIDE_LIGHT
        return Face(
            outline=tuple(self.view.seen(corner) for corner in corners),
            wood=prism.wood,
            stick=root.stick,
            rows=rows,
            light=dark + (bright - dark) * facing,
            ends=abs(math.sin(along)),
        )

    def _rows(self, root: Root, origin: Place, first: Place, second: Place) -> tuple[Row, Row, Row]:
        """Place in the stick by place on the page, from three places of a plane."""
        spots = [self.view.seen(place) for place in (origin, first, second)]
        inner = [root.in_stick(place) for place in (origin, first, second)]
        (ox, oy), (px, py), (qx, qy) = spots
        ax, ay, bx, by = px - ox, py - oy, qx - ox, qy - oy
        flat = ax * by - ay * bx
        rows: list[Row] = []
        for k in range(3):
            p, q = inner[1][k] - inner[0][k], inner[2][k] - inner[0][k]
            by_x = (p * by - q * ay) / flat
            by_y = (q * ax - p * bx) / flat
            rows.append((inner[0][k] - by_x * ox - by_y * oy, by_x, by_y))
        return (rows[0], rows[1], rows[2])
