"""The rack in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from seamwright.app.step_words import sizes_text
from seamwright.pictures import Ruler
from seamwright.pictures.board_words import marked
from seamwright.rack import Board, Finish, Offer, Rack, Ring, Stock
from seamwright.rack.quarters import quarter_of


def rack_lines(
    rack: Rack, ruler: Ruler, *, job_name: Callable[[str], str] = lambda job: job
) -> Iterator[str]:
    """Every board with its flaws and who holds it, then what can be bought."""
    if not rack.boards and not rack.offers:
        yield "The rack is empty. Add boards with 'seamwright rack add', or take in a table."
        return
    yield rack_sum(rack)
    for board in rack.boards:
        yield board_words(board, ruler)
        holder = rack.holder(board.name)
        if holder:
            yield f"    set aside for {job_name(holder)}"
        yield from (f"    flaw {n}: {words}" for n, words in enumerate(flaw_words(board), 1))
    if rack.offers:
        yield "Can be bought:"
        yield from (f"  {offer_words(offer, ruler)}" for offer in rack.offers)


def rack_sum(rack: Rack) -> str:
    """How many boards, and how much wood in them."""
    offcuts = sum(b.stock is Stock.OFFCUT for b in rack.boards)
    litres = sum(b.litres for b in rack.boards)
    boards = "1 board" if len(rack.boards) == 1 else f"{len(rack.boards)} boards"
    return f"{boards}, {offcuts} of them offcuts; {litres:.1f} litres of wood"


def board_words(board: Board, ruler: Ruler) -> str:
    """A board in a line."""
    rule = marked(ruler)
    told = [
        f"{board.name}: {board.wood} {board.stock.value}, {_thick(board, rule)}",
        sizes_text(rule, board.length_mm, board.width_mm),
    ]
    if board.ring is not Ring.UNKNOWN:
        told.append(f"{board.ring.value} sawn")
    if board.moisture_pct is not None:
        told.append(f"{board.moisture_pct:g} % moisture")
    if board.price is not None:
        told.append(f"paid {board.price:.2f}")
    if board.place:
        told.append(board.place)
    return ", ".join(told)


def offer_words(offer: Offer, ruler: Ruler) -> str:
    """A size that can be bought, in a line."""
    rule = marked(ruler)
    board = offer.as_board(offer.name)
    size = sizes_text(rule, offer.length_mm, offer.width_mm)
    most = "" if offer.limit is None else f", {offer.limit} to be had"
    return (
        f"{offer.name}: {offer.wood}, {_thick(board, rule)}, {size}, {offer.price:.2f} each{most}"
    )


def flaw_words(board: Board) -> tuple[str, ...]:
    """Every flaw of a board, its place in mm from the lower left corner."""
    return tuple(
        f"{flaw.kind.value}, {flaw.length_mm:g} × {flaw.width_mm:g} mm at "
        f"{flaw.x_mm:g} mm along and {flaw.y_mm:g} mm across"
        for flaw in board.flaws
    )


def _thick(board: Board, ruler: Ruler) -> str:
    size = quarter_of(board.thickness_mm) if board.finish is Finish.ROUGH else None
    thick = f"{ruler.first(board.thickness_mm)} ({ruler.second(board.thickness_mm)})"
    return (
        f"{board.finish.value} {size.name}, {thick} thick"
        if size
        else (f"{board.finish.value}, {thick} thick")
    )
