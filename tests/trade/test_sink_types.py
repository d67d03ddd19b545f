import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.exact_units import INCH
from taperlab.trade.sink_types import classify, sink_charts


@pytest.mark.parametrize(
    ("rate", "name"),
    [
        (-0.4, "floats"),
        (-1e-6, "hover"),
        (0.0, "hover"),
        (0.25, "hover"),
        (0.5, "slow intermediate"),
        (0.8, "intermediate"),
        (1.1, "type 1 on chart A, slower than type 1 on chart B"),
        (3.2, "type 3 on chart A, between 2 and 3 on chart B"),
        (3.7, "type 3 (both charts)"),
        (5.1, "type 4 or 5 on chart A, between 4 and 5 on chart B"),
        (7.0, "type 6 (both charts)"),
        (9.0, "faster than type 6 (both charts)"),
    ],
)
def test_names(rate, name):
    assert str(classify(rate * INCH)) == name


@given(st.floats(-20.0, 40.0))
def test_every_rate_has_a_name_and_agreement_is_true_of_both_charts(rate):
    name = str(classify(rate * INCH))
    assert name
    if name.startswith("type") and name.endswith("(both charts)"):
        numbers = {int(word) for word in name.split() if word.isdigit()}
        for chart in sink_charts():
            assert numbers <= set(chart.numbers(rate * INCH))


@pytest.mark.parametrize(("rate", "floats"), [(-1.4e-6, True), (-0.6e-6, False)])
def test_what_rises_by_less_than_a_micrometre_a_second_hovers(rate, floats):
    assert (str(classify(rate)) == "floats") is floats


def test_a_rate_at_an_edge_but_for_rounding_is_of_the_type():
    _, chart = sink_charts()
    for edge, outward in ((2.5 * INCH, -1.0), (3.0 * INCH, 1.0)):
        assert chart.numbers(edge * (1.0 + outward * 5e-10)) == (2,)
        assert chart.numbers(edge * (1.0 + outward * 1.5e-9)) == ()
