import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.line import Style
from taperlab.trade.styles import read_ratio
from taperlab.units.sentence import Sentence


@given(st.sampled_from(Style), st.floats(0.0, 50.0))
def test_every_style_and_ratio_reads(style, ratio):
    reading = read_ratio(style, ratio)
    assert reading.words
    assert reading.source


def inside(style, ratio):
    return not str(read_ratio(style, ratio).words).startswith(("under", "over", "longer"))


@pytest.mark.parametrize(("style", "edge"), [(Style.SKAGIT, 1.75), (Style.SKAGIT, 3.5)])
def test_edges_are_inside_even_when_rounding_says_otherwise(style, edge):
    for ratio in (edge, edge * (1 + 1e-13), edge * (1 - 1e-13)):
        assert inside(style, ratio)
    assert read_ratio(Style.SKAGIT, 3.5 * (1 + 1e-13)).words == Sentence("Skagit for distance")


@pytest.mark.parametrize(
    ("style", "ratio", "is_inside"),
    [
        (Style.SKAGIT, (24 + 10) / 13, True),  # head and tip
        (Style.SKAGIT, 45 / 11, False),
        (Style.SCANDI, 31 / 12.5, False),  # just under
        (Style.LONG_BELLY, 45 / 15, True),
    ],
)
def test_a_ratio_is_judged_by_its_style(style, ratio, is_inside):
    assert inside(style, ratio) is is_inside


@pytest.mark.parametrize("style", [Style.SINGLE_HAND, Style.SWITCH, Style.OTHER])
def test_styles_without_a_band_are_neither_in_nor_out(style):
    assert "short head" in str(read_ratio(style, 2.3).words)
    assert "long head" in str(read_ratio(style, 5.5).words)


def test_a_tip_is_not_judged_as_a_head():
    assert "looped to" in str(read_ratio(Style.TIP, 0.77).words)
    assert "longer than the rod" in str(read_ratio(Style.TIP, 1.2).words)
