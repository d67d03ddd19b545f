from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.edits.breakpoints import drag_breakpoint
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.segment import Part, Segment
from tests.strategies import lines_

TAPER = Segment(Part.FRONT_TAPER, 3.0, 0.001, 0.002, 860.0)
BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
RUNNING = Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0)
BENCH = Bench((line_of("a", "Alder head", (TAPER, BELLY, RUNNING)),))


def rows(bench: Bench) -> tuple[Segment, ...]:
    return bench.lines[0].segments


@given(lines_("a", least=1), st.floats(-5.0, 130.0), st.data())
def test_a_moved_breakpoint_takes_from_one_what_it_gives_the_other(line, position, data):
    count = len(line.segments)
    i = data.draw(st.integers(0, count))
    after = drag_breakpoint(Bench((line,)), "a", i, position).bench.lines[0]
    if i < count:
        assert after.length == pytest.approx(line.length, rel=1e-12)
    assert all(segment.length >= 0.005 * (1 - 1e-9) for segment in after.segments)
    for row in range(count):
        if row not in (i - 1, i):
            assert after.segments[row] is line.segments[row]
    if i > 0:
        low = line.starts[i - 1] + 0.005
        high = line.starts[i + 1] - 0.005 if i < count else math.inf
        assert after.starts[i] == pytest.approx(min(max(position, low), high), rel=1e-9)
    else:
        assert after is line


def test_a_drag_moves_lengths_and_the_diameters_that_touch():
    edited = drag_breakpoint(BENCH, "a", 1, 4.0, diameter=0.0021)
    front, rear, running = rows(edited.bench)
    assert (front.length, front.front_diameter, front.rear_diameter) == (4.0, 0.001, 0.0021)
    assert (rear.length, rear.front_diameter, rear.rear_diameter) == (4.0, 0.0021, 0.002)
    assert running is RUNNING
    assert edited.moved == ()
    assert str(edited.text) == "Move breakpoint"


def test_the_rod_end_changes_the_last_length_and_the_fly_end_stays():
    assert rows(drag_breakpoint(BENCH, "a", 3, 30.0).bench)[2].length == pytest.approx(22.0)
    assert drag_breakpoint(BENCH, "a", 0, 1.0).bench is BENCH
    fly_end = drag_breakpoint(BENCH, "a", 0, None, diameter=0.0012)
    assert rows(fly_end.bench)[0].front_diameter == 0.0012
    rod_end = drag_breakpoint(BENCH, "a", 3, diameter=0.0012)
    assert rows(rod_end.bench)[2].rear_diameter == 0.0012


def test_a_drag_back_to_the_start_gives_the_same_bench():
    assert drag_breakpoint(BENCH, "a", 1, 3.0).bench is BENCH


@pytest.mark.parametrize("index", [-1, 4])
def test_there_is_no_breakpoint_off_the_line(index):
    with pytest.raises(Refused, match="no breakpoint"):
        drag_breakpoint(BENCH, "a", index, 1.0)
    with pytest.raises(Refused, match="must stay on the line"):
        drag_breakpoint(BENCH, "a", 1, math.nan)
