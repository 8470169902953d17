"""Search: from the board down to the sticks, every kind once, every way to make it.

The graph has no cycle: gluing and slicing lead to smaller regions, trimming leads to grids, which
are never trimmed further.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence

from seamwright.errors import Cancelled, Fault, PlanError
from seamwright.geometry import Line, Motion, area
from seamwright.plan import Shop
from seamwright.planner.bars import slice_option
from seamwright.planner.canon import canonical
from seamwright.planner.cells import SAME_MM2, Cell, Cells
from seamwright.planner.corners import Corner, connected, corners, opposite, touching_cells
from seamwright.planner.crossing import Repeats, long_strips
from seamwright.planner.grouping import groupings
from seamwright.planner.holding import blanks, is_too_narrow, otherwise_held
from seamwright.planner.numbering import Numbering
from seamwright.planner.options import (
    Child,
    CrossStrips,
    Cut,
    FilledRow,
    Join,
    Kind,
    Option,
    Space,
    TrimDown,
    World,
)
from seamwright.planner.recalling import (
    Lesson,
    Memory,
    bare,
    children,
    reached,
    renumbered,
    with_options,
)
from seamwright.planner.rows import filled_corners
from seamwright.planner.settings import between
from seamwright.planner.slabs import full_seams, halves_hold, slabs, square_across, squeezes
from seamwright.planner.trims import OverBuilt, over_builds
from seamwright.seams import Through, members, supporting_lines

Keys = Collection[object]
"""Forms of kinds."""
MOST_KINDS = 60_000
"""Beyond this the drawing has too many directions to search (about 2^directions kinds)."""


def explore(
    prepared: Cells,
    shop: Shop,
    *,
    set_in: bool = False,
    memory: Memory | None = None,
    wide: Keys = (),
    cancelled: Callable[[], bool] | None = None,
) -> Space:
    """All options for a board.

    Args:
        prepared: cells that split straight through.
        shop: kerf, clamps and open time decide which options exist.
        set_in: whether parts may be pushed into inside corners where no seam runs through; cells
            that lock are fine then.
        memory: what earlier searches in this shop have found; it learns from this one.
        wide: forms of kinds whose parts are gathered in more ways; with any, nothing is remembered.
        cancelled: asked now and then; a true answer stops the search.
    Raises:
        PlanError: the drawing has too many kinds.
        Cancelled: the user stopped it.
    """
    memory = memory if memory and not wide else Memory()
    search = _Search(shop, memory, memory.woods(prepared.cells), set_in=set_in, wide=wide)
    search.begin(World(prepared.cells, supporting_lines([c.polygon for c in prepared.cells])))
    search.run(cancelled)
    crossed = search.crossed(prepared.cells)
    search.run(cancelled)
    memory.learn(search.lesson())
    kinds = list(search.kinds)
    for number, kind in crossed.items():
        kinds[number] = kind
    return Space(
        kinds=tuple(kinds),
        bars=tuple(search.book.bars),
        refusals=(),
        line=search.line,
        keys=tuple(search.keys),
    )


class _Search(Numbering):
    def __init__(
        self, shop: Shop, memory: Memory, woods: Mapping[str, int], *, set_in: bool, wide: Keys
    ) -> None:
        super().__init__(memory, woods, shop.saws.table_kerf_mm)
        self.shop, self.set_in, self.wide = shop, set_in, frozenset(wide)
        self.beside: dict[int, dict[int, int]] = {}

    def run(self, cancelled: Callable[[], bool] | None) -> None:
        """Expand every kind that was met, and those met on the way."""
        while self.todo:
            if cancelled is not None and cancelled():
                raise Cancelled
            self.expand(*self.todo.pop())
            if self.new > MOST_KINDS:
                raise PlanError(
                    Fault(
                        "P110",
                        "the drawing",
                        f"has more than {MOST_KINDS} different sub-assemblies",
                        "use fewer seam directions, or build it from repeated blocks",
                    )
                )

    def crossed(self, drawn: Sequence[Cell]) -> dict[int, Kind]:
        """Kinds with sets of cross strips, for parts that a board may hold twice.

        Whether it may depends on the whole drawing, so that is never remembered.
        """
        inside = {number: self.kinds[number] for number in reached(self.kinds)}
        twice = Repeats(inside, drawn)
        found = {}
        for number, kind in inside.items():
            known = self.with_strips.get(number)
            # where there are none to be had, nobody asks whether there may be
            if known is kind or not twice(number):
                continue
            if known is None:
                known = self.with_strips[number] = self._with_strips(kind)
            found[number] = known
        return found

    def _with_strips(self, kind: Kind) -> Kind:
        """A kind with all its sets of cross strips; the kind itself where there are none."""
        if len(kind.hull) != 4 or kind.region.bit_count() < 2:
            return kind
        if any(isinstance(option, Cut) for option in kind.options):
            return kind
        strips = tuple(self._cross_strips(kind, self._moved_cells(kind)))
        return with_options(kind, strips) if strips else kind

    def expand(self, number: int, lines: tuple[Through, ...]) -> None:
        """Find all options of a kind."""
        kind = self.kinds[number]
        if (known := self.memory.recall(self.keys[number])) is not None:
            kind.options.extend(self._recalled(*known))
            return
        near = tuple(t for t in lines if t.left & kind.region and t.right & kind.region)
        cells = self._moved_cells(kind)
        if self.set_in and abs(sum(area(c.polygon) for c in cells) - area(kind.hull)) > SAME_MM2:
            self._expand_hollow(kind, near)
            return
        cut = slice_option(cells, kind.hull, self.book)
        if cut is not None:
            kind.options.append(cut)
        any_run = self.keys[number] in self.wide
        for seams in full_seams(near, kind.region):
            kind.options.extend(self._joins(kind, seams, near, any_run))
        if self.set_in and len(cells) > 1 and not kind.options:
            kind.options.extend(self._set_ins(kind, near))
        kind.options.extend(self._rows(kind, cells))
        thin = kind.narrowest_mm < self.shop.limits.slice_min_mm - 1e-9
        single = len(cells) == 1
        if cut is None or not single or thin or is_too_narrow(cells[0], self.shop):
            kind.options.extend(self._trims(kind, cells, near))
            kind.options.extend(self._blanks(kind, cells[0]) if single else ())

    def _expand_hollow(self, kind: Kind, near: tuple[Through, ...]) -> None:
        """A part with inside corners: glued along straight seams, or parts set into corners."""
        beside = self._beside(kind.world)
        for seams in full_seams(near, kind.region):
            sound = [s for s in seams if halves_hold(kind.region, s, beside)]
            between_seams = slabs(kind.region, sound)
            for group in (
                [sound]
                if all(connected(x, beside) for x in between_seams)
                else [[s] for s in sound]
            ):
                if group:
                    kind.options.extend(self._joins(kind, group, near))
        if not kind.options:
            kind.options.extend(self._set_ins(kind, near))

    def _set_ins(self, kind: Kind, near: tuple[Through, ...]) -> list[Join]:
        """Ways to push parts into corners: one of each sort, with its opposite if there is one."""
        beside = self._beside(kind.world)
        found = corners(kind.region, near, beside)
        if not found:
            return []
        sorts: dict[int, tuple[Corner, ...]] = {}
        for corner in found:
            number, _ = self.kind(kind.world, corner.part, near)
            if number not in sorts:
                same = [c for c in found if self.kind(kind.world, c.part, near)[0] == number]
                other = opposite(corner, same, beside)
                sorts[number] = (corner,) if other is None else (corner, other)
        least = min(c[0].part.bit_count() for c in sorts.values())
        return [
            joined
            for group in sorts.values()
            if group[0].part.bit_count() <= least
            for joined in self._pushed(kind, group, near)
        ]

    def _pushed(self, kind: Kind, group: Sequence[Corner], near: tuple[Through, ...]) -> list[Join]:
        base = kind.region
        for corner in group:
            base &= ~corner.part
        if not connected(base, self._beside(kind.world)):
            return []
        parts = []
        for region in (base, *(corner.part for corner in group)):
            child, frame = self.kind(kind.world, region, near)
            parts.append(Child(child, kind.frame.after(frame.inverse())))
        outward = Line.at_angle((0.0, 0.0), group[0].outward_deg + 90.0)
        reach = [outward.side(p) for p in kind.frame.inverse().polygon(kind.hull)]
        if max(reach) - min(reach) > self.shop.limits.clamp_reach_mm:
            return []
        first, second = (
            kind.frame.undirected_deg(line.undirected_deg)
            for line in (group[0].first, group[0].second)
        )
        seams = between(first, second, kind.frame.undirected_deg(group[0].outward_deg))
        return [
            Join(
                parts=tuple(parts),
                seams_deg=seams[0],
                across_mm=max(reach) - min(reach),
                angled=True,
                corner_deg=seams[1],
            )
        ]

    def _beside(self, world: World) -> dict[int, int]:
        if id(world) not in self.beside:
            self.beside[id(world)] = touching_cells([cell.polygon for cell in world.cells])
        return self.beside[id(world)]

    def _rows(self, kind: Kind, cells: Sequence[Cell]) -> list[FilledRow]:
        """Ways to fill the corners of several such parts set in a row."""
        found: list[FilledRow] = []
        for row in filled_corners(cells, kind.hull, self.shop.saws.table_kerf_mm):
            keep = kind.region
            for i, cell in zip(members(kind.region), cells, strict=True):
                if cell in row.corners:
                    keep &= ~(1 << i)
            core, frame = self.kind(kind.world, keep, kind.world.lines)
            fillers = tuple(
                Child(number, at.inverse()) for number, at in map(self._single, row.fillers)
            )
            found.extend(
                FilledRow(
                    core=Child(core, kind.frame.after(frame.inverse())),
                    fillers=fillers,
                    count=count,
                    along_deg=row.along_deg,
                    pitch_mm=row.length_mm + self.shop.saws.table_kerf_mm,
                    length_mm=row.length_mm,
                    across_mm=row.across_mm,
                    seams_deg=row.seams_deg,
                )
                for count in row.counts(self.shop.limits)
            )
        return found

    def _cross_strips(self, kind: Kind, cells: Sequence[Cell]) -> Iterator[CrossStrips]:
        """Ways to saw such parts off a set of strips whose grain does not run along them."""
        for long in long_strips(cells, kind.hull, self.shop):
            strips = [(number, at.inverse()) for number, at in map(self._single, long.strips)]
            yield CrossStrips(
                parts=tuple(Child(number, at) for number, at in strips),
                count=long.count,
                along_deg=long.along_deg,
                angle_deg=long.angle_deg,
                pitch_mm=long.pitch_mm,
                length_mm=long.length_mm,
                end_mm=self.shop.allowances.square_end_mm,
                across_mm=long.across_mm,
                least_mm=long.least_mm,
                at=long.at,
            )

    def _single(self, cell: Cell) -> tuple[int, Motion]:
        """The kind of one piece that lies nowhere in the drawing, and the motion into its frame."""
        key, frame = canonical([cell], self.woods, cell.polygon)
        if key not in self.known:
            self.enter(key, World((cell,), ()), 1, frame, cell.polygon)
        return self.known[key], frame

    def _recalled(self, lesson: Lesson, kind: Kind) -> Iterator[Option]:
        """The options of a kind met in an earlier search, with the numbers of this one."""
        if lesson.line is self.line:
            yield from kind.options
            return
        for option in kind.options:
            kinds = {child: self._met(lesson, child) for child in children(option)}
            bars = {}
            if isinstance(option, Cut):
                bars[option.bar] = self.book.number(lesson.bars[option.bar])
            yield renumbered(option, kinds, bars)

    def _met(self, lesson: Lesson, number: int) -> int:
        """The number here of a kind met in an earlier search."""
        key = lesson.keys[number]
        if key not in self.known:
            self.known[key] = len(self.kinds)
            self.keys.append(key)
            self.kinds.append(bare(lesson.kinds[number]))
            self.todo.append((self.known[key], ()))
        return self.known[key]

    def _joins(
        self,
        kind: Kind,
        seams: Sequence[Through],
        lines: tuple[Through, ...],
        any_run: bool = False,
    ) -> list[Join]:
        between_seams = slabs(kind.region, seams)
        known = [self.kind(kind.world, slab, lines)[0] for slab in between_seams]
        plain = [not slab & (slab - 1) for slab in between_seams]
        line = seams[0].line
        hull = kind.frame.inverse().polygon(kind.hull)
        reach = [line.side(p) for p in hull]
        across = max(reach) - min(reach)
        ends = [line.ux * x + line.uy * y for x, y in hull]
        at = [seam.line.offset - line.offset for seam in seams]
        angled = not squeezes(hull, line)
        if across > self.shop.limits.clamp_reach_mm:
            return []
        joins = []
        crossing = [square_across(slab, line, lines) for slab in between_seams]
        most = self.shop.limits.seams_per_glue_up
        for groups in groupings(known, plain, crossing, most, any_run=any_run):
            parts = []
            for first, last in groups:
                region = 0
                for slab in between_seams[first:last]:
                    region |= slab
                child, frame = self.kind(kind.world, region, lines)
                parts.append(Child(child, kind.frame.after(frame.inverse())))
            joins.append(
                Join(
                    parts=tuple(parts),
                    seams_deg=kind.frame.undirected_deg(line.undirected_deg),
                    across_mm=across,
                    angled=angled,
                    along_mm=max(ends) - min(ends),
                    least_mm=min(
                        at[groups[0][1] - 1] - min(reach), max(reach) - at[groups[-1][0] - 1]
                    ),
                )
            )
        return joins

    def _trims(self, kind: Kind, cells: Sequence[Cell], near: Sequence[Through]) -> list[TrimDown]:
        inside = {t.direction: t.line for t in near if t.carried & kind.region}
        seams = [kind.frame.undirected_deg(line.undirected_deg) for line in inside.values()]
        found = []
        for built in over_builds(cells, kind.hull, seams):
            over, frame = self._whole(built)
            if self.kinds[over] is kind:
                continue
            trim = TrimDown(over=over, at=frame.inverse(), cuts=built.cuts)
            found.append(trim)
            found.extend(otherwise_held(trim, self.kinds[over].narrowest_mm, self.shop))
        return found

    def _blanks(self, kind: Kind, cell: Cell) -> Iterator[TrimDown]:
        """Ways to cut one small piece from a longer or wider blank."""
        for built, hold in blanks(cell, kind.hull, self.shop):
            over, frame = self._whole(built)
            yield TrimDown(over=over, at=frame.inverse(), cuts=built.cuts, hold=hold)

    def _whole(self, built: OverBuilt) -> tuple[int, Motion]:
        """The kind of a whole larger tiling; its lines are only needed where it is new."""
        key, frame = canonical(built.cells, self.woods, built.hull)
        if key not in self.known:
            single = len(built.cells) == 1
            lines = () if single else supporting_lines([c.polygon for c in built.cells])
            world = World(built.cells, lines)
            self.enter(key, world, (1 << len(built.cells)) - 1, frame, built.hull)
        return self.known[key], frame

    @staticmethod
    def _moved_cells(kind: Kind) -> list[Cell]:
        frame, cells = kind.frame, [kind.world.cells[i] for i in members(kind.region)]
        grains = {deg: frame.undirected_deg(deg) for deg in {cell.grain_deg for cell in cells}}
        return [Cell(frame.polygon(c.polygon), c.wood, grains[c.grain_deg], c.patch) for c in cells]
