"""Search: from the board down to the sticks, every kind once, every way to make it.

The graph has no cycle: gluing and slicing lead to smaller regions, trimming leads to grids, which
are never trimmed further.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from seamwright.errors import Cancelled, Fault, PlanError
from seamwright.geometry import ON_LINE_MM, Line, Motion, Polygon, convex_hull
from seamwright.plan import Shop
from seamwright.planner.bars import BarBook, slice_option
from seamwright.planner.canon import Key, canonical
from seamwright.planner.cells import Cell, Cells
from seamwright.planner.grouping import groupings
from seamwright.planner.options import Child, Join, Kind, Space, TrimDown, World
from seamwright.planner.trims import OverBuilt, over_builds
from seamwright.seams import Through, members, supporting_lines

MOST_KINDS = 60_000
"""Beyond this the drawing has too many directions to search (about 2^directions kinds)."""


def explore(prepared: Cells, shop: Shop, *, cancelled: Callable[[], bool] | None = None) -> Space:
    """All options for a board.

    Args:
        prepared: cells that split straight through.
        shop: kerf, clamps and open time decide which options exist.
        cancelled: asked now and then; a true answer stops the search.
    Raises:
        PlanError: the drawing has too many kinds.
        Cancelled: the user stopped it.
    """
    search = _Search(shop, sorted({cell.wood for cell in prepared.cells}))
    world = World(prepared.cells, supporting_lines([c.polygon for c in prepared.cells]))
    search.kind(world, (1 << len(world.cells)) - 1, world.lines)
    while search.todo:
        if cancelled is not None and cancelled():
            raise Cancelled
        search.expand(*search.todo.pop())
        if len(search.kinds) > MOST_KINDS:
            raise PlanError(
                Fault(
                    "P110",
                    "the drawing",
                    f"has more than {MOST_KINDS} different sub-assemblies",
                    "use fewer seam directions, or build it from repeated blocks",
                )
            )
    return Space(kinds=tuple(search.kinds), bars=tuple(search.book.bars), refusals=())


class _Search:
    def __init__(self, shop: Shop, woods: Sequence[str]) -> None:
        self.shop = shop
        self.woods = {wood: i for i, wood in enumerate(woods)}
        self.kinds: list[Kind] = []
        self.known: dict[Key, int] = {}
        self.seen: dict[tuple[int, int], tuple[int, Motion]] = {}
        self.todo: list[tuple[int, tuple[Through, ...]]] = []
        self.book = BarBook(shop.saws.table_kerf_mm, [], {})

    def kind(self, world: World, region: int, lines: tuple[Through, ...]) -> tuple[int, Motion]:
        """The kind of a region and the motion from its world into the kind's frame."""
        place = (id(world), region)
        if place in self.seen:
            return self.seen[place]
        cells = [world.cells[i] for i in members(region)]
        hull = convex_hull([p for cell in cells for p in cell.polygon])
        key, frame = canonical(cells, self.woods, hull)
        if key not in self.known:
            self._enter(key, world, region, frame, hull)
            self.todo[-1] = (self.known[key], lines)
        number = self.known[key]
        self.seen[place] = (number, frame)
        return number, frame

    def expand(self, number: int, lines: tuple[Through, ...]) -> None:
        """Find all options of a kind."""
        kind = self.kinds[number]
        near = tuple(t for t in lines if t.left & kind.region and t.right & kind.region)
        cells = self._moved_cells(kind)
        cut = slice_option(cells, kind.hull, self.book)
        if cut is not None:
            kind.options.append(cut)
        for seams in _full_seams(near, kind.region):
            kind.options.extend(self._joins(kind, seams, near))
        thin = kind.narrowest_mm < self.shop.limits.slice_min_mm - 1e-9
        if cut is None or len(cells) > 1 or thin:
            kind.options.extend(self._trims(kind, cells, near))

    def _joins(
        self, kind: Kind, seams: Sequence[Through], lines: tuple[Through, ...]
    ) -> list[Join]:
        slabs = _slabs(kind.region, seams)
        known = [self.kind(kind.world, slab, lines)[0] for slab in slabs]
        plain = [not slab & (slab - 1) for slab in slabs]
        line = seams[0].line
        hull = kind.frame.inverse().polygon(kind.hull)
        reach = [line.side(p) for p in hull]
        across = max(reach) - min(reach)
        angled = not _squeezes(hull, line)
        if across > self.shop.limits.clamp_reach_mm:
            return []
        joins = []
        for groups in groupings(known, plain, self.shop.limits.seams_per_glue_up):
            parts = []
            for first, last in groups:
                region = 0
                for slab in slabs[first:last]:
                    region |= slab
                child, frame = self.kind(kind.world, region, lines)
                parts.append(Child(child, kind.frame.after(frame.inverse())))
            joins.append(
                Join(
                    parts=tuple(parts),
                    seams_deg=kind.frame.undirected_deg(line.undirected_deg),
                    across_mm=across,
                    angled=angled,
                )
            )
        return joins

    def _trims(self, kind: Kind, cells: Sequence[Cell], near: Sequence[Through]) -> list[TrimDown]:
        inside = {t.direction: t.line for t in near if t.carried & kind.region}
        seams = [kind.frame.undirected_deg(line.undirected_deg) for line in inside.values()]
        found = []
        for built in over_builds(cells, kind.hull, seams):
            over, frame = self._whole(built)
            found.append(TrimDown(over=over, at=frame.inverse(), cuts=built.cuts))
        return found

    def _whole(self, built: OverBuilt) -> tuple[int, Motion]:
        """The kind of a whole larger tiling; its lines are only needed where it is new."""
        key, frame = canonical(built.cells, self.woods, built.hull)
        if key not in self.known:
            single = len(built.cells) == 1
            lines = () if single else supporting_lines([c.polygon for c in built.cells])
            world = World(built.cells, lines)
            self._enter(key, world, (1 << len(built.cells)) - 1, frame, built.hull)
        return self.known[key], frame

    def _enter(self, key: Key, world: World, region: int, frame: Motion, hull: Polygon) -> None:
        number = len(self.kinds)
        self.known[key] = number
        self.kinds.append(Kind(world, region, frame, frame.polygon(hull)))
        self.todo.append((number, world.lines))

    @staticmethod
    def _moved_cells(kind: Kind) -> list[Cell]:
        moved = []
        for i in members(kind.region):
            cell = kind.world.cells[i]
            moved.append(
                replace(
                    cell,
                    polygon=kind.frame.polygon(cell.polygon),
                    grain_deg=kind.frame.undirected_deg(cell.grain_deg),
                )
            )
        return moved


