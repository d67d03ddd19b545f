from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from taperlab.physics import frustum, solve

diameters = st.floats(0.0003, 0.004)
densities = st.floats(100.0, 20_000.0)
cores = st.tuples(st.floats(0.0, 0.95), densities)


@given(st.floats(0.01, 30.0), diameters, diameters, densities, cores, st.floats(0.3, 3.0))
def test_density_and_factor_for_a_mass_give_that_mass(length, front, rear, density, core, more):
    thickness, core_density = core[0] * min(front, rear), core[1]
    held = frustum.mass(length, front, rear, density, thickness, core_density)
    found = solve.density_for_mass(held, length, front, rear, thickness, core_density)
    np.testing.assert_allclose(found, density, rtol=1e-8)
    grown = frustum.mass(length, more * front, more * rear, density, thickness, core_density)
    args = (length, front, rear, density, thickness, core_density)
    np.testing.assert_allclose(solve.scale_for_mass(grown, *args), more, rtol=1e-7)


@given(diameters, densities, cores)
def test_density_and_diameter_for_a_mass_per_length_give_it(diameter, density, core):
    thickness, core_density = core[0] * diameter, core[1]
    held = frustum.linear_density(diameter, density, thickness, core_density)
    found = solve.density_for_linear_density(held, diameter, thickness, core_density)
    np.testing.assert_allclose(found, density, rtol=1e-8)
    back = solve.diameter_for_linear_density(held, density, thickness, core_density)
    np.testing.assert_allclose(back, diameter, rtol=1e-7)


def test_what_no_diameter_or_density_gives_is_not_a_number():
    assert np.isnan(solve.diameter_for_linear_density(1e-9, 1000.0, 0.001, 8000.0))
    assert np.isnan(solve.scale_for_mass(1e-9, 1.0, 0.001, 0.001, 1000.0, 0.001, 8000.0))
    assert not np.isfinite(solve.density_for_mass(1.0, 1.0, 0.001, 0.001, 0.001, 8000.0))


def test_arrays_broadcast():
    masses = np.array([[0.001], [0.002]])
    found = solve.density_for_mass(masses, np.array([1.0, 2.0, 4.0]), 0.002, 0.002)
    assert found.shape == (2, 3)
    np.testing.assert_allclose(found[1], 2.0 * found[0], rtol=1e-14)
