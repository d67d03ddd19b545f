"""A belief about many unknowns that are jointly normal, at several sizes of error at once.

How much a real line differs from its description is itself unknown, and one weighing tells next to
nothing about it. So several normal distributions of the same unknowns are kept side by side, one
for each size of error: the rungs of a ladder. Each is updated by least squares with a prior, and
each rung's weight by how well it foretold what was read (a Gaussian mixture under Bayes' theorem;
Bishop, Pattern Recognition and Machine Learning, 2006, sections 2.3.3 and 3.4).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Self

import numpy as np

from taperlab.physics.frustum import Array

HALVINGS = 26
"""Halvings of the bracket round a half-width: to a ten-millionth of it."""


@dataclass(frozen=True, eq=False, slots=True)
class Ladder:
    """Unknowns (n,) in whatever unit each has, as a mixture of k normal distributions.

    means (k, n); covariances (k, n, n); log_weights (k,): of the rungs, their exponentials adding
    up to one. Nothing here changes: what is learnt is another ladder.
    """

    means: Array
    covariances: Array
    log_weights: Array

    @classmethod
    def of(
        cls, fixed: Array, local: Array, spreads: Sequence[float], weights: Sequence[float]
    ) -> Self:
        """Unknowns that are nought as far as known, before anything was read.

        fixed (n, n): covariance that every rung has; local (n, n): what rung i has ``spreads[i]``
        squared times of. weights: how likely each rung is.
        """
        size = np.asarray(spreads, dtype=float)[:, np.newaxis, np.newaxis]
        share = np.asarray(weights, dtype=float)
        return cls(
            np.zeros((len(size), len(fixed))),
            fixed + size**2 * local,
            np.log(share / share.sum()),
        )

    @property
    def size(self) -> int:
        """How many unknowns."""
        return int(self.means.shape[1])

    @property
    def weights(self) -> Array:
        """How likely each rung is now, (k,)."""
        return np.asarray(np.exp(self.log_weights))

    # -- what is learnt -----------------------------------------------------------------------

    def observed(self, row: Array, reading: float, noise: float) -> Self:
        """The belief after ``row @ unknowns`` was read as ``reading``, give or take ``noise``.

        row (n,); noise: a standard deviation, in the reading's unit.
        """
        spread, gain, covariances = self._narrowed(row, noise)
        surprise = reading - self.means @ row
        log_weights = self.log_weights - 0.5 * (surprise**2 / spread + np.log(spread))
        log_weights = log_weights - log_weights.max()
        return replace(
            self,
            means=self.means + gain * surprise[:, np.newaxis],
            covariances=covariances,
            log_weights=log_weights - np.log(np.exp(log_weights).sum()),
        )

    def foreseen(self, row: Array, noise: float) -> Self:
        """How sharp the belief will be once ``row @ unknowns`` is read, whatever it reads.

        Means and the rungs' weights stay as they are.
        """
        return replace(self, covariances=self._narrowed(row, noise)[2])

    def _narrowed(self, row: Array, noise: float) -> tuple[Array, Array, Array]:
        """Variance of the reading (k,), gain (k, n) and the covariances after it (k, n, n)."""
        reach = self.covariances @ row
        spread = reach @ row + noise**2
        gain = reach / spread[:, np.newaxis]
        # Joseph's form, (1 - g r) C (1 - g r)^T + g n^2 g^T, one factor after the other: symmetric
        # and never negative, however sharp the reading.
        column = gain[:, :, np.newaxis]
        left = self.covariances - column * (row @ self.covariances)[:, np.newaxis, :]
        both = left - (left @ row)[:, :, np.newaxis] * gain[:, np.newaxis, :]
        return spread, gain, both + noise**2 * column * gain[:, np.newaxis, :]

    def grown(self, variances: Sequence[float]) -> Self:
        """The same with further unknowns behind these, of mean nought and independent of all."""
        more, n = len(variances), self.size
        covariances = np.zeros((len(self.means), n + more, n + more))
        covariances[:, :n, :n] = self.covariances
        covariances[:, range(n, n + more), range(n, n + more)] = variances
        means = np.pad(self.means, ((0, 0), (0, more)))
        return replace(self, means=means, covariances=covariances)

    def turned(self, rows: Array) -> Self:
        """The belief about ``rows @ unknowns`` (m, n) instead, such as cells of another width."""
        return replace(
            self, means=self.means @ rows.T, covariances=rows @ self.covariances @ rows.T
        )

    # -- what is known ------------------------------------------------------------------------

    def mean(self, rows: Array) -> Array:
        """What ``rows @ unknowns`` (m, n) are on average, (m,)."""
        return np.asarray(rows @ (self.weights @ self.means))

    def deviations(self, rows: Array) -> Array:
        """Standard deviation of ``rows @ unknowns`` on each rung, (k, m)."""
        variances = np.sum((rows @ self.covariances) * rows, axis=-1)
        return np.asarray(np.sqrt(np.maximum(variances, 0.0)))

    def half_width(
        self, rows: Array, level: float = 0.95, *, besides: Array | float = 0.0
    ) -> Array:
        """Within how much of their :meth:`mean` ``rows @ unknowns`` (m, n) lie, (m,).

        With probability ``level``, by the mixture's own quantile. The standard deviation of the
        mixture will not do: the widest rung, however unlikely, stretches it far beyond where the
        truth is found. besides (m,): variance of what else each of them is off by.
        """
        off = np.abs(self.means @ rows.T - self.mean(rows))
        spread = np.sqrt(self.deviations(rows) ** 2 + besides)
        return mixture_half_width(off, spread, self.weights, level)


def mixture_half_width(off: Array, spread: Array, weights: Array, level: float) -> Array:
    """The h for which a mixture of normal distributions lies within +-h with probability level.

    off, spread (k, m): mean of each part, whose sign does not matter, and its standard deviation;
    weights (k,). Returns (m,), in the unit of both.
    """
    least = np.zeros(off.shape[1])
    # Within the widest reach of any part, each part lies with the probability asked for or more.
    most = np.max(off + NormalDist().inv_cdf((1.0 + level) / 2.0) * spread, axis=0)
    thin, sides = np.maximum(spread, 1e-300), np.array([[-1.0], [1.0]])[:, np.newaxis] * off
    for _ in range(HALVINGS):
        h = (least + most) / 2.0
        above, below = normal_share((h + sides) / thin)
        inside = weights @ (above + below) - 1.0
        least, most = np.where(inside < level, h, least), np.where(inside < level, most, h)
    return np.asarray((least + most) / 2.0)


def normal_share(z: Array) -> Array:
    """Share of a standard normal distribution below z, within 7.5e-8.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, formula 26.2.17.
    """
    t = 1.0 / (1.0 + 0.2316419 * np.abs(z))
    series = t * (
        0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429)))
    )
    above = np.exp(-0.5 * np.minimum(z**2, 1400.0)) / np.sqrt(2.0 * np.pi) * series
    return np.asarray(np.where(z >= 0.0, 1.0 - above, above))
