"""Lengths as a rule shows them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.lengths import (
    INCH_MM,
    RULE_DENOMINATORS,
    Remainder,
    Unit,
    decimal_text,
    inch_text,
    length_text,
    mm_text,
    parse_length,
    shop_fraction,
)

lengths = st.fractions(-10_000, 10_000, max_denominator=10**9)


@given(lengths, st.sampled_from(RULE_DENOMINATORS))
def test_mark_and_remainder_are_the_length(length, denominator):
    mark = shop_fraction(length, denominator)
    assert mark.shown_mm + mark.remainder_mm == length
    assert abs(mark.remainder_mm) <= INCH_MM / (2 * denominator)
    assert denominator % mark.denominator == 0
    assert 0 <= mark.numerator < mark.denominator
    assert (mark.sign == 0) == (mark.whole == 0 and mark.numerator == 0)


@given(lengths, st.sampled_from(RULE_DENOMINATORS))
def test_text_reads_back(length, denominator):
    mark = shop_fraction(length, denominator)
    assert parse_length(mark.text) == mark.shown_mm
    again = shop_fraction(mark.shown_mm, denominator)
    assert again.is_exact
    assert again.text == mark.text


@given(st.integers(-64_000, 64_000))
def test_marks_of_the_rule_are_exact(steps):
    length = Fraction(steps, 64) * INCH_MM
    assert shop_fraction(length).is_exact
    assert shop_fraction(float(length)).is_exact
    assert parse_length(inch_text(length)) == length


@given(lengths)
def test_tenths(length):
    shown = Fraction(mm_text(length).removesuffix(" mm"))
    assert abs(shown - length) <= Fraction(1, 20)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        ("22", '55/64" + 0.17 mm'),
        ("395.6", '15-37/64" - 0.08 mm'),
        ("9.525", '3/8"'),
        ("12.700001", '1/2" (within 0.005 mm)'),
        ("0.1", '0" + 0.10 mm'),
        ("0", '0"'),
        ("-34.925", '-1-3/8"'),
        ("304.8", '12"'),
    ],
)
def test_in_words_with_millimetres(mm, text):
    assert inch_text(Fraction(mm), remainder=Remainder.MM) == text


@pytest.mark.parametrize(
    ("mm", "denominator", "text"),
    [
        ("22", 64, '55/64" + 0.007"'),
        ("22", 16, '7/8" - 0.009"'),
        ("22", 32, '7/8" - 0.009"'),
        ("12.700001", 64, '1/2" (within 0.0005")'),
        ("34.925", 8, '1-3/8"'),
    ],
)
def test_in_words_with_thousandths(mm, denominator, text):
    assert inch_text(Fraction(mm), denominator=denominator) == text


def test_ties_go_away_from_zero():
    tie = Fraction(1, 128) * INCH_MM
    assert shop_fraction(tie).text == '1/64"'
    assert shop_fraction(-tie).text == '-1/64"'
    assert decimal_text(Fraction("25.395"), 2) == "25.40"
    assert decimal_text(Fraction("-25.395"), 2) == "-25.40"
    assert decimal_text(Fraction(5, 2), 0) == "3"


def test_in_the_unit_of_the_design():
    assert length_text(22.0, unit=Unit.MM) == "22.0 mm"
    assert length_text(Fraction("34.925"), unit=Unit.INCH) == '1-3/8"'
    assert inch_text(22, remainder=Remainder.SILENT) == '55/64"'


@pytest.mark.parametrize("denominator", [0, 1, 3, 10, 128, -8])
def test_no_such_rule(denominator):
    with pytest.raises(ValueError, match="a rule has no"):
        shop_fraction(1, denominator)
