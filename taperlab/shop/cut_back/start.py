"""What a cut-back begins with before a person says more: aim, scale, tape, and what is known.

The loops come with it: :func:`taperlab.edits.cut_back.new_cut_back` makes every cut-back.
"""

from __future__ import annotations

import math
from functools import lru_cache

from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.model.rod import Rod
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.belief import AS_DESCRIBED, Measured, Start
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.study import measure_steps
from taperlab.shop.measure.weights import WeightFit
from taperlab.shop.on_rod import window_alone
from taperlab.shop.steps import finish
from taperlab.units.sentence import Sentence

LIGHTER = 0.95
"""Share of the head's weight aimed at where no rod says more."""

ROUND = 5.0 * GRAIN

SAME_LENGTH = 2.0
"""Steps of the tape within which a line is as long as it was measured."""

TAPE = INCH / 8.0
"""The step of a tape that is finer than a line can be laid out [m]."""


def usual_target(line: Line, rod: Rod | None) -> Target:
    """The middle of the rod's window where the head is heavier, else its lightest edge.

    Without a window that a cut can reach: a round weight a little below the head's.
    Raises Impossible where the line has no head in one piece.
    """
    head = head_of(line)
    mass = Profile.of(head).total_mass
    window = window_alone(head, rod)
    if window is not None:
        for place in (0.5, 0.0):
            goal = window.lightest + place * (window.heaviest - window.lightest)
            if mass > goal + ROUND:
                return Target(TargetKind.WINDOW, place)
    goal = math.floor(LIGHTER * mass / ROUND) * ROUND
    return Target(TargetKind.WEIGHT, goal if goal > 0.0 else LIGHTER * mass)


WEIGHTS_DISAGREE = Sentence("The weights measured on this line do not agree: weigh the head.")
"""Why a line that was measured does not start as it was measured."""


def known_start(measurement: Measurement | None, line: Line) -> Start:
    """What measuring a line has told of it; or how far it may differ from its description.

    Weights that contradict each other tell nothing that may be cut by.
    """
    fit = _measured(measurement, line)
    if fit is None or fit.disagrees:
        return AS_DESCRIBED
    return Measured(fit.belief.ladder, fit.belief.stretches)


def start_doubt(measurement: Measurement | None, line: Line) -> Sentence | None:
    """Why the measurement of a line is not what its cut-back starts from, though it has weights."""
    fit = _measured(measurement, line)
    return WEIGHTS_DISAGREE if fit is not None and fit.disagrees else None


def _measured(measurement: Measurement | None, line: Line) -> WeightFit | None:
    """The fit of the measurement, if it is of this very line.

    Told apart by length: a line that was cut or stretched since is another than the measured one.
    """
    if measurement is None:
        return None
    apart = abs(measurement.length - line.length)
    if apart > SAME_LENGTH * max(measurement.instruments.tape, TAPE):
        return None
    return _fit(measurement)


@lru_cache(maxsize=4)
def _fit(measurement: Measurement) -> WeightFit | None:
    # A study of a cut-back is asked for at every weighing; what was measured stays.
    fit = finish(measure_steps(measurement))
    return None if isinstance(fit, NoFit) else fit.weights
