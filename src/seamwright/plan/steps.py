"""The steps a plan is made of: small, frozen, printable.

Every step takes parts of known kinds and makes parts of one new kind (only slices of one kind may
come off bars of several lengths, in several steps before the first is used). A kind has an id
("S1", "L2", "P3", "U4"); all parts of a kind are equal. A kind has its own frame: millimetres, x
to the right, y up, seen from the show face. Depth runs from the show face to the back.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from typing import ClassVar

from seamwright.geometry import IDENTITY, Motion


class Machine(Enum):
    """What is set before a cut is made."""

    PLANER = "planer"
    RIP_FENCE = "rip fence"
    SLED = "crosscut sled"
    RESAW_FENCE = "resaw fence"
    CARRIER = "carrier"
    SHOOTING_BOARD = "shooting board"
    SANDER = "drum sander"


class Hold(Enum):
    """How a part is held while an edge or corner comes off."""

    SLED = "sled"
    """Held down on the sled; the shop's ``part_min`` counts."""
    LONG_END = "long end"
    """Still part of a longer blank that is held; the last cut frees it."""
    CARRIER = "carrier"
    """Under toggle clamps in a carrier that passes the blade with it."""
    HAND = "by hand"
    """Sawn over-size by hand or at the band saw, then shot to the line with a plane."""

    @property
    def machine(self) -> Machine:
        """What is set for its cuts."""
        return _HOLDS.get(self, Machine.SLED)


