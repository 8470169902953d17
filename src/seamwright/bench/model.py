"""What stands on the virtual bench, and what was found while working."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from seamwright.bench.tolerance import TOUCH_MM
from seamwright.errors import BenchError, Fault
from seamwright.geometry import Motion, Point, Polygon, area, convex_hull, drop_collinear
from seamwright.plan import Step


class Severity(Enum):
    """How much a finding weighs."""

    WRONG = "wrong"
    """Cannot be done as written, or gives another board."""
    UNSAFE = "unsafe"
    """Passes a limit of the shop: not to be done on these machines."""
    WARNING = "warning"
    """Can be done, but look at it first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is not as it should be.

    Attributes:
        step: number of the step, from 1; 0 where it belongs to the board as a whole.
        subject: the part kind or patch it is about.
        message: what is wrong, a sentence that follows the subject.
        severity: whether the plan still holds.
        code: stable code, B and three digits, or the code of the plan's own check.
    """

    step: int
    subject: str
    message: str
    severity: Severity
    code: str

    def __str__(self) -> str:
        where = f"step {self.step}, {self.subject}" if self.step else self.subject
        return f"{where} {self.message}"

    def as_dict(self) -> dict[str, str | int]:
        """The fields for JSON."""
        return {
            "step": self.step,
            "subject": self.subject,
            "message": self.message,
            "severity": self.severity.value,
            "code": self.code,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of wood within a part, all the way through its depth.

    Attributes:
        points: outline [mm], anticlockwise, in the frame of the part.
        wood: letter of the wood.
        grain_deg: direction of the grain [°] in [0, 180).
        stick: id of the stick kind it was sawn from.
    """

    points: Polygon
    wood: str
    grain_deg: float
    stick: str

    def cut_to(self, points: Polygon) -> Piece:
        """The same wood with another outline."""
        return Piece(points=points, wood=self.wood, grain_deg=self.grain_deg, stick=self.stick)


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """What one part of a kind is: pieces side by side, all equally deep.

    Attributes:
        kind: id of the kind.
        pieces: its pieces in the kind's frame.
        depth_mm: from the show face to the back [mm].
        hull: convex hull of the pieces [mm].
        area_mm2: area of the show face [mm²].
        planed: whether both faces are flat: false after gluing or resawing until planed again.
    """

    kind: str
    pieces: tuple[Piece, ...]
    depth_mm: float
    hull: Polygon
    area_mm2: float
    planed: bool

    @classmethod
    def of(
        cls,
        kind: str,
        pieces: tuple[Piece, ...],
        *,
        depth_mm: float,
        planed: bool,
        around: Iterable[Point] | None = None,
        area_mm2: float | None = None,
    ) -> Solid:
        """A solid with its hull and area.

        Args:
            kind, pieces, depth_mm, planed: as the attributes.
            around: points whose hull is the hull of the pieces, where known; saves time.
            area_mm2: area of the pieces, where known; saves time.
        """
        if len(pieces) == 1:
            hull = drop_collinear(pieces[0].points)
        else:
            hull = convex_hull(around or (p for piece in pieces for p in piece.points))
        return cls(
            kind=kind,
            pieces=pieces,
            depth_mm=depth_mm,
            hull=hull,
            area_mm2=sum(area(p.points) for p in pieces) if area_mm2 is None else area_mm2,
            planed=planed,
        )

    @property
    def volume_mm3(self) -> float:
        """Volume [mm³]."""
        return self.area_mm2 * self.depth_mm

    @property
    def is_convex(self) -> bool:
        """Whether the pieces fill their hull: no notch, no gap."""
        around = sum(
            abs(b[0] - a[0]) + abs(b[1] - a[1])
            for a, b in zip(self.hull, self.hull[1:] + self.hull[:1], strict=True)
        )
        return area(self.hull) - self.area_mm2 <= TOUCH_MM * around


