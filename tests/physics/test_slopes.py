"""Slopes in closed form against central differences of the figures themselves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from taperlab.model.line import Line
from taperlab.physics import slopes
from taperlab.physics.frustum import Taper
from taperlab.physics.head import head_rows, head_sums
from taperlab.physics.profile import SAME_PLACE, Profile
from taperlab.physics.settling_slopes import net_force
from taperlab.physics.sinking import segment_drag
from taperlab.physics.slopes import Sloped
from taperlab.physics.water import WaterState
from tests.strategies import lines_

NAMES = ("length", "front_diameter", "rear_diameter", "density")


def moved(line: Line, row: int, name: str, by: float) -> Line:
    rows = list(line.segments)
    rows[row] = replace(rows[row], **{name: getattr(rows[row], name) * (1.0 + by)})
    return replace(line, segments=tuple(rows))


def differences(line: Line, figure, by: float = 1e-5):
    """Slopes of a figure by central differences, times the numbers, so that all are in its unit."""
    return np.array(
        [
            [
                (figure(moved(line, i, name, by)) - figure(moved(line, i, name, -by))) / (2.0 * by)
                for i in range(len(line.segments))
            ]
            for name in NAMES
        ]
    )


def agree(line: Line, found, figure):
    value, table = found
    assert value == pytest.approx(figure(line), rel=1e-11)
    scaled = table * Sloped.of(line).columns[:4]
    wanted = differences(line, figure)
    scale = np.abs(wanted).max() + abs(value)
    np.testing.assert_allclose(scaled, wanted, rtol=1e-6, atol=3e-9 * scale)


def sums(line: Line):
    found = head_sums(line, Profile.of(line))
    assert found is not None
    return found


@settings(max_examples=30)
@given(lines_(least=1))
def test_weight_moment_balance_and_share(line):
    assume(head_rows(line))
    rows, within = Sloped.of(line), sums(line).within
    agree(line, slopes.mass(rows, within), lambda each: sums(each).mass)
    agree(line, slopes.moment(rows, within), lambda each: sums(each).moment)
    agree(line, slopes.balance(rows, within), lambda each: sums(each).balance_point)
    front = slopes.front_rows(line) * within
    agree(line, slopes.front_share(rows, front, within), lambda each: sums(each).front_mass_share)


@settings(max_examples=50)
@given(lines_(least=1), st.floats(0.0, 1.0))
def test_running_weight_at_a_length(line, share):
    position = share * line.length
    # Beside a breakpoint a difference would reach over it, and over the loops that lie there.
    assume(np.abs(np.array(line.starts) - position).min() > 1e-3 * line.length)
    agree(
        line,
        slopes.running_mass(Sloped.of(line), position),
        lambda each: float(Profile.of(each).running_mass(position)),
    )


@given(lines_(least=1))
def test_running_weight_at_breakpoints_and_beyond_both_ends(line):
    profile, rows = Profile.of(line), Sloped.of(line)
    for position in (-1.0, *line.starts, line.length + SAME_PLACE, line.length + 1.0):
        value, table = slopes.running_mass(rows, position)
        assert value == pytest.approx(float(profile.running_mass(position)), rel=1e-11, abs=1e-18)
        assert table.shape == (4, len(line.segments))


@given(lines_(least=1))
def test_to_the_end_it_is_the_whole_weight(line):
    value, table = slopes.running_mass(Sloped.of(line), line.length)
    whole, by_whole = slopes.mass(Sloped.of(line), np.ones(len(line.segments)))
    assert value == pytest.approx(whole)
    np.testing.assert_allclose(table, by_whole)


@given(lines_(least=1))
def test_weight_is_of_first_degree_in_lengths_and_in_densities(line):
    """Euler: the slopes by what a weight is proportional to add up to the weight itself."""
    bare = replace(
        line,
        segments=tuple(replace(each, core=None) for each in line.segments),
        joints=tuple(replace(each, mass=0.0, **_unlooped(each)) for each in line.joints),
        front_loop=replace(line.front_loop, fold=0.0, mass=0.0),
        rear_loop=replace(line.rear_loop, fold=0.0, mass=0.0),
    )
    rows = Sloped.of(bare)
    value, table = slopes.mass(rows, np.ones(len(bare.segments)))
    by_number = (table * rows.columns[:4]).sum(axis=1)
    assert by_number[slopes.LENGTH] == pytest.approx(value)
    assert by_number[slopes.DENSITY] == pytest.approx(value)
    assert by_number[slopes.FRONT] + by_number[slopes.REAR] == pytest.approx(2.0 * value)


def _unlooped(joint):
    return {
        name: replace(getattr(joint, name), fold=0.0, mass=0.0)
        for name in ("loop_ahead", "loop_behind")
    }


@settings(max_examples=30)
@given(lines_(least=1), st.floats(-0.3, 0.4))
def test_force_at_a_speed(line, speed):
    state, whole = WaterState(999.7, 1.306e-3), np.ones(len(line.segments))

    def force(each: Line) -> float:
        return net_force(Sloped.of(each), whole, speed, state)[0]

    # Apart from it: the program's own volume, and the drag of its segments and folds.
    profile = Profile.of(line)
    folded = profile.point_folds > 0.0
    thick = profile.point_diameters[folded]
    folds = Taper(profile.point_folds[folded], thick, thick, 1.0)
    drag = float(segment_drag(speed, profile.tapers(), state).sum())
    drag += float(segment_drag(speed, folds, state).sum())
    net = 9.80665 * (profile.total_mass - state.density * float(profile.volume()))
    scale = abs(net) + drag
    assert force(line) == pytest.approx(net - np.sign(speed) * drag, abs=1e-6 * scale)
    scaled = net_force(Sloped.of(line), whole, speed, state)[1] * Sloped.of(line).columns[:4]
    np.testing.assert_allclose(scaled, differences(line, force), rtol=1e-5, atol=1e-8 * scale)


@given(lines_(least=1))
def test_no_force_is_left_at_the_rate_at_which_it_sinks(line):
    state, whole = WaterState(999.7, 1.306e-3), np.ones(len(line.segments))
    profile = Profile.of(line)
    rate = float(profile.sink_rate(state))
    weight = 9.80665 * profile.total_mass
    assert net_force(Sloped.of(line), whole, rate, state)[0] == pytest.approx(
        0.0, abs=1e-6 * weight
    )
