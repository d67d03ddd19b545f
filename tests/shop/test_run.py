"""A run along a line with a caliper: which station is next."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.measurement import Station
from taperlab.shop.measure import run as runs
from taperlab.shop.measure.run import Run

NOTHING: frozenset[int] = frozenset()


def test_places_come_every_so_far_and_end_at_the_rod_end() -> None:
    assert runs.every(2.0, 8.0) == (0.0, 2.0, 4.0, 6.0, 8.0)
    assert runs.every(2.0, 9.0) == (0.0, 2.0, 4.0, 6.0, 8.0, 9.0)
    # Nothing is gained by reading an inch before the end.
    assert runs.every(2.0, 8.2) == (0.0, 2.0, 4.0, 6.0, 8.2)
    assert runs.every(2.0, 1.0) == (0.0, 1.0)
    assert runs.every(0.3, 0.9) == pytest.approx((0.0, 0.3, 0.6, 0.9))


def test_each_reading_goes_on_to_the_next_place_that_is_not_read() -> None:
    run = runs.begin([4.0, 0.0, 2.0])
    assert (run.places, run.place) == ((0.0, 2.0, 4.0), 0.0)
    run = runs.taken(run, NOTHING)
    assert run.place == 2.0
    run = runs.taken(run, frozenset({0}))
    assert run.place == 4.0
    run = runs.taken(run, frozenset({0, 1}))
    assert run.place is None
    assert runs.taken(run, frozenset({0, 1, 2})) == run


def test_a_run_that_was_left_goes_on_where_it_was() -> None:
    places = (0.0, 2.0, 4.0, 6.0)
    stations = [Station(0.0, (0.001,)), Station(2.0005, (0.001,)), Station(5.0, (0.001,))]
    read = runs.read_of(places, stations, 0.003)
    assert read == {0, 1}
    assert runs.begin(places, read).place == 4.0


def test_skipped_repeated_and_back() -> None:
    run = runs.taken(runs.begin([0.0, 2.0, 4.0, 6.0]), NOTHING)
    run = runs.skip(run, frozenset({0}))
    assert run.place == 4.0
    again = runs.repeat(run)
    assert again.place == 0.0
    # Once it was read again the run goes on past what was skipped.
    assert runs.taken(again, frozenset({0})).place == 4.0
    before = runs.back(run)
    assert before.place == 2.0
    assert 1 not in before.passed
    assert runs.back(runs.back(before)).place == 0.0
    done = Run((0.0, 2.0), None, 1)
    assert runs.back(done).place == 2.0
    assert runs.repeat(Run((0.0, 2.0), 0)).place == 0.0


def test_what_is_undone_is_asked_for_again() -> None:
    run = Run((0.0, 2.0, 4.0), 2, 1)
    assert runs.follow(run, frozenset({0, 1}), frozenset({0})).place == 2.0
    assert runs.follow(run, frozenset({0, 1}), frozenset({0, 1, 2})).place is None
    assert runs.follow(run, frozenset({0, 1}), frozenset({0, 1})) == run


@given(st.integers(1, 12), st.sets(st.integers(0, 11)))
def test_taking_what_is_asked_for_reads_every_place_once(count: int, first: set[int]) -> None:
    read = frozenset(each for each in first if each < count)
    run, asked = runs.begin([float(i) for i in range(count)], read), []
    while run.at is not None:
        asked.append(run.at)
        run, read = runs.taken(run, read), read | {run.at}
    assert sorted(asked) == sorted(set(range(count)) - {each for each in first if each < count})
    assert read == frozenset(range(count))


@given(st.floats(0.05, 3.0), st.floats(0.1, 40.0))
def test_places_rise_from_one_end_to_the_other(step: float, length: float) -> None:
    places = runs.every(step, length)
    assert (places[0], places[-1]) == (0.0, length)
    gaps = [b - a for a, b in pairwise(places)]
    assert all(0.0 < gap < (1.0 + runs.LEAST_GAP) * step + 1e-9 for gap in gaps)
