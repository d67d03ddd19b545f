"""What is known of a real head while it is cut: grams per metre along it, sharper at each weighing.

The described line gives the expected mass per length; the real one drifts from it by a share that
changes slowly along the line. That share, cell by cell, and the tape's error at each cut are the
unknowns, jointly normal. Weighing the head or an offcut measures a weighted sum of them, and the
update is linear least squares with a prior (generalised least squares; Tarantola, Inverse Problem
Theory, 2005, section 3.2; the drift is a stationary Gauss-Markov process, Rasmussen and Williams,
Gaussian Processes for Machine Learning, 2006, appendix B).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import CutStep
from taperlab.model.exact_units import FOOT
from taperlab.model.line import NO_LOOP, Line
from taperlab.model.measurement import Instruments
from taperlab.physics import section
from taperlab.physics.frustum import Array
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.trim import SLIVER, scaled_to, trim
from taperlab.shop.cut_back.meter import bare_profile, loop_masses
from taperlab.shop.measure.instruments import rounding_error

CELLS = 64

CONFIDENT = 1.96
"""Standard deviations within which 95 in 100 results lie (normal distribution)."""


@dataclass(frozen=True, slots=True)
class Drift:
    """How far a real line may drift from its description.

    local: height of the drift's waves, as a share of mass per length: a wave of that height has a
    standard deviation of local / sqrt(2). reach: distance [m] over which the drift forgets itself.
    common: standard deviation of what the whole line is off by; heads from one production run are
    said to differ by 10 to 15 gr (common practice), some 3 %.
    """

    local: float = 0.04
    reach: float = 10.0 * FOOT
    common: float = 0.03

    @property
    def variance(self) -> float:
        """Variance of the local share."""
        return self.local**2 / 2.0


USUAL_DRIFT = Drift()


@dataclass(frozen=True, eq=False, slots=True)
class Belief:
    """A head part-way through a cut-back.

    head: the head as described, uncut, scaled to the first reading if there was one; profile: its
    own, without the loops, whose masses [kg] are old_loops, at the fly end and the rod end. edges:
    (cells + 1,) [m]; edge_masses: described mass up to each [kg], loops and sleeves left out.
    mean, covariance: shares by which each cell is heavier than described (cells,), then the
    error of each cut's tape [m]. slots: for each tape error whether it lies at the front.
    front, rear: length cut off each end so far [m]. readings: how many weighings are in it.
    """

    head: Line
    profile: Profile
    old_loops: tuple[float, float]
    instruments: Instruments
    edges: Array
    edge_masses: Array
    mean: Array
    covariance: Array
    slots: tuple[bool, ...] = ()
    front: float = 0.0
    rear: float = 0.0
    readings: int = 0

    @property
    def length(self) -> float:
        """Length of what is left [m], new loops not yet made."""
        return self.profile.length - self.front - self.rear

    def fixed_masses(self, front: Array, rear: Array) -> Array:
        """Mass [kg] of sleeves and old loops still on the head after such cuts in all [m] (n,)."""
        at = self.profile.point_positions
        end = self.profile.length - rear[:, np.newaxis]
        inside = (at > front[:, np.newaxis] + SLIVER) & (at < end - SLIVER)
        old_front, old_rear = self.old_loops
        return np.asarray(
            inside @ self.profile.point_masses
            + np.where(front == 0.0, old_front, 0.0)
            + np.where(rear == 0.0, old_rear, 0.0)
        )

    def fixed_mass(self, front: float, rear: float) -> float:
        """Mass [kg] of sleeves and old loops still on the head after such cuts in all [m]."""
        return float(self.fixed_masses(np.array([front]), np.array([rear]))[0])

    def rows(self, front: Array, rear: Array) -> tuple[Array, Array]:
        """The head's weight after cuts of ``front`` and ``rear`` [m] in all, as a weighted sum.

        Returns the weights (n, cells + tape errors) and the described mass of the cells (n,).
        """
        first = self.profile.running_mass(front, points=False)[:, np.newaxis]
        end = self.profile.length - rear
        last = self.profile.running_mass(end, points=False)[:, np.newaxis]
        cells = np.diff(np.clip(self.edge_masses, first, last), axis=1)
        at_front = self.profile.linear_density(front)
        at_rear = self.profile.linear_density(end)
        tape = [-(at_front if is_front else at_rear) for is_front in self.slots]
        rows = np.column_stack([cells, *tape]) if tape else cells
        return rows, cells.sum(axis=1)

    def expected(self, front: Array, rear: Array) -> tuple[Array, Array]:
        """Mean [kg] and variance [kg^2] of the head's weight after cuts of so much in all.

        The next cut's own tape error is counted where it goes beyond what is cut already.
        Shapes (n,). Sleeves and old loops are left out of the means.
        """
        rows, described = self.rows(front, rear)
        means = described + rows @ self.mean
        variances = np.einsum("ij,ij->i", rows @ self.covariance, rows)
        tape = rounding_error(self.instruments.tape)
        end = self.profile.length - rear
        blade = np.where(front > self.front, self.profile.linear_density(front) ** 2, 0.0)
        blade = blade + np.where(rear > self.rear, self.profile.linear_density(end) ** 2, 0.0)
        return means, variances + blade * tape**2

    def head_mass(self) -> tuple[float, float]:
        """What the head should weigh now [kg] and its standard deviation."""
        means, variances = self.expected(np.array([self.front]), np.array([self.rear]))
        fixed = self.fixed_mass(self.front, self.rear)
        return float(means[0]) + fixed, math.sqrt(max(0.0, float(variances[0])))

    def _observed(self, row: Array, described: float, reading: float) -> Belief:
        noise = rounding_error(self.instruments.scale) ** 2
        reach = self.covariance @ row
        gain = reach / (row @ reach + noise)
        mean = self.mean + gain * (reading - described - row @ self.mean)
        # Joseph's form: symmetric and never negative, however sharp the reading.
        left = np.eye(len(row)) - np.outer(gain, row)
        covariance = left @ self.covariance @ left.T + noise * np.outer(gain, gain)
        return replace(self, mean=mean, covariance=covariance, readings=self.readings + 1)

    def weighed_head(self, reading: float) -> Belief:
        """The belief after the head as it is now read so much on the scale [kg]."""
        rows, described = self.rows(np.array([self.front]), np.array([self.rear]))
        fixed = self.fixed_mass(self.front, self.rear)
        return self._observed(rows[0], float(described[0]) + fixed, reading)

    def after(self, step: CutStep) -> Belief:
        """The belief after a cut and whatever was weighed after it."""
        rear_before, front_before = self.rear, self.front
        slots = self.slots + (True,) * (step.front > 0.0) + (False,) * (step.rear > 0.0)
        added = len(slots) - len(self.slots)
        size = len(self.mean)
        covariance = np.zeros((size + added, size + added))
        covariance[:size, :size] = self.covariance
        tape = rounding_error(self.instruments.tape) ** 2
        covariance[range(size, size + added), range(size, size + added)] = tape
        then = replace(
            self,
            mean=np.concatenate([self.mean, np.zeros(added)]),
            covariance=covariance,
            slots=slots,
            front=self.front + step.front,
            rear=self.rear + step.rear,
        )
        if step.offcut is not None and added:
            before, held = self.rows(np.array([front_before]), np.array([rear_before]))
            now, holds = then.rows(np.array([then.front]), np.array([then.rear]))
            row = np.concatenate([before[0], np.zeros(added)]) - now[0]
            gone = self.fixed_mass(front_before, rear_before) - then.fixed_mass(
                then.front, then.rear
            )
            then = then._observed(row, float(held[0] - holds[0]) + gone, step.offcut)
        return then if step.head is None else then.weighed_head(step.head)

    def line(self) -> Line:
        """What is left as a line: described shape, densities as the weighings have them.

        It weighs what :meth:`head_mass` says: what the weighings put down to the tape rather than
        to the densities is spread over all of it.
        """
        end = self.profile.length - self.rear
        # Only what is left of a segment counts for its density: the rest is in the bin.
        at = self.profile.running_mass(np.clip(self.head.starts, self.front, end), points=False)
        heavier = np.concatenate([[0.0], np.cumsum(np.diff(self.edge_masses) * self.mean[:CELLS])])
        masses, extra = np.diff(at), np.diff(np.interp(at, self.edge_masses, heavier))
        factors = 1.0 + extra / np.where(masses > 0.0, masses, 1.0)
        segments = tuple(
            section.scaled(segment, float(factor))
            for segment, factor in zip(self.head.segments, factors, strict=True)
        )
        left = trim(replace(self.head, segments=segments), self.front, end)
        # A loop just where a cut went through is cut off, as fixed_mass has it.
        left = replace(
            left,
            front_loop=NO_LOOP if self.front > 0.0 else left.front_loop,
            rear_loop=NO_LOOP if self.rear > 0.0 else left.rear_loop,
        )
        return scaled_to(left, self.head_mass()[0]) if self.slots else left


def begin(
    line: Line,
    instruments: Instruments,
    first_reading: float | None = None,
    drift: Drift = USUAL_DRIFT,
) -> Belief:
    """What is known before the first cut.

    ``first_reading``: what the head, loops on, read on the scale [kg]; its densities are scaled
    to it. Raises Impossible where the line has no head in one piece.
    """
    head = head_of(line)
    if first_reading is not None:
        head = scaled_to(head, first_reading)
    profile = bare_profile(head)
    edges = np.linspace(0.0, profile.length, CELLS + 1)
    middle = (edges[1:] + edges[:-1]) / 2.0
    apart = np.abs(middle[:, np.newaxis] - middle)
    covariance = drift.variance * np.exp(-apart / drift.reach) + drift.common**2
    belief = Belief(
        head=head,
        profile=profile,
        old_loops=loop_masses(head, profile),
        instruments=instruments,
        edges=edges,
        edge_masses=profile.running_mass(edges, points=False),
        mean=np.zeros(CELLS),
        covariance=covariance,
    )
    return belief if first_reading is None else belief.weighed_head(first_reading)


def replay(belief: Belief, steps: Sequence[CutStep]) -> tuple[Belief, ...]:
    """The belief before the first step and after each one."""
    out = [belief]
    for step in steps:
        out.append(out[-1].after(step))
    return tuple(out)
