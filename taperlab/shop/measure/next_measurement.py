"""Which measurement would sharpen the answer most."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from taperlab.model.measurement import Instruments, WeighedSection
from taperlab.physics.frustum import Array
from taperlab.shop.measure.densities import DensityFit, Weighings
from taperlab.shop.measure.instruments import diameter_error
from taperlab.shop.measure.state import State
from taperlab.shop.measure.uncertainty import ShareError, WeightError
from taperlab.units.sentence import OnTape, Sentence

PLACES = 49
"""Places along the line at which a diameter is tried, and the weight per length judged."""

APART = 0.08
"""Two diameters nearer than this share of the line tell the same: places offered differ."""


class Aim(StrEnum):
    """What should become sharper."""

    HEAD_WEIGHT = "head weight"
    GRAINS_PER_FOOT = "grains per foot"


class Kind(StrEnum):
    """What to measure."""

    DIAMETER = "diameter"
    WEIGHT = "weight"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A measurement and what it would do.

    front, rear: where [m]; equal for a diameter. before, after: standard deviation of the aim
    without and with it: [kg] for the head weight, a share of the mean for grains per foot.
    sentence: all that in words.
    """

    kind: Kind
    front: float
    rear: float
    before: float
    after: float
    sentence: Sentence


Place = tuple[Kind, float, float]
"""What could be measured, and from where to where [m]."""


def sharpest_next(
    fit: DensityFit,
    instruments: Instruments,
    *,
    aim: Aim = Aim.GRAINS_PER_FOOT,
    head: float | None = None,
    count: int = 3,
) -> tuple[Suggestion, ...]:
    """The measurements that would shrink the error of the aim most, best first, diameters apart.

    Every candidate (one more diameter anywhere, a weighing of the whole, of the part ahead of a
    breakpoint, or of one segment) is tried on the covariance alone: what it would leave does not
    depend on what it will read. With w the derivatives of the aim, h and s those of the
    candidate and its error, a variance w C w^T loses (w C h^T)^2 / (h C h^T + s^2): one step of
    a Kalman filter (Kalman, J. Basic Eng. 82, 35, 1960). ``head`` is the head's length [m] if
    the line is longer.
    """
    places, rows, errors = _candidates(fit, instruments)
    wanted = _wanted(fit, aim, min(head, fit.length) if head else fit.length).values
    reach = rows @ fit.covariance
    own = np.sum(reach * rows, axis=1) + errors**2
    before = float(np.sum((wanted @ fit.covariance) * wanted))
    after = np.maximum(0.0, before - np.sum((wanted @ reach.T) ** 2, axis=0) / own)

    chosen: list[Suggestion] = []
    for i in np.argsort(after).tolist():
        kind, front, rear = places[i]
        told = (each.front for each in chosen if each.kind is kind is Kind.DIAMETER)
        if not any(abs(front - other) < APART * fit.length for other in told):
            left = float(after[i])
            said = _said(aim, places[i], before**0.5, left**0.5, fit.length)
            chosen.append(Suggestion(kind, front, rear, before**0.5, left**0.5, said))
        if len(chosen) == count:
            break
    return tuple(chosen)


def _wanted(fit: DensityFit, aim: Aim, end: float) -> State:
    """Derivatives of the aim: rows whose variances add up to the aim's."""
    state = fit.state
    if aim is Aim.HEAD_WEIGHT:
        return state.gradient(fit.sections_like([WeighedSection(0.0, end, 1.0)]).masses)
    x = (np.arange(PLACES) + 0.5) / PLACES * end
    gradient = state.linear_density_gradient(x).values
    return state.like(gradient / (state.linear_density(x).mean() * np.sqrt(PLACES)))


def _candidates(fit: DensityFit, instruments: Instruments) -> tuple[list[Place], Array, Array]:
    """What could be measured; the derivatives of what each would read, and its error."""
    state = fit.state
    x = np.linspace(0.0, fit.length, PLACES)
    nodes = fit.positions.tolist()
    spans = sorted({(0.0, node) for node in nodes[1:]} | set(pairwise(nodes)))
    weighings = Weighings([WeighedSection(front, rear, 1.0) for front, rear in spans])
    one_diameter = np.full(PLACES, diameter_error(instruments, 1))
    return (
        [(Kind.DIAMETER, place, place) for place in x.tolist()]
        + [(Kind.WEIGHT, front, rear) for front, rear in spans],
        np.vstack([state.diameter_gradient(x).values, state.gradient(weighings.masses).values]),
        np.concatenate([one_diameter, weighings.errors(state, instruments)]),
    )


def _said(aim: Aim, place: Place, before: float, after: float, length: float) -> Sentence:
    what = _measurement(*place, length)
    if aim is Aim.HEAD_WEIGHT:
        return Sentence(
            "{measurement} would bring the head’s weight from {before} to {after}.",
            measurement=what,
            before=WeightError(before),
            after=WeightError(after),
        )
    return Sentence(
        "{measurement} would bring the weight per length from {before} to {after}.",
        measurement=what,
        before=ShareError(before),
        after=ShareError(after),
    )


def _measurement(kind: Kind, front: float, rear: float, length: float) -> Sentence:
    at_fly_end, at_rod_end = front == 0.0, rear == length
    if kind is Kind.DIAMETER and at_fly_end:
        return Sentence("a diameter at the fly end")
    if kind is Kind.DIAMETER and at_rod_end:
        return Sentence("a diameter at the rod end")
    if kind is Kind.DIAMETER:
        return Sentence("a diameter at {place}", place=OnTape(front))
    if at_fly_end and at_rod_end:
        return Sentence("the weight of the whole line")
    if at_fly_end:
        return Sentence(
            "the weight of the front {rear}, if it is cut off anyway,", rear=OnTape(rear)
        )
    if at_rod_end:
        return Sentence(
            "the weight from {front} to the rod end, if it is cut off anyway,", front=OnTape(front)
        )
    return Sentence(
        "the weight from {front} to {rear}, if it is cut out anyway,",
        front=OnTape(front),
        rear=OnTape(rear),
    )
