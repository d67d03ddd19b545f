"""Cut positions and the update after a weighing, against scipy on the exact integral and fit.

Root finding: scipy.optimize.brentq (Brent, Algorithms for Minimization without Derivatives, 1973,
chapter 4) on scipy.integrate.quad of the mass per length. Update: numpy.linalg.lstsq of prior and
readings together, and scipy.stats.multivariate_normal for how likely they are.
"""

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import log_softmax
from scipy.stats import multivariate_normal, norm

from taperlab.model.cut_log import CutEnd, CutStep, NewLoop, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import line_of
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Core, Part, Segment
from taperlab.shop.belief.prior import LIKELY, SPREADS
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


@pytest.mark.parametrize(
    ("first", "offcut", "head"),
    [
        pytest.param(448.0, 15.0, 433.0, id="near the description"),
        pytest.param(415.0, 24.0, 390.5, id="far from it"),
    ],
)
def test_update_after_weighings_is_the_least_squares_fit_of_prior_and_readings(
    first: float, offcut: float, head: float
) -> None:
    """The belief is a ladder of normal distributions: each rung is fitted, then weighed."""
    tools = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
    prior = begin(LINE, tools)
    cut = 2 * FOOT
    belief = prior.weighed_head(first * GRAIN)
    belief = belief.after(CutStep(rear=cut, head=head * GRAIN, offcut=offcut * GRAIN))

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
    readings = np.array([first, offcut, head]) * GRAIN
    noise = tools.scale / math.sqrt(12.0)

    # Each rung is a normal distribution of its own: shares of nought with its covariance.
    rungs = len(SPREADS)
    start = np.zeros((rungs, size, size))
    start[:, :cells, :cells] = prior.known.covariances
    start[:, cells, cells] = tools.tape**2 / 12.0
    left = readings - described
    evidence = np.zeros(rungs)
    for i in range(rungs):
        whiten = np.linalg.inv(np.linalg.cholesky(start[i]))
        design = np.vstack([whiten, rows / noise])
        data = np.concatenate([np.zeros(size), left / noise])
        found = np.linalg.lstsq(design, data, rcond=None)[0]
        assert belief.known.means[i] == pytest.approx(found, rel=1e-6, abs=1e-10)
        inverse = np.linalg.pinv(design)
        covariance, scale = inverse @ inverse.T, np.sqrt(np.diag(start[i]))
        off = (belief.known.covariances[i] - covariance) / np.outer(scale, scale)
        assert np.abs(off).max() < 1e-8
        read = multivariate_normal(np.zeros(3), rows @ start[i] @ rows.T + noise**2 * np.eye(3))
        evidence[i] = read.logpdf(left)

    # Which rung it is: how likely each was, times how well it foretold all three readings.
    told = log_softmax(np.log(LIKELY) + evidence)
    assert belief.known.log_weights == pytest.approx(told, rel=1e-9, abs=1e-6)
    chances = np.exp(told)

    # What the head weighs: the mixture of all, and where 95 in 100 of it lie about its mean.
    middles = belief.known.means @ rows[2]
    spreads = np.sqrt([rows[2] @ each @ rows[2] for each in belief.known.covariances])
    mean = float(chances @ middles)

    def missed(half: float) -> float:
        above, below = (mean + half - middles) / spreads, (mean - half - middles) / spreads
        return float(chances @ (norm.cdf(above) - norm.cdf(below))) - 0.95

    half = brentq(missed, 0.0, 10.0 * spreads.max() + np.ptp(middles), xtol=1e-15)
    weighs, error = belief.head_mass()
    assert weighs == pytest.approx(described[2] + mean, rel=1e-9)
    assert error == pytest.approx(half / norm.isf(0.025), rel=1e-3)
