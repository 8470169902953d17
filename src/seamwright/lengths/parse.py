"""Read a length as a woodworker writes it. Whatever is unclear is refused, never guessed."""

from __future__ import annotations

import re
from fractions import Fraction

from seamwright.errors import Fault, LengthError
from seamwright.lengths.shop import RULE_DENOMINATORS, shop_fraction
from seamwright.lengths.units import FOOT_MM, INCH_MM, Unit

_LONGEST = 40
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6",
    "⅚": "5/6", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10",
}  # fmt: skip
_PASTED = str.maketrans(
    {"⁄": "/", "∕": "/", "–": "-", "−": "-", "‐": "-", "‑": "-", "“": '"', "”": '"', "″": '"',
     "’": "'", "‘": "'", "′": "'", "\u00a0": " ", "\u2009": " ", "\u202f": " "}
)  # fmt: skip
_UNITS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": INCH_MM, "in.": INCH_MM, "inch": INCH_MM, "inches": INCH_MM, '"': INCH_MM,
    "ft": FOOT_MM, "ft.": FOOT_MM, "foot": FOOT_MM, "feet": FOOT_MM, "'": FOOT_MM,
}  # fmt: skip

_DECIMAL = r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+"
_UNIT = r"[ ]*(?P<unit>[^0-9 /+,-][^0-9 /+,]*)?"
_JOINT = r"(?:[-+]|[ ]+[-+][ ]+|[ ]+)"
# a whole number before a fraction needs a joint: 19/32 must never be read as 1 and 9/32
_FRACTION = re.compile(
    rf"(?:(?P<decimal>{_DECIMAL}){_JOINT})?(?P<top>[0-9]+)[ ]*/[ ]*(?P<bottom>[0-9]+){_UNIT}"
)
_PLAIN = re.compile(rf"(?P<decimal>{_DECIMAL}){_UNIT}")
_FEET = re.compile(rf"(?P<feet>{_DECIMAL})[ ]*(?:'(?!')|ft\.?|feet|foot)[ ]*-?[ ]*(?=[0-9.])")


def parse_length(text: str, *, unit: Unit | None = None) -> Fraction:
    """The length in a text, exactly.

    >>> parse_length('1-3/8"') == parse_length("1⅜", unit=Unit.INCH) == Fraction("34.925")
    True
    >>> parse_length("1.9 cm"), parse_length("19", unit=Unit.MM)
    (Fraction(19, 1), Fraction(19, 1))

    Args:
        text: such as ``1 3/8``, ``1-3/8"``, ``.25in``, ``19 mm``, ``1' 2 1/2"``. A negative
            length or zero is read; whether it makes sense is the caller's to say.
        unit: of numbers that have none; without it they are refused.
    Returns:
        Length [mm].
    Raises:
        LengthError: the text is no length, or could be read in two ways.
    """
    if len(text) > _LONGEST:
        raise _refusal(text, "L102", f"a length has at most {_LONGEST} characters.")
    plain = _plain(text)
    if not plain:
        raise _refusal(text, "L101", 'Write for example 1-3/8" or 35 mm.')
    if "," in plain:
        better = plain.replace(",", ".")
        raise _refusal(
            text,
            "L103",
            f"a comma is unclear (decimal or thousands). Write a point, for example {better}.",
        )
    sign, body = 1, plain
    if plain[0] in "+-":
        sign, body = (-1 if plain[0] == "-" else 1), plain[1:].lstrip()
    feet = _FEET.match(body)
    if feet is None:
        return sign * _read(text, body, unit)
    if "." in feet["feet"]:
        raise _refusal(text, "L104", "write whole feet in front of inches, for example 1' 6\".")
    inches = _read(text, body[feet.end() :], Unit.INCH, only_inches=True)
    return sign * (int(feet["feet"]) * FOOT_MM + inches)


def _plain(text: str) -> str:
    """One way of writing for the many signs that mean the same."""
    if text.isascii():
        return text.replace("''", '"').strip().lower()
    plain = text.translate(_PASTED)
    for sign, fraction in _VULGAR.items():
        plain = re.sub(rf"(?<=[0-9]) ?{sign}", f" {fraction}", plain).replace(sign, fraction)
    return plain.replace("''", '"').strip().lower()


def _read(text: str, body: str, unit: Unit | None, *, only_inches: bool = False) -> Fraction:
    """One number with at most one fraction and at most one unit."""
    fraction = _FRACTION.fullmatch(body)
    match = fraction or _PLAIN.fullmatch(body)
    if match is None:
        raise _refusal(text, "L105", 'I cannot read this as a length. Write 1-3/8" or 35 mm.')
    factor = _factor(text, body, match["unit"], unit, fraction=fraction is not None)
    if only_inches and factor != INCH_MM:
        raise _refusal(text, "L106", "feet go with inches. Write for example 1' 2-1/2\".")
    if fraction is None:
        return Fraction(match["decimal"]) * factor
    return _with_fraction(text, fraction, factor) * factor


def _factor(
    text: str, body: str, named: str | None, unit: Unit | None, *, fraction: bool
) -> Fraction:
    if named is None:
        if unit is None:
            either = "in." if fraction else f"in or {body} mm."
            raise _refusal(text, "L107", f"which unit? Write {body} {either}")
        if fraction and unit is Unit.MM:
            raise _refusal(
                text,
                "L108",
                f"the plan is in mm, and a fraction is inches. Write {body} in if you mean inches.",
            )
        return unit.mm
    factor = _UNITS.get(named.strip())
    if factor is None:
        raise _refusal(
            text, "L109", f'I do not know the unit "{named.strip()}". Use mm, cm, in or ".'
        )
    if fraction and factor != INCH_MM:
        instead = "inches for feet" if factor == FOOT_MM else "a decimal for mm"
        raise _refusal(text, "L110", f"fractions are for inches. Write {instead}.")
    return factor


def _with_fraction(text: str, match: re.Match[str], factor: Fraction) -> Fraction:
    decimal, top, bottom = match["decimal"] or "0", int(match["top"]), int(match["bottom"])
    if "." in decimal:
        raise _refusal(text, "L111", "a decimal and a fraction are mixed. Write one or the other.")
    if bottom == 0:
        raise _refusal(text, "L112", "the bottom of the fraction is 0.")
    value = int(decimal) + Fraction(top, bottom)
    if bottom not in RULE_DENOMINATORS:
        near = shop_fraction(value * factor).text
        raise _refusal(
            text,
            "L113",
            f"{top}/{bottom} is not on a rule (2, 4, 8, 16, 32, 64). Did you mean {near}?",
        )
    if match["decimal"] is not None and top >= bottom:
        raise _refusal(
            text, "L114", f"{top}/{bottom} is one or more; write the whole inches in front."
        )
    return value


def _refusal(text: str, code: str, message: str) -> LengthError:
    shown = text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"
    subject = "Empty length." if code == "L101" else f'"{shown}":'
    return LengthError(Fault(code, subject, message))
