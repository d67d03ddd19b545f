"""A head as its pieces make it: as long, and as heavy on the scale, as its plan says."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.files.native import read_bench
from taperlab.model.pieces import Rules
from taperlab.physics.profile import Profile
from taperlab.shipped import sample
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.finished import finished_line, places
from taperlab.shop.pieces.study import study_now
from tests.looped import FOOT, GRAIN, INCH

BENCH = read_bench(sample("pieces.taperlab"))


@settings(max_examples=8)
@given(
    st.floats(0.85, 1.1), st.floats(0.0, 2.0), st.booleans(), st.floats(2.0, 5.0), st.integers(1, 2)
)
def test_it_weighs_what_the_scale_should_read_with_its_loops_on(
    longer: float, overlap: float, keeps_weight: bool, off: float, count: int
) -> None:
    line = BENCH.lines[0]
    segments = tuple(replace(each, length=each.length * longer) for each in line.segments)
    rules = Rules(tolerance=off * GRAIN / FOOT, overlap=overlap * INCH, keeps_weight=keeps_weight)
    asked = Question(((replace(line, segments=segments), count),), BENCH.stock, rules)
    found = study_now(asked)
    for number in range(len(found.heads)):
        made = finished_line(found, number)
        assert found.builds[number] is not None
        assert made is not None
        assert made.length == pytest.approx(sum(each.finished for each in found.of_head(number)))
        assert places(found, number)[-1] == pytest.approx(made.length)
        read = found.checkpoints(number)[-1].mass
        # What a lap of two tapers, and a fold of one, add to the sharp joint is far under a grain.
        assert Profile.of(made).total_mass == pytest.approx(read, abs=0.3 * GRAIN)


def test_a_head_of_which_nothing_is_cut_is_no_line() -> None:
    found = study_now(Question(((BENCH.lines[0], 1),), ()))
    assert finished_line(found, 0) is None
