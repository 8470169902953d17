"""Write prisms as a binary glTF 2.0 model.

Parts are nodes; each carries its explode offset both as its translation and in ``extras``, so
that a viewer's slider can scale it. Metres and y up come from one root node (scale 0.001, turned
−90° about x), as the standard asks.

Reference:
    Khronos Group, glTF 2.0 Specification, sections 3.4 (units and axes), 3.6 (buffers),
    4.4 (GLB layout); colours are linear (section 3.9.2).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from itertools import pairwise

from seamwright.geometry import Point
from seamwright.pictures.looks import Looks, channels
from seamwright.pictures.space.prisms import Prism

_JSON_CHUNK = 0x4E4F534A
_BIN_CHUNK = 0x004E4942
_HALF = 0.7071067811865476


def glb(parts: Sequence[tuple[str, Point, Sequence[Prism]]], *, looks: Looks, title: str) -> bytes:
    """A GLB file.

    Args:
        parts: for each part its name, its explode offset [mm] and its prisms *without* the offset.
        looks: of the woods.
        title: of the scene.
    """
    woods = sorted({prism.wood for _, _, prisms in parts for prism in prisms})
    blob = bytearray()
    views: list[dict[str, object]] = []
    accessors: list[dict[str, object]] = []
    meshes: list[dict[str, object]] = []
    nodes: list[dict[str, object]] = []
    for name, offset, prisms in parts:
        primitives = [
            _primitive(
                [p for p in prisms if p.wood == wood], woods.index(wood), blob, views, accessors
            )
            for wood in woods
            if any(p.wood == wood for p in prisms)
        ]
        move = [_round(offset[0]), _round(offset[1]), 0.0]
        nodes.append(
            {"name": name, "mesh": len(meshes), "translation": move, "extras": {"explode": move}}
        )
        meshes.append({"name": name, "primitives": primitives})
    root = {
        "name": title,
        "children": list(range(len(nodes))),
        "scale": [0.001, 0.001, 0.001],
        "rotation": [-_HALF, 0.0, 0.0, _HALF],
    }
    model = {
        "asset": {"version": "2.0", "generator": "seamwright"},
        "scene": 0,
        "scenes": [{"nodes": [len(nodes)], "name": title}],
        "nodes": [*nodes, root],
        "meshes": meshes,
        "materials": [_material(looks[wood].name, looks[wood].fill) for wood in woods],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(blob)}],
    }
    return _packed(model, bytes(blob))


def _primitive(
    prisms: Sequence[Prism],
    material: int,
    blob: bytearray,
    views: list[dict[str, object]],
    accessors: list[dict[str, object]],
) -> dict[str, object]:
    places: list[tuple[float, float, float]] = []
    normals: list[tuple[float, float, float]] = []
    for prism in prisms:
        for triangle, normal in _triangles(prism):
            places.extend(triangle)
            normals.extend([normal] * 3)
    low = [min(p[i] for p in places) for i in range(3)]
    high = [max(p[i] for p in places) for i in range(3)]
    at = _add(places, blob, views, accessors, {"min": _single(low), "max": _single(high)})
    facing = _add(normals, blob, views, accessors, {})
    return {"attributes": {"POSITION": at, "NORMAL": facing}, "material": material, "mode": 4}


def _add(
    rows: list[tuple[float, float, float]],
    blob: bytearray,
    views: list[dict[str, object]],
    accessors: list[dict[str, object]],
    more: dict[str, object],
) -> int:
    packed = b"".join(struct.pack("<3f", *row) for row in rows)
    views.append({"buffer": 0, "byteOffset": len(blob), "byteLength": len(packed), "target": 34962})
    blob.extend(packed)
    accessors.append(
        {"bufferView": len(views) - 1, "componentType": 5126, "count": len(rows), "type": "VEC3"}
        | more
    )
    return len(accessors) - 1


Corner = tuple[float, float, float]


def _triangles(prism: Prism) -> list[tuple[tuple[Corner, Corner, Corner], Corner]]:
    """Triangles with outward normals, anticlockwise from outside."""
    ring, low, high = prism.outline, prism.low_mm, prism.high_mm
    made: list[tuple[tuple[Corner, Corner, Corner], Corner]] = []
    x0, y0 = ring[0]
    for (ax, ay), (bx, by) in pairwise(ring[1:]):
        made.append((((x0, y0, high), (ax, ay, high), (bx, by, high)), (0.0, 0.0, 1.0)))
        made.append((((x0, y0, low), (bx, by, low), (ax, ay, low)), (0.0, 0.0, -1.0)))
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
        length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
        normal = ((by - ay) / length, (ax - bx) / length, 0.0)
        a, b, c, d = (ax, ay, low), (bx, by, low), (bx, by, high), (ax, ay, high)
        made.append(((a, b, c), normal))
        made.append(((a, c, d), normal))
    return made


def _material(name: str, colour: str) -> dict[str, object]:
    linear = [_round(_linear(value / 255.0)) for value in channels(colour)]
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*linear, 1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": 0.8,
        },
    }


def _linear(value: float) -> float:
    """sRGB to linear light (IEC 61966-2-1)."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def _single(values: list[float]) -> list[float]:
    """As single precision stores them: bounds must be those of the stored numbers."""
    return [struct.unpack("<f", struct.pack("<f", value))[0] for value in values]


def _round(value: float) -> float:
    return round(value, 6) + 0.0


def _packed(model: dict[str, object], blob: bytes) -> bytes:
    text = json.dumps(model, separators=(",", ":"), ensure_ascii=False).encode()
    text += b" " * (-len(text) % 4)
    blob += b"\0" * (-len(blob) % 4)
    total = 12 + 8 + len(text) + 8 + len(blob)
    return b"".join(
        (
            struct.pack("<4sII", b"glTF", 2, total),
            struct.pack("<II", len(text), _JSON_CHUNK),
            text,
            struct.pack("<II", len(blob), _BIN_CHUNK),
            blob,
        )
    )
