"""Which measurement would sharpen the answer most."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from taperlab.model.line import NO_LOOP
from taperlab.model.measurement import Instruments, WeighedSection
from taperlab.physics.frustum import Array
from taperlab.shop.measure.densities import DensityFit, SectionMasses
from taperlab.shop.measure.instruments import diameter_error
from taperlab.shop.measure.shape import diameter_gradient

PLACES = 49


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
    """

    kind: Kind
    front: float
    rear: float
    before: float
    after: float


def sharpest_next(
    fit: DensityFit,
    instruments: Instruments,
    *,
    aim: Aim = Aim.GRAINS_PER_FOOT,
    head: float | None = None,
    count: int = 3,
) -> tuple[Suggestion, ...]:
    """The measurements that would shrink the error of the aim most, best first.

    Every candidate (one more diameter anywhere, a weighing of the whole, of the part ahead of a
    breakpoint, or of one segment) is tried on the covariance alone: what it would leave does not
    depend on what it will read. ``head`` is the head's length [m] if the line is longer.
    """
    m = len(fit.positions)
    length = fit.length
    end = min(head, length) if head else length
    p = fit.covariance
    state = np.concatenate([fit.positions, fit.diameters, fit.densities])
    if aim is Aim.HEAD_WEIGHT:
        section = (WeighedSection(0.0, end, 1.0),)
        wanted = SectionMasses(section, fit.front_loop, fit.rear_loop).gradient(state, m)
    else:
        x = (np.arange(PLACES) + 0.5) / PLACES * end
        value, _ = fit.linear_density(x)
        wanted = fit.density_gradient(x) / value.mean() / np.sqrt(PLACES)
    before = float(np.einsum("ij,jk,ik->", wanted, p, wanted))

    where: list[tuple[Kind, float, float]] = []
    rows: list[Array] = []
    noise: list[float] = []
    x = np.linspace(0.0, length, PLACES)
    gradient = diameter_gradient(x, fit.positions, fit.diameters)
    for place, row in zip(x, gradient, strict=True):
        where.append((Kind.DIAMETER, float(place), float(place)))
        rows.append(np.concatenate([row, np.zeros(m - 1)]))
        noise.append(diameter_error(instruments, 1))
    nodes = [float(t) for t in fit.positions]
    spans = {(0.0, t) for t in nodes[1:]} | set(pairwise(nodes))
    sections = [WeighedSection(a, b, 1.0) for a, b in sorted(spans)]
    model = SectionMasses(sections, NO_LOOP, NO_LOOP)
    where += [(Kind.WEIGHT, section.front, section.rear) for section in sections]
    rows += list(model.gradient(state, m))
    noise += list(model.errors(state, m, instruments))

    h = np.array(rows)
    reach = h @ p
    cross = wanted @ reach.T
    own = np.einsum("ij,ij->i", reach, h) + np.array(noise) ** 2
    after = before - np.einsum("ij,ij->j", cross, cross) / own
    chosen: list[Suggestion] = []
    for i in np.argsort(after):
        kind, front, rear = where[int(i)]
        # Two diameters a hand apart tell the same: offer places that differ.
        if kind is Kind.DIAMETER and any(
            s.kind is Kind.DIAMETER and abs(s.front - front) < 0.08 * length for s in chosen
        ):
            continue
        chosen.append(
            Suggestion(kind, front, rear, before**0.5, float(max(0.0, after[int(i)])) ** 0.5)
        )
        if len(chosen) == count:
            break
    return tuple(chosen)
