"""Ranges as they are typed."""

from __future__ import annotations

import pytest

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.units.kinds import LENGTH, SHARE, WEIGHT, System
from taperlab.units.parse import Unreadable
from taperlab.units.spans import parse_span


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("480 to 500 gr", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("480..500", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("480 gr … 500 gr", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("31 to 32 g", WEIGHT, 0.031, 0.032),
        ("480 TO 500", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("34'6\" to 35 ft", LENGTH, 34.5 * FOOT, 35 * FOOT),
        ("13 ft 6 in to 14 ft", LENGTH, 13.5 * FOOT, 14 * FOOT),
        ("60 to 68 %", SHARE, 0.60, 0.68),
        ("480-500", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("480–500 gr", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("480gr-500gr", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("480 - 500", WEIGHT, 480 * GRAIN, 500 * GRAIN),
        ("44-46 %", SHARE, 0.44, 0.46),
        ("26 ft - 28 ft", LENGTH, 26 * FOOT, 28 * FOOT),
        ("480 to 480", WEIGHT, 480 * GRAIN, 480 * GRAIN),
        ("100 in to 10 ft", LENGTH, 100 * INCH, 10 * FOOT),
    ],
)
def test_both_ends_are_read(text, kind, low, high):
    assert parse_span(text, kind, System.US) == pytest.approx((low, high))


@pytest.mark.parametrize("text", ["480", "480 gr", "13 ft 6 in", "", "heavy"])
def test_a_single_number_is_no_range(text):
    assert parse_span(text, WEIGHT, System.US) is None


@pytest.mark.parametrize("text", ["13-6", "6-1/2 in", "13'6-1/2\""])
def test_feet_and_inches_joined_by_a_dash_are_one_length(text):
    assert parse_span(text, LENGTH, System.US) is None


@pytest.mark.parametrize("text", ["500 to 480", "480 to heavy", "480 to 3 ft", ".. 5"])
def test_what_cannot_be_read_says_why(text):
    with pytest.raises(Unreadable) as told:
        parse_span(text, WEIGHT, System.US)
    assert str(told.value).endswith(".")