def _full_seams(lines: Sequence[Through], region: int) -> list[list[Through]]:
    """Seams that run straight through a region, gathered by direction, in order of offset."""
    by_direction: dict[int, list[Through]] = {}
    for entry in lines:
        if not entry.crossed & region:
            by_direction.setdefault(entry.direction, []).append(entry)
    return [sorted(group, key=lambda t: t.line.offset) for group in by_direction.values()]


def _slabs(region: int, seams: Sequence[Through]) -> list[int]:
    slabs = []
    rest = region
    for seam in seams:
        slab = rest & seam.right
        if slab:
            slabs.append(slab)
        rest &= seam.left
    return [*slabs, rest] if rest else slabs


def _squeezes(hull: Polygon, line: Line) -> bool:
    """Whether plain clamps across the seams close them: two outer faces, opposite each other.

    Faces that lie so far apart along the seams that less than half of the shorter one has the
    other behind it would slide past each other.
    """
    reach = [(line.side(p), line.ux * p[0] + line.uy * p[1]) for p in hull]
    low, high = min(reach)[0], max(reach)[0]
    near = [along for side, along in reach if side - low <= ON_LINE_MM]
    far = [along for side, along in reach if high - side <= ON_LINE_MM]
    shorter = min(max(near) - min(near), max(far) - min(far))
    shared = min(max(near), max(far)) - max(min(near), min(far))
    return shorter > ON_LINE_MM and shared >= shorter / 2.0 - ON_LINE_MM
