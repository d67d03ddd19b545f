import pytest

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.physics import frustum
from taperlab.physics.frustum import Taper


@pytest.mark.parametrize(
    ("inches", "grams_per_cm3", "grains_per_foot"),
    [(0.060, 0.85, 7.2933), (0.037, 0.85, 2.7735)],
)
def test_grains_per_foot(inches, grams_per_cm3, grains_per_foot):
    """2383.442 times density times diameter squared: exact from the grain, foot and inch."""
    found = frustum.linear_density(inches * INCH, grams_per_cm3 * 1000.0) / GRAIN * FOOT
    assert found == pytest.approx(grains_per_foot, abs=5e-5)
    assert found == pytest.approx(2383.442 * grams_per_cm3 * inches**2, rel=1e-7)


def test_a_taper_is_not_weighed_by_its_mean_diameter():
    """10 ft from 0.037 to 0.060 in at 0.85: 48.548 gr; the mean diameter would give 47.655."""
    taper = Taper(10 * FOOT, 0.037 * INCH, 0.060 * INCH, 850.0).mass() / GRAIN
    assert taper == pytest.approx(48.548, abs=0.001)
