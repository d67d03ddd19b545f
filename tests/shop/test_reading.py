"""Reading a line at one place."""

from __future__ import annotations

import numpy as np
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


def test_a_lap_is_read_and_drawn_as_it_is_made() -> None:
    """Both ends bevelled: no step, and at the centre an eighth of the lap's step heavier."""
    front, rear = (Segment(Part.BELLY, 3.0, d, d, 860.0) for d in (0.0016, 0.002))
    overlap, sleeve = 0.04, 2e-5
    joint = Joint(JointKind.LAPPED_WELD, overlap, sleeve)
    line = Line("weld", "Weld", Style.OTHER, (front, rear), (joint,))
    analysis = analyse_line(line, Water())
    light, heavy = (each.mass / 3.0 for each in analysis.segments)
    there = read_line(analysis, 3.0)
    assert there is not None
    assert there.linear_density == pytest.approx((light + heavy) / 2.0, rel=1e-9)
    assert there.diameter**2 == pytest.approx((0.0016**2 + 0.002**2) / 2.0, rel=1e-9)
    expected = 3.0 * light + sleeve + (heavy - light) * overlap / 8.0
    assert there.running_mass == pytest.approx(expected, rel=1e-12)
    found = place_of_weight(analysis, expected + 0.25 * light * overlap)
    assert found is not None
    assert 3.0 < found.position < 3.0 + overlap / 2.0
    assert found.running_mass == pytest.approx(expected + 0.25 * light * overlap, rel=1e-9)
    curves = analysis.curves
    assert (np.diff(curves.position) >= 0.0).all()
    assert (np.diff(curves.running_mass) >= -1e-15).all()
    assert curves.running_mass[-1] == pytest.approx(analysis.mass, rel=1e-12)
    assert np.abs(np.diff(curves.linear_density)).max() < 0.5 * (heavy - light)
    # Of one extrusion they meet in a step, as they are drawn.
    sharp = analyse_line(Line("one", "One", Style.OTHER, (front, rear), (Joint(),)), Water())
    steps = np.abs(np.diff(sharp.curves.linear_density))
    assert steps.max() == pytest.approx(heavy - light, rel=1e-9)
