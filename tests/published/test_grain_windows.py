"""Grain windows and the hinge: common practice of guides and shops, none of it measured."""

import pytest

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.line import Style
from taperlab.model.rod import Window
from taperlab.trade.joints import joint_step
from taperlab.trade.starters import starter_rods
from taperlab.trade.windows import Place, place


def test_class_7_switch_rod():
    """11 ft class 7: 425 gr Skagit, 50 gr either way; 560 gr is 85 over."""
    window = Window(Style.SKAGIT, 375 * GRAIN, 475 * GRAIN)
    assert place(425 * GRAIN, window).place is Place.INSIDE
    heavy = place(560 * GRAIN, window)
    assert heavy.place is Place.ABOVE
    assert heavy.to_edge / GRAIN == pytest.approx(85)


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


@pytest.mark.parametrize(
    ("front", "rear", "ratio", "hinges"),
    [(14, 24, 0.583, False), (17, 20, 0.85, False), (20, 17, 1.18, True)],
)
def test_tip_on_body(front, rear, ratio, hinges):
    """Weight per foot must not rise toward the fly (common practice; the threshold is ours)."""
    step = joint_step(front * GRAIN / FOOT, rear * GRAIN / FOOT)
    assert step.ratio == pytest.approx(ratio, abs=0.005)
    assert step.hinges is hinges
    assert not step.abrupt
