"""What to trim where a reading is off: how much of the next piece, and how much at most."""

from __future__ import annotations

import math

from taperlab.model.exact_units import INCH
from taperlab.physics.mass_along import MassAlong
from taperlab.units.finding import Impossible
from taperlab.units.sentence import OnTape, Sentence

_MOST = 0.1
"""A trim takes at most so much of a piece, as a share: beyond it the rest is planned anew."""


def shorter_by(along: MassAlong, mass: float) -> float:
    """How much of a piece's rear weighs so much [m], exact where it is tapered."""
    return along.length - float(along.position_of(along.mass - mass))


def spare_for(sd: float, density: float) -> float:
    """What to cut a piece longer so that it can be trimmed either way [m]: an inch at least.

    Two and a half standard deviations [kg] over its mass per length [kg/m].
    """
    return max(INCH, 2.5 * sd / density)


def keep_balance(density: float, front_off: float, front_at: float, end: float, at: float) -> float:
    """How much longer the rear piece is cut so that the head balances where it should [m].

    density: mass per length there [kg/m]; front_off: how much too heavy the front is [kg], with its
    centre at ``front_at``, or all the head with its own; end: where the rear piece ends, at: where
    the head is to balance [m from the fly end]. The root nearest nought of density z^2/2 + density
    (end - at) z + front_off (front_at - at). Raises Impossible where no length does it.
    """
    half, slope = density / 2.0, density * (end - at)
    rest = front_off * (front_at - at)
    under = slope * slope - 4.0 * half * rest
    if under < 0.0:
        raise Impossible(Sentence("No length of the rear piece brings the balance back."))
    return -2.0 * rest / (slope + math.copysign(math.sqrt(under), slope))


def check_trim(length: float, trim: float, spare: float, shortest: float) -> None:
    """Raise Impossible, which says why, for a trim that goes too far.

    length: of the piece as planned, trim: how much shorter it is to be, below nought longer; spare:
    what was cut on [m].
    """
    if -trim > spare + 1e-9:
        raise Impossible(
            Sentence(
                "Too light by more than the spare of {spare} can mend: cut this piece anew.",
                spare=OnTape(spare),
            )
        )
    if length - trim < shortest:
        raise Impossible(
            Sentence("That leaves less than {shortest} of the piece.", shortest=OnTape(shortest))
        )
    if abs(trim) > _MOST * length:
        raise Impossible(Sentence("That is more than a tenth of the piece."))
