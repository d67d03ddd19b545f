"""What a cut-back aims at before a person says so."""

from __future__ import annotations

import math

from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.exact_units import GRAIN
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile

LIGHTER = 0.95
"""Share of the head's weight aimed at where no rod says more."""

ROUND = 5.0 * GRAIN


def usual_target(line: Line, rod: Rod | None) -> Target:
    """The middle of the rod's window where the head is heavier, else its lightest edge.

    Without a window that a cut can reach: a round weight a little below the head's.
    Raises Impossible where the line has no head in one piece.
    """
    head = head_of(line)
    mass = Profile.of(head).total_mass
    window = rod.window_for(head.style) if rod else None
    if window is not None:
        for place in (0.5, 0.0):
            goal = window.lightest + place * (window.heaviest - window.lightest)
            if mass > goal + ROUND:
                return Target(TargetKind.WINDOW, place)
    goal = math.floor(LIGHTER * mass / ROUND) * ROUND
    return Target(TargetKind.WEIGHT, goal if goal > 0.0 else LIGHTER * mass)