@dataclass(frozen=True, slots=True, kw_only=True)
class GlueLine:
    """Where two parts of a lamination meet.

    Attributes:
        start, end: ends of the line [mm] in the frame of the made kind.
        first, second: indices of the two parts in the lamination.
    """

    start: Point
    end: Point
    first: int
    second: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """One step, carried out.

    Volumes are for the whole step, all its parts together. Dust and offcuts lie in the frame of
    the kind that was sawn: the bar of a slice, the part of a trim, both before sawing.

    Attributes:
        number: of the step, from 1.
        step: the step itself.
        went_in: kinds used up and how many.
        came_out: one of the parts made.
        count: parts made.
        rest: what remains of one sliced bar, where the step keeps it as a kind.
        places: for a slice, where each piece lay in its bar (motion from the made kind's frame);
            for a lamination, where each part lies in what is made; else empty.
        dust: what the blade turns to dust in one bar or part.
        offcuts: what falls off one bar or part.
        glue_lines: of one lamination.
        milled_mm3, kerf_mm3, offcut_mm3, planed_mm3: volumes [mm³].
    """

    number: int
    step: Step
    went_in: tuple[tuple[str, int], ...]
    came_out: Solid
    count: int
    rest: Solid | None = None
    places: tuple[Motion, ...] = ()
    dust: tuple[Piece, ...] = ()
    offcuts: tuple[Piece, ...] = ()
    glue_lines: tuple[GlueLine, ...] = ()
    milled_mm3: float = 0.0
    kerf_mm3: float = 0.0
    offcut_mm3: float = 0.0
    planed_mm3: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """How many parts of a kind were made and used up."""

    made: int
    used: int

    @property
    def left(self) -> int:
        """Parts still there at the end."""
        return self.made - self.used


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """Everything on the bench after the last step.

    Attributes:
        solids: (kind, what one part of it is) in the order made; a kind that could not be made is
            absent. ``dict(shelf.solids)`` for many look-ups.
        stock: (kind, how many were made and used) in the same order.
        steps: what each step did; a step that could not be done is absent.
        findings: what was wrong on the way, in working order.
    """

    solids: tuple[tuple[str, Solid], ...]
    stock: tuple[tuple[str, Stock], ...]
    steps: tuple[Carried, ...]
    findings: tuple[Finding, ...]

    def solid(self, kind: str) -> Solid:
        """What one part of a kind is.

        Raises:
            BenchError: no such part was made.
        """
        for name, solid in self.solids:
            if name == kind:
                return solid
        told = [str(f) for f in self.findings if f.severity is Severity.WRONG]
        raise BenchError(
            Fault("B001", kind, "was never made", told[0] if told else "no step makes it")
        )

    def counts(self, kind: str) -> Stock:
        """How many of a kind were made and used; none of an unknown kind."""
        return dict(self.stock).get(kind, Stock(made=0, used=0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where the milled wood went [mm³]."""

    milled_mm3: float
    boards_mm3: float
    spares_mm3: float
    kerf_mm3: float
    planed_mm3: float
    offcuts_mm3: float

    @property
    def error_mm3(self) -> float:
        """What cannot be accounted for [mm³]."""
        return self.milled_mm3 - (
            self.boards_mm3 + self.spares_mm3 + self.kerf_mm3 + self.planed_mm3 + self.offcuts_mm3
        )

    def as_dict(self) -> dict[str, float]:
        """The fields for JSON."""
        return {
            "milled_mm3": self.milled_mm3,
            "boards_mm3": self.boards_mm3,
            "spares_mm3": self.spares_mm3,
            "kerf_mm3": self.kerf_mm3,
            "planed_mm3": self.planed_mm3,
            "offcuts_mm3": self.offcuts_mm3,
            "error_mm3": self.error_mm3,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What carrying out a plan on virtual wood showed.

    Attributes:
        holds: the plan makes the drawing, within the limits of its shop.
        area_error_mm2: symmetric difference between drawn patches and made pieces [mm²].
        board_area_mm2: area drawn [mm²].
        grain_errors, wood_errors: patches with grain or wood not as drawn.
        missing, doubled: names of patches that are not there, or there twice.
        split_patches: (patch, pieces) where a patch is glued up of several pieces.
        joined_patches: names of patches that share a piece with a neighbour of the same wood and
            grain: the seam drawn between them is not there.
        balance: where the milled wood went.
        findings: everything that was not as it should be, in working order.
    """

    holds: bool
    area_error_mm2: float
    board_area_mm2: float
    grain_errors: int
    wood_errors: int
    missing: tuple[str, ...]
    doubled: tuple[str, ...]
    split_patches: tuple[tuple[str, int], ...]
    joined_patches: tuple[str, ...]
    balance: Balance
    findings: tuple[Finding, ...]

    def as_dict(self) -> dict[str, object]:
        """The fields for JSON."""
        return {
            "holds": self.holds,
            "area_error_mm2": self.area_error_mm2,
            "board_area_mm2": self.board_area_mm2,
            "grain_errors": self.grain_errors,
            "wood_errors": self.wood_errors,
            "missing": list(self.missing),
            "doubled": list(self.doubled),
            "split_patches": [list(entry) for entry in self.split_patches],
            "joined_patches": list(self.joined_patches),
            "balance": self.balance.as_dict(),
            "findings": [finding.as_dict() for finding in self.findings],
        }
