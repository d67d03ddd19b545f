"""The law of propagation against worked examples of the guide on uncertainty.

JCGM 100:2008, Evaluation of measurement data: Guide to the expression of uncertainty in
measurement. All values below are from memory.
"""

import math
from dataclasses import replace

import pytest

from taperlab.model.line import line_of
from taperlab.model.measurement import USUAL
from taperlab.model.segment import Part, Segment
from taperlab.model.tolerance import Tolerance
from taperlab.model.water import Water
from taperlab.shop.errors import combined, rounding_error
from taperlab.shop.tolerance.dimensions import What
from taperlab.shop.tolerance.study import Asked, study


def test_end_gauge_calibration():
    """Annex H.1, table H.1: 25, 9.7, 2.9 and 16.6 nm are combined to 32 nm (from memory)."""
    assert float(combined([25.0, 9.7, 2.9, 16.6])) == pytest.approx(32.0, abs=0.5)


def test_resolution_of_an_indicating_device():
    """F.2.2.1: a resolution dx has the standard uncertainty 0.29 dx (from memory)."""
    assert rounding_error(1.0) == pytest.approx(0.29, abs=0.005)


def test_ten_resistors_by_one_standard():
    """5.2.2, example: what one standard is off by adds up (from memory).

    Ten resistors of 1000 ohm, each calibrated by one standard known to 100 mohm, are in series
    1 ohm unsure, and not 0.32 ohm as if they were independent.

    Ten pieces of line of one length, all read with one micrometer, are as the resistors: what each
    is off by through the standard adds up.
    """
    rows = tuple(
        Segment(Part.BELLY, 1.0, d, d, 870.0) for d in (0.002 * (1.0 + i * 1e-6) for i in range(10))
    )
    common = Tolerance(length=0.0, diameter=0.0, offset=2e-5, density=0.0)
    apart = Tolerance(length=0.0, diameter=2e-5, offset=0.0, density=0.0)
    line = line_of("line", "Ten", rows)

    def off(tolerance: Tolerance) -> tuple[float, float]:
        found = study(Asked(replace(line, tolerance=tolerance), USUAL, Water()))
        one = max(each.slopes.mass for each in found.of(What.DIAMETER)) * 2e-5
        return one, found.spread.one.mass

    one, together = off(common)
    assert together / one * 0.100 == pytest.approx(1.0, rel=1e-4)
    one, independent = off(apart)
    assert independent / one * 0.100 == pytest.approx(0.32, abs=0.005)
    assert together / independent == pytest.approx(math.sqrt(10.0), rel=1e-4)
