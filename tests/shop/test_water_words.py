"""What is said of a rig in the water."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.physics.current import Stream
from taperlab.shop.rig import looped
from taperlab.shop.water.band import Band
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.study import compare, study_now
from taperlab.shop.water.words import (
    NOT_COUNTED,
    Rough,
    against_words,
    depth_words,
    remarks,
    settling_words,
    why_words,
)
from taperlab.units.kinds import DEPTH, System
from taperlab.units.sentence import render
from tests.shop.test_water_band import HEAD, PACE, rig, tip

FOOT, INCH = 0.3048, 0.0254


@pytest.mark.parametrize(
    ("feet", "us", "metric"),
    [
        (0.0, "0 ft", "0.0 m"),
        (0.24, "¼ ft", "0.1 m"),
        (2.3, "2¼ ft", "0.7 m"),
        (2.5, "2½ ft", "0.8 m"),
        (2.9, "3 ft", "0.9 m"),
        (7.7, "7¾ ft", "2.3 m"),
        (math.nan, "—", "—"),
    ],
)
def test_depths_are_told_as_well_as_they_are_known(feet: float, us: str, metric: str) -> None:
    assert Rough(DEPTH, feet * FOOT).text(System.US) == us
    assert Rough(DEPTH, feet * FOOT).text(System.METRIC) == metric


def test_the_band_in_words() -> None:
    found = study_now(rig(), PACE)

    def said(low: float, high: float) -> str:
        return str(depth_words(replace(found, band=Band(low * FOOT, high * FOOT, ()))))

    assert said(2.0, 3.1) == "The fly is about 2 to 3 ft deep."
    assert said(2.0, 2.1) == "The fly is about 2 ft deep."
    assert said(2.0, math.nan) == "The fly is about 2 ft deep, or lies on the bottom."
    assert said(math.nan, math.nan) == "The fly may lie on the bottom."
    why = why_words(found)
    assert why is not None
    first, second = (str(effect.cause) for effect in found.band.effects[:2])
    assert str(why) == f"What is least sure: {first}, then {second}."


def test_why_there_is_no_figure() -> None:
    bottom = study_now(rig(), replace(PACE, stream=Stream(0.3)))
    assert str(depth_words(bottom)) == "The rig lies on the bottom: there is no figure."
    floats = study_now(looped(HEAD), PACE)
    assert str(depth_words(floats)) == "The fly stays at the surface."
    hangs = study_now(rig(), Fishing(0.0))
    assert str(depth_words(hangs)).startswith("Without a current the rig hangs straight down: ")
    assert why_words(bottom) is why_words(floats) is why_words(hangs) is None


def test_what_the_figure_does_not_hold_for() -> None:
    lone = study_now(looped(tip()), PACE)
    assert any("is under, to its rod end" in str(each) for each in remarks(lone))
    behind = looped(HEAD, [tip()], [tip(feet=4.0, key="behind")], fly=rig().fly)
    assert any(
        "of what lies ahead of it alone" in str(each) for each in remarks(study_now(behind, PACE))
    )
    for found in (lone, study_now(rig(), PACE)):
        assert remarks(found)[-1] is NOT_COUNTED
    words = [str(each) for each in remarks(study_now(rig(), PACE))]
    assert any("forgotten after about 28 ft of water" in each for each in words)


def test_a_slack_cast() -> None:
    found = study_now(rig(), PACE)
    tip, fly = found.settling.tip, found.settling.pieces[0].rate
    low, high = sorted((tip / INCH, fly / INCH))
    said = str(settling_words(found))
    assert f"the tip sinks {tip / INCH:.1f} in/s" in said
    assert f"the fly between {low:.1f} in/s and {high:.1f} in/s" in said
    assert settling_words(study_now(looped(HEAD), PACE)) is None
    assert settling_words(study_now(looped(HEAD, fly=rig().fly), PACE)) is None


def test_one_rig_against_another() -> None:
    one, other = study_now(rig(14.0), PACE), study_now(rig(10.0), PACE)
    percent = round((one.depth / other.depth - 1.0) * 100.0)
    said = render(against_words(one, other, compare(one, other)), System.US)
    assert said == f"Tip of 14 + Head fishes {percent} % deeper than Tip of 10 + Head."
    assert "shallower" in str(against_words(other, one, compare(other, one)))
    assert "at one depth" in str(against_words(one, one, compare(one, one)))
    assert "can’t be compared" in str(against_words(one, one, None))
