"""From chosen options to a plan: steps, sizes, places, names, in an order that can be worked.

All sticks are milled first, then strip sets are glued and planed, then everything that is sliced is
sliced (so that each stop is set once), then parts are trimmed, glued, resawn and planed from the
smallest to the board.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from seamwright.geometry import IDENTITY, Line, Motion, Polygon, area, bounds
from seamwright.plan import (
    EdgeCut,
    Laminate,
    Machine,
    Placed,
    Plan,
    Resaw,
    SawCut,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
)
from seamwright.planner.bar_writing import Bars, Item
from seamwright.planner.choosing import Chosen
from seamwright.planner.clamps import caul_of
from seamwright.planner.options import CrossStrips, FilledRow, Join, Space, TrimDown
from seamwright.planner.problem import Mode, Resawn
from seamwright.planner.settings import between, milling_order, row_glue_lines, trim_set_ups
from seamwright.planner.shared_clampings import GluedSize
from seamwright.planner.tidying import tidied

_SQUARE_MM2 = 1e-3


def write_plan(
    space: Space, chosen: Chosen, shop: Shop, *, title: str, outline: Polygon, edge_mm: float
) -> Plan:
    """The plan behind a choice.

    Args:
        space: the options.
        chosen: the modes chosen among them.
        shop: allowances, kerfs, limits.
        title: of the drawing.
        outline: finished outline in the drawing's frame [mm].
        edge_mm: wood to be trimmed off around it [mm].
    """
    return write(space, chosen, shop, title=title, outline=outline, edge_mm=edge_mm).plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A plan, and sizes of what is glued up in it.

    Attributes:
        plan: the plan.
        square: kinds that are glued up square, plain clamps across them, with their sizes.
    """

    plan: Plan
    square: Mapping[str, GluedSize]


def write(
    space: Space, chosen: Chosen, shop: Shop, *, title: str, outline: Polygon, edge_mm: float
) -> Written:
    """The plan behind a choice, with what is known of its glue-ups; as ``write_plan``."""
    writer = _Writer(space, chosen, shop)
    writer.bars()
    writer.nodes()
    board = writer.finish(outline if edge_mm > 0.0 else ())
    home = space.kinds[0].frame.inverse().after(writer.items[0].lies)
    plan = Plan(
        title=title,
        steps=tuple(tidied(step) for step in writer.ordered()),
        board=board,
        copies=chosen.problem.copies,
        shop=shop,
        board_at=tidied(home),
    )
    return Written(plan=plan, square=writer.square)


def part_names(space: Space, chosen: Chosen, shop: Shop) -> dict[int, str]:
    """For each node that is made, the id of the part in the plan that ``write_plan`` writes."""
    writer = _Writer(space, chosen, shop)
    writer.bars()
    writer.nodes()
    return {number: item.name for number, item in writer.items.items()}


