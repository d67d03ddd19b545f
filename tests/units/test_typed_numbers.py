from __future__ import annotations

import contextlib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.units.typed import NotANumber, Typed, read


def number(text: str, decimal: str = ".") -> Fraction:
    typed = read(text, decimal=decimal)  # type: ignore[arg-type]
    assert isinstance(typed, Typed)
    assert typed.words == ""
    return typed.number


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("480", "480"),
        (".085", "0.085"),
        ("0.085", "0.085"),
        ("13.", "13"),
        ("+5", "5"),
        ("-5", "-5"),
        ("− 5", "-5"),
        ("12,5", "12.5"),
        ("0,085", "0.085"),
        (",085", "0.085"),
        ("1.234", "1.234"),
        ("1234,567", "1234.567"),
        ("1,2345", "1.2345"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("1,234,567", "1234567"),
        ("1.234.567", "1234567"),
        ("1,234,567.8", "1234567.8"),
        ("1/2", "1/2"),
        ("3/2", "3/2"),
        ("6 1/2", "13/2"),
        ("6-1/2", "13/2"),
        ("6½", "13/2"),
        ("6 ½", "13/2"),
        ("-6½", "-13/2"),
        ("⅛", "1/8"),
        ("1⁄8", "1/8"),
        ("6\u00a01/2", "13/2"),
        ("8.5e-2", "0.085"),
        ("8,5E-02", "0.085"),
    ],
)
def test_numbers(text: str, value: str) -> None:
    assert number(text) == Fraction(value)


@pytest.mark.parametrize(
    ("text", "value"), [("1,234", "1.234"), ("1.234,5", "1234.5"), ("0.085", "0.085")]
)
def test_in_a_file_with_decimal_commas_the_marks_change_places(text: str, value: str) -> None:
    assert number(text, ",") == Fraction(value)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("nan", "is not a number"),
        ("NaN m", "is not a number"),
        ("inf", "is not a finite number"),
        ("-Infinity", "is not a finite number"),
        ("∞", "is not a finite number"),
        ("--5", "does not start with a number"),
        ("m", "does not start with a number"),
        ("", "does not start with a number"),
        ("٣", "does not start with a number"),
        ("１２", "does not start with a number"),
        ("5１", None),
        ("1_000", "is more than one number and a unit"),
        ("12 5", "is more than one number and a unit"),
        ("480-500", "is more than one number and a unit"),
        ("2/3/4", "is more than one number and a unit"),
        ("2**9", None),
        ("1e999", None),
        ("1,234", "could mean 1.234 or 1234, so write it one of these ways"),
        ("999,999", "could mean 999.999 or 999999, so write it one of these ways"),
        ("12,", "ends in a comma or a point"),
        ("1,23.5", "has a comma or a point too many"),
        ("1.2.3", "has a comma or a point too many"),
        ("1,234.", "has a comma or a point too many"),
        ("12,34,567", "has a comma or a point too many"),
        ("1/0", "has a fraction over zero"),
        ("6 3/2", "has a fraction of one or more after a whole number"),
        ("13.5 ft 6 in", "has inches after feet that are not whole"),
        ("13 ft 12 in", "has 12 or more inches after the feet"),
        ("9" * 61, "is too long to be a number"),
    ],
)
def test_what_is_no_number_says_why(text: str, why: str | None) -> None:
    if why is None:  # a number, but with words after it that name no unit
        typed = read(text)
        assert isinstance(typed, Typed)
        assert typed.words
        return
    with pytest.raises(NotANumber) as caught:
        read(text)
    assert str(caught.value) == why


def test_the_sure_mark_of_a_file_makes_the_other_one_doubtful() -> None:
    with pytest.raises(NotANumber, match="could mean 1,234 or 1234"):
        read("1.234", decimal=",")


def test_dashed_feet_and_inches_only_on_request() -> None:
    assert read("13-6 1/2", dashed=True) == Typed(Fraction(325, 2), "in")
    assert read("13-6.5", dashed=True) == Typed(Fraction(325, 2), "in")
    assert read("13-6-1/2", dashed=True) == Typed(Fraction(325, 2), "in")
    assert read('13-6"', dashed=True) == Typed(Fraction(162), "in")
    assert read("-13-6", dashed=True) == Typed(Fraction(-162), "in")
    with pytest.raises(NotANumber):
        read("13-6")


# Every way to write so many feet and inches, by an arithmetic that the grammar does not share.
FEET_AND_INCHES = [
    "{feet}'{inches}\"",
    "{feet}' {inches}\"",
    "{feet}′{inches}″",
    "{feet}’ {inches}”",
    "{feet}'{inches}''",
    "{feet}'{inches}",
    "{feet} ft {inches} in",
    "{feet}ft{inches}in",
    "{feet}ft{inches}",
    "{feet} FT {inches} IN",
    "{feet} ft. {inches} in.",
    "{feet} feet, {inches} inches",
    "{feet}\u00a0ft\u00a0{inches}\u00a0in",
    "{feet}'-{inches}\"",
    "{feet}-{inches}",
    '{feet}-{inches}"',
]


@given(
    feet=st.integers(0, 500),
    whole=st.integers(0, 11),
    sixteenths=st.integers(1, 15),
    form=st.sampled_from(FEET_AND_INCHES),
)
def test_feet_and_inches_in_every_spelling(
    feet: int, whole: int, sixteenths: int, form: str
) -> None:
    expected = Typed(Fraction(16 * (12 * feet + whole) + sixteenths, 16), "in")
    for inches in (f"{whole} {sixteenths}/16", f"{whole + sixteenths / 16}"):
        assert read(form.format(feet=feet, inches=inches), dashed=True) == expected
    whole_inches = read(form.format(feet=feet, inches=whole), dashed=True)
    assert whole_inches == Typed(Fraction(12 * feet + whole), "in")


@given(st.decimals(0, 10**9, places=4, allow_nan=False))
def test_points_commas_and_groups_say_the_same(value: object) -> None:
    exact = Fraction(f"{value}")
    for text in (f"{value}", f"{value}".replace(".", ","), f"{value:,}"):
        assert number(text) == exact
    swapped = f"{value:,}".translate(str.maketrans(",.", ".,"))
    assert number(swapped) == number(swapped, ",") == exact


@given(st.text(), st.sampled_from([".", ","]), st.booleans())
def test_any_text_is_a_number_or_is_not(text: str, decimal: str, dashed: bool) -> None:
    with contextlib.suppress(NotANumber):
        read(text, decimal=decimal, dashed=dashed)  # type: ignore[arg-type]
