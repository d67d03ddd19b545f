import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style
from taperlab.trade.styles import belly_words, read_ratio, trade_belly
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


def test_bellies_outside_both_lists():
    assert str(belly_words(23 * FOOT)) == (
        "no belly line in the trade, no class by the written standard"
    )
    assert str(belly_words(55 * FOOT)) == (
        "mid belly in the trade, class S (short belly) by the written standard"
    )
    assert trade_belly(90 * FOOT) is None


def test_a_trade_edge_goes_to_the_shorter_name():
    assert trade_belly(50 * FOOT) is Style.SHORT_BELLY
    assert trade_belly(64 * FOOT) is Style.MID_BELLY


def test_a_length_at_an_edge_of_the_trades_names_but_for_rounding_has_one():
    for feet, outward, name in ((40.0, -1.0, Style.SHORT_BELLY), (72.0, 1.0, Style.LONG_BELLY)):
        assert trade_belly(feet * FOOT * (1.0 + outward * 5e-10)) is name
        assert trade_belly(feet * FOOT * (1.0 + outward * 5e-9)) is None
