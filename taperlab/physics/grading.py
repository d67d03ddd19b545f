"""One head made heavier or lighter by moving its diameters along a direction: a quadratic.

Where the diameter d of every node becomes d + k v, the weight of a head is a quadratic in k,
exactly: W(k) = A k^2 + B k + C. Line folded into loops goes with a node's diameter squared, and so
is part of it; what loops and joints add besides is a constant.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

import numpy as np

from taperlab.model.line import Line
from taperlab.model.marked import later
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.physics.profile import Profile, points_on
from taperlab.units.kinds import DIAMETER

LEVEL = 1e-9
"""A head whose thickest place is thicker than its front end by a smaller share is level."""


class Bound(StrEnum):
    """What keeps a head from going on getting lighter, or heavier."""

    FRONT = later("the fly end, which is held")
    CORE = later("the core")
    DIAMETER = later("how thin or thick a line can be")


@dataclass(frozen=True, slots=True)
class Reach:
    """The lightest and the heaviest that a head can be made [kg], and what stops it there."""

    least: float
    most: float
    lower: Bound
    upper: Bound


@dataclass(frozen=True, eq=False)
class Grading:
    """A head, and the direction in which its diameters move.

    nodes, moves: diameters and directions [m], front and rear of each segment, shape (2, n). holds:
    whether the front end is held, and everything ahead of the thickest place thins toward it.
    """

    head: Line
    nodes: Array
    moves: Array
    holds: bool

    @classmethod
    def of(cls, head: Line, *, hold_front: bool) -> Grading:
        """The grading of a head.

        Same shape: v = d. With the front end held, v = (d - d_tip) d_max / (d_max - d_tip) ahead of
        the thickest place and v = d from there on. It is affine in d, so that a row that is split
        inside a straight taper changes nothing. A head that is nowhere thicker than its front end
        has nothing to move then: ``holds`` is False, and the shape is kept.
        """
        nodes = np.array(
            [(each.front_diameter, each.rear_diameter) for each in head.segments], dtype=float
        ).T
        in_order = nodes.T.ravel()
        tip, top = float(in_order[0]), float(in_order.max())
        moves = in_order.copy()
        holds = hold_front and top > tip * (1.0 + LEVEL)
        if holds:
            ahead = slice(0, int(in_order.argmax()))
            moves[ahead] = (in_order[ahead] - tip) * top / (top - tip)
        return cls(head, nodes, moves.reshape(-1, 2).T, holds)

    # -- the quadratic -----------------------------------------------------------------------

    @cached_property
    def _profile(self) -> Profile:
        return Profile.of(self.head)

    @cached_property
    def _folds(self) -> tuple[Array, Array]:
        """Line folded into loops, as an amount of each node: length times density [kg/m^2].

        Second, what does not change with diameters: cores in folds, and what loops and joints add.
        """
        lengths = np.zeros_like(self.nodes)
        beside = 0.0
        for point in points_on(self.head):
            at_rear = point.position > self._profile.starts[point.segment]
            lengths[int(at_rear), point.segment] += point.fold
            segment = self.head.segments[point.segment]
            core = segment.core
            within = QUARTER_PI * segment.density * point.diameter**2
            if core is not None:
                within += QUARTER_PI * (core.density - segment.density) * core.diameter**2
            beside += point.mass - point.fold * within
        densities = self._profile.densities
        excess = (self._profile.core_densities - densities) * self._profile.core_diameters**2
        fixed = beside + float((QUARTER_PI * excess * lengths).sum())
        return lengths * densities, np.asarray(fixed)

    def _product(self, p: Array, q: Array) -> float:
        """Q(p, q) = pi/4 sum rho L (2 p_a q_a + p_a q_b + p_b q_a + 2 p_b q_b) / 6 + folds [kg]."""
        (pa, pb), (qa, qb) = p, q
        profile = self._profile
        along = profile.densities * profile.lengths / 6.0
        segments = along * (2.0 * pa * qa + pa * qb + pb * qa + 2.0 * pb * qb)
        return float(QUARTER_PI * (segments.sum() + (self._folds[0] * p * q).sum()))

    @cached_property
    def quadratic(self) -> tuple[float, float, float]:
        """A, B and C of W(k) = A k^2 + B k + C [kg]."""
        profile = self._profile
        core = (profile.core_densities - profile.densities) * profile.core_diameters**2
        constant = float(QUARTER_PI * (core * profile.lengths).sum()) + float(self._folds[1])
        return (
            self._product(self.moves, self.moves),
            2.0 * self._product(self.nodes, self.moves),
            self._product(self.nodes, self.nodes) + constant,
        )

    def mass(self, k: float) -> float:
        """What the head weighs [kg] where its diameters have moved k times their directions."""
        a, b, c = self.quadratic
        return (a * k + b) * k + c

    # -- how far it goes ---------------------------------------------------------------------

    @cached_property
    def span(self) -> tuple[float, float, Bound, Bound]:
        """Between which k every diameter can be, and what stops it at either end."""
        cores = np.maximum(self._profile.core_diameters, DIAMETER.lowest)
        moves = self.moves != 0.0
        v = np.where(moves, self.moves, 1.0)
        bare, full = (cores - self.nodes) / v, (DIAMETER.highest - self.nodes) / v
        down = np.where(moves, np.minimum(bare, full), -np.inf)
        up = np.where(moves, np.maximum(bare, full), np.inf)
        low, high = float(down.max()), float(up.min())
        cored = np.broadcast_to(cores > DIAMETER.lowest, moves.shape)
        lower, upper = (
            Bound.CORE if bool((cored & (at == k) & (bare == k)).any()) else Bound.DIAMETER
            for at, k in ((down, low), (up, high))
        )
        if self.holds:
            level = float(self.nodes[0, 0]) / float(self.nodes.max()) - 1.0
            if level > low:
                low, lower = level, Bound.FRONT
        a, b, _ = self.quadratic
        bottom = -b / (2.0 * a)
        return max(low, bottom), high, lower, upper

    @property
    def reach(self) -> Reach:
        """The lightest and the heaviest that it can be made."""
        low, high, lower, upper = self.span
        return Reach(self.mass(low), self.mass(high), lower, upper)

    # -- the answer --------------------------------------------------------------------------

    def for_mass(self, wanted: float) -> float | None:
        """The k with which the head weighs ``wanted`` [kg]; None where none is within reach.

        k = -2 C / (B + sqrt(B^2 - 4 A C)), C being what it weighs now less what is wanted: nothing
        cancels where that is near zero.
        """
        a, b, now = self.quadratic
        c = now - wanted
        under = b * b - 4.0 * a * c
        if under < 0.0 or b + math.sqrt(under) <= 0.0:
            return None
        k = -2.0 * c / (b + math.sqrt(under))
        low, high, *_ = self.span
        slack = 1e-12 * (1.0 + abs(k))
        return min(max(k, low), high) if low - slack <= k <= high + slack else None

    def moved(self, k: float) -> Line:
        """The head with its diameters moved."""
        front, rear = self.nodes + k * self.moves
        segments = []
        for each, a, b in zip(self.head.segments, front.tolist(), rear.tolist(), strict=True):
            thinnest = each.core.diameter if each.core else 0.0  # rounding must not bare it
            segments.append(
                replace(each, front_diameter=max(a, thinnest), rear_diameter=max(b, thinnest))
            )
        return replace(self.head, segments=tuple(segments))


def stretched(head: Line, factor: float) -> Line:
    """The head with all its segments longer by a factor; loops and joints stay as they are."""
    if factor == 1.0:
        return head
    longer = tuple(replace(each, length=each.length * factor) for each in head.segments)
    return replace(head, segments=longer)
