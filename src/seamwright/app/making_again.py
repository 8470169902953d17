"""Wood for what has to be made again: from which board on the rack, or what to buy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from seamwright.app.cut_words import needed_words
from seamwright.app.cutting import wood_names
from seamwright.app.mending import Mended
from seamwright.design import Drawing
from seamwright.pictures import Ruler
from seamwright.pictures.board_words import board_size
from seamwright.plan import Mill, Plan, Shop
from seamwright.rack import (
    Board,
    Demand,
    Fate,
    Rack,
    Stick,
    Variant,
    cut_plan,
    rules_of,
)

_SECONDS = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Blanks for one kind of stick that is made again.

    Attributes:
        part, wood: kind of stick, and full name of its wood.
        count: blanks from this board, or sticks nothing on the rack is big enough for.
        board: the board they come from; None where there is none.
        bought: whether the board has to be bought first.
        variant: how a stick lies in the board, and the wood it needs.
    """

    part: str
    wood: str
    count: int
    board: Board | None
    bought: bool
    variant: Variant


def sticks_again(plan: Plan, mended: Mended) -> tuple[Mill, ...]:
    """Every stick that measured sizes and lost parts ask for again, equal ones together."""
    found: list[Mill] = []
    for short in mended.shortages:
        for kind, count, length in short.sticks:
            mill = plan.maker(kind)
            assert isinstance(mill, Mill)
            found.append(replace(mill.alone(), count=count, length_mm=length))
    if mended.rewritten is not None:
        for bar in mended.rewritten.bars:
            found += bar.sticks
    together: dict[str, Mill] = {}
    for stick in found:
        known = together.get(stick.makes)
        together[stick.makes] = _both(stick, known, stick.count + known.count) if known else stick
    for again in (mended.remake, mended.thicker):
        for stick in again.sticks if again is not None else ():
            known = together.get(stick.makes)
            # what is made again as a whole makes up for what was lost of it as well
            more = max(stick.count, known.count) if known else stick.count
            together[stick.makes] = _both(stick, known, more) if known else stick
    return tuple(together.values())


def _both(one: Mill, other: Mill, count: int) -> Mill:
    """One length for all of a kind: the longer one does for the shorter as well."""
    length = max(one.length_mm, other.length_mm)
    return replace(one.alone(), count=count, length_mm=length)


def wood_for(
    sticks: Sequence[Mill], rack: Rack, drawing: Drawing, shop: Shop, *, job: str = ""
) -> tuple[Found, ...]:
    """Where the wood for sticks comes from; offcuts go first, boards set aside for others are left.

    Args:
        sticks: from ``sticks_again``.
        rack: boards on hand and sizes that can be bought.
        drawing: tells the woods.
        shop: kerfs and allowances.
        job: whose boards set aside may be used.
    """
    if not sticks:
        return ()
    woods = wood_names(drawing)
    wanted = tuple(
        Stick(
            name=stick.makes,
            wood=woods.get(stick.wood, stick.wood),
            count=stick.count,
            length_mm=stick.length_mm,
            width_mm=stick.width_mm,
            depth_mm=stick.depth_mm,
        )
        for stick in sticks
    )
    plan = cut_plan(
        rack, Demand(sticks=wanted), shop=shop, seconds=_SECONDS, rules=rules_of(shop), job=job
    )
    found: list[Found] = []
    for number, line in enumerate(plan.lines):
        for cuts in plan.boards:
            ways = [p.way for p in cuts.of(Fate.BLANK) if p.stick == number and p.way is not None]
            found += [
                Found(
                    part=line.stick.name,
                    wood=line.stick.wood,
                    count=ways.count(way),
                    board=cuts.board,
                    bought=bool(cuts.offer),
                    variant=line.variants[way],
                )
                for way in sorted(set(ways))
            ]
        if line.missing:
            found.append(
                Found(
                    part=line.stick.name,
                    wood=line.stick.wood,
                    count=line.missing,
                    board=None,
                    bought=False,
                    variant=line.variants[0],
                )
            )
    return tuple(found)


def wood_lines(wood: Sequence[Found], ruler: Ruler) -> list[str]:
    """Where the wood comes from, in words."""
    return [_words(found, ruler) for found in wood]


def _words(found: Found, ruler: Ruler) -> str:
    if found.board is None:
        return (
            f"{found.part}: no board of {found.wood} on the rack is big enough. To buy: "
            f"{needed_words(found.variant, ruler)}"
        )
    board = found.board
    place = f", {board.place}" if board.place else ""
    blanks = "1 blank" if found.count == 1 else f"{found.count} blanks"
    size = f"{ruler.both(found.variant.length_mm)} long, {ruler.both(found.variant.rip_mm)} wide"
    where = f"{board.stock.value} {board.name} ({board.wood}, {board_size(board, ruler)}{place})"
    told = f"to buy: {where}" if found.bought else f"from the rack: {where}"
    return f"{found.part}: {told}. {blanks}, {size}, {found.variant.way.value}"
