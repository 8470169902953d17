"""Blocks set in rows: which block stands where and how it is turned, sashing and borders."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from seamwright.app.own_blocks import Table, whole
from seamwright.app.redrawing import refused
from seamwright.design import Drawing, known_block, known_blocks, load_toml, read, write_tables

MOST_ROWS = 20
_MORE_WOODS = ("white ash", "padauk", "purpleheart", "wenge", "yellow-poplar", "sapele")
_WORD = re.compile(r"([^~\s]+?)((?:~(?:90|180|270|m))*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Edging:
    """Sashing, or a border; all as typed, nothing where it has no width.

    Attributes:
        wood: letter of its wood.
        width: as typed.
        stones: letter of the wood of cornerstones; empty for none. Sashing only.
        runs: "across" or "up": which strips are the long ones. Sashing only.
        sides: of a border, in the order they are glued on.
        grain: its own, as in the file; empty for the board's.
    """

    wood: str
    width: str
    stones: str = ""
    runs: str = "across"
    sides: str = ""
    grain: object = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A board of blocks.

    Attributes:
        blocks: names of its blocks, in the order of the file.
        rows: words such as ``star~90``, the top row first.
        sashing: strips between the blocks.
        borders: strips around, from the inside out.
        woods: letters with their names.
    """

    blocks: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sashing: Edging
    borders: tuple[Edging, ...]
    woods: tuple[tuple[str, str], ...]


def setting_of(text: str) -> Setting | None:
    """How the board of a sound design file is set; None where it is drawn patch by patch."""
    values = load_toml(text)
    blocks, woods = _table(values, "block"), _table(values, "woods")
    if not blocks:
        return None
    board = _table(values, "board") or {"set": next(iter(blocks))}
    given = board.get("set", "")
    lines = given.splitlines() if isinstance(given, str) else [str(line) for line in _list(given)]
    sashing = _table(board, "sashing")
    return Setting(
        blocks=tuple(blocks),
        rows=tuple(tuple(line.split()) for line in lines if line.split()),
        sashing=_edging(sashing),
        borders=tuple(_edging(each) for each in _list(board.get("borders", []))),
        woods=tuple((letter, str(name)) for letter, name in woods.items()),
    )


def in_rows(text: str, setting: Setting) -> str:
    """The design file with its board set anew.

    Raises:
        DesignError: rows do not fit, or a length cannot be used.
    """
    if not all(1 <= count <= MOST_ROWS for count in (len(setting.rows), *map(len, setting.rows))):
        raise refused("D911", "rows and blocks in a row", "are too many", f"use 1 to {MOST_ROWS}")
    board: Table = {"set": "\n".join(" ".join(row) for row in setting.rows) + "\n"}
    sashing = _edging_table(setting.sashing)
    if sashing:
        board["sashing"] = sashing
    borders = [table for table in map(_edging_table, setting.borders) if table]
    if borders:
        board["borders"] = borders
    return _sound({**load_toml(text), "board": board}, drop="outline")


def with_block(text: str, key: str, block: Table) -> str:
    """The design file with one more block; a block of that name is replaced.

    Raises:
        DesignError: it cannot be used.
    """
    values = load_toml(text)
    woods = with_woods(_table(values, "woods"), (block,))
    return _sound({**values, "woods": woods, "block": {**_table(values, "block"), key: block}})


def with_woods(woods: Table, blocks: Iterable[Table]) -> Table:
    """The woods of a file and one for every letter of its blocks that has none, to be changed."""
    used: dict[str, None] = {}
    for block in blocks:
        name = str(block.get("from", ""))
        if name in known_blocks():
            used |= dict.fromkeys(sorted({piece.wood for piece in known_block(name).pieces}))
        for patch in _list(block.get("patch", [])):
            if isinstance(patch, Mapping):
                used |= {str(patch["wood"]): None}
    free = (name for name in _MORE_WOODS if name not in woods.values())
    return {**woods, **{letter: next(free, "white oak") for letter in used if letter not in woods}}


def one_block(drawing: Drawing, key: str) -> str:
    """A board drawn patch by patch as one block, ready to be set in rows."""
    return _sound(
        {
            "title": drawing.title,
            "unit": drawing.unit.value,
            "thickness": _size(drawing.thickness_mm),
            "kind": drawing.kind.value,
            "copies": drawing.copies,
            "woods": dict(drawing.woods),
            **_backing(drawing),
            "block": {key: whole(drawing)},
            "board": {"set": key},
        }
    )


def _size(length_mm: float) -> str:
    return f"{length_mm:.9f}".rstrip("0").rstrip(".") + "mm"


