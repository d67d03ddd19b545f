"""A plain head of a style that wins, to begin from on the bench."""

from __future__ import annotations

import math

from taperlab.model.aim import Aim, Goal, GoalKind
from taperlab.model.line import ONE_EXTRUSION, Line
from taperlab.model.rod import Measured
from taperlab.physics.profile import Profile
from taperlab.shop.which_head.study import Advice
from taperlab.trade.head_choice import plain_head
from taperlab.units.finding import Impossible
from taperlab.units.kinds import LENGTH, System
from taperlab.units.show import show
from taperlab.units.words import heading

_THICKEST = 0.0025


def start_of(advice: Advice, system: System) -> Line:
    """A plain head in the middle of what is advised; the advice goes with it as its goals.

    Its key is empty. Raises Impossible without a window for the head: its weight would be a guess.
    """
    window = advice.window
    if window is None:
        raise Impossible(
            "The rod has no grain window for {style}: its weight would be a guess. Ask the rod’s "
            "maker, and give the rod a grain window.",
            style=advice.style,
        )
    if window.measured_on is not Measured.HEAD:
        raise Impossible(
            "The rod’s grain window for {style} is for head and tip: what the head alone may weigh "
            "is not known.",
            style=advice.style,
        )
    length = 0.5 * (advice.low + advice.high)
    mass = 0.5 * (window.lightest + window.heaviest)
    rough = _line(advice, length, _THICKEST, system)
    # Every diameter by one factor: the weight goes with its square.
    thickest = _THICKEST * math.sqrt(mass / Profile.of(rough).total_mass)
    goals = (
        Goal(GoalKind.WEIGHT, window.lightest, window.heaviest),
        Goal(GoalKind.LENGTH, advice.low, advice.high),
    )
    found = _line(advice, length, thickest, system)
    return Line(
        found.key,
        found.name,
        found.style,
        found.segments,
        found.joints,
        note=found.note,
        aim=Aim(goals),
    )


def _line(advice: Advice, length: float, thickest: float, system: System) -> Line:
    segments = plain_head(advice.style, length, thickest)
    name = f"{heading(advice.style)}, {show(length, LENGTH, system)}"
    return Line("", name, advice.style, segments, (ONE_EXTRUSION,) * (len(segments) - 1))
