import numpy as np

from taperlab.physics.sinking import drag_and_slope

HIGHEST_REYNOLDS = 2.0e5
"""Below which the formula is given."""


def drag_coefficient(reynolds):
    return drag_and_slope(np.log(reynolds))[0]


def test_the_formula_written_out():
    re = np.geomspace(0.1, HIGHEST_REYNOLDS, 500)
    plain = (
        11.0 * re**-0.75
        + 0.9 * (1.0 - np.exp(-1000.0 / re))
        + 1.2 * (1.0 - np.exp(-((re / 4500.0) ** 0.7)))
    )
    np.testing.assert_allclose(drag_coefficient(re), plain, rtol=1e-12)


def test_the_slope_is_that_of_the_curve():
    x = np.linspace(np.log(0.01), np.log(HIGHEST_REYNOLDS), 300)
    hair = 1e-5
    ahead, behind = drag_and_slope(x + hair)[0], drag_and_slope(x - hair)[0]
    np.testing.assert_allclose(
        drag_and_slope(x)[1], (ahead - behind) / (2 * hair), rtol=1e-6, atol=1e-8
    )


def test_continuous():
    re = np.geomspace(0.01, HIGHEST_REYNOLDS, 200_001)
    steps = np.diff(np.log(drag_coefficient(re)))
    assert np.abs(steps).max() < 1e-4


def test_falls_all_the_way_to_reynolds_1000():
    re = np.geomspace(0.01, 1000.0, 20_001)
    assert np.all(np.diff(np.log(drag_coefficient(re))) < 0.0)


def test_drag_rises_with_speed_term_by_term():
    """C_d Re^2 rises all the way, so a net weight has one sink rate. Each term does so alone."""
    re = np.geomspace(1e-6, 1e7, 200_001)
    terms = (
        11.0 * re**-0.75,
        -0.9 * np.expm1(-1000.0 / re),
        -1.2 * np.expm1(-((re / 4500.0) ** 0.7)),
    )
    for term in (*terms, drag_coefficient(re)):
        assert np.all(np.diff(np.log(term * re**2)) > 0.0)