_HOLDS = {Hold.CARRIER: Machine.CARRIER, Hold.HAND: Machine.SHOOTING_BOARD}


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """One setting of one machine; equal settings in a row are made once.

    Attributes:
        machine: what is set.
        size_mm: fence or stop distance, thickness at the planer [mm].
        angle_deg: angle between blade and reference edge [°]; 90 is square.
        match: id of the kind whose real size this setting must match; "" where the drawing rules.
    """

    machine: Machine
    size_mm: float
    angle_deg: float = 90.0
    match: str = ""

    @property
    def key(self) -> tuple[str, int, int]:
        """Equal keys mean the same setting (to 1 µm and 0.001°)."""
        return (self.machine.value, round(self.size_mm * 1000), round(self.angle_deg * 1000))


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """One pass of the saw across a bar that lies along x with its reference edge on y = 0.

    The kerf is a band; its left face passes through (at_mm, 0) in direction angle_deg.

    Attributes:
        at_mm: where the left face meets the reference edge [mm].
        angle_deg: direction of the cut [°], strictly between 0 and 180; 90 is square.
    """

    at_mm: float
    angle_deg: float = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeCut:
    """A cut that takes something off a part: what lies left of the line stays.

    The kerf is a band to the right of the line through (x_mm, y_mm) in direction angle_deg.
    """

    x_mm: float
    y_mm: float
    angle_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A part set in its place before gluing: which kind, moved how."""

    part: str
    at: Motion = IDENTITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """So many of a kind."""

    kind: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """Parts of several kinds worked in one go: the sticks of a long stick, what lies in the clamps.

    Attributes:
        holds: the kinds and how many of each, in the order they lie.
        times: how many such lots there are.
    """

    holds: tuple[Held, ...]
    times: int

    @property
    def parts(self) -> int:
        """Parts in one lot."""
        return sum(held.count for held in self.holds)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mill:
    """Mill sticks: grain along x, lower left corner at the origin.

    Sticks of one wood and section may be milled as one long stick and parted to marks at the saw,
    a kerf between two of them: those of one kind (``together``), or of several (``long`` in the
    step where the long sticks are milled, ``parted`` in the steps of the other kinds in them).

    Attributes:
        makes: id of the stick kind.
        count: sticks made.
        wood: letter of the wood.
        length_mm, width_mm, depth_mm: finished size [mm]; x, y and depth.
        together: sticks of this kind that are milled as one where none is shared with another
            kind; 1 where each is milled by itself. The last long stick may hold fewer.
        long: the long sticks milled in this step, where kinds share them.
        parted: sticks of this kind that come off long sticks milled in other steps.
    """

    verb: ClassVar[str] = "mill"
    makes: str
    count: int
    wood: str
    length_mm: float
    width_mm: float
    depth_mm: float
    together: int = 1
    long: tuple[Lot, ...] = ()
    parted: int = 0

    @property
    def is_shared(self) -> bool:
        """Whether kinds share its long sticks."""
        return bool(self.long or self.parted)

    @property
    def long_sticks(self) -> tuple[tuple[int, int], ...]:
        """What is milled: (sticks in a long one, how many of those), the fullest first.

        >>> Mill(makes="S1", count=7, wood="A", length_mm=300.0, width_mm=20.0, depth_mm=20.0,
        ...      together=3).long_sticks
        ((3, 2), (1, 1))
        """
        if self.is_shared:
            return tuple((lot.parts, lot.times) for lot in self.long)
        full, left = divmod(self.count, max(1, self.together))
        rows = ((max(1, self.together), full), (left, 1 if left else 0))
        return tuple((each, times) for each, times in rows if times)

    def alone(self) -> Mill:
        """The same sticks, each milled by itself."""
        return replace(self, together=1, long=(), parted=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slice:
    """Cut bars (sticks or strip sets) across into equal pieces.

    With a rough first end (``squared`` false) there are ``per_bar + 1`` cuts: the first squares
    the end, each further one frees a piece, and piece i lies between the right face of cut i and
    the left face of cut i + 1. With ``squared`` true the bar's end at x = 0 is already a clean
    face at the angle of the cuts, there are ``per_bar`` cuts, and the first piece begins there.

    The made kind's frame is the bar's, moved along x so that the first piece's left face meets
    y = 0 at x = 0. With ``head_to_tail`` the cuts alternate between two angles and every second
    piece is the first one turned by 180°.

    Attributes:
        takes, bars: kind and number of bars cut up.
        makes, count: kind and number of pieces made, ``bars * per_bar``.
        per_bar: pieces from each bar.
        cuts: the cuts along one bar, left to right.
        head_to_tail: whether pieces lie head to tail.
        set_up: stop and angle of the first cut.
        second_set_up: stop and angle of every second cut, where turning the bar over between cuts
            does not do it.
        squared: whether the bar's first end is already true.
        rest: id of the kind that is what remains of each bar, to be sliced further, in the bar's
            frame moved along x so that the right face of the last cut meets y = 0 at x = 0;
            "" where what remains is an offcut.
        apart: whether the bars are glued of parts: rows of finished parts with saw gaps between
            them, or sets of strips whose grain does not run along them. Every piece is held like
            one that is trimmed, and no tail is kept.
    """

    verb: ClassVar[str] = "slice"
    takes: str
    bars: int
    makes: str
    count: int
    per_bar: int
    cuts: tuple[SawCut, ...]
    head_to_tail: bool
    set_up: SetUp
    second_set_up: SetUp | None = None
    squared: bool = False
    rest: str = ""
    apart: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """Saw off edges or corners of a part, one straight cut after another.

    The made kind keeps the frame of the taken kind. ``hold`` says how the part is held; by hand
    each cut is sawn outside its line by the shop's ``hand_over`` and planed to the line.

    Where several come from ``each`` taken part, a wide one is ripped: its one cut is made again a
    kerf and what stays further on, until what is left is the last of them. All are equal.
    """

    verb: ClassVar[str] = "trim"
    takes: str
    makes: str
    count: int
    cuts: tuple[EdgeCut, ...]
    set_ups: tuple[SetUp, ...]
    hold: Hold = Hold.SLED
    each: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Laminate:
    """Glue parts together along parallel straight seams, in one clamping each.

    With ``corner_deg`` parts are pushed into inside corners: each closes glue lines of two
    directions at once, pressed home by clamps along the bisector or by two clamps.

    Attributes:
        makes, count: kind and number made.
        parts: every part of one lamination in its place, in order across the seams.
        seams_deg: direction of the glue lines in the made kind's frame [°], in [0, 180).
        clampings: times the clamps are loaded in this step, for all ``count`` but those that lie
            ``beside`` (several may share a clamping).
        angled: whether the outer faces are not square to the clamps, so that clamping blocks
            sawn to the angle go between part and clamp.
        corner_deg: direction of the second glue lines [°], in [0, 180), where parts are pushed
            into inside corners; every part comes after those it is pushed against. The push runs
            between the two, anticlockwise from ``seams_deg``. None where all glue lines are
            parallel.
        closes: glue lines that one lamination closes; 0 where it is one fewer than its parts.
        caul_mm: depth of the cauls made for it, where the shop's own would need more clamps than
            it has [mm]; 0 where its own do.
        lots: the clampings loaded in this step in which glue-ups of other kinds lie beside its own.
        beside: how many of its own lie in clampings that are loaded in other steps.
    """

    verb: ClassVar[str] = "laminate"
    makes: str
    count: int
    parts: tuple[Placed, ...]
    seams_deg: float
    clampings: int
    angled: bool = False
    corner_deg: float | None = None
    closes: int = 0
    caul_mm: float = 0.0
    lots: tuple[Lot, ...] = ()
    beside: int = 0

    @property
    def is_shared(self) -> bool:
        """Whether other kinds lie beside it in the clamps."""
        return bool(self.lots or self.beside)

    def alone(self) -> Laminate:
        """The same glue-ups, no other kind in the clamps beside them."""
        if not self.is_shared:
            return self
        return replace(self, clampings=max(1, self.clampings), lots=(), beside=0)

    @property
    def press_deg(self) -> float:
        """Direction in which the clamps press, without its arrow [°] in [0, 180)."""
        if self.corner_deg is None:
            return (self.seams_deg + 90.0) % 180.0
        return (self.seams_deg + (self.corner_deg - self.seams_deg) % 180.0 / 2.0) % 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Resaw:
    """Saw deep billets into equal leaves, face to face.

    A billet of depth D gives ``leaves`` leaves of (D − (leaves − 1)·kerf) / leaves.

    Attributes:
        takes, billets: kind and number of billets.
        makes, count: kind and number of leaves, ``billets * leaves``.
        leaves: leaves from one billet, 2 or more.
        set_up: resaw fence.
    """

    verb: ClassVar[str] = "resaw"
    takes: str
    billets: int
    makes: str
    count: int
    leaves: int
    set_up: SetUp


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Plane both faces down to a depth, or sand them where they are too thin for the planer.

    Attributes:
        takes, makes, count: kind in, kind out, number.
        depth_mm: depth afterwards [mm].
        set_up: setting of the planer, or of the drum sander.
    """

    verb: ClassVar[str] = "surface"
    takes: str
    makes: str
    count: int
    depth_mm: float
    set_up: SetUp


