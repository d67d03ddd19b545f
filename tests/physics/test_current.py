"""Currents: slower toward the bed, weaker on the swing, and what a drift leaves."""

from __future__ import annotations

import math

import numpy as np
import pytest

from taperlab.physics.current import (
    Stream,
    depth_after_drift,
    river_share,
    swing_error,
    swing_factor,
)


def test_a_river_slackens_by_its_sixth_root() -> None:
    assert river_share([0.0, 0.5, 1.0], 1.0) == pytest.approx([1.0, 0.5 ** (1 / 6), 0.0])
    # Above the water and below the bed, as at the edge.
    assert river_share([-1.0, 9.0], 1.0) == pytest.approx([1.0, 0.0])


def test_its_mean_is_six_sevenths_of_what_runs_at_the_surface() -> None:
    """The integral of (y/D)^(1/6) over the depth: n / (n + 1) for a power of 1/n."""
    depths = (np.arange(20_000) + 0.5) / 20_000
    assert float(river_share(depths, 1.0).mean()) == pytest.approx(6.0 / 7.0, rel=1e-4)


def test_a_swung_line_feels_less_current() -> None:
    assert float(swing_factor(0.0)) == 1.0
    assert float(swing_factor(math.radians(30.0))) == pytest.approx(1.0 - 0.051 - 0.045)
    angles = np.radians(np.arange(0.0, 61.0, 5.0))
    assert (np.diff(swing_factor(angles)) < 0.0).all()
    errors = [swing_error(math.radians(each)) for each in (0.0, 10.0, 50.0)]
    assert errors == [0.0, 0.04, 0.07]


def test_nothing_is_told_of_a_drift_before_it_is_known() -> None:
    found = depth_after_drift(1.0, 3.0, [0.0, 1.49, 1.5, 50.0], 1.0)
    assert np.isnan(found[:2]).all()
    assert found[2] == pytest.approx(1.0 + 2.0 * math.exp(-((1.5 / 2.0) ** 2)))
    assert found[3] == pytest.approx(1.0)


@pytest.mark.parametrize(("bed", "slackens"), [(0.0, False), (-1.0, False), (math.inf, True)])
def test_a_stream_that_cannot_be_is_refused(bed: float, slackens: bool) -> None:
    with pytest.raises(ValueError, match="bed"):
        Stream(bed, slackens)
