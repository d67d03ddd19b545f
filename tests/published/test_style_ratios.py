"""Ratios of head length to rod length: common practice, none of it measured."""

import pytest

from taperlab.model.line import Style
from taperlab.trade.styles import read_ratio


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
    assert "common practice" in reading.source
    assert not str(reading.words).startswith(("under", "over", "longer"))
    if low:
        assert not str(read_ratio(style, low).words).startswith("under")
        assert str(read_ratio(style, low * 0.999).words).startswith("under")
    assert not str(read_ratio(style, high).words).startswith(("over", "longer"))
    assert str(read_ratio(style, high * 1.001).words).startswith(("over", "longer"))