Step = Mill | Slice | Trim | Laminate | Resaw | Surface


def inputs(step: Step) -> dict[str, int]:
    """Kinds a step uses up and how many of each for its whole count."""
    if isinstance(step, Mill):
        return {}
    if isinstance(step, Slice):
        return {step.takes: step.bars}
    if isinstance(step, Resaw):
        return {step.takes: step.billets}
    if isinstance(step, Laminate):
        used: dict[str, int] = {}
        for placed in step.parts:
            used[placed.part] = used.get(placed.part, 0) + step.count
        return used
    return {step.takes: step.count // step.each if isinstance(step, Trim) else step.count}


def outputs(step: Step) -> dict[str, int]:
    """Kinds a step makes and how many of each; the rest of sliced bars included."""
    made = {step.makes: step.count}
    if isinstance(step, Slice) and step.rest:
        made[step.rest] = step.bars
    return made


def set_ups(step: Step) -> tuple[SetUp, ...]:
    """Machine settings a step needs, in order."""
    if isinstance(step, Mill):
        return (
            SetUp(machine=Machine.PLANER, size_mm=step.depth_mm),
            SetUp(machine=Machine.RIP_FENCE, size_mm=step.width_mm),
        )
    if isinstance(step, Trim):
        return step.set_ups
    if isinstance(step, Laminate):
        return ()
    if isinstance(step, Slice) and step.second_set_up is not None:
        return (step.set_up, step.second_set_up)
    return (step.set_up,)
