"""A program without the corners that nobody asks for, so that many trials go quickly.

Corners on the rim and gaps that cannot open are most of what a program carries; what is left out
here changes nothing of what is asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from seamwright.fit.joints import Contact, Face
from seamwright.fit.operations import Assembling, Keeping, Milling, Slicing, Trimming
from seamwright.fit.program import Gap, Operation, Program
from seamwright.fit.rows import Row
from seamwright.fit.shapes import Clip, Indices

_Marks = NDArray[np.bool_]


def pruned(
    program: Program, corners: Indices, gaps: Sequence[Gap]
) -> tuple[Program, Indices, tuple[Gap, ...]]:
    """A smaller program that gives the same corners and gaps.

    Args:
        program: a whole one.
        corners: of the board, that are asked for.
        gaps: that are asked for.
    Returns:
        The program, the numbers of the corners in it, and the gaps in it. Its shapes are those of
        the whole program.
    """
    marks = {kind: np.zeros(len(shape.points), bool) for kind, shape in program.shapes.items()}
    marks[program.board][corners] = True
    rows: dict[str, set[int]] = {}
    for gap in gaps:
        rows.setdefault(gap.part, set()).add(gap.row)
    smaller: list[Operation] = []
    kept: dict[str, dict[int, int]] = {}
    for whole in reversed(program.operations):
        operation = whole
        if isinstance(whole, Assembling):
            wanted = rows.get(whole.makes, set())
            operation, kept[whole.makes] = _fewer_gaps(whole, wanted)
        elif isinstance(whole, Row):
            kept[whole.makes] = {row: row for row in rows.get(whole.makes, set())}
        _ask(operation, marks)
        smaller.append(operation)
    maps = {kind: np.cumsum(mark) - 1 for kind, mark in marks.items()}
    done = tuple(_renumbered(operation, marks, maps) for operation in reversed(smaller))
    found = tuple(replace(gap, row=kept[gap.part][gap.row]) for gap in gaps)
    return (
        replace(program, operations=done, gaps=found),
        maps[program.board][corners],
        found,
    )


def _ask(operation: Operation, marks: dict[str, _Marks]) -> None:
    """Mark what an operation needs of what it takes."""
    if isinstance(operation, Milling):
        marks[operation.makes][:] = True
    elif isinstance(operation, Keeping):
        marks[operation.takes] |= marks[operation.makes]
    elif isinstance(operation, Row):
        for kind, _ in operation.taken:
            marks[kind][:] = True
        marks[operation.makes][:] = True
    elif isinstance(operation, Slicing):
        after = _unordered(operation, marks[operation.makes])
        between = _before(operation.right, after, _size(operation.left))
        marks[operation.takes] |= _before(operation.left, between, len(marks[operation.takes]))
    elif isinstance(operation, Trimming):
        for mark in _stages(operation, marks)[:1]:
            marks[operation.takes] |= mark
    elif isinstance(operation, Assembling):
        made = marks[operation.makes]
        for i, (kind, _) in enumerate(operation.taken):
            start = operation.gluing.starts[i]
            marks[kind] |= made[start : start + len(marks[kind])]
        for contact in (*operation.gluing.places, *operation.gluing.others):
            for part, at in _touched(contact):
                marks[operation.taken[part][0]][at] = True


def _unordered(operation: Slicing, made: _Marks) -> _Marks:
    """Marks of a slice's corners as they come from the cut."""
    if not len(operation.order):
        return made
    marks = np.zeros(len(made), bool)
    marks[operation.order] = made
    return marks


def _touched(contact: Contact) -> list[tuple[int, Indices]]:
    return [(contact.first, contact.faces[0].at), (contact.second, contact.faces[1].at)]


def _size(clip: Clip) -> int:
    return len(clip.kept) + len(clip.inner)


def _before(clip: Clip, after: _Marks, points: int) -> _Marks:
    """What a cut needs to make the points asked for."""
    mark = np.zeros(points, bool)
    mark[clip.kept[after[: len(clip.kept)]]] = True
    new = after[len(clip.kept) :]
    mark[clip.inner[new]] = True
    mark[clip.outer[new]] = True
    return mark


