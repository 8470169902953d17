"""What every step drawing is given: the parts, the saws and the room on the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from seamwright.design import Drawing
from seamwright.geometry import IDENTITY, Motion, Polygon
from seamwright.pictures.dimensions import scaled
from seamwright.pictures.hatching import wood
from seamwright.pictures.looks import INK, QUIET, WASTE, Looks, looks
from seamwright.pictures.primitives import Ink, Item, Layer, Path
from seamwright.pictures.sizes import Ruler
from seamwright.pictures.solids import Shelf, Solid, Solids, box
from seamwright.plan import Plan, Saws
from seamwright.woods import Species


@dataclass(frozen=True, slots=True, kw_only=True)
class Easel:
    """Room and means for one drawing.

    Attributes:
        solids: every kind of part.
        looks: of the woods.
        ruler: how sizes are written.
        saws: kerfs.
        width_mm, height_mm: room on the page [mm].
    """

    solids: Solids
    looks: Looks
    ruler: Ruler
    saws: Saws
    width_mm: float
    height_mm: float

    @classmethod
    def of(
        cls,
        plan: Plan,
        drawing: Drawing,
        shelf: Shelf,
        *,
        width_mm: float,
        height_mm: float,
        ruler: Ruler | None = None,
        own: Iterable[Species] = (),
    ) -> Easel:
        """An easel for the steps of one plan; the drawing's unit leads where no ruler is given.

        ``own`` are the user's own woods, for their colours.
        """
        return cls(
            solids=dict(shelf.solids),
            looks=looks(drawing.woods, own=own),
            ruler=ruler or Ruler(unit=drawing.unit),
            saws=plan.shop.saws,
            width_mm=width_mm,
            height_mm=height_mm,
        )

    def wooden(
        self, solid: Solid, scale: float, *, at: Motion = IDENTITY, dx: float = 0.0, dy: float = 0.0
    ) -> tuple[list[Item], list[Polygon]]:
        """A part's pieces as drawn, and their outlines.

        Args:
            solid: the part.
            scale: page millimetres per millimetre.
            at: how it lies, in its own millimetres.
            dx, dy: moved on the page by so much [page mm].
        """
        items: list[Item] = []
        outlines: list[Polygon] = []
        for piece in solid.pieces:
            outline = tuple((x + dx, y + dy) for x, y in scaled(at.polygon(piece.points), scale))
            outlines.append(outline)
            items += wood(
                outline,
                grain_deg=at.undirected_deg(piece.grain_deg),
                look=self.looks[piece.wood],
                edge_mm=0.2,
            )
        return items, outlines


def waste(polygon: Polygon) -> list[Item]:
    """A piece that falls away: grey, with a cross."""
    veil = Path(points=polygon, closed=True, ink=Ink(fill=WASTE), layer=Layer.WASTE)
    edge = Path(
        points=polygon,
        closed=True,
        ink=Ink(line=QUIET, width_mm=0.2, dash_mm=(1.2, 0.8)),
        layer=Layer.WASTE,
    )
    return [veil, edge]


def kerf(polygon: Polygon) -> Item:
    """The wood a saw turns to dust."""
    return Path(points=polygon, closed=True, ink=Ink(fill=INK), layer=Layer.CUT)


def torn(x: float, side: float, low: float, high: float) -> Item:
    """The torn edge where a long part is not shown whole."""
    steps = 8
    points = tuple(
        (x + (0.9 if i % 2 else -0.3) * side, low - 1.6 + (high - low + 3.2) * i / steps)
        for i in range(steps + 1)
    )
    return Path(points=points, ink=Ink(line=INK, width_mm=0.3), layer=Layer.WOOD)


def size_of(solid: Solid) -> tuple[float, float]:
    """Width and height of a part [mm]."""
    x0, y0, x1, y1 = box(solid)
    return (x1 - x0, y1 - y0)
