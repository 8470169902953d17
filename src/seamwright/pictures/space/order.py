"""Draw what is behind first: a true order for upright convex prisms.

Two prisms that do not overlap are kept apart by a face of one of them (outlines in the plane by
an edge, or else heights). That face tells which is in front, if they cover each other on the page
at all. Where such pairs run in a circle, a prism of the circle is halved along a face of another
one, which ends it: the parts lie on one side each (after Newell, Newell and Sancha 1972; from
memory).
"""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.geometry import Line, Polygon, bounds, convex_hull
from seamwright.pictures.space.camera import Camera
from seamwright.pictures.space.prisms import Prism

_TOUCH_MM = 1e-6
_COVER_MM = 1e-4
_MOST_ROUNDS = 400


def painter_order(prisms: Sequence[Prism], camera: Camera) -> tuple[Prism, ...]:
    """The prisms from back to front, some halved where only that makes an order possible.

    Args:
        prisms: convex, with no two overlapping.
        camera: where from.
    """
    scene = list(prisms)
    for _ in range(_MOST_ROUNDS):
        covers = _covers(scene, camera)
        order, stuck = _sorted(len(scene), covers)
        if not stuck:
            return tuple(scene[i] for i in order)
        if not _halve_one(scene, stuck, covers):
            break
    return tuple(scene[i] for i in [*order, *stuck])


def _covers(scene: Sequence[Prism], camera: Camera) -> dict[int, set[int]]:
    """For each prism the ones that must be drawn before it."""
    shapes = [silhouette(prism, camera) for prism in scene]
    boxes = [bounds(shape) for shape in shapes]
    behind: dict[int, set[int]] = {i: set() for i in range(len(scene))}
    by_left = sorted(range(len(scene)), key=lambda i: boxes[i][0])
    for place, i in enumerate(by_left):
        for j in by_left[place + 1 :]:
            if boxes[j][0] >= boxes[i][2] - _COVER_MM:
                break
            if min(boxes[i][3], boxes[j][3]) - max(boxes[i][1], boxes[j][1]) <= _COVER_MM:
                continue
            if not _overlap(shapes[i], shapes[j]):
                continue
            front = in_front(scene[i], scene[j], camera)
            if front > 0:
                behind[i].add(j)
            elif front < 0:
                behind[j].add(i)
    return behind


def silhouette(prism: Prism, camera: Camera) -> Polygon:
    """The outline of a prism on the page."""
    return convex_hull(
        camera.seen((x, y, z)) for x, y in prism.outline for z in (prism.low_mm, prism.high_mm)
    )


def in_front(a: Prism, b: Prism, camera: Camera) -> int:
    """1 where a is in front of b, -1 where behind, 0 where no face tells them apart."""
    _, _, up = camera.towards
    if a.low_mm >= b.high_mm - _TOUCH_MM:
        return 1 if up > 0.0 else -1
    if b.low_mm >= a.high_mm - _TOUCH_MM:
        return -1 if up > 0.0 else 1
    return _beside(a, b, camera) or -_beside(b, a, camera)


def _beside(a: Prism, b: Prism, camera: Camera) -> int:
    """The same by an edge of a that has all of b outside; 0 where none has."""
    tx, ty, _ = camera.towards
    ring = a.outline
    best = 0
    for p, q in zip(ring, ring[1:] + ring[:1], strict=True):
        line = Line.through(p, q)
        if max(line.side(point) for point in b.outline) <= _TOUCH_MM:
            facing = line.uy * tx - line.ux * ty
            if abs(facing) > 1e-9:
                best = -1 if facing > 0.0 else 1
                break
    return best


def _overlap(a: Polygon, b: Polygon) -> bool:
    """Whether two convex shapes on the page share more than an edge."""
    return not _edge_between(a, b) and not _edge_between(b, a)


def _edge_between(a: Polygon, b: Polygon) -> bool:
    """Whether an edge of a has all of b outside it (plain arithmetic: the hottest loop here)."""
    px, py = a[-1]
    for qx, qy in a:
        dx, dy = qx - px, qy - py
        limit = _COVER_MM * (abs(dx) + abs(dy)) + dx * py - dy * px
        if all(dx * y - dy * x <= limit for x, y in b):
            return True
        px, py = qx, qy
    return False


def _sorted(count: int, behind: dict[int, set[int]]) -> tuple[list[int], list[int]]:
    """Indices in drawing order, and those left over because they run in circles."""
    waiting = {i: set(behind[i]) for i in range(count)}
    before: dict[int, list[int]] = {i: [] for i in range(count)}
    for i, others in behind.items():
        for j in others:
            before[j].append(i)
    ready = sorted((i for i in range(count) if not waiting[i]), reverse=True)
    order: list[int] = []
    while ready:
        i = ready.pop()
        order.append(i)
        for j in before[i]:
            waiting[j].discard(i)
            if not waiting[j]:
                ready.append(j)
    placed = set(order)
    return order, [i for i in range(count) if i not in placed]


def _halve_one(scene: list[Prism], stuck: Sequence[int], behind: dict[int, set[int]]) -> bool:
    """Halve one prism of a circle along a face of another one of it."""
    circle = _circle(stuck, behind)
    for i in circle:
        for j in circle:
            if i == j:
                continue
            halves = _halves(scene[i], scene[j])
            if len(halves) > 1:
                scene[i : i + 1] = halves
                return True
    return False


def _circle(stuck: Sequence[int], behind: dict[int, set[int]]) -> list[int]:
    """One circle among those left over."""
    left = set(stuck)
    path: list[int] = []
    here = stuck[0]
    while here not in path:
        path.append(here)
        here = min(j for j in behind[here] if j in left)
    return path[path.index(here) :]


def _halves(prism: Prism, other: Prism) -> tuple[Prism, ...]:
    for height in (other.low_mm, other.high_mm):
        if prism.low_mm + _TOUCH_MM < height < prism.high_mm - _TOUCH_MM:
            return prism.halved_at(height)
    ring = other.outline
    for p, q in zip(ring, ring[1:] + ring[:1], strict=True):
        line = Line.through(p, q)
        sides = [line.side(point) for point in prism.outline]
        if min(sides) < -_TOUCH_MM and max(sides) > _TOUCH_MM:
            return prism.halved_by(line)
    return (prism,)
