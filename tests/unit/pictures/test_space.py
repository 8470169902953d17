from __future__ import annotations

import json
import random
import struct

import numpy as np
import pytest
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon as ShapelyPolygon

from fakes import hand_plan
from seamwright.geometry import Line, area, bounds, centroid, clip, cos_deg, sin_deg
from seamwright.pictures import looks
from seamwright.pictures.space import (
    Camera,
    Prism,
    apart,
    convex_parts,
    exploded,
    glb,
    painter_order,
)
from seamwright.pictures.space.exploded import prisms_of
from seamwright.pictures.space.order import silhouette
from seamwright.plan import Laminate

CAMERA = Camera()
LOOKS = looks(hand_plan.drawing().woods)


def upright(outline, low=-20.0, high=0.0, part=0) -> Prism:
    return Prism(
        outline=tuple(outline), low_mm=low, high_mm=high, wood="A", grain_deg=0.0, part=part
    )


def box(x, y, wide, high, *, low=-20.0, top=0.0) -> Prism:
    return upright(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)), low, top)


def hit(prism: Prism, eye, direction) -> float | None:
    """Where a ray first meets a prism: plain slab clipping, apart from the code under test."""
    enter, leave = -1e18, 1e18
    ring = prism.outline
    planes = [(0.0, 0.0, -1.0, -prism.low_mm), (0.0, 0.0, 1.0, prism.high_mm)]
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1], strict=True):
        nx, ny = by - ay, ax - bx
        planes.append((nx, ny, 0.0, nx * ax + ny * ay))
    for nx, ny, nz, d in planes:
        speed = nx * direction[0] + ny * direction[1] + nz * direction[2]
        gap = d - (nx * eye[0] + ny * eye[1] + nz * eye[2])
        if abs(speed) < 1e-12:
            if gap < 0.0:
                return None
        elif speed < 0.0:
            enter = max(enter, gap / speed)
        else:
            leave = min(leave, gap / speed)
    return enter if enter < leave else None


def check_order(prisms, camera=CAMERA, rays=300, seed=1) -> None:
    """What is painted last over a spot is what a ray through the spot meets first."""
    ordered = painter_order(prisms, camera)
    shapes = [ShapelyPolygon(silhouette(p, camera)) for p in ordered]
    x0, y0, x1, y1 = bounds(pt for p in ordered for pt in silhouette(p, camera))
    rng = random.Random(seed)
    tx, ty, tz = camera.towards
    right = (cos_deg(camera.round_deg), sin_deg(camera.round_deg), 0.0)
    up = (
        -sin_deg(camera.round_deg) * sin_deg(camera.raised_deg),
        cos_deg(camera.round_deg) * sin_deg(camera.raised_deg),
        cos_deg(camera.raised_deg),
    )
    met = 0
    for _ in range(rays):
        u, v = rng.uniform(x0, x1), rng.uniform(y0, y1)
        spot = ShapelyPoint(u, v)
        if any(shape.exterior.distance(spot) < 1e-3 for shape in shapes):
            continue
        painted = [i for i, shape in enumerate(shapes) if shape.contains(spot)]
        if not painted:
            continue
        eye = tuple(right[i] * u + up[i] * v + (tx, ty, tz)[i] * 1e5 for i in range(3))
        times = {i: hit(ordered[i], eye, (-tx, -ty, -tz)) for i in painted}
        solid = {i: t for i, t in times.items() if t is not None}
        assert solid, "a silhouette without its prism"
        assert painted[-1] == min(solid, key=solid.__getitem__)
        met += 1
    assert met > rays / 10


def crazy_paving(rng: random.Random, cuts: int):
    """A square broken by random straight cuts: convex pieces of every shape, mitres and all."""
    pieces = [((0.0, 0.0), (200.0, 0.0), (200.0, 150.0), (0.0, 150.0))]
    for _ in range(cuts):
        target = rng.randrange(len(pieces))
        line = Line.at_angle(centroid(pieces[target]), rng.uniform(0.0, 180.0))
        halves = [h for side in (line, line.reversed()) for h in clip(pieces[target], side)]
        if len(halves) == 2 and min(area(h) for h in halves) > 20.0:
            pieces[target : target + 1] = halves
    return pieces


@pytest.mark.parametrize("seed", range(6))
def test_paving_is_painted_in_true_depth_order(seed: int) -> None:
    rng = random.Random(seed)
    prisms = [upright(p, low=-rng.uniform(5.0, 60.0)) for p in crazy_paving(rng, 25)]
    camera = Camera(round_deg=rng.uniform(-80.0, 80.0), raised_deg=rng.uniform(15.0, 75.0))
    check_order(prisms, camera, seed=seed)


@pytest.mark.parametrize("seed", range(4))
def test_storeys_of_paving_are_painted_in_true_depth_order(seed: int) -> None:
    rng = random.Random(100 + seed)
    prisms = [
        upright(p, low=40.0 * floor, high=40.0 * floor + rng.uniform(10.0, 39.0))
        for floor in range(3)
        for p in crazy_paving(rng, 8)
    ]
    check_order(prisms, Camera(round_deg=30.0, raised_deg=40.0), seed=seed)


