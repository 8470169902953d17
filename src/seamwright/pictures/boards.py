"""Drawings of boards: flaws, blanks, leftovers, and the cuts numbered in order of work."""

from __future__ import annotations

import zlib
from html import escape

from seamwright.rack import Board, BoardCuts, CutPlan, Direction, Fate, Flaw, Piece

_WIDE = 900.0
_TALL = 150.0
_LEFT, _TOP, _RIGHT, _FOOT = 14.0, 44.0, 14.0, 48.0
_INK, _PAPER, _CHALK, _PENCIL = "#2b2622", "#fbf8f1", "#2f6690", "#b23a2e"
_FILL = {
    Fate.BLANK: "#e7c88f",
    Fate.LEFTOVER: "#d5e3ec",
    Fate.WASTE: "url(#waste)",
    Fate.CUT_UP: "#f3e6cc",
}
_FONT = 'font-family="Lato, sans-serif"'
_KINDS = {
    "t": f'class="t" {_FONT} font-size="15" font-weight="bold" fill="{_INK}"',
    "s": f'class="s" {_FONT} font-size="12" fill="{_INK}"',
    "p": f'class="p" {_FONT} font-size="11" fill="{_INK}"',
    "c": f'class="c" {_FONT} font-size="10.5" font-weight="bold" fill="{_CHALK}"',
}
"""Texts carry their own looks: a page that forbids style sheets of others still shows them."""


def board_svg(board: Board, *, heading: str | None = None, fill: str = "") -> str:
    """A board with its flaws, length to the right, as one SVG text.

    Args:
        board: the board.
        heading: over it; its mark, wood and size by default, "" for none.
        fill: colour of the wood, "#rrggbb"; a plain one by default.
    """
    sheet = _Sheet(board, top=_TOP if heading != "" else _TOP - 34.0, foot=26.0)
    return sheet.finish([sheet.whole(fill)], title=_board_title(board), foot="", heading=heading)


def face_svg(board: Board, *, photo: str = "", fill: str = "") -> str:
    """A board's face alone, one unit a millimetre, to be drawn upon; stretched as the page likes.

    Args:
        board: the board.
        photo: address of a picture to lie under the drawing.
        fill: colour of the wood, "#rrggbb"; a plain one by default.
    """
    long, wide = board.length_mm, board.width_mm
    under = (
        f'<image href="{escape(photo)}" x="0" y="0" width="{long:g}" height="{wide:g}" '
        'preserveAspectRatio="none"/>'
        if photo
        else f'<rect width="{long:g}" height="{wide:g}" fill="{fill or _FILL[Fate.CUT_UP]}"/>'
    )
    flaws = "".join(
        f'<rect x="{flaw.x_mm:g}" y="{wide - flaw.y_mm - flaw.width_mm:g}" '
        f'width="{flaw.length_mm:g}" height="{flaw.width_mm:g}" fill="{_PENCIL}" '
        f'fill-opacity="0.28" stroke="{_PENCIL}" stroke-width="2" '
        'vector-effect="non-scaling-stroke">'
        f"<title>{number}: {escape(flaw.kind.value)}</title></rect>"
        for number, flaw in enumerate(board.flaws, 1)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="face" viewBox="0 0 {long:g} {wide:g}" '
        f'preserveAspectRatio="none" role="img" aria-label="{escape(_board_title(board))}, '
        f'{len(board.flaws)} flaws marked">{under}{flaws}'
        f'<rect width="{long:g}" height="{wide:g}" fill="none" stroke="{_INK}" stroke-width="2" '
        'vector-effect="non-scaling-stroke"/></svg>'
    )


