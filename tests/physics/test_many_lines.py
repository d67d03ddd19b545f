"""Many lines at once answer as each does alone."""

import numpy as np
import pytest

from taperlab.model.line import line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.frustum import Taper
from taperlab.physics.profile import Profile
from taperlab.physics.water import WaterState

WATER = WaterState(999.7, 1.306e-3)
LINES = [
    (
        Segment(Part.FRONT_TAPER, 3.0, 0.0009, 0.0020, 870.0),
        Segment(Part.BELLY, 5.0, 0.0020, 0.0022, 880.0),
        Segment(Part.REAR_TAPER, 1.0, 0.0022, 0.0010, 880.0),
        Segment(Part.RUNNING_LINE, 25.0, 0.0008, 0.0008, 880.0),
    ),
    (
        Segment(Part.TIP, 0.2, 0.0010, 0.0010, 820.0, Core(0.0006, 1140.0)),
        Segment(Part.BELLY, 7.0, 0.0010, 0.0023, 2100.0, Core(0.0006, 1140.0)),
    ),
    (Segment(Part.RUNNING_LINE, 25.0, 0.0008, 0.0008, 880.0),),
]


def table(width=5):
    names = ("length", "front_diameter", "rear_diameter", "density")
    rows = np.zeros((len(LINES), 8, width))
    for i, line in enumerate(LINES):
        for j, s in enumerate(line):
            core = (s.core.diameter, s.core.density) if s.core else (0.0, 0.0)
            taper = s.part in (Part.TIP, Part.FRONT_TAPER)
            rows[i, :, j] = (*(getattr(s, n) for n in names), s.part.in_head, taper, *core)
    return np.moveaxis(rows, 1, 0)


def figures(columns):
    many = Profile.of_many(*columns[:4], columns[6], columns[7])
    head, taper = columns[4:6]
    with np.errstate(invalid="ignore"):
        return {
            "mass": many.mass(head),
            "front taper": many.mass(head * taper) / many.mass(head),
            "balance": many.balance(head),
            "sink": many.sink_rate(WATER, head),
            "volume": many.volume(head),
        }


def test_same_as_line_by_line():
    found = figures(table())
    for i, pieces in enumerate(LINES[:2]):
        profile = Profile.of(line_of("k", "n", pieces))
        head = np.array([s.part.in_head for s in pieces], dtype=float)
        taper = np.array([s.part in (Part.TIP, Part.FRONT_TAPER) for s in pieces])
        mass = profile.segment_masses @ head
        alone = {
            "mass": mass,
            "front taper": profile.segment_masses[taper].sum() / mass,
            "balance": profile.balance(head),
            "sink": profile.sink_rate(WATER, head),
            "volume": profile.volume(head),
        }
        for name, expected in alone.items():
            assert found[name][i] == pytest.approx(float(expected), rel=1e-12), name


def test_a_line_without_head_weighs_nothing_there():
    found = figures(table())
    assert found["mass"][2] == 0.0
    for name in ("front taper", "balance", "sink"):
        assert np.isnan(found[name][2])


def test_padding_is_harmless_whatever_it_holds():
    plain, padded = table(5), table(9)
    padded[1:, :, 5:] = 1.0
    for name, expected in figures(plain).items():
        np.testing.assert_allclose(figures(padded)[name], expected, rtol=1e-13)


def test_shapes():
    none = figures(table()[:, :0])
    assert {found.shape for found in none.values()} == {(0,)}
    assert Taper(0.0, 0.0, 0.0, 0.0).mass() == 0.0
