"""Cut positions and the update after a weighing, against scipy on the exact integral and fit.

Root finding: scipy.optimize.brentq (Brent, Algorithms for Minimization without Derivatives, 1973,
chapter 4) on scipy.integrate.quad of the mass per length. Update: scipy.optimize.curve_fit, a
least-squares fit of prior and readings together.
"""

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq, curve_fit

from taperlab.model.cut_log import CutEnd, CutStep, NewLoop, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import line_of
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Core, Part, Segment
from taperlab.shop.cut_back.belief import begin
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.plan import plan_cut
from taperlab.shop.cut_back.terms import Terms

PIECES = (
    Segment(Part.TIP, 1 * FOOT, 0.04 * INCH, 0.04 * INCH, 880.0),
    Segment(
        Part.FRONT_TAPER, 9 * FOOT, 0.04 * INCH, 0.09 * INCH, 880.0, Core(0.025 * INCH, 1140.0)
    ),
    Segment(Part.BELLY, 17 * FOOT, 0.09 * INCH, 0.085 * INCH, 1050.0),
    Segment(Part.REAR_TAPER, 4 * FOOT, 0.085 * INCH, 0.05 * INCH, 900.0),
)
LINE = line_of("line", "Four pieces", PIECES)
STARTS = [0.0, 1 * FOOT, 10 * FOOT, 27 * FOOT, 31 * FOOT]


def per_length(x: float) -> float:
    """Mass per length [kg/m], from its definition."""
    k = max(i for i in range(4) if x >= STARTS[i]) if x < STARTS[-1] else 3
    piece = PIECES[k]
    share = (x - STARTS[k]) / piece.length
    d = piece.front_diameter + share * (piece.rear_diameter - piece.front_diameter)
    core = piece.core or Core(1e-9, 1.0)
    return (
        math.pi / 4 * (piece.density * (d**2 - core.diameter**2) + core.density * core.diameter**2)
    )


def mass(front: float, rear: float) -> float:
    inner = [s for s in STARTS if front < s < rear]
    ends = [front, *inner, rear]
    return sum(
        quad(per_length, a, b, epsabs=0, epsrel=1e-12)[0] for a, b in itertools.pairwise(ends)
    )


@pytest.mark.parametrize("grains", [250.0, 333.3, 400.0])
@pytest.mark.parametrize("end", CutEnd)
def test_cut_position_solves_the_integral(end: CutEnd, grains: float) -> None:
    loop = NewLoop(2.5 * INCH, 1.3 * GRAIN)
    terms = Terms(end, 0.35, loop, loop)
    plan = plan_cut(LINE, Target(TargetKind.WEIGHT, grains * GRAIN), terms)
    assert isinstance(plan, Plan)
    front, rear = {CutEnd.REAR: (0, 1), CutEnd.FRONT: (1, 0), CutEnd.BOTH: (0.35, 0.65)}[end]
    loops = 1.3 * GRAIN * (2 if end is CutEnd.BOTH else 1)

    def missed(cut: float) -> float:
        return mass(front * cut, STARTS[-1] - rear * cut) + loops - grains * GRAIN

    expected = brentq(missed, 0.0, 25 * FOOT, xtol=1e-12)
    assert plan.cut_length == pytest.approx(expected, abs=1e-9)
    off = mass(0.0, plan.front_blade) + mass(plan.rear_blade, STARTS[-1])
    assert plan.cut_mass == pytest.approx(off, rel=1e-9)


def test_update_after_weighings_is_the_least_squares_fit_of_prior_and_readings() -> None:
    tools = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
    prior = begin(LINE, tools)
    cut = 2 * FOOT
    belief = prior.weighed_head(415.0 * GRAIN)
    belief = belief.after(CutStep(rear=cut, head=390.5 * GRAIN, offcut=24.0 * GRAIN))

    # The same from scratch: 64 shares and one tape error are both parameters and data.
    cells = len(prior.edges) - 1
    size = cells + 1
    whole = np.array([mass(a, b) for a, b in zip(prior.edges, prior.edges[1:], strict=False)])
    end = STARTS[-1] - cut
    kept = np.array(
        [
            mass(a, min(b, end)) if a < end else 0.0
            for a, b in zip(prior.edges, prior.edges[1:], strict=False)
        ]
    )
    tape = np.append(np.zeros(cells), per_length(end))
    rows = np.array(
        [np.append(whole, 0.0), np.append(whole - kept, 0.0) + tape, np.append(kept, 0.0) - tape]
    )
    described = rows[:, :cells].sum(axis=1)
    readings = np.array([415.0, 24.0, 390.5]) * GRAIN
    noise = tools.scale / math.sqrt(12.0)
    covariance = np.zeros((size + 3, size + 3))
    covariance[:cells, :cells] = prior.covariance
    covariance[cells, cells] = tools.tape**2 / 12.0
    covariance[size:, size:] = noise**2 * np.eye(3)
    design = np.vstack([np.eye(size), rows])
    data = np.concatenate([np.zeros(size), readings - described])
    found, errors = curve_fit(
        lambda _, *p: design @ np.array(p),
        None,
        data,
        p0=np.zeros(size),
        sigma=covariance,
        absolute_sigma=True,
    )
    assert belief.mean == pytest.approx(found, abs=1e-5)
    assert np.sqrt(np.diag(belief.covariance)) == pytest.approx(np.sqrt(np.diag(errors)), rel=1e-4)
    assert belief.head_mass()[1] == pytest.approx(math.sqrt(rows[2] @ errors @ rows[2]), rel=1e-3)
