"""The room behind: no shape passes the bound, one reaches it; a round loop is half an ellipse."""

from __future__ import annotations

import math
import os

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe

from taperlab.physics.room import (
    Ends,
    half_ellipse,
    longest_pointed,
    longest_round,
    pointed_line,
    pointed_room,
    round_line,
    round_room,
)

SHAPES = int(os.environ.get("TAPERLAB_SHAPES", "100"))
"""How many shapes are drawn; all of them: 2000."""

ends = st.builds(
    Ends, st.floats(-4.0, 1.0), st.floats(0.5, 8.0), st.floats(-1.0, 6.0), st.floats(0.0, 5.0)
)
stretch = st.floats(1.001, 6.0)


def length_of(points: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def drawn_ends(random: np.random.Generator) -> Ends:
    return Ends(*random.uniform([-4.0, 0.5, -1.0, 0.0], [1.0, 8.0, 6.0, 5.0]))


def drawn_shape(random: np.random.Generator, line: float, where: Ends) -> np.ndarray:
    """A line of that length between the ends: a chord, and a random way aside scaled until it fits.

    Many of them are thrown back, as a loop is.
    """
    count = int(random.integers(1, 60))
    tip = np.array([where.tip_ahead, 0.0, where.tip_height])
    peel = np.array([where.peel_ahead, where.aside, 0.0])
    share = np.linspace(0.0, 1.0, count + 2)[:, np.newaxis]
    chord = tip + (peel - tip) * share
    walk = np.cumsum(random.normal(size=(count + 2, 3)), axis=0)
    aside = (walk - walk[0]) - (walk[-1] - walk[0]) * share
    aside -= random.exponential(3.0) * np.sin(np.pi * share) * np.array([1.0, 0.0, 0.0])
    low, high = 0.0, 1.0
    while length_of(chord + high * aside) < line:
        high *= 2.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        short = length_of(chord + middle * aside) < line
        low, high = (middle, high) if short else (low, middle)
    return chord + low * aside


def test_no_shape_of_a_line_reaches_farther_back_than_the_bound() -> None:
    random = np.random.default_rng(20)
    nearest = math.inf
    for _ in range(SHAPES):
        where = drawn_ends(random)
        line = where.apart * random.uniform(1.01, 5.0)
        shape = drawn_shape(random, line, where)
        assert length_of(shape) == pytest.approx(line, rel=1e-9)
        over = pointed_room(line, where) - float(-shape[:, 0].min())
        assert over >= -1e-9
        nearest = min(nearest, over / line)
    # The shapes try: some come near it.
    assert nearest < 0.05


@given(ends, stretch)
def test_a_line_pulled_to_a_point_reaches_the_bound(where: Ends, more: float) -> None:
    line = more * where.apart
    points = pointed_line(line, where)
    assert length_of(points) == pytest.approx(line, rel=1e-9)
    assert -points[1, 0] == pytest.approx(pointed_room(line, where), abs=1e-6)


@given(ends, stretch)
def test_a_round_loop_is_as_long_as_the_line_and_reaches_as_far_as_is_said(
    where: Ends, more: float
) -> None:
    line = more * where.apart
    points = round_line(line, where, 4001)
    assert length_of(points) == pytest.approx(line, rel=1e-4)
    room = round_room(line, where)
    assert float(-points[:, 0].min()) == pytest.approx(room, abs=1e-4 * line)
    assert room <= pointed_room(line, where) + 1e-9
    assert points[0] == pytest.approx([where.tip_ahead, 0.0, where.tip_height])
    assert points[-1] == pytest.approx([where.peel_ahead, where.aside, 0.0])


@given(ends, stretch)
def test_turned_round_it_is_the_same(where: Ends, more: float) -> None:
    line = more * where.apart
    for room, longest in ((pointed_room, longest_pointed), (round_room, longest_round)):
        assert longest(room(line, where), where) == pytest.approx(line, rel=1e-6)


@given(st.floats(0.01, 10.0), st.floats(0.01, 10.0))
def test_half_an_ellipse(depth: float, half: float) -> None:
    a, b = max(depth, half), min(depth, half)
    assert half_ellipse(depth, half) == pytest.approx(2.0 * a * float(ellipe(1.0 - (b / a) ** 2)))


def test_more_line_wants_more_room() -> None:
    where = Ends(-1.5, 5.0, 2.0, 2.4)
    lines = np.linspace(1.001, 4.0, 40) * where.apart
    for room in (pointed_room, round_room):
        assert np.all(np.diff([room(line, where) for line in lines]) > 0.0)


def test_too_little_line_makes_no_loop() -> None:
    where = Ends(-1.5, 5.0, 2.0, 2.4)
    assert math.isnan(pointed_room(where.apart, where))
    assert math.isnan(round_room(0.9 * where.apart, where))
    # The rod tip alone reaches 1.5 m back.
    assert math.isnan(longest_pointed(1.4, where))
    assert math.isnan(longest_round(1.4, where))
    assert longest_pointed(1.6, where) > where.apart
