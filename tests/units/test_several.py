"""Typed lists of values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.units.kinds import ROD_LENGTH, WEIGHT, System
from taperlab.units.parse import Unreadable
from taperlab.units.several import parse_several, several_text

GRAIN, FOOT = 64.79891e-6, 0.3048


def grains(text: str, system: System = System.US) -> list[float]:
    return [each / GRAIN for each in parse_several(text, WEIGHT, system, 60)]


def feet(text: str) -> list[float]:
    return [each / FOOT for each in parse_several(text, ROD_LENGTH, System.US, 60)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("480, 510, 540", [480, 510, 540]),
        ("480 510 540", [480, 510, 540]),
        ("480; 510;540", [480, 510, 540]),
        ("480\n510", [480, 510]),
        ("480,510,540", [480, 510, 540]),
        ("480,510", [480, 510]),
        ("480,5", [480.5]),
        ("480,5; 510,25", [480.5, 510.25]),
        ("480 gr 510 gr", [480, 510]),
        ("480", [480]),
        ("480, 510,", [480, 510]),
        ("from 420 to 570 by 30", [420, 450, 480, 510, 540, 570]),
        ("420 to 480 by 25", [420, 445, 470]),
        ("From 570 to 420 by 50 gr", [570, 520, 470, 420]),
        ("from 400gr to 500gr by 100 gr", [400, 500]),
    ],
)
def test_weights(text: str, wanted: list[float]) -> None:
    assert grains(text) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("12' 12'6 13'", [12, 12.5, 13]),
        ("12 ft 6 in", [12.5]),
        ("12 ft 6 in, 13 ft", [12.5, 13]),
        ("12'6", [12.5]),
        ("13-6; 14-0", [13.5, 14]),
        ("from 12' to 15' by 6 ft", [12]),
    ],
)
def test_rods(text: str, wanted: list[float]) -> None:
    assert feet(text) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "Nothing was typed"),
        ("  ", "Nothing was typed"),
        ("abc", "abc"),
        ("480, x, 510", "x"),
        ("480 lbs of it", "480"),
        ("480, -5", "below zero"),
        ("from 400 to 500 by 1", "more values than the 60"),
        ("1 2 3 4 5 6 7 8 9 " * 8, "more values than the 60"),
        ("from 400 to 500 by 0", "is zero"),
        ("12 ft of 3", "12"),
    ],
)
def test_what_is_no_list_is_told_in_a_sentence(text: str, part: str) -> None:
    with pytest.raises(Unreadable) as refused:
        grains(text)
    sentence = str(refused.value.sentence)
    assert part in sentence
    assert sentence.endswith(".")


@given(st.lists(st.integers(100, 999), min_size=1, max_size=20))
def test_whatever_stands_between_them_the_same_numbers_are_read(numbers: list[int]) -> None:
    for between in (", ", " ", "; ", "\n"):
        assert grains(between.join(map(str, numbers))) == pytest.approx(numbers)


@given(st.integers(100, 400), st.integers(0, 12), st.sampled_from([5, 10, 12.5, 30]))
def test_counting_takes_in_both_ends(first: int, steps: int, by: float) -> None:
    last = first + steps * by
    assert grains(f"from {first} to {last} by {by}") == pytest.approx(
        [first + i * by for i in range(steps + 1)]
    )


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    found, sentence = (), ""
    try:
        found = parse_several(text, WEIGHT, System.US, 60)
    except Unreadable as refused:
        sentence = str(refused.sentence)
    assert bool(found) != bool(sentence)
    assert "\n" not in sentence
    assert len(found) <= 60


@pytest.mark.parametrize("system", list(System))
@given(numbers=st.lists(st.integers(1000, 6000), min_size=1, max_size=6))
def test_what_is_shown_is_read_again(system: System, numbers: list[int]) -> None:
    masses = [each / 10.0 * (GRAIN if system is System.US else 1e-4) for each in numbers]
    rods = [each / 10.0 * 2.0 * 0.0254 * 0.4 for each in numbers]
    rods = [min(max(each, 1.5), 7.0) for each in rods]
    for values, kind, off in ((masses, WEIGHT, 1e-5), (rods, ROD_LENGTH, 0.002)):
        text = several_text(values, kind, system)
        assert parse_several(text, kind, system, 60) == pytest.approx(values, rel=1e-3, abs=off)
