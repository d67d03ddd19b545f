"""Ratios of head length to rod length: common practice, none of it measured."""

import pytest

from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style, line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.shop.analyse import analyse_line, fit_to_rod
from taperlab.trade.styles import belly_names, read_ratio


def ratio_of(head_ft, rod_ft, style):
    segment = Segment(Part.BELLY, head_ft * FOOT, 0.0025, 0.0025, 850.0)
    line = line_of("line-1", "Level head", (segment,), style)
    fit = fit_to_rod(analyse_line(line, Water()), Rod("rod-1", "Rod", rod_ft * FOOT))
    assert fit is not None
    return fit.ratio


@pytest.mark.parametrize(("rod_ft", "ratio", "skagit"), [(15, 3.0, True), (11, 4.09, False)])
def test_45_ft_of_head_on_15_ft_and_on_11_ft(rod_ft, ratio, skagit):
    """Line designers: three times a 15 ft rod, about four times an 11 ft rod."""
    found = ratio_of(45, rod_ft, Style.LONG_BELLY)
    assert found == pytest.approx(ratio, abs=0.005)
    assert read_ratio(Style.LONG_BELLY, found).inside
    assert read_ratio(Style.SKAGIT, found).inside is skagit


def test_skagit_on_13_ft():
    """24 ft head and 10 ft tip on 13 ft: 2.615, between tight quarters and all-round."""
    ratio = ratio_of(24 + 10, 13, Style.SKAGIT)
    assert ratio == pytest.approx(2.615, abs=0.0005)
    reading = read_ratio(Style.SKAGIT, ratio)
    assert reading.inside
    assert "tight quarters and all-round" in reading.words
    assert reading.counted == "head and tip"


def test_scandi_just_under_its_band():
    """31 ft on 12.5 ft: 2.48, just under 2.5 to 3.0."""
    ratio = ratio_of(31, 12.5, Style.SCANDI)
    assert ratio == pytest.approx(2.48, abs=0.0005)
    reading = read_ratio(Style.SCANDI, ratio)
    assert reading.inside is False
    assert reading.words.startswith("under the Scandi band")


@pytest.mark.parametrize(
    ("style", "low", "high"),
    [
        (Style.SKAGIT, 1.75, 3.5),  # an instructor's later rule
        (Style.SCANDI, 2.5, 3.0),
        (Style.SHORT_BELLY, None, 4.1),  # 55 ft on 13.5 ft
        (Style.MID_BELLY, None, 5.2),  # 70 ft on 13.5 ft
        (Style.LONG_BELLY, None, 5.0),  # 75 ft on 15 ft
    ],
)
def test_bands(style, low, high):
    reading = read_ratio(style, 2.6)
    assert (reading.low, reading.high) == (low, high)
    assert "common practice" in reading.source


def test_belly_lines_in_the_trade_and_by_the_standard():
    """Trade (common practice): short 40-50 ft, mid 50-64, long 64-72. AFFTA draws elsewhere."""
    found = {feet: belly_names(feet * FOOT) for feet in (45, 55, 62, 68, 71)}
    assert [found[f].trade for f in found] == [
        "short belly",
        "mid belly",
        "mid belly",
        "long belly",
        "long belly",
    ]
    assert [found[f].letter for f in found] == ["H", "S", "M", "M", "L"]
