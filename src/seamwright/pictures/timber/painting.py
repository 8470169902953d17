"""Paint pieces of face: which piece each pixel shows, its colour, the joints between."""

from __future__ import annotations

import io
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from enum import Enum

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from seamwright.geometry import bounds
from seamwright.pictures.looks import Look, Looks
from seamwright.pictures.timber.logs import Logs, logs
from seamwright.pictures.timber.noise import Floats
from seamwright.pictures.timber.shading import F, Figures, Spots, figures, shade
from seamwright.pictures.timber.sights import Face, Sight

Pixels = NDArray[np.uint8]
Ids = NDArray[np.int32]

_FINE = 3
"""Sub-pixels a side for joints."""
_CHUNK = 60_000
"""Pixels shaded at once: small enough for the cache."""
_GROUND = (250, 248, 243)


class Age(Enum):
    """How old the board looks; the change of five years is common practice, not measured."""

    NEW = 0.0
    FIVE_YEARS = 1.0


def paint(
    sights: Sequence[Sight | Face],
    *,
    looks: Looks,
    width_px: int,
    height_px: int,
    age: Age = Age.NEW,
    threads: int = 2,
) -> Pixels:
    """A picture, rows from the top, red green blue.

    The board fills the picture but for a small margin; the same input gives the same bytes,
    whatever the number of threads.

    Args:
        sights: pieces of face; later ones cover earlier ones.
        looks: of the woods.
        width_px, height_px: size of the picture.
        age: new, or after five years of light.
        threads: shading threads.
    """
    faces = [s.face if isinstance(s, Sight) else s for s in sights]
    scene = _Scene(faces, looks, width_px, height_px, age)
    ids, edge = scene.ids()
    out = np.empty((height_px * width_px, 3), dtype=np.float32)
    out[:] = _GROUND
    flat = ids.ravel()
    plain = np.flatnonzero(~edge.ravel() & (flat > 0))
    with ThreadPoolExecutor(max_workers=threads) as pool:
        chunks = [plain[i : i + _CHUNK] for i in range(0, len(plain), _CHUNK)]
        shaded = pool.map(lambda chunk: scene.colours(chunk, flat[chunk] - 1), chunks)
        for chunk, colours in zip(chunks, shaded, strict=True):
            out[chunk] = colours
        mixed = np.flatnonzero(edge.ravel())
        out[mixed] = scene.joints(mixed, pool)
    picture = out.reshape(height_px, width_px, 3)
    lit = np.clip(picture * _shadow(ids, edge)[:, :, None] + F(0.5), F(0.0), F(255.0))
    done: Pixels = lit.astype(np.uint8)
    return done


def png(picture: Pixels) -> bytes:
    """A picture as PNG, the same bytes each time."""
    out = io.BytesIO()
    Image.fromarray(picture, "RGB").save(out, format="PNG", optimize=False, compress_level=6)
    return out.getvalue()