def test_a_circle_of_three_is_broken_by_halving_one() -> None:
    """Each lies over the next where they cross: no order of whole sticks can be right."""
    near = box(0.0, 0.0, 300.0, 20.0, low=0.0, top=20.0)
    post = box(0.0, 40.0, 20.0, 20.0, low=0.0, top=200.0)
    slanted = ((0.0, 100.0), (270.0, 0.0), (280.0, 20.0), (10.0, 120.0))
    beam = upright(slanted, low=30.0, high=50.0)
    scene = [near, post, beam]
    camera = Camera(round_deg=20.0, raised_deg=35.0)
    assert len(painter_order(scene, camera)) > 3
    check_order(scene, camera, rays=1500)


def test_mitred_corners_of_a_frame() -> None:
    outer, inner = 100.0, 70.0
    sides = []
    for turn in range(4):
        c, s = cos_deg(90.0 * turn), sin_deg(90.0 * turn)
        quarter = ((-outer, -outer), (outer, -outer), (inner, -inner), (-inner, -inner))
        sides.append(upright([(c * x - s * y, s * x + c * y) for x, y in quarter]))
    check_order(sides, rays=600)


@pytest.mark.parametrize("step", [s for s in hand_plan.plan().steps if isinstance(s, Laminate)])
def test_every_glue_up_of_a_plan_is_painted_in_true_depth_order(step: Laminate) -> None:
    solids = hand_plan.solids(hand_plan.plan())
    check_order(apart(step, solids), rays=150)
    picture = exploded(step, solids=solids, looks=LOOKS, width_mm=120.0, height_mm=60.0)
    assert picture.width_mm <= 122.0
    assert picture.height_mm <= 66.0


def test_halving_keeps_wood_and_hides_the_cut() -> None:
    cube = box(0.0, 0.0, 10.0, 10.0)
    left, right = cube.halved_by(Line.through((5.0, 0.0), (5.0, 10.0)))
    assert area(left.outline) == area(right.outline) == 50.0
    assert left.sides.count(False) == right.sides.count(False) == 1
    low, high = cube.halved_at(-5.0)
    assert low.capped == (True, False)
    assert high.capped == (False, True)
    quarter = left.halved_by(Line.through((0.0, 5.0), (10.0, 5.0)))[0]
    assert quarter.sides.count(False) == 2


def test_a_notched_part_falls_into_convex_parts() -> None:
    ell = ((0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (10.0, 10.0), (10.0, 30.0), (0.0, 30.0))
    parts = convex_parts(ell)
    assert len(parts) == 2
    assert sum(area(p) for p in parts) == pytest.approx(500.0)


def read_glb(data: bytes):
    magic, version, total = struct.unpack_from("<4sII", data)
    assert (magic, version, total) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    model = json.loads(data[20 : 20 + size])
    size2, kind2 = struct.unpack_from("<I4s", data, 20 + size)
    assert kind2 == b"BIN\0"
    blob = data[28 + size : 28 + size + size2]
    assert 28 + size + size2 == len(data)
    return model, blob


def test_the_model_reads_back_in_metres_with_y_up_and_closed_parts() -> None:
    plan = hand_plan.plan()
    solids = hand_plan.solids(plan)
    step = next(s for s in plan.steps if isinstance(s, Laminate))
    parts = [
        (f"{p.part} {i}", (0.0, 10.0 * i), prisms_of(solids[p.part], at=p.at))
        for i, p in enumerate(step.parts)
    ]
    data = glb(parts, looks=LOOKS, title="L1")
    assert data == glb(parts, looks=LOOKS, title="L1")
    model, blob = read_glb(data)
    root = model["nodes"][model["scenes"][0]["nodes"][0]]
    assert root["scale"] == [0.001] * 3
    assert root["rotation"] == pytest.approx([-(0.5**0.5), 0.0, 0.0, 0.5**0.5])
    volume = 0.0
    for index, node in enumerate(root["children"]):
        node_data = model["nodes"][node]
        assert node_data["translation"] == [0.0, 10.0 * index, 0.0]
        assert node_data["extras"]["explode"] == node_data["translation"]
        for primitive in model["meshes"][node_data["mesh"]]["primitives"]:
            places = _rows(model, blob, primitive["attributes"]["POSITION"])
            normals = _rows(model, blob, primitive["attributes"]["NORMAL"])
            a, b, c = places[::3], places[1::3], places[2::3]
            facing = np.cross(b - a, c - a)
            assert np.all(np.einsum("ij,ij->i", facing, normals[::3]) > 0.0)
            volume += float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)
            assert np.abs(facing.sum(axis=0)).max() < 1e-1 * np.abs(facing).max()
    wanted = sum(area(q.points) for q in solids["L1"].pieces) * solids["L1"].depth_mm
    assert volume == pytest.approx(wanted, rel=1e-5)


def _rows(model, blob, index):
    accessor = model["accessors"][index]
    view = model["bufferViews"][accessor["bufferView"]]
    flat = np.frombuffer(blob, "<f4", accessor["count"] * 3, view["byteOffset"])
    rows = flat.reshape(-1, 3).astype(float)
    if "min" in accessor:
        assert accessor["min"] == rows.min(axis=0).tolist()
        assert accessor["max"] == rows.max(axis=0).tolist()
    return rows
