"""The nodes and edges of the AND/OR graph: parts that may be made, and ways to make each.

A kind (OR node) is a convex sub-assembly up to rigid motion. An option (AND edge) is one way of
making it from other kinds or from bars. Depth is no part of a kind: anything may be made flat or
as a deep billet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from seamwright.geometry import Line, Motion, Polygon
from seamwright.plan import Hold, Machine, SetUp
from seamwright.planner.cells import Cell, narrowest_mm, standing_mm
from seamwright.seams import Through


@dataclass(frozen=True, slots=True)
class World:
    """A tiling in one frame, with its supporting lines."""

    cells: tuple[Cell, ...]
    lines: tuple[Through, ...]


@dataclass(frozen=True, slots=True)
class Child:
    """A kind set in its place: the motion carries its canonical frame into the parent's."""

    kind: int
    at: Motion


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """Glue kinds side by side along parallel seams.

    Attributes:
        parts: in order across the seams.
        seams_deg: direction of the seams in the made kind's frame [°].
        across_mm: size across the seams [mm]: what the clamps must reach.
        angled: whether plain clamps would not close the seams, so that angled blocks are needed.
        corner_deg: direction of the second seams [°] where the parts after the first are pushed
            into inside corners of it, between the two, anticlockwise from ``seams_deg``; None
            where all seams are parallel.
        along_mm: size along the seams [mm].
        least_mm: wood between an outer face and the seam nearest to it [mm].
    """

    parts: tuple[Child, ...]
    seams_deg: float
    across_mm: float
    angled: bool
    corner_deg: float | None = None
    along_mm: float = 0.0
    least_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledRow:
    """Set trimmed parts in a row, fill the corners between neighbours, and saw the row apart.

    One double-ended filler serves two neighbours; the saw gap lies in the middle of it.

    Attributes:
        core: the part without its corners, in its place in the made kind's frame.
        fillers: fillers of one gap, to the right of a part (along ``along_deg``).
        count: parts in one row.
        along_deg: direction of the row in the made kind's frame [°].
        pitch_mm: from one part to the next: its length and the gap [mm].
        length_mm: length of a part along the row [mm].
        across_mm: size across the row [mm].
        seams_deg: the two directions of the glue lines in the made kind's frame [°]; the fillers
            are pressed between them, anticlockwise from the first.
    """

    core: Child
    fillers: tuple[Child, ...]
    count: int
    along_deg: float
    pitch_mm: float
    length_mm: float
    across_mm: float
    seams_deg: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossStrips:
    """Glue strips side by side whose grain does not run along them, and saw the set apart.

    Attributes:
        parts: the strips in order across the seams; the first slice is the made kind, in its frame.
        count: slices from one set.
        along_deg: direction of the seams in the made kind's frame [°].
        angle_deg: angle of the cuts to the seams [°].
        pitch_mm: from one slice to the next, along the seams: its length and the kerf [mm].
        length_mm: length of a slice along the seams [mm].
        end_mm: cut off both ends of the set [mm].
        across_mm: size across the seams [mm]: what the clamps must reach.
        least_mm: wood between an outer face and the seam nearest to it [mm].
        at: motion from the sliced piece's frame into the kind's frame.
    """

    parts: tuple[Child, ...]
    count: int
    along_deg: float
    angle_deg: float
    pitch_mm: float
    length_mm: float
    end_mm: float
    across_mm: float
    least_mm: float
    at: Motion

    @property
    def set_up(self) -> SetUp:
        """Stop and angle of its cuts."""
        return SetUp(machine=Machine.SLED, size_mm=self.length_mm, angle_deg=self.angle_deg)

    @property
    def glued(self) -> Join:
        """How the set is glued before it is sawn apart."""
        return Join(
            parts=self.parts,
            seams_deg=self.along_deg % 180.0,
            across_mm=self.across_mm,
            angled=False,
            along_mm=2.0 * self.end_mm + self.count * self.pitch_mm,
            least_mm=self.least_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Slice from a bar.

    Attributes:
        bar: number of the bar in ``Space.bars``.
        length_mm: along the bar, from face to face at its lower edge [mm].
        pitch_mm: wood used along the bar for one piece, its cut included [mm].
        angles_deg: angle of the left and the right face [°].
        head_to_tail: whether every second piece lies turned by 180°.
        top_mm: length along the bar's upper edge [mm].
        at: motion from the sliced piece's frame into the kind's frame.
    """

    bar: int
    length_mm: float
    pitch_mm: float
    angles_deg: tuple[float, float]
    head_to_tail: bool
    top_mm: float
    at: Motion


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimDown:
    """Make a simpler, larger part whose seams run on, then saw edges off.

    Attributes:
        over: the larger kind.
        at: motion from its frame into the made kind's frame.
        cuts: lines in the made kind's frame; what lies left stays.
        hold: how the part is held.
    """

    over: int
    at: Motion
    cuts: tuple[Line, ...]
    hold: Hold = Hold.SLED


Option = Join | FilledRow | CrossStrips | Cut | TrimDown


@dataclass(frozen=True, slots=True)
class Strip:
    """One layer of a bar: a stick."""

    wood: str
    width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """Sticks side by side, grain along the bar, from which slices are taken.

    Attributes:
        strips: layers from the lower edge up; one layer is a plain stick.
        style: slices that can share one bar have one style: square across, one slant, or one
            pair of angles head to tail.
        height_mm: width of all layers together [mm].
        wedge_mm: length lost at the ends because the cuts lean [mm].
    """

    strips: tuple[Strip, ...]
    style: tuple[int, ...]
    height_mm: float
    wedge_mm: float


@dataclass(slots=True)
class Kind:
    """A sub-assembly that may have to be made.

    Attributes:
        world, region: where one of them lies: cells of a world, as a bit set.
        frame: motion from the world into the kind's canonical frame.
        hull: its outline in its own frame [mm].
        options: the ways to make it, found when the kind is expanded.
        narrowest_mm: its smallest width between parallels [mm].
        standing_mm: its height when it stands on its longest edge [mm].
        sorts: its pieces by wood and size, once they have been counted.
        needs: numbers of the kinds its options need, with how many of each one of them needs at
            the most, once they have been counted.
    """

    world: World
    region: int
    frame: Motion
    hull: Polygon
    options: list[Option] = field(default_factory=list)
    narrowest_mm: float = field(init=False)
    standing_mm: float = field(init=False)
    sorts: Mapping[tuple[str, int], int] | None = field(default=None, init=False, repr=False)
    needs: Mapping[int, int] | None = field(default=None, init=False, repr=False)

    def __post_init__(self) -> None:
        self.narrowest_mm = narrowest_mm(self.hull)
        self.standing_mm = standing_mm(self.hull)


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """All options for making one board.

    Attributes:
        kinds: kind 0 is the board, edge allowance included; some may belong to earlier drawings,
            and nothing leads to them.
        bars: everything that can be sliced.
        refusals: why something that was tried cannot be made in this shop, in words.
        line: in all spaces of one line a number means one kind (the board's apart) and one bar.
        keys: forms of the kinds, the same in every space.
    """

    kinds: tuple[Kind, ...]
    bars: tuple[Bar, ...]
    refusals: tuple[str, ...]
    line: object = None
    keys: tuple[object, ...] = ()