def cuts_svg(
    cuts: BoardCuts, plan: CutPlan, *, name: str | None = "", upto: int | None = None
) -> str:
    """How a board is cut, as one SVG text.

    Args:
        cuts: one board of the plan.
        plan: names the sticks.
        name: heading; the board's own by default, None for none.
        upto: number of the last cut shown, to step through; all by default.
    """
    sheet = _Sheet(cuts.board, top=_TOP if name is not None else _TOP - 20.0)
    shown = cuts.cuts if upto is None else cuts.cuts[: max(0, upto)]
    body = [sheet.piece(p, _label(p, plan)) for p in _live(cuts, len(shown))]
    body += [sheet.flaw(flaw) for flaw in cuts.board.flaws]
    whole = {p.name: p for p in cuts.pieces}
    body += [sheet.cut(c.number, c.direction, whole[c.piece], c.at_mm, c.kerf_mm) for c in shown]
    count = len(cuts.of(Fate.BLANK))
    kept = len(cuts.of(Fate.LEFTOVER))
    foot = (
        f"{count} blank{'s' * (count != 1)}, {len(cuts.cuts)} cuts, "
        f"{kept} leftover{'s' * (kept != 1)} kept"
    )
    title = name or ("Buy: " if cuts.offer else "") + _board_title(cuts.board)
    return sheet.finish(
        body, title=title, foot=foot, with_flaws=False, heading=title if name is not None else ""
    )


def _live(cuts: BoardCuts, count: int) -> list[Piece]:
    """Pieces on the bench after the first cuts, in drawing order."""
    pieces = {p.name: p for p in cuts.pieces}
    live = {cuts.pieces[0].name}
    for cut in cuts.cuts[:count]:
        live.discard(cut.piece)
        live.update(n for n in (cut.near, cut.far) if n)
    return [p for p in pieces.values() if p.name in live]


def _label(piece: Piece, plan: CutPlan) -> str:
    if piece.fate is Fate.BLANK and piece.stick is not None:
        return plan.lines[piece.stick].stick.name
    return "keep" if piece.fate is Fate.LEFTOVER else ""


def _board_title(board: Board) -> str:
    size = f"{board.length_mm:.0f} × {board.width_mm:.0f} × {board.thickness_mm:.0f} mm"
    return f"{board.name} · {board.wood} · {size}"


