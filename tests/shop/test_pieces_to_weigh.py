"""How much of a stock is weighed, in the units of the tape at hand, and what that tells."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.segment import Part
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.shop.pieces.to_weigh import (
    how_much,
    is_worth_weighing,
    length_to_weigh,
    share_told,
    what_it_tells,
)
from taperlab.units.kinds import System
from taperlab.units.sentence import render

SPOOL = Stock(Part.BELLY, 60.0 * FOOT, 0.00183, 0.00183, 1.0, key="s", name="Spool")
SPOOL = replace(SPOOL, density=8.0 * GRAIN / FOOT / section.volume(replace(SPOOL, length=1.0)))
TAPERED = replace(SPOOL, name="Tapered", length=3.0 * FOOT, rear_diameter=0.0022)
HALF_GRAIN = 0.5 * GRAIN


@pytest.mark.parametrize(
    ("stock", "us", "metric"),
    [
        (SPOOL, "10 ft of Spool", "3\N{NO-BREAK SPACE}m of Spool"),
        (replace(SPOOL, length=2.0), "all of Spool", "all of Spool"),
        (replace(SPOOL, length=2.0, leftover=True), "what is left of Spool", "what is left of"),
        # The front of a taper tells little of its belly.
        (replace(TAPERED, length=80.0 * FOOT), "all of Tapered", "all of Tapered"),
    ],
)
def test_a_round_length_of_the_tape_at_hand_is_weighed_or_all_there_is(stock, us, metric) -> None:
    assert render(how_much(stock), System.US) == us
    assert render(how_much(stock), System.METRIC).startswith(metric)
    for system, round_length in ((System.US, 10.0 * FOOT), (System.METRIC, 3.0)):
        whole = us.startswith(("all", "what"))
        length = length_to_weigh(stock, system)
        assert length == (stock.whole_length if whole else round_length)


def test_what_a_person_says_is_weighed_is_told() -> None:
    assert render(how_much(SPOOL, 12.0 * FOOT), System.US) == "12 ft of Spool"


def test_ten_feet_tell_as_much_as_the_scale_is_fine() -> None:
    # 0.5 / sqrt(12) gr of 80 gr is 0.18 % (one standard deviation); 95 in 100 lie within 0.35 %.
    assert share_told(SPOOL, 10.0 * FOOT, HALF_GRAIN) == pytest.approx(0.0018, abs=2e-5)
    said = render(what_it_tells(SPOOL, HALF_GRAIN), System.US)
    assert said.replace("\N{NO-BREAK SPACE}", " ") == (
        "On the scale 10 ft of Spool tells its weight per length to ± 0.4 %; a label tells it to "
        "about 4 %."
    )
    # A coarser scale tells less, and a thin line too.
    assert share_told(SPOOL, 10.0 * FOOT, 4.0 * HALF_GRAIN) == pytest.approx(0.0072, abs=1e-4)


def test_so_little_is_left_that_its_label_tells_as_much() -> None:
    assert is_worth_weighing(SPOOL, HALF_GRAIN)
    assert not is_worth_weighing(replace(SPOOL, length=1.5 * FOOT), HALF_GRAIN)
