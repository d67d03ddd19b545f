"""Grain windows: common practice of guides and shops, none of it measured."""

import pytest

from taperlab.model.exact_units import GRAIN
from taperlab.model.line import Style
from taperlab.trade.starters import starter_rods
from taperlab.trade.windows import Place, place


@pytest.mark.parametrize(
    ("key", "style", "quoted"),
    [
        ("rod-ford", Style.SKAGIT, (400, 425)),  # switch 11 ft, class 7
        ("rod-ferry", Style.SKAGIT, (450, 475)),  # two-hand class 6
        ("rod-mill-pool", Style.SKAGIT, (500, 550)),  # two-hand class 7
        ("rod-long-pool", Style.SKAGIT, (550, 600)),  # 13.5 ft 7/8
        ("rod-long-pool", Style.SCANDI, (500, 600)),
    ],
)
def test_starter_windows_hold_the_weights_that_practice_quotes(key, style, quoted):
    rod = next(rod for rod in starter_rods() if rod.key == key)
    window = rod.window_for(style)
    assert window is not None
    for grains in quoted:
        assert place(grains * GRAIN, window).place is Place.INSIDE
