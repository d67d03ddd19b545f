"""What to trim where a reading is off: the next piece, or a little of each piece to come."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from taperlab.model.exact_units import INCH
from taperlab.physics.frustum import Array
from taperlab.physics.mass_along import MassAlong
from taperlab.shop.pieces.building import PIECE, UNWEIGHED, Build, reading_variance
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Length, Sentence

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


def next_off(build: Build, after: int, off: float) -> float:
    """What the next piece is to be off by [kg], where the pieces so far are off by ``off``.

    e m2/m1 r_b^2/(r_b^2 + r_p^2 + s^2/m1^2): nought unless it comes from the batch that the last
    piece came from.
    """
    if not 0 < after < len(build.pieces):
        return 0.0
    piece, other = build.pieces[after - 1], build.pieces[after]
    if piece.batch != other.batch:
        return 0.0
    batch = UNWEIGHED if piece.batch_error is None else piece.batch_error
    noise = reading_variance(build) / piece.mass**2
    share = batch**2 / (batch**2 + PIECE**2 + noise)
    return off * other.mass / piece.mass * share


def spread(
    densities: Sequence[float],
    lengths: Sequence[float],
    off: float,
    conditions: Sequence[tuple[Sequence[float], float]] = (),
) -> Array:
    """How much longer each piece to come is cut [m], so that all together weigh what they should.

    densities: mass per length of each [kg/m]; off: how much too heavy all is so far [kg].
    conditions: more sums that are to be met, coefficients and value (lengths that add up to nought:
    ones and 0). The least change by share of each length: u = Q^-1 A' (A Q^-1 A')^-1 b with
    q = 1/L^2. Raises numpy's LinAlgError where the conditions contradict each other.
    """
    rows = np.array([densities, *(row for row, _ in conditions)], dtype=float)
    wanted = np.array([-off, *(value for _, value in conditions)])
    weights = np.array(lengths, dtype=float) ** 2
    inner = rows * weights @ rows.T
    return np.asarray(weights * (rows.T @ np.linalg.solve(inner, wanted)))


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
                spare=Length(spare),
            )
        )
    if length - trim < shortest:
        raise Impossible(
            Sentence("That leaves less than {shortest} of the piece.", shortest=Length(shortest))
        )
    if abs(trim) > _MOST * length:
        raise Impossible(
            Sentence("That is more than a tenth of the piece: stop, and plan the rest anew.")
        )
