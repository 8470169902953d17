"""Where errors come from: settings that all their parts share, and the scatter of each cut."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

import numpy as np
from scipy.sparse import csr_matrix

from seamwright.fit.joints import Floats
from seamwright.fit.operations import Trimming
from seamwright.fit.program import Program
from seamwright.fit.shapes import sides
from seamwright.fit.sizes import Size, Slots, What
from seamwright.geometry import sin_deg
from seamwright.plan import Accuracy, Laminate, Machine, Mill, Plan, SetUp, Slice, Trim, set_ups

_SQUARE_DEG = 1e-6
_SAME = 1e-3


class Sort(Enum):
    """What of a setting can be off."""

    SIZE = "size"
    ANGLE = "angle"
    HAND = "hand"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One thing that is set once and shared by every part made with it.

    Attributes:
        sort: what can be off.
        machine: what is set; None for parts lined up by hand in one glue-up.
        size_mm, angle_deg: the setting.
        steps: numbers of the steps it serves.
        match: kind whose real size it is taken from; "" where a rule or scale gives it.
    """

    sort: Sort
    machine: Machine | None
    size_mm: float
    angle_deg: float
    steps: tuple[int, ...]
    match: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """Independent errors and what each does.

    Attributes:
        matrix: from sources to the errors of a program (errors × sources).
        sd: standard deviation of each source [mm or °].
        setting_of: for each source the number of the setting it belongs to.
        shared: whether a source is the one error of a setting, not the scatter of a cut.
        settings: all settings.
    """

    matrix: csr_matrix
    sd: Floats
    setting_of: np.ndarray
    shared: np.ndarray
    settings: tuple[Setting, ...]


@dataclass(slots=True, kw_only=True)
class _Book:
    """Sources as they are met."""

    accuracy: Accuracy
    gauged: Mapping[tuple[int, float], str]
    settings: list[Setting] = field(default_factory=list)
    numbers: dict[tuple[object, ...], int] = field(default_factory=dict)
    bias: dict[int, int] = field(default_factory=dict)
    sd: list[float] = field(default_factory=list)
    setting_of: list[int] = field(default_factory=list)
    shared: list[bool] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)

    def source(self, setting: int, sd: float, *, shared: bool) -> int:
        self.sd.append(sd)
        self.setting_of.append(setting)
        self.shared.append(shared)
        return len(self.sd) - 1

    def setting(self, key: tuple[object, ...], setting: Setting, sd: float) -> tuple[int, int]:
        """Number of a setting and of the one error it has, a new one if it is new."""
        if key in self.numbers:
            number = self.numbers[key]
            known = self.settings[number]
            steps = tuple(dict.fromkeys((*known.steps, *setting.steps)))
            self.settings[number] = replace(known, steps=steps)
        else:
            number = self.numbers[key] = len(self.settings)
            self.settings.append(setting)
            self.bias[number] = self.source(number, sd, shared=True)
        return number, self.bias[number]

    def scatter(self, slots: Slots, setting: int, sd: float) -> None:
        for k in range(slots.count):
            source = self.source(setting, sd, shared=False)
            self.entries.append((slots.start + k, source, 1.0))


def sources(
    plan: Plan,
    program: Program,
    accuracy: Accuracy,
    *,
    gauged: Mapping[tuple[int, float], str] | None = None,
) -> Sources:
    """All errors of a plan in a shop.

    Args:
        plan: the plan.
        program: made of it.
        accuracy: of the shop.
        gauged: settings to be taken from a real part as well: (step, size) to the kind of stick.
    """
    book = _Book(accuracy=accuracy, gauged=gauged or {})
    copies: list[tuple[Slots, int]] = []
    for slots in program.slots:
        step = plan.steps[slots.step - 1]
        what = What(slots.size.what)
        if isinstance(step, Mill):
            _mill(book, slots, step)
        elif isinstance(step, Slice):
            if what is What.LENGTH:
                copies += _lengths(book, slots, step, program, plan.shop.saws.table_kerf_mm)
            else:
                _slice_angles(book, slots, step)
        elif isinstance(step, Trim):
            _trim(book, slots, step, program, what)
        elif isinstance(step, Laminate):
            _hand(book, slots)
    rows, columns, values = (np.array(column) for column in zip(*book.entries, strict=True))
    shape = (program.errors, len(book.sd))
    matrix = csr_matrix((values.astype(float), (rows, columns)), shape=shape)
    matrix = matrix + _followers(copies, shape[0]) @ matrix
    return Sources(
        matrix=matrix.tocsr(),
        sd=np.array(book.sd),
        setting_of=np.array(book.setting_of),
        shared=np.array(book.shared),
        settings=tuple(book.settings),
    )


def _followers(copies: list[tuple[Slots, int]], errors: int) -> csr_matrix:
    """Slices whose stop is set from a real stick are off by as much as that stick is."""
    rows = [slots.start + k for slots, _ in copies for k in range(slots.count)]
    columns = [leader for slots, leader in copies for _ in range(slots.count)]
    return csr_matrix((np.ones(len(rows)), (rows, columns)), shape=(errors, errors))


def _mill(book: _Book, slots: Slots, step: Mill) -> None:
    key = ("fence", round(step.width_mm * 1000))
    setting = Setting(
        sort=Sort.SIZE, machine=Machine.RIP_FENCE, size_mm=step.width_mm, angle_deg=90.0,
        steps=(slots.step,),
    )  # fmt: skip
    number, bias = book.setting(key, setting, book.accuracy.fence_mm)
    book.entries += [(slots.start + k, bias, 1.0) for k in range(slots.count)]
    book.scatter(slots, number, book.accuracy.strip_mm)


