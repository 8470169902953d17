"""The recorded drawing: a few neutral shapes in page millimetres, x right, y up.

Every drawing in the package is made once, as a `Picture`; writers turn it into SVG or DXF.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from seamwright.geometry import Motion, Point, bounds


class Layer(Enum):
    """What a shape means; a DXF layer, an SVG class."""

    WOOD = "WOOD"
    GRAIN = "GRAIN"
    CUT = "CUT"
    WASTE = "WASTE"
    DIMENSION = "DIMENSION"
    MARK = "MARK"
    LABEL = "LABEL"
    REGISTRATION = "REGISTRATION"
    SCALE_BAR = "SCALE_BAR"


class Anchor(Enum):
    """Where a text sits on its point, along its own line."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Weight(Enum):
    """How heavy letters are."""

    REGULAR = 400
    BOLD = 700


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """How a shape is drawn.

    Attributes:
        line: line colour "#rrggbb"; "" for none.
        fill: fill colour; "" for none.
        width_mm: line width [mm].
        dash_mm: lengths of strokes and gaps [mm]; empty for a whole line.
    """

    line: str = ""
    fill: str = ""
    width_mm: float = 0.25
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """Straight strokes through points; closed ones may be filled."""

    points: tuple[Point, ...]
    ink: Ink
    closed: bool = False
    layer: Layer = Layer.WOOD


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A circle."""

    centre: Point
    radius_mm: float
    ink: Ink
    layer: Layer = Layer.MARK


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text, centred on its point in height.

    Attributes:
        at: the point [mm].
        size_mm: height of the letter body [mm].
        angle_deg: anticlockwise turn [°].
        plate: colour of a small sign under the letters; "" for none.
    """

    at: Point
    text: str
    size_mm: float
    colour: str
    angle_deg: float = 0.0
    anchor: Anchor = Anchor.MIDDLE
    weight: Weight = Weight.REGULAR
    plate: str = ""
    layer: Layer = Layer.LABEL


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """Filled shapes that do not overlap, in one ink: the dark cells of a code to scan."""

    rings: tuple[tuple[Point, ...], ...]
    ink: Ink
    layer: Layer = Layer.LABEL


Item = Path | Disc | Text | Cells


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Items and the box they are shown in.

    Attributes:
        items: drawn in order, later ones on top.
        box: x_min, y_min, x_max, y_max [mm].
        title: what it shows, in a sentence; read out by screen readers.
    """

    items: tuple[Item, ...]
    box: tuple[float, float, float, float]
    title: str

    @property
    def width_mm(self) -> float:
        """Width of the box [mm]."""
        return self.box[2] - self.box[0]

    @property
    def height_mm(self) -> float:
        """Height of the box [mm]."""
        return self.box[3] - self.box[1]


def text_width_mm(text: str, size_mm: float) -> float:
    """About how wide a text is set [mm], on the safe side for the sans we use."""
    return sum(_EM.get(letter, 0.58) for letter in text) * size_mm


_EM = (
    dict.fromkeys(" .,:;'′|!()[]ijltfI·", 0.32)
    | dict.fromkeys("-/″r", 0.43)
    | dict.fromkeys("mwMW→", 0.88)
)


def points_of(item: Item) -> tuple[Point, ...]:
    """Points that span an item, text included (about)."""
    if isinstance(item, Path):
        return item.points
    if isinstance(item, Cells):
        return tuple(point for ring in item.rings for point in ring)
    if isinstance(item, Disc):
        (x, y), r = item.centre, item.radius_mm
        return ((x - r, y - r), (x + r, y + r))
    return text_box(item)


def text_box(text: Text) -> tuple[Point, ...]:
    """The four corners of the room a text takes, anticlockwise [mm]."""
    width = text_width_mm(text.text, text.size_mm)
    start = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2.0, Anchor.END: -width}[text.anchor]
    half = 0.5 * text.size_mm
    turn = Motion(turn_deg=text.angle_deg, x_mm=text.at[0], y_mm=text.at[1])
    return turn.polygon(
        ((start, -half), (start + width, -half), (start + width, half), (start, half))
    )


def framed(items: Iterable[Item], *, title: str, margin_mm: float = 1.0) -> Picture:
    """A picture whose box just holds its items."""
    kept = tuple(items)
    x0, y0, x1, y1 = bounds(p for item in kept for p in points_of(item))
    m = margin_mm
    return Picture(items=kept, box=(x0 - m, y0 - m, x1 + m, y1 + m), title=title)


def shifted(items: Iterable[Item], dx_mm: float, dy_mm: float) -> tuple[Item, ...]:
    """The same items, moved."""
    return tuple(_moved(item, dx_mm, dy_mm) for item in items)


def _moved(item: Item, dx: float, dy: float) -> Item:
    # built anew rather than with replace(): drawings of large boards hold tens of thousands
    if isinstance(item, Path):
        points = tuple([(x + dx, y + dy) for x, y in item.points])
        return Path(points=points, ink=item.ink, closed=item.closed, layer=item.layer)
    if isinstance(item, Cells):
        rings = tuple(tuple((x + dx, y + dy) for x, y in ring) for ring in item.rings)
        return replace(item, rings=rings)
    if isinstance(item, Disc):
        return replace(item, centre=(item.centre[0] + dx, item.centre[1] + dy))
    return replace(item, at=(item.at[0] + dx, item.at[1] + dy))


def beside(pictures: Sequence[Picture], *, gap_mm: float, title: str) -> Picture:
    """Several pictures in a row, centred in height."""
    items: list[Item] = []
    x = 0.0
    tallest = max(p.height_mm for p in pictures)
    for picture in pictures:
        rise = (tallest - picture.height_mm) / 2.0 - picture.box[1]
        items.extend(shifted(picture.items, x - picture.box[0], rise))
        x += picture.width_mm + gap_mm
    return Picture(items=tuple(items), box=(0.0, 0.0, x - gap_mm, tallest), title=title)


def stacked(pictures: Sequence[Picture], *, gap_mm: float, title: str) -> Picture:
    """Several pictures one above the other, the first on top, centred."""
    items: list[Item] = []
    widest = max(p.width_mm for p in pictures)
    y = sum(p.height_mm for p in pictures) + gap_mm * (len(pictures) - 1)
    top = y
    for picture in pictures:
        y -= picture.height_mm
        dx = (widest - picture.width_mm) / 2.0 - picture.box[0]
        items.extend(shifted(picture.items, dx, y - picture.box[1]))
        y -= gap_mm
    return Picture(items=tuple(items), box=(0.0, 0.0, widest, top), title=title)
