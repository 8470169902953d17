"""Write a picture as SVG: one user unit is one millimetre."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from seamwright.geometry import cos_deg, sin_deg
from seamwright.pictures.primitives import Cells, Disc, Ink, Item, Path, Picture, Text, text_box

FAMILY = "Lato"
"""The sans every label is set in; papers bring this font along."""

_CAP_RISE = 0.36
"""Half the height of capitals, in ems: sets a text's middle on its point."""


def svg(picture: Picture) -> str:
    """The picture as an SVG text at real size; the same picture gives the same bytes."""
    width, height = _number(picture.width_mm), _number(picture.height_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img">'
        f"<title>{_plain(picture.title)}</title>"
    )
    return "\n".join((head, *_bodies(picture), "</svg>\n"))


def _bodies(picture: Picture) -> Iterator[str]:
    x0, y1 = picture.box[0], picture.box[3]
    run: list[str] = []
    key: tuple[Ink, object] | None = None
    for item in picture.items:
        here = (item.ink, item.layer) if isinstance(item, Path) and not item.ink.fill else None
        if run and here != key:
            yield _path(run, key)
            run = []
        key = here
        if isinstance(item, Path):
            steps = " ".join(f"{_number(x - x0)} {_number(y1 - y)}" for x, y in item.points)
            data = f"M{steps}{'Z' if item.closed else ''}"
            if here is None:
                yield f'<path d="{data}"{_ink(item.ink)}/>'
            else:
                run.append(data)
        else:
            yield _other(item, x0, y1)
    if run:
        yield _path(run, key)


def _path(run: list[str], key: tuple[Ink, object] | None) -> str:
    assert key is not None
    return f'<path d="{"".join(run)}"{_ink(key[0])}/>'


def _other(item: Item, x0: float, y1: float) -> str:
    if isinstance(item, Disc):
        x, y = item.centre
        return (
            f'<circle cx="{_number(x - x0)}" cy="{_number(y1 - y)}" '
            f'r="{_number(item.radius_mm)}"{_ink(item.ink)}/>'
        )
    if isinstance(item, Cells):
        rings = (
            " ".join(f"{_number(x - x0)} {_number(y1 - y)}" for x, y in ring) for ring in item.rings
        )
        data = "".join(f"M{steps}Z" for steps in rings)
        return f'<path d="{data}"{_ink(item.ink)}/>'
    assert isinstance(item, Text)
    return _plate(item, x0, y1) + _text(item, x0, y1)


def _plate(item: Text, x0: float, y1: float) -> str:
    if not item.plate:
        return ""
    steps = " ".join(f"{_number(x - x0)} {_number(y1 - y)}" for x, y in text_box(item))
    return f'<path d="M{steps}Z" fill="{item.plate}" fill-opacity="0.86"/>'


def _text(item: Text, x0: float, y1: float) -> str:
    drop = _CAP_RISE * item.size_mm
    x = item.at[0] - x0 + drop * sin_deg(item.angle_deg)
    y = y1 - item.at[1] + drop * cos_deg(item.angle_deg)
    turn = f' transform="rotate({_number(-item.angle_deg)} {_number(x)} {_number(y)})"'
    return (
        f'<text x="{_number(x)}" y="{_number(y)}" font-family="{FAMILY}, sans-serif" '
        f'font-size="{_number(item.size_mm)}" font-weight="{item.weight.value}" '
        f'text-anchor="{item.anchor.value}" fill="{item.colour}"'
        f"{turn if item.angle_deg else ''}>{_plain(item.text)}</text>"
    )


def _ink(ink: Ink) -> str:
    text = f' fill="{ink.fill or "none"}"'
    if ink.line:
        text += f' stroke="{ink.line}" stroke-width="{_number(ink.width_mm)}"'
        text += ' stroke-linejoin="round"'
    if ink.dash_mm:
        text += f' stroke-dasharray="{" ".join(_number(d) for d in ink.dash_mm)}"'
    return text


def _plain(text: str) -> str:
    """Text for XML: markup signs escaped, signs that XML forbids as a question mark."""
    return escape("".join(letter if _is_allowed(letter) else "?" for letter in text))


def _is_allowed(letter: str) -> bool:
    """Whether XML 1.0 allows a character (section 2.2); tabs and line ends are not wanted here."""
    code = ord(letter)
    return 0x20 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or code >= 0x10000


def _number(value: float) -> str:
    text = f"{value:.5f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
