import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.line import Style
from taperlab.model.rod import Window
from taperlab.trade.windows import Place, place

WINDOW = Window(Style.SKAGIT, 0.030, 0.036)


@pytest.mark.parametrize(
    ("mass", "where", "to_edge"),
    [
        (0.029, Place.BELOW, 0.001),
        (0.030, Place.INSIDE, 0.0),
        (0.034, Place.INSIDE, 0.002),
        (0.036, Place.INSIDE, 0.0),
        (0.036 * (1.0 + 5e-10), Place.INSIDE, 0.036 * 5e-10),
        (0.036 * (1.0 + 5e-9), Place.ABOVE, 0.036 * 5e-9),
        (0.030 - 0.036 * 5e-9, Place.BELOW, 0.036 * 5e-9),
        (0.040, Place.ABOVE, 0.004),
    ],
)
def test_place(mass, where, to_edge):
    fit = place(mass, WINDOW)
    assert fit.place is where
    assert fit.to_edge == pytest.approx(to_edge, abs=1e-15)


@given(st.floats(0.0, 1.0))
def test_the_distance_is_never_negative_and_leads_to_an_edge(mass):
    where, to_edge = place(mass, WINDOW)
    assert to_edge >= 0.0
    edges = (WINDOW.lightest, WINDOW.heaviest)
    assert min(abs(abs(mass - edge) - to_edge) for edge in edges) < 1e-15
    assert (where is Place.INSIDE) == (0.030 <= mass <= 0.036)