def _stages(operation: Trimming, marks: dict[str, _Marks]) -> list[_Marks]:
    """What is needed before each cut, and after the last."""
    sizes = [len(marks[operation.takes]), *(_size(cut.clip) for cut in operation.cuts)]
    stages = [marks[operation.makes]]
    for cut, points in zip(operation.cuts[::-1], sizes[-2::-1], strict=True):
        mark = _before(cut.clip, stages[0], points)
        if stages[0][len(cut.clip.kept) :].any():
            mark[cut.reference] = True
        stages.insert(0, mark)
    return stages


def _clip(clip: Clip, after: _Marks, renumber: Indices) -> Clip:
    """A cut that makes only the points asked for."""
    new = after[len(clip.kept) :]
    return replace(
        clip,
        kept=renumber[clip.kept[after[: len(clip.kept)]]],
        inner=renumber[clip.inner[new]],
        outer=renumber[clip.outer[new]],
    )


def _renumbered(
    operation: Operation, marks: dict[str, _Marks], maps: dict[str, Indices]
) -> Operation:
    if isinstance(operation, Slicing):
        after = _unordered(operation, marks[operation.makes])
        between = _before(operation.right, after, _size(operation.left))
        order = operation.order
        if len(order):
            order = (np.cumsum(after) - 1)[order[marks[operation.makes]]]
        return replace(
            operation,
            left=_clip(operation.left, between, maps[operation.takes]),
            right=_clip(operation.right, after, np.cumsum(between) - 1),
            order=order,
        )
    if isinstance(operation, Trimming):
        stages = _stages(operation, marks)
        numbers = [maps[operation.takes], *(np.cumsum(mark) - 1 for mark in stages[1:])]
        return replace(
            operation,
            cuts=tuple(
                replace(
                    cut,
                    clip=_clip(cut.clip, stages[k + 1], numbers[k]),
                    reference=numbers[k][cut.reference],
                    beyond=cut.beyond[:0],
                    touching=cut.touching[:0],
                )
                for k, cut in enumerate(operation.cuts)
            ),
        )
    if isinstance(operation, Assembling):
        return _reassembled(operation, marks, maps)
    return operation


def _reassembled(
    operation: Assembling, marks: dict[str, _Marks], maps: dict[str, Indices]
) -> Assembling:
    made = marks[operation.makes]
    starts: list[int] = []
    keeps: list[Indices] = []
    at = 0
    for i, (kind, _) in enumerate(operation.taken):
        start = operation.gluing.starts[i]
        wanted = made[start : start + len(marks[kind])]
        keeps.append(maps[kind][np.flatnonzero(wanted)])
        starts.append(at)
        at += len(keeps[-1])

    def renumbered(contact: Contact) -> Contact:
        first, second = (maps[operation.taken[p][0]] for p in (contact.first, contact.second))
        faces = (
            replace(contact.faces[0], at=first[contact.faces[0].at]),
            replace(contact.faces[1], at=second[contact.faces[1].at]),
        )
        return replace(contact, faces=faces)

    gluing = replace(
        operation.gluing,
        starts=tuple(starts),
        places=tuple(renumbered(contact) for contact in operation.gluing.places),
        others=tuple(renumbered(contact) for contact in operation.gluing.others),
    )
    return replace(operation, gluing=gluing, keeps=tuple(keeps))


def _fewer_gaps(operation: Assembling, wanted: set[int]) -> tuple[Assembling, dict[int, int]]:
    """Only the gaps asked for are worked out; old row to new row."""
    places: dict[int, int] = {}
    old = new = 0

    def fewer(face: Face) -> Face:
        nonlocal old, new
        told = [k for k in range(len(face.told)) if old + k in wanted]
        for k in told:
            places[old + k] = new
            new += 1
        old += len(face.told)
        return replace(face, told=face.told[told])

    def lighter(contact: Contact) -> Contact:
        return replace(contact, faces=(fewer(contact.faces[0]), fewer(contact.faces[1])))

    set_down = tuple(lighter(contact) for contact in operation.gluing.places)
    others = []
    for contact in operation.gluing.others:
        others.append(lighter(contact))
        places[old] = new
        old, new = old + 1, new + 1
    gluing = replace(operation.gluing, places=set_down, others=tuple(others))
    return replace(operation, gluing=gluing), places
