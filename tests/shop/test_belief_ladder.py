"""Unknowns on several rungs: what a reading does to them, and how wide they are."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.shop.belief.ladder import Ladder, mixture_half_width, normal_share
from taperlab.shop.belief.prior import LIKELY, SPREADS, correlation

N = 12
PLACES = (np.arange(N) + 0.5) / N * 9.0


def ladder(common: float = 0.05) -> Ladder:
    local = correlation(PLACES, 9.0, (PLACES > 3.0).astype(np.intp))
    return Ladder.of(np.full((N, N), common**2), local, SPREADS, LIKELY)


sections = st.tuples(
    st.integers(0, N - 1), st.integers(1, N), st.floats(-0.2, 0.2), st.floats(1e-4, 0.05)
)


def row(start: int, count: int) -> np.ndarray:
    return ((np.arange(N) >= start) & (np.arange(N) < start + count)).astype(float) / N


@given(st.lists(sections, min_size=2, max_size=6), st.randoms())
@settings(max_examples=60, deadline=None)
def test_the_order_of_readings_does_not_matter(found, shuffler):
    one = other = ladder()
    for start, count, reading, noise in found:
        one = one.observed(row(start, count), reading, noise)
    shuffler.shuffle(found)
    for start, count, reading, noise in found:
        other = other.observed(row(start, count), reading, noise)
    assert other.means == pytest.approx(one.means, abs=1e-7)
    assert other.covariances == pytest.approx(one.covariances, abs=1e-9)
    assert other.weights == pytest.approx(one.weights, abs=1e-6)


@given(st.lists(sections, min_size=1, max_size=6))
@settings(max_examples=60, deadline=None)
def test_what_is_foreseen_never_widens_anything(found):
    rows = np.vstack([np.eye(N), np.tri(N)])
    now = ladder()
    for start, count, _, noise in found:
        then = now.foreseen(row(start, count), noise)
        assert np.all(then.half_width(rows) <= now.half_width(rows) * (1.0 + 1e-6))
        assert np.array_equal(then.weights, now.weights)
        now = then


@given(st.lists(sections, min_size=20, max_size=40))
@settings(max_examples=20, deadline=None)
def test_covariances_stay_symmetric_and_never_negative(found):
    now = ladder(common=5.0)
    for start, count, reading, noise in found:
        now = now.observed(row(start, count), reading, noise * 1e-3)
    assert np.all(np.isfinite(now.means))
    for covariance in now.covariances:
        assert covariance == pytest.approx(covariance.T, abs=1e-9)
        assert np.linalg.eigvalsh(covariance).min() > -1e-10
    assert now.weights.sum() == pytest.approx(1.0)


def test_one_rung_is_least_squares_with_a_prior():
    """Against the textbook formula for all readings at once."""
    local = correlation(PLACES, 9.0, np.zeros(N, dtype=np.intp))
    rows, readings = np.array([row(0, N), row(0, 4), row(7, 3)]), np.array([0.02, -0.01, 0.03])
    noise = np.array([0.001, 0.002, 0.003])
    now = Ladder.of(np.zeros((N, N)), local, (0.03,), (1.0,))
    for each, reading, sd in zip(rows, readings, noise, strict=True):
        now = now.observed(each, reading, sd)
    c = 0.03**2 * local
    gain = c @ rows.T @ np.linalg.inv(rows @ c @ rows.T + np.diag(noise**2))
    assert now.means[0] == pytest.approx(gain @ readings, abs=1e-10)
    assert now.covariances[0] == pytest.approx(c - gain @ rows @ c, abs=1e-10)
    half = 1.959963985 * np.sqrt(np.diag(c - gain @ rows @ c))
    assert now.half_width(np.eye(N)) == pytest.approx(half, rel=1e-5)


def test_rungs_are_weighed_by_how_well_they_foretold():
    """Against the density of all readings at once, which is normal on each rung."""
    from scipy.stats import multivariate_normal

    rows, readings = np.array([row(0, N), row(0, 4), row(7, 3)]), np.array([0.02, -0.03, 0.03])
    now = ladder()
    foretold = [
        multivariate_normal(rows @ m, rows @ c @ rows.T + 0.002**2 * np.eye(3)).pdf(readings)
        for m, c in zip(now.means, now.covariances, strict=True)
    ]
    expected = np.array(LIKELY) * foretold
    for each, reading in zip(rows, readings, strict=True):
        now = now.observed(each, reading, 0.002)
    assert now.weights == pytest.approx(expected / expected.sum(), rel=1e-8)


def test_a_line_that_differs_much_is_believed_to():
    calm = wild = ladder()
    for start in range(0, N, 3):
        calm = calm.observed(row(start, 3), 0.0, 0.0005)
        wild = wild.observed(row(start, 3), 0.06 * (-1) ** start, 0.0005)
    assert calm.weights[0] > ladder().weights[0]
    assert wild.weights[4] > 0.5
    assert np.all(wild.half_width(np.eye(N)) > calm.half_width(np.eye(N)))


@given(st.floats(0.5, 0.999), st.floats(1e-6, 1e3), st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None)
def test_a_half_width_holds_its_share(level, size, seed):
    rng = np.random.default_rng(seed)
    off, spread = rng.normal(0.0, size, (4, 3)), size * rng.uniform(0.1, 9.0, (4, 3))
    weights = rng.dirichlet(np.ones(4))
    h = mixture_half_width(np.abs(off), spread, weights, level)
    inside = weights @ (normal_share((h - off) / spread) - normal_share((-h - off) / spread))
    assert inside == pytest.approx(np.full(3, level), abs=1e-6)


def test_what_is_known_exactly_has_no_width():
    known = Ladder.of(np.zeros((2, 2)), np.diag([0.0, 1.0]), (1.0,), (1.0,))
    assert known.half_width(np.eye(2)) == pytest.approx([0.0, 1.959964], abs=1e-5)
    half = known.half_width(np.eye(2), besides=np.array([9.0, 0.0]))
    assert half == pytest.approx([3.0 * 1.959964, 1.959964], abs=1e-5)


def test_the_normal_share_is_that_of_the_tables():
    from scipy.stats import norm

    z = np.linspace(-60.0, 60.0, 4001)
    assert np.abs(normal_share(z) - norm.cdf(z)).max() < 7.5e-8


def test_further_unknowns_leave_the_others_alone_until_something_is_read_of_both():
    now = ladder().observed(row(0, 5), 0.01, 0.001)
    more = now.grown([4e-6, 9e-6])
    assert more.size == N + 2
    assert more.means[:, :N] == pytest.approx(now.means)
    assert more.deviations(np.eye(N + 2))[:, N:] == pytest.approx(np.tile([0.002, 0.003], (5, 1)))
    both = np.concatenate([row(3, 4), [1.0, 0.0]])
    then = more.observed(both, 0.05, 0.001)
    assert np.all(then.means[:, N] != 0.0)
    assert then.means[:, N + 1] == pytest.approx(0.0)


def test_other_cells_of_the_same_line_are_believed_the_same():
    now = ladder().observed(row(0, 5), 0.01, 0.001)
    rows = np.kron(np.eye(N // 2), [0.5, 0.5])
    pairs = now.turned(rows)
    assert pairs.mean(np.eye(N // 2)) == pytest.approx(now.mean(rows))
    assert pairs.half_width(np.eye(N // 2)) == pytest.approx(now.half_width(rows))


def test_correlation_is_that_of_its_three_parts():
    """Worked by hand: two places in one segment, one in another, on a line of 12 m."""
    r = correlation(np.array([0.0, 3.0, 12.0]), 12.0, np.array([0, 0, 1]))
    e = np.exp(-3.0 / 3.0)
    assert r[0, 0] == pytest.approx(1.4)
    assert r[0, 1] == pytest.approx(0.7 * e + 0.3 + 0.4 / 2.0)
    assert r[0, 2] == pytest.approx(0.7 * e**4 - 0.4)
    assert np.linalg.eigvalsh(r).min() > 0.0
