"""A line begun from a style, a weight and a length."""

from __future__ import annotations

import pytest

from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Style
from taperlab.physics.head import head_rows, head_sums
from taperlab.physics.profile import Profile
from taperlab.shop.goals.buildable import TOOLS
from taperlab.shop.goals.start import begin
from taperlab.trade.starters import starter_rods
from taperlab.trade.starts import starts
from taperlab.units.finding import Impossible
from taperlab.units.kinds import System
from taperlab.units.sentence import render

TOOLS_US = TOOLS[System.US]


@pytest.mark.parametrize("style", list(starts()))
def test_every_style_weighs_and_measures_what_is_asked(style: Style) -> None:
    for grains, feet in ((420.0, 24.0), (560.0, 38.0), (700.0, 60.0)):
        begun = begin(Bench(), "New", style, grains * GRAIN, feet * FOOT, TOOLS_US)
        line = begun.line
        sums = head_sums(line, Profile.of(line))
        assert sums is not None
        assert sums.mass == pytest.approx(grains * GRAIN, abs=0.5 * GRAIN)
        assert sums.length == pytest.approx(feet * FOOT, abs=INCH / 16.0)
        assert len(head_rows(line)) == len(line.segments)
        for each in line.segments:
            for value, step in (
                (each.length, INCH / 8.0),
                (each.front_diameter, INCH / 1000.0),
                (each.rear_diameter, INCH / 1000.0),
            ):
                assert value / step == pytest.approx(round(value / step), abs=1e-6)
        # Neighbours meet, and the thickest lies behind the front taper.
        for ahead, behind in zip(line.segments, line.segments[1:], strict=False):
            assert ahead.rear_diameter == behind.front_diameter


def test_the_shares_of_each_style_make_a_whole() -> None:
    for start in starts().values():
        assert sum(row.length for row in start.rows) == pytest.approx(1.0)
        assert max(max(row.front, row.rear) for row in start.rows) == 1.0
        assert start.reasons


def test_the_reasons_speak_of_the_rod() -> None:
    rod = next(each for each in starter_rods() if each.two_handed)
    begun = begin(Bench(), "New", Style.SCANDI, 480 * GRAIN, 2.7 * rod.length, TOOLS_US, rod)
    said = [render(each, System.US) for each in begun.reasons]
    assert any("2.70 times the rod" in each for each in said)
    assert any("within the Scandi band" in each for each in said)


def test_a_style_without_practice_and_a_weight_out_of_reach_are_refused() -> None:
    with pytest.raises(Impossible, match="No practice"):
        begin(Bench(), "New", Style.TIP, 100 * GRAIN, 10 * FOOT, TOOLS_US)
    with pytest.raises(Impossible, match="that thick or thin"):
        begin(Bench(), "New", Style.SCANDI, 5000 * GRAIN, 2 * FOOT, TOOLS_US)