def _stop(book: _Book, step: int, up: SetUp, *, sliced: bool) -> tuple[int, int, str]:
    match = up.match or book.gauged.get((step, round(up.size_mm, 3)), "")
    key = ("stop", *up.key) if sliced else ("stop", step, *up.key)
    sd = book.accuracy.gauge_mm if match else book.accuracy.stop_mm
    setting = Setting(
        sort=Sort.SIZE, machine=up.machine, size_mm=up.size_mm, angle_deg=up.angle_deg,
        steps=(step,), match=match,
    )  # fmt: skip
    return (*book.setting(key, setting, sd), match)


def _lengths(
    book: _Book, slots: Slots, step: Slice, program: Program, kerf_mm: float
) -> list[tuple[Slots, int]]:
    number, bias, match = _stop(book, slots.step, step.set_up, sliced=True)
    along = per_stop(step, kerf_mm)
    if step.second_set_up is None:
        book.entries += [(slots.start + k, bias, along) for k in range(slots.count)]
    else:
        # the first setting frees pairs, the second parts them
        number, second, match = _stop(book, slots.step, step.second_set_up, sliced=True)
        for k in range(slots.count):
            odd = k % step.per_bar % 2
            book.entries.append((slots.start + k, second, -along if odd else along))
            if odd:
                book.entries.append((slots.start + k, bias, along))
    book.scatter(slots, number, book.accuracy.slice_mm)
    leader = program.slots_of(Size(match, What.WIDTH.value)) if match else ()
    return [(slots, leader[0].start)] if leader else []


def per_stop(step: Slice, kerf_mm: float) -> float:
    """Length along the bar for each millimetre at the stop, which may be set across the faces."""
    first = step.cuts[0]
    slope = sin_deg(first.angle_deg)
    closing = step.cuts[0 if step.squared else 1].at_mm
    along = closing if step.squared else closing - first.at_mm - kerf_mm / slope
    up = step.second_set_up or step.set_up
    across = abs(up.size_mm - along * slope) < abs(up.size_mm - along) - _SAME
    return 1.0 / slope if across and not step.head_to_tail else 1.0


def _slice_angles(book: _Book, slots: Slots, step: Slice) -> None:
    each = step.per_bar + 1
    angles = [cut.angle_deg for cut in step.cuts]
    if step.squared:
        angles = [angles[1] if step.head_to_tail and len(angles) > 1 else angles[0], *angles]
    for k in range(slots.count):
        number, bias, sign = _angle(book, slots.step, angles[k % each], set_ups(step), sliced=True)
        book.entries.append((slots.start + k, bias, sign))
        source = book.source(number, book.accuracy.lean_deg, shared=False)
        book.entries.append((slots.start + k, source, 1.0))


def _angle(
    book: _Book, step: int, angle_deg: float, ups: tuple[SetUp, ...], *, sliced: bool
) -> tuple[int, int, float]:
    """The setting behind an angle and its sign: a bar turned over leans the other way."""
    up = min(ups, key=lambda u: min(abs(u.angle_deg - angle_deg),
                                    abs(180.0 - u.angle_deg - angle_deg)))  # fmt: skip
    straight = abs(up.angle_deg - angle_deg) <= abs(180.0 - up.angle_deg - angle_deg)
    if abs(up.angle_deg - 90.0) <= _SQUARE_DEG:
        key: tuple[object, ...] = ("square", up.machine)
        sd = book.accuracy.square_deg
    else:
        key = ("slant", 0 if sliced else step, round(up.angle_deg * 1000))
        sd = book.accuracy.slant_deg
    setting = Setting(
        sort=Sort.ANGLE, machine=up.machine, size_mm=0.0, angle_deg=up.angle_deg, steps=(step,)
    )
    return (*book.setting(key, setting, sd), 1.0 if straight else -1.0)


def _trim(book: _Book, slots: Slots, step: Trim, program: Program, what: What) -> None:
    up = trim_set_up(step, slots.size.index, program)
    if what is What.STAYS:
        number, bias, _ = _stop(book, slots.step, up, sliced=False)
        scatter = book.accuracy.slice_mm
    else:
        number, bias, _ = _angle(book, slots.step, up.angle_deg, (up,), sliced=False)
        scatter = book.accuracy.lean_deg
    book.entries += [(slots.start + k, bias, 1.0) for k in range(slots.count)]
    book.scatter(slots, number, scatter)


def trim_set_up(step: Trim, cut: int, program: Program) -> SetUp:
    """The setting of one cut of a trim: the one whose size is what stays behind that cut."""
    operation = next(
        op for op in program.operations if isinstance(op, Trimming) and op.makes == step.makes
    )
    clip = operation.cuts[cut].clip
    stays = float(sides(program.shapes[step.makes].points, clip.point, clip.direction).max())
    return min(step.set_ups, key=lambda up: abs(up.size_mm - stays))


def _hand(book: _Book, slots: Slots) -> None:
    key = ("hand", slots.step)
    setting = Setting(sort=Sort.HAND, machine=None, size_mm=0.0, angle_deg=0.0, steps=(slots.step,))
    if key not in book.numbers:
        book.numbers[key] = len(book.settings)
        book.settings.append(setting)
    book.scatter(slots, book.numbers[key], book.accuracy.place_mm)
