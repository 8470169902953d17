"""Short names that a woodworker can follow from the drawing to the part in hand.

Rows of blocks have letters from the top, blocks in a row numbers from the left, patches in a block
numbers in reading order: ``B3·5`` is patch 5 of the third block in the second row. A block's
patches keep their numbers when the block is turned or mirrored, so ``A1·5`` and ``B3·5`` are equal
parts where the blocks are equal. A board of one block has plain numbers. Strips are ``sash 2``,
``stone 1`` and ``left 1`` (side, and which border counted from the inside).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from seamwright.design.pieces import Piece


def row_letters(row: int) -> str:
    """Letters of a row of blocks, from the top: A, B … Z, AA, AB …

    >>> [row_letters(n) for n in (0, 25, 26, 27, 52)]
    ['A', 'Z', 'AA', 'AB', 'BA']
    """
    letters = ""
    row += 1
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def named(piece: Piece, name: str) -> Piece:
    """The piece with another name."""
    return replace(piece, place=name)


def unique(pieces: Iterable[Piece]) -> list[Piece]:
    """Every name once: the parts of one cut patch get small letters, or numbers if it has many."""
    listed = list(pieces)
    counts = Counter(piece.place for piece in listed)
    taken = set(counts)
    used: Counter[str] = Counter()
    result = []
    for piece in listed:
        name = piece.place
        if counts[name] > 1:
            while name in taken:
                used[piece.place] += 1
                name = piece.place + _tail(used[piece.place])
            taken.add(name)
        result.append(named(piece, name))
    return result


def _tail(number: int) -> str:
    return chr(ord("a") + number - 1) if number <= 26 else f"-{number}"
