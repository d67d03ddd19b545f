"""What the weighings of a cut-back do to what is believed of the head."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.model.cut_log import CutStep
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Part, Segment
from taperlab.shop.cut_back.belief import Drift, begin

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


TOOLS = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
SLEEVED = Line(
    "line",
    "Two pieces",
    segments=LINE.segments,
    joints=(Joint(JointKind.BUTT_WELD, mass=2 * GRAIN),),
    front_loop=Loop(LoopKind.FOLDED, 2 * INCH, GRAIN),
    rear_loop=Loop(LoopKind.BRAIDED, 0.0, 1.5 * GRAIN),
)


def turned(line: Line) -> Line:
    """A line end for end."""
    return replace(
        line,
        segments=tuple(
            replace(each, front_diameter=each.rear_diameter, rear_diameter=each.front_diameter)
            for each in reversed(line.segments)
        ),
        front_loop=line.rear_loop,
        rear_loop=line.front_loop,
    )


@pytest.mark.parametrize("feet", [1.0, 8.5, 12.0])
def test_a_cut_at_the_fly_end_is_as_uncertain_as_one_at_the_rod_end(feet: float) -> None:
    cut, read = feet * FOOT, 300.0 * GRAIN
    front = begin(SLEEVED, TOOLS, 415.0 * GRAIN).after(CutStep(front=cut, offcut=40 * GRAIN))
    rear = begin(turned(SLEEVED), TOOLS, 415.0 * GRAIN).after(CutStep(rear=cut, offcut=40 * GRAIN))
    assert front.head_mass() == pytest.approx(rear.head_mass(), rel=1e-9)
    assert front.weighed_head(read).head_mass() == pytest.approx(
        rear.weighed_head(read).head_mass(), rel=1e-9
    )


def test_a_line_drifts_alike_nearby_and_less_so_farther_off() -> None:
    """A wave of 4 % has a standard deviation of 4 % / sqrt(2); what all share is added to it."""
    drift = Drift(local=0.04, reach=10 * FOOT, common=0.03)
    belief = begin(LINE, TOOLS, drift=drift)
    cell = belief.edges[1]
    steps = round(10 * FOOT / cell)
    assert belief.covariance[0, 0] == pytest.approx(0.04**2 / 2 + 0.03**2)
    assert belief.covariance[3, 3 + steps] == pytest.approx(
        0.04**2 / 2 * math.exp(-steps * cell / (10 * FOOT)) + 0.03**2
    )
