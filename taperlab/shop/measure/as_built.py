"""As designed against as built: what differs, and whether it is more than measuring error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from difflib import SequenceMatcher

from taperlab.model.line import Line
from taperlab.physics.frustum import Array
from taperlab.physics.profile import Profile
from taperlab.shop.measure.densities import DensityFit

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 measurements lie (normal distribution)."""


@dataclass(frozen=True, slots=True)
class Amount:
    """One quantity designed and built, in SI, and the standard deviation of the built one.

    designed or built is None where the segment exists on one side only; error is None where the
    built line was not measured.
    """

    designed: float | None
    built: float | None
    error: float | None

    @property
    def difference(self) -> float | None:
        """Built less designed."""
        if self.designed is None or self.built is None:
            return None
        return self.built - self.designed

    @property
    def outside(self) -> bool | None:
        """Whether the difference is more than measuring error explains (95 %)."""
        if self.difference is None or self.error is None:
            return None
        return abs(self.difference) > CONFIDENT * self.error


@dataclass(frozen=True, slots=True)
class Row:
    """A segment, or the whole line: its part's name, length [m], mass [kg], mass/length [kg/m].

    designed, built: the segment's index in each line, None where it has no match there.
    """

    name: str
    designed: int | None
    built: int | None
    length: Amount
    mass: Amount
    linear_density: Amount


def _pairs(designed: Line, built: Line) -> list[tuple[int | None, int | None]]:
    left = [segment.part for segment in designed.segments]
    right = [segment.part for segment in built.segments]
    if len(left) == len(right):
        return [(i, i) for i in range(len(left))]
    pairs: list[tuple[int | None, int | None]] = []
    for _, a0, a1, b0, b1 in SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        for k in range(max(a1 - a0, b1 - b0)):
            pairs.append((a0 + k if a0 + k < a1 else None, b0 + k if b0 + k < b1 else None))
    return pairs


def compare(designed: Line, built: Line, fit: DensityFit | None = None) -> tuple[Row, ...]:
    """A row for each segment in order from the fly end, then one for the whole line.

    Segments are paired one by one where both lines have as many, else by their parts in order.
    ``fit`` is what ``built`` was made from; without it nothing is said about measuring error.
    """
    plan, real = Profile.of(designed), Profile.of(built)
    measured = fit is not None and len(fit.densities) == len(built.segments)
    rows = []
    for a, b in _pairs(designed, built):
        length_error = mass_error = per_length_error = None
        if b is not None and fit is not None and measured:
            mass_error, length_error, per_length_error = segment_errors(fit, b)
        plan_length = float(plan.lengths[a]) if a is not None else None
        real_length = float(real.lengths[b]) if b is not None else None
        plan_mass = float(plan.segment_masses[a]) if a is not None else None
        real_mass = float(real.segment_masses[b]) if b is not None else None
        name = built.segments[b].part if b is not None else designed.segments[a or 0].part
        rows.append(
            Row(
                str(name),
                a,
                b,
                Amount(plan_length, real_length, length_error),
                Amount(plan_mass, real_mass, mass_error),
                Amount(
                    plan_mass / plan_length if plan_mass and plan_length else None,
                    real_mass / real_length if real_mass and real_length else None,
                    per_length_error,
                ),
            )
        )
    total_error = fit.total[1] if fit is not None and measured else None
    length_error = (
        float(fit.covariance[len(fit.positions) - 1, len(fit.positions) - 1] ** 0.5)
        if fit is not None and measured
        else None
    )
    rows.append(
        Row(
            "whole line",
            None,
            None,
            Amount(plan.length, real.length, length_error),
            Amount(plan.total_mass, real.total_mass, total_error),
            Amount(
                plan.total_mass / plan.length if plan.length else None,
                real.total_mass / real.length if real.length else None,
                total_error / real.length if total_error is not None and real.length else None,
            ),
        )
    )
    return tuple(rows)


def segment_errors(fit: DensityFit, segment: int) -> tuple[float, float, float]:
    """Standard deviations of a segment's mass [kg], length [m] and mass per length [kg/m]."""
    by_mass, by_length = fit.segment_gradients(segment)
    length = float(fit.positions[segment + 1] - fit.positions[segment])
    mass = fit.segment_mass(segment)
    by_ratio = by_mass / length - by_length * mass / length**2

    def error(row: Array) -> float:
        return math.sqrt(max(0.0, float(row @ fit.covariance @ row)))

    return error(by_mass), error(by_length), error(by_ratio)