def _backing(drawing: Drawing) -> Table:
    """What an overlay is glued to, as its table; empty where the file names nothing."""
    backing = drawing.backing
    if backing is None:
        return {}
    grain = {} if backing.grain_deg is None else {"grain": Decimal(repr(backing.grain_deg))}
    name = "wood" if backing.is_solid else "panel"
    veneer = {} if backing.veneer is None else {"veneer": backing.veneer}
    size = _size(backing.thickness_mm)
    return {"backing": {name: backing.material, **grain, "thickness": size, **veneer}}


def known_table(name: str, size: str) -> Table:
    """The table of a block everybody knows.

    Raises:
        DesignError: it is not known.
    """
    if name not in known_blocks():
        raise refused("D910", f"block {name!r}", "is not known", "choose from the list")
    return {"from": name, "size": size}


def turned(word: str, turn: str) -> str:
    """A placed block turned once more: "90" anticlockwise, or "m" mirrored left to right.

    The result names each of the eight ways a square can lie in one form only.

    >>> turned("star", "90"), turned("star~270", "90"), turned("star~90", "m"), turned("a~m", "m")
    ('star~90', 'star', 'star~m~270', 'a')
    """
    name, angle, mirrored = _placed(word)
    if turn == "m":
        mirrored, angle = not mirrored, -angle % 360
    else:
        angle = (angle + int(turn)) % 360
    return name + ("~m" if mirrored else "") + (f"~{angle}" if angle else "")


def placed(setting: Setting, row: int, column: int, word: str) -> Setting:
    """The setting with another block in one place.

    Raises:
        DesignError: there is no such place.
    """
    if not (0 <= row < len(setting.rows) and 0 <= column < len(setting.rows[row])):
        raise refused("D912", "the place", "is not on this board", "look at it afresh")
    rows = [list(each) for each in setting.rows]
    rows[row][column] = word
    return replace(setting, rows=tuple(tuple(each) for each in rows))


def counted(setting: Setting, across: int, down: int) -> Setting:
    """The setting with more or fewer places; new ones repeat the pattern that is there."""
    if not (1 <= across <= MOST_ROWS and 1 <= down <= MOST_ROWS):
        raise refused("D911", "rows and blocks in a row", "are too many", f"use 1 to {MOST_ROWS}")
    old = setting.rows
    rows = tuple(
        tuple(old[r % len(old)][c % len(old[r % len(old)])] for c in range(across))
        for r in range(down)
    )
    return replace(setting, rows=rows)


def alone(text: str, word: str) -> str:
    """The design file of one placed block by itself, to be shown."""
    values = {k: v for k, v in load_toml(text).items() if k not in {"patch", "outline"}}
    return write_tables({**values, "board": {"set": word}})


def _placed(word: str) -> tuple[str, int, bool]:
    """Name, angle and whether it is mirrored first: any word of turns comes down to that."""
    match = _WORD.fullmatch(word)
    if match is None:
        raise refused("D404", "set", f"has {word[:20]!r}", "choose the block again")
    angle, mirrored = 0, False
    for turn in match[2].split("~")[1:]:
        if turn == "m":
            angle, mirrored = -angle % 360, not mirrored
        else:
            angle = (angle + int(turn)) % 360
    return match[1], angle, mirrored


def _sound(values: Mapping[str, object], *, drop: str = "") -> str:
    """The file written, once it has been read without a fault."""
    text = write_tables({key: value for key, value in values.items() if key != drop})
    read(text, name=str(values.get("title", "board")))
    return text


def _edging(value: object) -> Edging:
    get: Callable[[str, str], object] = value.get if isinstance(value, Mapping) else lambda _, d: d
    return Edging(
        wood=str(get("wood", "A")),
        width=str(get("width", "")),
        stones=str(get("cornerstones", "")),
        runs=str(get("runs", "across")),
        sides=str(get("sides", "")),
        grain=get("grain", ""),
    )


def _edging_table(edging: Edging) -> Table:
    if not edging.width.strip():
        return {}
    table: Table = {"wood": edging.wood, "width": edging.width.strip()}
    if edging.stones:
        table["cornerstones"] = edging.stones
    if edging.runs != "across":
        table["runs"] = edging.runs
    if edging.sides:
        table["sides"] = edging.sides
    if edging.grain:
        table["grain"] = edging.grain
    return table


def _table(values: Mapping[str, object], key: str) -> Table:
    value = values.get(key)
    return dict(value) if isinstance(value, Mapping) else {}


def _list(value: object) -> list[object]:
    return value if isinstance(value, list) else []