class _Sheet:
    def __init__(self, board: Board, *, top: float = _TOP, foot: float = _FOOT) -> None:
        self.board, self.top, self.foot = board, top, foot
        self.scale = (_WIDE - _LEFT - _RIGHT) / max(board.length_mm, 600.0)
        # narrow boards are drawn wider than they are: numbers of near cuts must not touch
        self.across = min(3 * self.scale, max(self.scale, _TALL / board.width_mm))
        self.high = board.width_mm * self.across

    def x(self, at_mm: float) -> float:
        return _LEFT + at_mm * self.scale

    def y(self, at_mm: float) -> float:
        return self.top + self.high - at_mm * self.across

    def _rect(self, x: float, y: float, long: float, wide: float, style: str) -> str:
        return (
            f'<rect x="{self.x(x):.2f}" y="{self.y(y + wide):.2f}" '
            f'width="{long * self.scale:.2f}" height="{wide * self.across:.2f}" {style}/>'
        )

    def whole(self, fill: str) -> str:
        style = f'fill="{fill or _FILL[Fate.CUT_UP]}"'
        return self._rect(0, 0, self.board.length_mm, self.board.width_mm, style)

    def piece(self, piece: Piece, label: str) -> str:
        style = f'fill="{_FILL[piece.fate]}" stroke="{_INK}" stroke-width="0.8"'
        if piece.fate is Fate.LEFTOVER:
            style += ' stroke-dasharray="5 3"'
        out = self._rect(piece.x_mm, piece.y_mm, piece.length_mm, piece.width_mm, style)
        high, wide = piece.width_mm * self.across, piece.length_mm * self.scale
        if label and high >= 11 and wide >= 6.2 * len(label) + 6:
            x = self.x(piece.x_mm + piece.length_mm / 2)
            y = self.y(piece.y_mm + piece.width_mm / 2) + 4
            out += f'<text {_KINDS["p"]} x="{x:.2f}" y="{y:.2f}" text-anchor="middle">'
            out += f"{escape(label)}</text>"
        return out

    def flaw(self, flaw: Flaw) -> str:
        style = f'fill="url(#flaw)" stroke="{_PENCIL}" stroke-width="1.2"'
        box = self._rect(flaw.x_mm, flaw.y_mm, flaw.length_mm, flaw.width_mm, style)
        return f"<g><title>{escape(flaw.kind.value)}</title>{box}</g>"

    def cut(
        self, number: int, direction: Direction, piece: Piece, at_mm: float, kerf_mm: float
    ) -> str:
        is_rip = direction is Direction.RIP
        if is_rip:
            box = (piece.x_mm, at_mm, piece.length_mm, kerf_mm)
            x, y = self.x(piece.x_mm) + 11 + 22 * (number % 2), self.y(at_mm + kerf_mm / 2)
        else:
            box = (at_mm, piece.y_mm, kerf_mm, piece.width_mm)
            is_whole = piece.width_mm > self.board.width_mm - 1e-6
            x = self.x(at_mm + kerf_mm / 2)
            y = self.top - 8 if is_whole else self.y(piece.y_mm + piece.width_mm / 2)
        line = self._rect(*box, f'fill="{_CHALK}"')
        wide = 5.5 + 3.2 * len(str(number))
        return (
            f'{line}<rect x="{x - wide:.2f}" y="{y - 7:.2f}" width="{2 * wide:.2f}" height="14" '
            f'rx="7" fill="{_PAPER}" stroke="{_CHALK}" stroke-width="1"/>'
            f'<text {_KINDS["c"]} x="{x:.2f}" y="{y + 3.8:.2f}" text-anchor="middle">'
            f"{number}</text>"
        )

    def finish(
        self,
        body: list[str],
        *,
        title: str,
        foot: str,
        with_flaws: bool = True,
        heading: str | None = None,
    ) -> str:
        board, tall = self.board, self.top + self.high + self.foot
        whole = self._rect(
            0, 0, board.length_mm, board.width_mm, f'fill="none" stroke="{_INK}" stroke-width="1.6"'
        )
        if with_flaws:
            body = [*body, *(self.flaw(flaw) for flaw in board.flaws)]
        base = self.top + self.high + 17
        wider = self.across / self.scale
        scale = f"; drawn {wider:.1f} times as wide" if wider > 1.05 else ""
        head = title if heading is None else heading
        words = (
            f'<text {_KINDS["t"]} x="{_LEFT}" y="18">{escape(head)}</text>'
            f'<text {_KINDS["s"]} x="{_LEFT}" y="{base:.1f}">0</text>'
            f'<text {_KINDS["s"]} x="{self.x(board.length_mm):.1f}" y="{base:.1f}" '
            f'text-anchor="end">{board.length_mm:.0f} mm, grain along the length{scale}</text>'
            f'<text {_KINDS["s"]} x="{_LEFT}" y="{base + 18:.1f}">{escape(foot)}</text>'
        )
        drawn = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE:.0f} {tall:.1f}" '
            f'width="{_WIDE:.0f}" height="{tall:.1f}" role="img" aria-label="{escape(title)}">'
            f"{_PATTERNS}"
            f'<rect width="100%" height="100%" fill="{_PAPER}"/>'
            f"{''.join(body)}{whole}{words}</svg>"
        )
        # several drawings share a page: each has patterns of its own name
        mark = f"{zlib.crc32(title.encode()):x}"
        for name in ("waste", "flaw"):
            drawn = drawn.replace(f'id="{name}"', f'id="{name}{mark}"')
            drawn = drawn.replace(f"url(#{name})", f"url(#{name}{mark})")
        return drawn


_PATTERNS = (
    '<defs><pattern id="waste" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><rect width="7" height="7" fill="#efe9dd"/>'
    '<line x1="0" y1="0" x2="0" y2="7" stroke="#b9ac97" stroke-width="1.4"/></pattern>'
    '<pattern id="flaw" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect width="6" height="6" fill="#f4d9d2"/>'
    f'<path d="M0 0L6 6M6 0L0 6" stroke="{_PENCIL}" stroke-width="0.9"/></pattern></defs>'
)
