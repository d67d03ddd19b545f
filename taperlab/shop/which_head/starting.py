"""A head of a style that wins, to begin from on the bench."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.aim import Aim, Goal, GoalKind
from taperlab.model.bench import Bench
from taperlab.model.rod import Measured, Rod
from taperlab.shop.goals.buildable import TOOLS
from taperlab.shop.goals.start import Begun, begin
from taperlab.shop.which_head.study import Advice
from taperlab.units.finding import Impossible
from taperlab.units.kinds import LENGTH, System
from taperlab.units.show import show
from taperlab.units.words import heading


def start_of(advice: Advice, rod: Rod, bench: Bench, system: System) -> Begun:
    """A head in the middle of what is advised, with the advice as its goals.

    Raises Impossible without a window for the head, since its weight would be a guess, and where no
    line is that thick or thin.
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
    name = f"{heading(advice.style)}, {show(length, LENGTH, system)}"
    begun = begin(bench, name, advice.style, mass, length, TOOLS[system], rod)
    goals = (
        Goal(GoalKind.WEIGHT, window.lightest, window.heaviest),
        Goal(GoalKind.LENGTH, advice.low, advice.high),
    )
    return replace(begun, line=replace(begun.line, aim=Aim(goals)))