class _Scene:
    """The pieces as arrays, and where they lie on the picture."""

    def __init__(
        self, sights: Sequence[Face], looks: Looks, width_px: int, height_px: int, age: Age
    ) -> None:
        self._sights = sights
        self._size = (width_px, height_px)
        x0, y0, x1, y1 = bounds(p for s in sights for p in s.outline)
        margin = 0.02 * max(width_px, height_px)
        across = (width_px - 2.0 * margin) / (x1 - x0)
        up = (height_px - 2.0 * margin) / (y1 - y0)
        self._scale = min(across, up)
        self._left = x0 - (width_px / self._scale - (x1 - x0)) / 2.0
        self._top = y1 + (height_px / self._scale - (y1 - y0)) / 2.0
        woods = sorted({s.wood for s in sights})
        sticks = sorted({s.stick for s in sights})
        self._wood = np.array([woods.index(s.wood) for s in sights], dtype=np.intp)
        place = {stick: index for index, stick in enumerate(sticks)}
        self._stick = np.array([place[s.stick] for s in sights], dtype=np.intp)
        self._logs: Logs = logs(sticks)
        shown: list[Look] = [looks[wood] for wood in woods]
        self._table: Figures = figures([look.figure for look in shown], aged_share=age.value)
        self._rows = np.array([s.rows for s in sights], dtype=np.float64)
        self._light = np.array([s.light for s in sights], dtype=np.float32)
        self._ends = np.array([s.ends for s in sights], dtype=np.float32)
        self._fine = np.zeros((0, 0), dtype=np.int32)

    def ids(self) -> tuple[Ids, NDArray[np.bool_]]:
        """Piece number + 1 of each pixel, 0 for ground; and where pixels show more than one."""
        width, height = self._size
        canvas = Image.new("I", (width * _FINE, height * _FINE), 0)
        pen = ImageDraw.Draw(canvas)
        scale = self._scale * _FINE
        for number, sight in enumerate(self._sights, start=1):
            points = [
                ((x - self._left) * scale - 0.5, (self._top - y) * scale - 0.5)
                for x, y in sight.outline
            ]
            pen.polygon(points, fill=number)
        self._fine = np.asarray(canvas, dtype=np.int32)
        blocks = self._fine.reshape(height, _FINE, width, _FINE)
        middle = np.ascontiguousarray(blocks[:, 1, :, 1])
        edge = np.zeros(middle.shape, dtype=np.bool_)
        for row in range(_FINE):
            for column in range(_FINE):
                edge |= blocks[:, row, :, column] != middle
        return middle, edge

    def colours(
        self, pixels: NDArray[np.intp], piece: Ids, dx: float = 0.0, dy: float = 0.0
    ) -> Floats:
        """Colours of some pixels, seen at an offset within the pixel."""
        width, _ = self._size
        x = self._left + (pixels % width + 0.5 + dx) / self._scale
        y = self._top - (pixels // width + 0.5 + dy) / self._scale
        rows = self._rows[piece]
        u, v, w = (
            (rows[:, k, 0] + rows[:, k, 1] * x + rows[:, k, 2] * y).astype(np.float32)
            for k in range(3)
        )
        spots = Spots(
            u=u,
            v=v,
            w=w,
            stick=self._stick[piece],
            wood=self._wood[piece],
            light=self._light[piece],
            ends=self._ends[piece],
            pixel_mm=1.0 / self._scale,
        )
        return shade(spots, self._logs, self._table)

    def joints(self, pixels: NDArray[np.intp], pool: ThreadPoolExecutor) -> Floats:
        """Colours of pixels that show several pieces: the mean of nine looks at each."""
        width, _ = self._size
        rows, columns = pixels // width, pixels % width
        spots = [(i, j) for i in range(_FINE) for j in range(_FINE)]

        def look(spot: tuple[int, int]) -> Floats:
            i, j = spot
            piece = self._fine[rows * _FINE + i, columns * _FINE + j]
            offset = ((j + 0.5) / _FINE - 0.5, (i + 0.5) / _FINE - 0.5)
            seen = self.colours(pixels, np.maximum(piece - 1, 0), *offset)
            return np.where((piece == 0)[:, None], np.array(_GROUND, dtype=np.float32), seen)

        total = np.zeros((len(pixels), 3), dtype=np.float32)
        for seen in pool.map(look, spots):
            total += seen
        return total / F(len(spots))


def _shadow(ids: Ids, edge: NDArray[np.bool_]) -> Floats:
    """A fine dark line at joints and a soft one beside it."""
    line = edge.copy()
    line[:, 1:] |= ids[:, 1:] != ids[:, :-1]
    line[1:, :] |= ids[1:, :] != ids[:-1, :]
    mask = Image.fromarray((line * 255).astype(np.uint8), "L")
    near = np.asarray(mask.filter(ImageFilter.GaussianBlur(0.6)), dtype=np.float32) / F(255.0)
    wide = np.asarray(mask.filter(ImageFilter.GaussianBlur(2.6)), dtype=np.float32) / F(255.0)
    out: Floats = F(1.0) - F(0.26) * near - F(0.16) * wide
    return out
