from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from taperlab.physics.frustum import Taper

diameters = st.floats(0.0003, 0.004)
densities = st.floats(100.0, 20_000.0)
cores = st.tuples(st.floats(0.0, 0.95), densities)


@given(st.floats(0.01, 30.0), diameters, diameters, densities, cores, st.floats(0.3, 3.0))
def test_density_and_factor_for_a_mass_give_that_mass(length, front, rear, density, core, more):
    core = core[0] * min(front, rear), core[1]
    taper = Taper(length, front, rear, density, *core)
    unknown = Taper(length, front, rear, np.nan, *core)
    np.testing.assert_allclose(unknown.density_for_mass(taper.mass()), density, rtol=1e-8)
    grown = Taper(length, more * front, more * rear, density, *core).mass()
    np.testing.assert_allclose(taper.scale_for_mass(grown), more, rtol=1e-7)


@given(diameters, densities, cores)
def test_density_and_diameter_for_a_mass_per_length_give_it(diameter, density, core):
    core = core[0] * diameter, core[1]
    taper = Taper(1.0, diameter, diameter, density, *core)
    unknown = Taper(1.0, diameter, diameter, np.nan, *core)
    held = taper.linear_density(diameter)
    found = unknown.density_for_linear_density(held, diameter)
    np.testing.assert_allclose(found, density, rtol=1e-8)
    np.testing.assert_allclose(taper.diameter_for_linear_density(held), diameter, rtol=1e-7)


def test_what_no_diameter_or_density_gives_is_not_a_number():
    cored = Taper(1.0, 0.001, 0.001, 1000.0, 0.001, 8000.0)
    assert np.isnan(cored.diameter_for_linear_density(1e-9))
    assert np.isnan(cored.scale_for_mass(1e-9))
    assert not np.isfinite(cored.density_for_mass(1.0))


def test_arrays_broadcast():
    masses = np.array([[0.001], [0.002]])
    found = Taper(np.array([1.0, 2.0, 4.0]), 0.002, 0.002, np.nan).density_for_mass(masses)
    assert found.shape == (2, 3)
    np.testing.assert_allclose(found[1], 2.0 * found[0], rtol=1e-14)
