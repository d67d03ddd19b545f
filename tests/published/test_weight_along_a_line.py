"""Weight, its inverse and the balance point against numerical integration and root finding."""

import math

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.profile import Profile

RELATIVE = 1e-9


def segment(part, feet, front, rear, density, core=None):
    return Segment(part, feet * FOOT, front * INCH, rear * INCH, density, core)


LINES = {
    "tapered": (
        segment(Part.FRONT_TAPER, 11.0, 0.036, 0.081, 870.0),
        segment(Part.BELLY, 14.5, 0.081, 0.090, 870.0),
        segment(Part.REAR_TAPER, 3.0, 0.090, 0.040, 870.0),
    ),
    "stepped": (
        segment(Part.SINK_TIP, 10.0, 0.032, 0.032, 5736.0),
        segment(Part.FRONT_TAPER, 3.5, 0.070, 0.098, 871.0),
        segment(Part.BELLY, 18.0, 0.098, 0.098, 871.0),
        segment(Part.RUNNING_LINE, 80.0, 0.030, 0.030, 880.0),
    ),
    "cored": (
        segment(Part.TIP, 0.5, 0.035, 0.035, 820.0, Core(0.022 * INCH, 1140.0)),
        segment(Part.FRONT_TAPER, 20.0, 0.035, 0.080, 820.0, Core(0.022 * INCH, 1140.0)),
        segment(Part.BELLY, 25.0, 0.080, 0.070, 2100.0, Core(0.025 * INCH, 970.0)),
    ),
}


def local(piece, x):
    """Mass per length [kg/m] at a distance from a segment's front, from its definition."""
    d = piece.front_diameter + (piece.rear_diameter - piece.front_diameter) * x / piece.length
    core = piece.core.diameter if piece.core else 0.0
    core_density = piece.core.density if piece.core else 0.0
    return math.pi / 4.0 * (piece.density * (d * d - core * core) + core_density * core * core)


def integral(pieces, to, moment=False):
    total, start = 0.0, 0.0
    for piece in pieces:
        end = min(piece.length, to - start)
        if end <= 0.0:
            break

        def integrand(x, piece=piece, start=start):
            return local(piece, x) * (start + x if moment else 1.0)

        total += quad(integrand, 0.0, end, epsabs=0.0, epsrel=1e-12)[0]
        start += piece.length
    return total


@pytest.mark.parametrize("pieces", LINES.values(), ids=LINES.keys())
class TestAgainstIntegration:
    def test_running_weight(self, pieces):
        profile = Profile.of(line_of("k", "n", pieces))
        for share in (0.03, 0.11, 0.34, 0.5, 0.77, 0.96, 1.0):
            x = share * profile.length
            assert profile.running_mass(x) == pytest.approx(integral(pieces, x), rel=RELATIVE)

    def test_weight_of_each_segment(self, pieces):
        profile = Profile.of(line_of("k", "n", pieces))
        for piece, mass in zip(pieces, profile.segment_masses, strict=True):
            assert mass == pytest.approx(integral([piece], piece.length), rel=RELATIVE)

    def test_centre_of_mass(self, pieces):
        profile = Profile.of(line_of("k", "n", pieces))
        expected = integral(pieces, profile.length, moment=True) / integral(pieces, profile.length)
        assert profile.balance() == pytest.approx(expected, rel=RELATIVE)

    def test_where_a_weight_is_reached(self, pieces):
        profile = Profile.of(line_of("k", "n", pieces))
        for share in (0.01, 0.2, 0.5, 0.8, 0.99):
            target = share * profile.total_mass
            expected = brentq(
                lambda x, target=target: integral(pieces, x) - target,
                0.0,
                profile.length,
                xtol=1e-13,
                rtol=1e-12,
            )
            assert profile.position_of(target) == pytest.approx(expected, rel=RELATIVE)


def test_grain_per_foot_in_si():
    """NIST SP 811, app. B: 1 gr/ft = 0.212 594 85 g/m; 14 gr/ft = 2.976 327 887 g/m."""
    grams_per_metre = GRAIN / FOOT * 1000.0
    assert grams_per_metre == pytest.approx(0.21259485, abs=5e-9)
    assert grams_per_metre * 14.0 == pytest.approx(2.976327887, abs=1e-9)
