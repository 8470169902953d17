"""Lengths as woodworkers write them, and what is refused with which words."""

import contextlib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.errors import LengthError
from seamwright.lengths import INCH_MM, Unit, exact_mm, parse_length

READ = [
    ('1-3/8"', "34.925"), ("1+3/8 in", "34.925"), ("1⅜″", "34.925"), ("1 - 3/8 in", "34.925"),
    ("1–3/8 in", "34.925"), ("11/8 in", "34.925"), ("19/32 in", "15.08125"),
    ("0.25 in", "6.35"), (".5in", "12.7"),
    (".25in", "6.35"), ("19mm", "19"), ("19 mm", "19"), ("1.9 cm", "19"), ("1.9CM", "19"),
    ("2' 3-1/2\"", "698.5"), ("1 ft", "304.8"), ("1' 2 1/2\"", "368.3"), ("1'2½”", "368.3"),
    ("1'-2\"", "355.6"), ("1' 2", "355.6"), ("3 4/8 inches", "88.9"), ("1''", "25.4"),
    ("-1/4 in", "-6.35"), ("−1/4 in", "-6.35"), ("0 mm", "0"), ("3⁄4 in.", "19.05"),
    ("-1' 2\"", "-355.6"), ("5.  mm", "5"), ("\u00a019\u2009mm ", "19"), ("1.5 ft", "457.2"),
]  # fmt: skip

REFUSED = [
    ("", None, 'Empty length. Write for example 1-3/8" or 35 mm.'),
    ("  ", None, 'Empty length. Write for example 1-3/8" or 35 mm.'),
    ("19", None, '"19": which unit? Write 19 in or 19 mm.'),
    (
        "1,5 mm",
        None,
        '"1,5 mm": a comma is unclear (decimal or thousands). '
        "Write a point, for example 1.5 mm.",
    ),
    (
        "1 3/7 in",
        None,
        '"1 3/7 in": 3/7 is not on a rule (2, 4, 8, 16, 32, 64). Did you mean 1-27/64"?',
    ),
    ("1.5 3/8 in", None, '"1.5 3/8 in": a decimal and a fraction are mixed. '
     "Write one or the other."),
    ("3/8 mm", None, '"3/8 mm": fractions are for inches. Write a decimal for mm.'),
    ("3/8", None, '"3/8": which unit? Write 3/8 in.'),
    (
        "3/8",
        Unit.MM,
        '"3/8": the plan is in mm, and a fraction is inches. Write 3/8 in if you mean inches.',
    ),
    ("1 12/8 in", None, '"1 12/8 in": 12/8 is one or more; write the whole inches in front.'),
    ("5 furlongs", None, '"5 furlongs": I do not know the unit "furlongs". '
     'Use mm, cm, in or ".'),
    ("1/0 in", None, '"1/0 in": the bottom of the fraction is 0.'),
]  # fmt: skip

NOT_LENGTHS = [
    "1 2 in", "--1 in", "1 -3/8 in", "1- 3/8 in", "٣ mm", "1/2/3 in", "5'6'", "1 in 3/8", ".",
    ". in", "nan", "inf mm", "1e3 mm", "1_000 mm", "0x10 mm", "⅜⅜ in", "1⅓ in", "1 mm 2 mm",
    "1-in", "1' 5 mm", "1.5' 6\"", "1/2'", "in", '"', "'", "-", "1..5 mm", "9" * 41 + " mm",
    "½½", "1 / in", "/8 in", "5 m", "mm 5", "5 inn", "1 3/8 3/8 in", "５ mm",
]  # fmt: skip


@pytest.mark.parametrize(("text", "mm"), READ)
def test_read(text, mm):
    assert parse_length(text) == Fraction(mm)


@pytest.mark.parametrize(("text", "unit", "message"), REFUSED)
def test_refused_in_these_words(text, unit, message):
    with pytest.raises(LengthError) as caught:
        parse_length(text, unit=unit)
    assert str(caught.value) == message


@pytest.mark.parametrize("unit", [None, Unit.MM, Unit.INCH])
@pytest.mark.parametrize("text", NOT_LENGTHS)
def test_never_a_guess(text, unit):
    with pytest.raises(LengthError):
        parse_length(text, unit=unit)


def test_bare_numbers_take_the_unit():
    assert parse_length("1 3/8", unit=Unit.INCH) == Fraction("34.925")
    assert parse_length("3/64", unit=Unit.INCH) == Fraction(3, 64) * INCH_MM
    assert parse_length("19", unit=Unit.MM) == 19
    assert parse_length(".25", unit=Unit.INCH) == Fraction("6.35")
    assert parse_length("19mm", unit=Unit.INCH) == 19


@given(st.text(max_size=50), st.sampled_from([None, Unit.MM, Unit.INCH]))
def test_any_text_is_read_or_refused(text, unit):
    with contextlib.suppress(LengthError):
        assert isinstance(parse_length(text, unit=unit), Fraction)


@given(st.text(alphabet="0123456789 -+/.'\"inmcft½⅜,", max_size=14))
def test_what_is_read_has_no_second_reading(text):
    """A text that is read with a unit of its own means the same under any default unit."""
    try:
        alone = parse_length(text)
    except LengthError:
        return
    assert parse_length(text, unit=Unit.INCH) == alone
    assert parse_length(text, unit=Unit.MM) == alone


@given(st.integers(0, 400), st.integers(0, 63), st.sampled_from([" ", "-", "+"]))
def test_mixed_numbers(whole, part, joint):
    fraction = Fraction(part, 64)
    text = f"{whole}{joint}{fraction.numerator}/{fraction.denominator}" if part else f"{whole}"
    assert parse_length(f'{text}"') == (whole + fraction) * INCH_MM


@given(st.integers(0, 999), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_plain_fractions_keep_all_their_digits(top, bottom):
    assert parse_length(f"{top}/{bottom} in") == Fraction(top, bottom) * INCH_MM


@given(st.decimals(0, 10000, places=6))
def test_decimals_are_exact(value):
    assert parse_length(f"{value:f}mm") == Fraction(value)
    assert parse_length(f"{value:f} in") == Fraction(value) * INCH_MM


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_no_length_without_end(value):
    with pytest.raises(ValueError, match="is not a length"):
        exact_mm(value)


@given(st.integers(-(10**13), 10**13))
def test_floats_are_read_on_the_lattice(steps):
    assert exact_mm(steps / 10**9) == Fraction(steps, 10**9)
