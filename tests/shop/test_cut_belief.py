"""What the weighings of a cut-back do to what is believed of the head."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from taperlab.model.cut_log import CutBack, CutStep, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Part, Segment
from taperlab.physics.frustum import Array
from taperlab.physics.profile import Profile
from taperlab.physics.trim import scaled_to
from taperlab.shop.belief.ladder import Ladder
from taperlab.shop.belief.prior import SPREADS
from taperlab.shop.cut_back.belief import Measured, begin
from taperlab.shop.cut_back.disagreement import Disagreement
from taperlab.shop.cut_back.meter import bare_profile
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged, staged_cut

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
    assert other.head_mass() == pytest.approx(one.head_mass())


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


def test_a_described_line_is_off_by_density_by_its_diameters_and_as_a_whole() -> None:
    """Of each rung: s^2 R for the density, 2 % along the line for the diameters, 3 % for all.

    R at one place is 1 + 0.4 t^2, the diameters' part 1 + t^2, with t from -1 to 1 along the line.
    """
    belief = begin(LINE, TOOLS)
    t = (belief.edges[1:] + belief.edges[:-1]) / belief.profile.length - 1.0
    for spread, covariance in zip(SPREADS, belief.known.covariances, strict=True):
        for i in (0, 20, 40):
            expected = spread**2 * (1 + 0.4 * t[i] ** 2) + 0.02**2 * (1 + t[i] ** 2) + 0.03**2
            assert covariance[i, i] == pytest.approx(expected)
        # Across the joint a density of its own is shared no more.
        near, far = covariance[10, 12], covariance[18, 20]
        assert near - far > 0.25 * spread**2


def test_metal_in_a_line_makes_its_density_less_sure() -> None:
    heavy = replace(
        LINE, segments=tuple(replace(s, density=1.6 * s.density) for s in LINE.segments)
    )
    plain, sinking = (begin(each, TOOLS).known.covariances[-1, 5, 5] for each in (LINE, heavy))
    assert sinking > 8 * plain


def test_what_is_foreseen_is_as_sharp_as_what_is_read() -> None:
    belief = begin(LINE, TOOLS, 415.0 * GRAIN)
    head, _ = belief.cut(0.0, 2 * FOOT).head_mass()
    gone = belief.head_mass()[0] - head
    read = belief.after(CutStep(rear=2 * FOOT, head=head, offcut=gone))
    foreseen = belief.foreseen(0.0, 2 * FOOT)
    assert foreseen.known.covariances == pytest.approx(read.known.covariances)
    assert foreseen.mean == pytest.approx(read.mean, abs=1e-9)
    # Only the size of the error is not learnt from a reading that is still to come.
    assert foreseen.known.weights == pytest.approx(belief.known.weights)
    assert read.known.weights[0] > belief.known.weights[0]


def test_a_surprise_makes_larger_errors_likelier() -> None:
    belief = begin(LINE, TOOLS, 415.0 * GRAIN)
    head, _ = belief.cut(0.0, 4 * FOOT).head_mass()
    gone = belief.head_mass()[0] - head
    odd = belief.after(CutStep(rear=4 * FOOT, head=head - 8 * GRAIN, offcut=gone + 8 * GRAIN))
    assert odd.known.weights[-1] > 3 * belief.known.weights[-1]
    assert odd.known.weights[0] < belief.known.weights[0]


# -- a head that was measured ------------------------------------------------------------------


def measured(heavier: float, spread: float, cells: int = 40) -> Measured:
    """LINE as it was measured: so much heavier toward the rod end, each cell known so well."""
    profile = bare_profile(LINE)
    edges = np.linspace(0.0, profile.length, cells + 1)

    def stretches(front: Array, rear: Array) -> Array:
        inside = np.clip(edges, front[:, np.newaxis], rear[:, np.newaxis])
        return np.diff(profile.running_mass(inside.ravel()).reshape(inside.shape), axis=1)

    along = np.linspace(-heavier, heavier, cells)
    ladder = Ladder(
        np.tile(along, (2, 1)),
        np.stack([spread**2 * np.eye(cells)] * 2),
        np.log(np.array([0.5, 0.5])),
    )
    return Measured(ladder, stretches)


def test_a_measured_head_starts_from_what_was_measured() -> None:
    belief = begin(LINE, TOOLS, start=measured(0.03, 0.001))
    profile = bare_profile(LINE)
    x = np.linspace(0.0, profile.length, 4001)
    cells = np.diff(profile.running_mass(x))
    share = np.interp(
        (x[1:] + x[:-1]) / 2, np.linspace(0, profile.length, 40), np.linspace(-1, 1, 40)
    )
    expected = float(cells @ (1.0 + 0.03 * share))
    mass, error = belief.head_mass()
    assert mass == pytest.approx(expected, rel=2e-4)
    # Forty cells of one part in a thousand each, independent of one another.
    assert error == pytest.approx(0.001 * expected / math.sqrt(40), rel=0.3)
    assert belief.readings == 1
    # What is heavier toward the rod end loses more there.
    off = belief.cut(0.0, 3 * FOOT).head_mass()[0]
    plain = begin(LINE, TOOLS).cut(0.0, 3 * FOOT).head_mass()[0]
    lost, usual = mass - off, begin(LINE, TOOLS).head_mass()[0] - plain
    assert lost == pytest.approx(1.027 * usual, rel=3e-3)


def test_the_shares_do_not_hang_on_how_the_line_is_described_now() -> None:
    scaled = scaled_to(LINE, 1.2 * Profile.of(LINE).total_mass)
    plain, other = (begin(line, TOOLS, start=measured(0.03, 0.01)) for line in (LINE, scaled))
    assert other.head_mass() == pytest.approx(plain.head_mass())


def test_a_measured_head_is_planned_without_weighing_it_again() -> None:
    mass, _ = begin(LINE, TOOLS, start=measured(0.03, 0.002)).head_mass()
    job = CutBack("job", "line", Target(TargetKind.WEIGHT, 0.9 * mass), TOOLS)
    found = staged_cut(LINE, job, start=measured(0.03, 0.002))
    assert isinstance(found, Staged)
    assert found.stages
    assert isinstance(found.whole, Plan)
    assert found.whole.before.mass == pytest.approx(mass)
    wider = staged_cut(LINE, replace(job, first_reading=mass))
    assert isinstance(wider, Staged)
    assert found.stages[0].plus_minus < wider.stages[0].plus_minus


def test_a_first_weighing_unlike_the_measurement_is_asked_about() -> None:
    start = measured(0.0, 0.002)
    mass, _ = begin(LINE, TOOLS, start=start).head_mass()
    job = CutBack("job", "line", Target(TargetKind.WEIGHT, 0.9 * mass), TOOLS)
    asked = staged_cut(LINE, replace(job, first_reading=mass + 20 * GRAIN), start=start)
    assert isinstance(asked, Disagreement)
    assert "but when it was measured it weighed" in str(asked.sentence)
    sure = replace(job, first_reading=mass + 20 * GRAIN, sure=True)
    # Whoever is sure says that another head was measured: the description counts again.
    other = staged_cut(LINE, sure, start=start)
    assert isinstance(other, Staged)
    assert not other.standing.belief.is_measured
    assert other.stages == staged_cut(LINE, sure).stages  # type: ignore[union-attr]
    near = replace(job, first_reading=mass + GRAIN)
    assert isinstance(staged_cut(LINE, near, start=start), Staged)