class _Writer(Bars):
    """Parts and the board, after the bars they are made from."""

    def __init__(self, space: Space, chosen: Chosen, shop: Shop) -> None:
        super().__init__(space, chosen, shop)
        nodes = chosen.problem.nodes
        self.square: dict[str, GluedSize] = {}
        self._numbers = {(nodes[n].kind, nodes[n].deep): n for n in chosen.choice.modes}

    def node(self, kind: int, deep: bool) -> int:
        """The node of a kind that is made."""
        return self._numbers[kind, deep]

    def nodes(self) -> None:
        """Trim, glue, resaw: children before parents."""
        for number in sorted(self.chosen.choice.modes, reverse=True):
            mode = self.mode(number)
            if isinstance(mode.way, TrimDown):
                self._trim(number, mode, mode.way)
            elif isinstance(mode.way, Join):
                self._join(number, mode, mode.way)
            elif isinstance(mode.way, FilledRow):
                self._row(number, mode.way)
            elif isinstance(mode.way, CrossStrips):
                self._cross(number, mode, mode.way)
            elif isinstance(mode.way, Resawn):
                self._resaw(number, mode)

    def _trim(self, number: int, mode: Mode, trim: TrimDown) -> None:
        child = self.items[mode.children[0][0]]
        lies = trim.at.after(child.lies)
        back = lies.inverse()
        hull = self.space.kinds[self.chosen.problem.nodes[number].kind].hull
        over = trim.at.polygon(self.space.kinds[trim.over].hull)
        ups = {up.key: up for up in trim_set_ups(trim.cuts, hull, over, trim.hold)}
        name = self.name("T")
        self.items[number] = Item(name, lies)
        self.later.append(
            Trim(
                takes=child.name,
                makes=name,
                count=self.chosen.choice.uses[number],
                cuts=tuple(_edge_cut(line, back) for line in trim.cuts),
                set_ups=tuple(ups.values()),
                hold=trim.hold,
            )
        )

    def _join(self, number: int, mode: Mode, join: Join) -> None:
        node = self.chosen.problem.nodes[number]
        # the board is glued in the frame it is drawn in
        lies = self.space.kinds[0].frame if node.kind == 0 else IDENTITY
        back = lies.inverse()
        parts = []
        for part in join.parts:
            child = self.items[self.node(part.kind, node.deep)]
            parts.append(Placed(part=child.name, at=back.after(part.at.after(child.lies))))
        seams = _seams(join.seams_deg, join.corner_deg, back)
        uses = self.chosen.choice.uses[number]
        name = self.name("B" if node.deep else "U")
        hull = self.space.kinds[node.kind].hull
        is_square = area(hull) >= join.across_mm * join.along_mm - _SQUARE_MM2
        if is_square and not join.angled and join.corner_deg is None:
            self.square[name] = GluedSize(
                along_mm=join.along_mm,
                across_mm=join.across_mm,
                depth_mm=self.chosen.depths.of(node.deep),
            )
        self.items[number] = Item(name, lies)
        self.later.append(
            Laminate(
                makes=name,
                count=uses,
                parts=tuple(parts),
                seams_deg=seams[0],
                clampings=-(-uses // mode.batch),
                angled=join.angled,
                corner_deg=None if join.corner_deg is None else seams[1],
                closes=0 if join.corner_deg is None else 2 * (len(parts) - 1),
                caul_mm=self._deeper_cauls(join),
            )
        )

    def _deeper_cauls(self, join: Join) -> float:
        """Depth of cauls made for a glue-up, a hair over what is needed; 0 where the shop's do."""
        caul = caul_of(join, self.shop.clamps)
        if caul is None or caul <= self.shop.clamps.caul_mm:
            return 0.0
        return math.ceil(caul * 10.0) / 10.0

    def _row(self, number: int, row: FilledRow) -> None:
        """Glue a row of blocks and fillers along x, its lower edge on y = 0, and saw it apart."""
        node = self.chosen.problem.nodes[number]
        kind = self.space.kinds[node.kind]
        laid = Motion(turn_deg=-row.along_deg)
        left, bottom, _, _ = bounds(laid.polygon(kind.hull))
        core = self.items[self.node(row.core.kind, node.deep)]
        fillers = [(self.items[self.node(f.kind, node.deep)], f.at) for f in row.fillers]
        over = max(
            laid.point(at.point(p))[0] - left - row.length_mm
            for f, (_, at) in zip(row.fillers, fillers, strict=True)
            for p in self.space.kinds[f.kind].hull
        )
        laid = Motion(x_mm=over - left, y_mm=-bottom).after(laid)
        parts = []
        for i in range(row.count):
            there = Motion(x_mm=i * row.pitch_mm).after(laid)
            parts.append(Placed(part=core.name, at=there.after(row.core.at.after(core.lies))))
        for i in range(-1, row.count):
            there = Motion(x_mm=i * row.pitch_mm).after(laid)
            for item, at in fillers:
                parts.append(Placed(part=item.name, at=there.after(at.after(item.lies))))
        uses = self.chosen.choice.uses[number]
        glued, made = self.name("W"), self.name("U")
        seams = _seams(*row.seams_deg, laid)
        self.later.append(
            Laminate(
                makes=glued,
                count=uses,
                parts=tuple(parts),
                seams_deg=seams[0],
                clampings=uses,
                angled=True,
                corner_deg=seams[1],
                closes=row_glue_lines(row),
            )
        )
        kerf = row.pitch_mm - row.length_mm
        cuts = tuple(SawCut(at_mm=over - kerf + i * row.pitch_mm) for i in range(row.count + 1))
        self.items[number] = Item(made, laid.inverse().after(Motion(x_mm=over)))
        self._saw_apart(glued, made, uses, cuts, SetUp(machine=Machine.SLED, size_mm=row.length_mm))

    def _saw_apart(
        self, takes: str, makes: str, bars: int, cuts: tuple[SawCut, ...], set_up: SetUp
    ) -> None:
        """Saw what was glued of parts: the first cut squares the end, each other frees one."""
        self.later.append(
            Slice(
                takes=takes,
                bars=bars,
                makes=makes,
                count=bars * (len(cuts) - 1),
                per_bar=len(cuts) - 1,
                cuts=cuts,
                head_to_tail=False,
                set_up=set_up,
                apart=True,
            )
        )

    def _cross(self, number: int, mode: Mode, cross: CrossStrips) -> None:
        """Glue strips along x, their lower edge on y = 0, and saw the set apart."""
        node = self.chosen.problem.nodes[number]
        laid = cross.at.after(Motion(x_mm=-cross.end_mm)).inverse()
        parts = []
        for part in cross.parts:
            child = self.items[self.node(part.kind, node.deep)]
            parts.append(Placed(part=child.name, at=laid.after(part.at.after(child.lies))))
        uses = self.chosen.choice.uses[number]
        glued, made = self.name("W"), self.name("P")
        self.later.append(
            Laminate(
                makes=glued,
                count=uses,
                parts=tuple(parts),
                seams_deg=0.0,
                clampings=-(-uses // mode.batch),
                caul_mm=self._deeper_cauls(cross.glued),
            )
        )
        first = cross.end_mm - (cross.pitch_mm - cross.length_mm)
        cuts = tuple(
            SawCut(at_mm=first + i * cross.pitch_mm, angle_deg=cross.angle_deg)
            for i in range(cross.count + 1)
        )
        self.items[number] = Item(made, cross.at)
        self._saw_apart(glued, made, uses, cuts, cross.set_up)

    def _resaw(self, number: int, mode: Mode) -> None:
        billet = self.items[mode.children[0][0]]
        uses = self.chosen.choice.uses[number]
        leaf = self.chosen.depths.leaf_mm
        sawn = self.name("R")
        self.later.append(
            Resaw(
                takes=billet.name,
                billets=uses,
                makes=sawn,
                count=uses * mode.yields,
                leaves=mode.yields,
                set_up=SetUp(machine=Machine.RESAW_FENCE, size_mm=leaf),
            )
        )
        self.items[number] = Item(sawn, billet.lies)
        if number:
            planed = self.name("U")
            self._plane(sawn, planed, uses * mode.yields, self.chosen.depths.flat_mm)
            self.items[number] = Item(planed, billet.lies)

    def _plane(self, takes: str, makes: str, count: int, depth_mm: float) -> None:
        self.later.append(
            Surface(
                takes=takes,
                makes=makes,
                count=count,
                depth_mm=depth_mm,
                set_up=SetUp(machine=self._thicknesser(depth_mm), size_mm=depth_mm),
            )
        )

    def _thicknesser(self, depth_mm: float) -> Machine:
        """The drum sander where the planer does not go so thin."""
        thin = depth_mm < self.shop.limits.stick_min_depth_mm - 1e-9
        return Machine.SANDER if thin else Machine.PLANER

    def finish(self, outline: Polygon) -> str:
        """Plane the board to thickness and trim it to its outline; its id."""
        copies = self.chosen.problem.copies
        board = self.items[0]
        planed = "F1" if outline else "Board"
        self._plane(board.name, planed, copies, self.chosen.depths.board_mm)
        if not outline:
            return planed
        home = board.lies.inverse().after(self.space.kinds[0].frame)
        edges = [
            Line.through(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)
        ]
        ups = {up.key: up for up in trim_set_ups(edges, outline, outline)}
        self.later.append(
            Trim(
                takes=planed,
                makes="Board",
                count=copies,
                cuts=tuple(_edge_cut(line, home) for line in edges),
                set_ups=tuple(ups.values()),
            )
        )
        return "Board"

    # -- order ---------------------------------------------------------------------------------

    def ordered(self) -> list[Step]:
        """All steps in working order."""
        mills = sorted(self.mills, key=milling_order)
        slices = sorted(self.slices, key=_slice_order)
        planed = sorted(self.planed, key=lambda s: -s.depth_mm)
        return [*mills, *self.strip_sets, *planed, *slices, *self.later]


def _seams(first_deg: float, second_deg: float | None, motion: Motion) -> tuple[float, float]:
    """Directions of glue lines in another frame; the press stays between them."""
    moved = motion.undirected_deg(first_deg)
    if second_deg is None:
        return moved, moved
    press = motion.undirected_deg(first_deg + (second_deg - first_deg) % 180.0 / 2.0)
    return between(moved, motion.undirected_deg(second_deg), press)


def _slice_order(step: Slice) -> tuple[object, ...]:
    return (abs(step.set_up.angle_deg - 90.0) > 1e-6, step.set_up.key)


def _edge_cut(line: Line, motion: Motion) -> EdgeCut:
    """The cut in another frame; a part that was turned over keeps its own side."""
    point = (-line.uy * line.offset, line.ux * line.offset)
    ahead = (point[0] + line.ux, point[1] + line.uy)
    a, b = motion.point(point), motion.point(ahead)
    moved = Line.through(b, a) if motion.over else Line.through(a, b)
    return EdgeCut(x_mm=a[0], y_mm=a[1], angle_deg=moved.angle_deg)
