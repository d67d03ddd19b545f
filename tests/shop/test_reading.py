"""Reading a line at one place."""

from __future__ import annotations

import pytest

from taperlab.model.exact_units import FOOT
from taperlab.model.line import Joint, JointKind, Line, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.shop.analyse import analyse_line
from taperlab.shop.reading import place_of_weight, read_line


def stepped() -> Line:
    segments = (
        Segment(Part.SINK_TIP, 12 * FOOT, 0.001, 0.001, 2000.0),
        Segment(Part.BELLY, 20 * FOOT, 0.002, 0.002, 860.0),
    )
    joint = Joint(JointKind.LOOP_TO_LOOP, mass=1e-4)
    return Line("rig", "Rig", Style.TIP, segments, (joint,))


def test_reads_behind_a_breakpoint_and_counts_the_sleeve_there() -> None:
    analysis = analyse_line(stepped(), Water())
    ahead = read_line(analysis, 12 * FOOT - 0.01)
    there = read_line(analysis, 12 * FOOT)
    assert ahead is not None
    assert there is not None
    assert (ahead.part, there.part) == (Part.SINK_TIP, Part.BELLY)
    assert there.diameter == 0.002
    assert there.running_mass == pytest.approx(analysis.segments[0].mass + 1e-4, rel=1e-12)
    assert ahead.joint is None
    assert there.joint is not None
    assert there.joint.kind is JointKind.LOOP_TO_LOOP
    assert ahead.sink > 0.0 > there.sink


def test_both_ends_are_on_the_line_and_nothing_beyond() -> None:
    analysis = analyse_line(stepped(), Water())
    front, rear = read_line(analysis, 0.0), read_line(analysis, analysis.length)
    assert front is not None
    assert rear is not None
    assert front.running_mass == 0.0
    assert rear.running_mass == pytest.approx(analysis.mass, rel=1e-12)
    assert read_line(analysis, -0.01) is None
    assert read_line(analysis, analysis.length + 0.01) is None


def test_an_empty_line_reads_nothing() -> None:
    assert read_line(analyse_line(line_of("new", "New", ()), Water()), 0.0) is None


def test_a_weight_is_found_where_the_line_has_it() -> None:
    analysis = analyse_line(stepped(), Water())
    first = analysis.segments[0].mass
    half = place_of_weight(analysis, first / 2)
    assert half is not None
    assert half.position == pytest.approx(6 * FOOT), "a level piece has half its weight halfway"
    # Inside the sleeve's own weight the place is the joint.
    sleeve = place_of_weight(analysis, first + 5e-5)
    assert sleeve is not None
    assert sleeve.position == pytest.approx(12 * FOOT)
    assert place_of_weight(analysis, analysis.mass * 1.01) is None
    assert place_of_weight(analysis, -1e-6) is None
