"""Days as they are typed and shown."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.units.days import parse_day, parse_day_span, parse_days, show_day
from taperlab.units.parse import Unreadable


@given(st.dates())
def test_a_day_reads_as_it_is_shown(day: date) -> None:
    assert parse_day(show_day(day)) == day


@given(st.dates(date(1000, 1, 1), date(9999, 11, 30)))
def test_a_month_ends_on_the_day_before_the_next(day: date) -> None:
    first, last = parse_days(f"{day.year}-{day.month}")
    assert first <= day <= last
    assert (first.day, (last + timedelta(days=1)).day) == (1, 1)
    assert parse_days(f"{day.year}") == (date(day.year, 1, 1), date(day.year, 12, 31))


@pytest.mark.parametrize("text", ["2026-05-04", "2026/5/4", " 2026.05.4 ", "2026 - 5 - 4"])
def test_marks_between_are_free(text: str) -> None:
    assert parse_day(text) == date(2026, 5, 4)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "4.5.2026",
        "05/04/2026",
        "2026-13-01",
        "2026-02-30",
        "2026-00",
        "0000",
        "2026-05-04T12",
        "٢٠٢٦",
    ],
)
def test_what_could_be_another_day_is_refused(text: str) -> None:
    with pytest.raises(Unreadable, match="such as 2026-05-04"):
        parse_days(text)


def test_nothing_is_told_from_nonsense() -> None:
    with pytest.raises(Unreadable, match="Nothing was typed"):
        parse_day(" ")
    with pytest.raises(Unreadable, match="“May” is no day"):
        parse_day("May")


def test_a_month_is_no_day() -> None:
    with pytest.raises(Unreadable):
        parse_day("2026-05")


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("2026", (date(2026, 1, 1), date(2026, 12, 31))),
        ("2026-03 to 2026-05", (date(2026, 3, 1), date(2026, 5, 31))),
        ("2026-03-04..2026-05-06", (date(2026, 3, 4), date(2026, 5, 6))),
        ("2026-03..", (date(2026, 3, 1), None)),
        ("2026-03-04 to 2026-03-04", (date(2026, 3, 4), date(2026, 3, 4))),
        ("..2024-02", (None, date(2024, 2, 29))),
    ],
)
def test_a_span_of_days(text: str, span: tuple[date | None, date | None]) -> None:
    assert parse_day_span(text) == span


@pytest.mark.parametrize("text", ["..", "", "2026-05 to 2026-03", "May to June", "2026 to"])
def test_what_is_no_span_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        parse_day_span(text)
