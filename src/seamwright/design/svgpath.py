"""The numbers of an SVG: straight closed paths and transforms."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import isfinite, radians, tan

from seamwright.geometry import Point, Polygon, cos_deg, sin_deg

_NUMBER = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,3})?"
_TOKEN = re.compile(rf"\s*,?\s*([A-Za-z]|{_NUMBER})")
_LIST = re.compile(rf"[\s,]*({_NUMBER})")
_CALL = re.compile(r"\s*,?\s*(\w+)\s*\(([^()]*)\)")
_LETTERS = {"C": "a curve", "S": "a curve", "Q": "a curve", "T": "a curve", "A": "an arc"}

Matrix = tuple[float, float, float, float, float, float]


class ShapeError(ValueError):
    """The shape is no closed straight outline; the message says what it is."""


def numbers(text: str) -> list[float]:
    """All numbers of a list with spaces or commas between.

    Raises:
        ValueError: something else stands there.
    """
    found: list[float] = []
    at = 0
    while match := _LIST.match(text, at):
        found.append(float(match[1]))
        at = match.end()
    if text[at:].strip(" \t\r\n,") or not all(isfinite(n) for n in found):
        raise ValueError("not a list of numbers")
    return found


def closed_outlines(d: str) -> Iterator[Polygon]:
    """The closed outlines of a path made of M, L, H, V and Z.

    Raises:
        ShapeError: it has a curve, or is not closed.
        ValueError: it cannot be read.
    """
    x = y = 0.0
    points: list[Point] = []
    for command, pair in _steps(d):
        kind, relative = command.upper(), command.islower()
        if kind == "Z":
            if points:
                yield tuple(points)
                x, y = points[0]
            points = []
            continue
        if kind == "M":
            yield from _ended(points)
            points = []
        elif not points:
            points = [(x, y)]
        ox, oy = (x, y) if relative else (0.0, 0.0)
        x = x if kind == "V" else ox + pair[0]
        y = y if kind == "H" else oy + pair[-1]
        points.append((x, y))
    yield from _ended(points)


def _ended(points: list[Point]) -> Iterator[Polygon]:
    """An outline that ends without Z: closed if it came back to its start."""
    if len(points) > 3 and points[0] == points[-1]:
        yield tuple(points[:-1])
    elif len(points) > 1:
        raise ShapeError("is not closed")


def _steps(d: str) -> Iterator[tuple[str, list[float]]]:
    """Each command with its own numbers; repeated numbers repeat the command."""
    tokens = _tokens(d)
    command, at = "", 0
    while at < len(tokens):
        if tokens[at].isalpha():
            command, at = tokens[at], at + 1
            if command.upper() in _LETTERS:
                raise ShapeError(f"has {_LETTERS[command.upper()]} ({command})")
            if command.upper() not in "MLHVZ":
                raise ValueError(f"unknown command {command}")
            if command in "zZ":
                yield command, []
                continue
        count = {"H": 1, "V": 1}.get(command.upper(), 2)
        if not command or command in "zZ":
            raise ValueError("a number without a command")
        yield command, [float(token) for token in _taken(tokens, at, count)]
        at += count
        command = {"M": "L", "m": "l"}.get(command, command)


def _taken(tokens: list[str], at: int, count: int) -> list[str]:
    if at + count > len(tokens):
        raise ValueError("numbers are missing")
    return tokens[at : at + count]


def _tokens(d: str) -> list[str]:
    found: list[str] = []
    at = 0
    while match := _TOKEN.match(d, at):
        found.append(match[1])
        at = match.end()
    if d[at:].strip():
        raise ValueError("not a path")
    return found


def transform(text: str, outer: Matrix) -> Matrix:
    """A transform attribute applied within an outer one.

    Raises:
        ValueError: it cannot be read.
    """
    at, result = 0, outer
    while match := _CALL.match(text, at):
        result = _combined(result, _matrix(match[1], numbers(match[2])))
        at = match.end()
    if text[at:].strip():
        raise ValueError("not a transform")
    return result


def _matrix(name: str, n: list[float]) -> Matrix:  # noqa: PLR0911 - one line a kind
    match name, n:
        case "matrix", [a, b, c, d, e, f]:
            return (a, b, c, d, e, f)
        case "translate", [x]:
            return (1.0, 0.0, 0.0, 1.0, x, 0.0)
        case "translate", [x, y]:
            return (1.0, 0.0, 0.0, 1.0, x, y)
        case "scale", [s]:
            return (s, 0.0, 0.0, s, 0.0, 0.0)
        case "scale", [x, y]:
            return (x, 0.0, 0.0, y, 0.0, 0.0)
        case "rotate", [angle]:
            c, s = cos_deg(angle), sin_deg(angle)
            return (c, s, -s, c, 0.0, 0.0)
        case "rotate", [angle, x, y]:
            about = _combined((1.0, 0.0, 0.0, 1.0, x, y), _matrix("rotate", [angle]))
            return _combined(about, (1.0, 0.0, 0.0, 1.0, -x, -y))
        case "skewX", [angle]:
            return (1.0, 0.0, tan(radians(angle)), 1.0, 0.0, 0.0)
        case "skewY", [angle]:
            return (1.0, tan(radians(angle)), 0.0, 1.0, 0.0, 0.0)
        case _:
            raise ValueError(f"unknown transform {name}")


def _combined(m: Matrix, n: Matrix) -> Matrix:
    a, b, c, d, e, f = m
    p, q, r, s, t, u = n
    return (
        a * p + c * q,
        b * p + d * q,
        a * r + c * s,
        b * r + d * s,
        a * t + c * u + e,
        b * t + d * u + f,
    )
