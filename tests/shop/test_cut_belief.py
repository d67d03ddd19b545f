"""What the weighings of a cut-back do to what is believed of the head."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.model.cut_log import CutStep
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import line_of
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Part, Segment
from taperlab.shop.cut_back.belief import begin

LINE = line_of(
    "line",
    "Two pieces",
    (
        Segment(Part.FRONT_TAPER, 9 * FOOT, 0.04 * INCH, 0.09 * INCH, 880.0),
        Segment(Part.BELLY, 21 * FOOT, 0.09 * INCH, 0.085 * INCH, 1050.0),
    ),
)


def test_the_readings_are_not_lost_in_the_order_they_come() -> None:
    tools = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
    cut = begin(LINE, tools, 415.0 * GRAIN).after(CutStep(rear=FOOT))
    one = cut.weighed_head(403.0 * GRAIN).weighed_head(404.0 * GRAIN)
    other = cut.weighed_head(404.0 * GRAIN).weighed_head(403.0 * GRAIN)
    assert one.mean == pytest.approx(other.mean, abs=1e-9)
    assert replace(one, mean=other.mean, covariance=other.covariance).head_mass() == pytest.approx(
        one.head_mass()
    )
