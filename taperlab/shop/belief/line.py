"""What is known of the mass per length along a measured line: from its outline and its weights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from taperlab.model.exact_units import GRAIN
from taperlab.model.line import Loop
from taperlab.model.measurement import Instruments, Material, WeighedSection
from taperlab.physics.frustum import QUARTER_PI, Array
from taperlab.shop.belief.ladder import Ladder
from taperlab.shop.belief.outline import Outline
from taperlab.shop.belief.prior import LIKELY, correlation, spread_of
from taperlab.shop.errors import CONFIDENT, rounding_error

CELLS = 100

COMMON = 5.0
"""Standard deviation of the share by which a whole line is heavier than the common density: so
wide that the weights alone set it."""

END_REACH = 0.003
"""A section that ends within this of the rod end [m] ends with the line: about a tape's step."""

LEVEL = 0.95

PAN_ERROR = 1.0 * GRAIN
"""Standard deviation of what an end on the pan of a scale reads while the rest lies beside it: a
judgement, for a line stretched straight; no real line was weighed."""

ON_PAN = 0.5 - 0.03
"""Share of a free span that a pan carries: half, less what a beam with one-sided contact loses."""

GATHERED = 1.15
"""Room for what a sum along a line gathers: a step of density is no wave of the correlation that is
assumed, and weights off the same way add up. Chosen on simulated lines with one offcut, on which
weights ahead of a place held for 90 to 91 of 100 without it. What the scale leaves needs none."""


@dataclass(frozen=True, eq=False, slots=True)
class Weighed:
    """Weights as sums over the cells of a line: described + rows @ shares, give or take noise.

    rows (n, cells), described (n,), noise (n,) [kg].
    """

    rows: Array
    described: Array
    noise: Array


@dataclass(frozen=True, eq=False, slots=True)
class Reading:
    """A line at places (m,), in SI, and the half-width of 95 % of each.

    measured: whether stations stand on both sides; elsewhere the values are middles of ranges.
    """

    places: Array
    measured: NDArray[np.bool_]
    diameter: Array
    diameter_half: Array
    linear_density: Array
    linear_density_half: Array
    running: Array
    running_half: Array


class LineBelief:
    """Mass per length pi/4 rho d^2 (1 + e) along a line, the share e being what is learnt.

    rho is one density for all, d the diameter of the outline, and e what all of the line is off
    by, plus what changes along it, plus twice the diameter's own error as a share of it. To first
    order in that error: where no diameter was measured it is a guide to the range only.

    sections: what was weighed, of ``mass`` each; density: rho [kg/m^3]; ladder: e cell by cell.
    """

    def __init__(
        self,
        outline: Outline,
        sections: Sequence[WeighedSection],
        instruments: Instruments,
        *,
        loops: tuple[Loop, Loop],
        material: Material = Material.NOT_SAID,
    ) -> None:
        self.outline, self.sections, self.instruments = outline, tuple(sections), instruments
        self.loops = loops
        self.length = outline.shape.length
        self.edges = np.linspace(0.0, self.length, CELLS + 1)
        self.centres = (self.edges[1:] + self.edges[:-1]) / 2.0
        shape = outline.shape
        knots = np.concatenate([self.edges, shape.breakpoints, shape.distances])
        self._knots = np.unique(np.clip(knots, 0.0, self.length))
        parts = self._between(self._knots[:-1], self._knots[1:])
        self._volumes = np.concatenate([[0.0], np.cumsum(parts)])
        # Once with a density of one, to see which density the weights make of it.
        self.density = 1.0
        volumes = self.weighed(sections).described - self._added(sections)
        masses = np.array([section.mass for section in sections]) - self._added(sections)
        self.density = float(masses.sum() / volumes.sum())
        self.spread = spread_of(material, self.density)
        self.readings = self.weighed(sections)
        self.masses = np.array([section.mass for section in sections])
        self.ladder = self._believed(np.array([]))

    # -- volumes -------------------------------------------------------------------------------

    def _between(self, front: Array, rear: Array) -> Array:
        """Volume [m^3] between places with no station or breakpoint in between (Simpson)."""
        ends = self.outline.mean(front) ** 2 + self.outline.mean(rear) ** 2
        middle = self.outline.mean((front + rear) / 2.0) ** 2
        return np.asarray(QUARTER_PI * (rear - front) * (ends + 4.0 * middle) / 6.0)

    def _volume(self, x: Array) -> Array:
        """Volume [m^3] ahead of each x [m]."""
        knot = np.clip(np.searchsorted(self._knots, x, "right") - 1, 0, len(self._knots) - 1)
        return np.asarray(self._volumes[knot] + self._between(self._knots[knot], x))

    def described(self, x: Array) -> Array:
        """Mass per length [kg/m] at each x [m] before e."""
        return np.asarray(QUARTER_PI * self.density * self.outline.mean(x) ** 2)

    # -- weights as sums -----------------------------------------------------------------------

    def stretches(self, front: Array, rear: Array) -> Array:
        """Mass [kg] of each cell between two places [m], before e, (m, cells); no loops."""
        edges = np.clip(self.edges, front[:, np.newaxis], rear[:, np.newaxis])
        flat, back = np.unique(edges, return_inverse=True)
        volumes = self._volume(flat)[back].reshape(edges.shape)
        return np.asarray(self.density * np.diff(volumes, axis=1))

    def _reach(self, sections: Sequence[WeighedSection]) -> tuple[Array, Array]:
        """Where sections begin and end, those that end with the line at its very end."""
        front = np.array([section.front for section in sections])
        rear = np.array([section.rear for section in sections])
        return front, np.where(rear >= self.length - END_REACH, self.length, rear)

    def _added(self, sections: Sequence[WeighedSection]) -> Array:
        """Mass [kg] of what loops add beside folded line to each section."""
        front, rear = self._reach(sections)
        return np.asarray(
            (front == 0.0) * self.loops[0].mass + (rear == self.length) * self.loops[1].mass
        )

    def weighed(self, sections: Sequence[WeighedSection]) -> Weighed:
        """Sections as a scale would read them, loops at the ends included."""
        front, rear = self._reach(sections)
        at_front, at_rear = front == 0.0, rear == self.length
        rows = self.stretches(front, rear)
        by_front, by_rear = self.described(front), self.described(rear)
        rows[:, 0] += at_front * self.loops[0].fold * by_front
        rows[:, -1] += at_rear * self.loops[1].fold * by_rear
        span = np.array([section.span for section in sections])
        hangs = span > 0.0
        ahead = np.where(at_front, rear, np.maximum(front - span, 0.0))
        behind = np.where(at_front, np.minimum(rear + span, self.length), front)
        rows += hangs[:, np.newaxis] * ON_PAN * self.stretches(ahead, np.maximum(behind, ahead))
        cut = np.hypot(~at_front * by_front, ~at_rear * by_rear)
        tape = cut * rounding_error(self.instruments.tape)
        noise = np.hypot(rounding_error(self.instruments.scale), tape)
        noise = np.hypot(noise, hangs * PAN_ERROR)
        return Weighed(rows, rows.sum(axis=1) + self._added(sections), noise)

    # -- what is believed ----------------------------------------------------------------------

    def segments_at(self, x: Array) -> NDArray[np.intp]:
        """Number of the segment where each x [m] lies."""
        return np.searchsorted(self.outline.shape.breakpoints, x, side="right")

    def prior(self, places: Array, also: Array) -> Ladder:
        """Before any weight: e at places [m], then errors [m] of the diameter at others."""
        x = np.concatenate([places, also])
        error = self.outline.covariance(x)
        n = len(places)
        by = np.concatenate([2.0 / self.outline.mean(places), np.ones(len(also))])
        fixed = error * np.outer(by, by)
        fixed[:n, :n] += COMMON**2
        local = np.zeros_like(fixed)
        local[:n, :n] = correlation(
            places, self.length, self.segments_at(places), self.spread.step_share
        )
        return Ladder.of(fixed, local, self.spread.sizes, LIKELY)

    def _believed(self, places: Array, also: Array | None = None) -> Ladder:
        """After the weights: e of the cells and at places, and errors of diameters at others."""
        others = np.array([]) if also is None else also
        ladder = self.prior(np.concatenate([self.centres, places]), others)
        more = np.zeros(ladder.size - CELLS)
        readings = self.readings
        for row, left, noise in zip(
            readings.rows,
            (self.masses - readings.described).tolist(),
            readings.noise.tolist(),
            strict=True,
        ):
            ladder = ladder.observed(np.concatenate([row, more]), left, noise)
        return ladder

    def with_diameters_at(self, places: Array) -> Ladder:
        """After the weights: e of the cells, then the errors [m] of the diameters at places [m]."""
        return self._believed(np.array([]), places)

    def mass(
        self, front: Array, rear: Array, *, besides: Array | float = 0.0
    ) -> tuple[Array, Array]:
        """Mass [kg] between places [m], loops left out, and its half-width, (m,) each.

        besides: variance [kg^2] of what else it is off by.
        """
        rows = self.stretches(front, rear)
        half = self.gathered(self.ladder, rows, besides)
        return rows.sum(axis=1) + self.ladder.mean(rows), half

    def weight(self, sections: Sequence[WeighedSection]) -> tuple[Array, Array]:
        """Mass [kg] of sections, loops at their ends included, and its half-width, (m,) each."""
        weighed = self.weighed(sections)
        half = self.gathered(self.ladder, weighed.rows)
        return weighed.described + self.ladder.mean(weighed.rows), half

    def gathered(self, ladder: Ladder, rows: Array, besides: Array | float = 0.0) -> Array:
        """Half-width of sums along the line, with the room that they need."""
        scale = CONFIDENT * rounding_error(self.instruments.scale)
        half = ladder.half_width(rows, LEVEL, besides=besides)
        return np.asarray(half + (GATHERED - 1.0) * np.maximum(half - scale, 0.0))

    def read(self, places: Array) -> Reading:
        """The line at places [m]: diameter, mass per length, and mass of all that lies ahead."""
        ladder = self._believed(places)
        at = np.eye(ladder.size)[CELLS:]
        thick, error = self.outline.mean(places), self.outline.error(places)
        described = self.described(places)
        ahead = self.weighed([WeighedSection(0.0, max(x, 1e-9), 1.0) for x in places.tolist()])
        rows = np.pad(ahead.rows, ((0, 0), (0, len(places))))
        return Reading(
            places,
            self.outline.is_measured(places),
            thick,
            CONFIDENT * error,
            described * (1.0 + ladder.mean(at)),
            described * ladder.half_width(at, LEVEL),
            ahead.described + ladder.mean(rows),
            self.gathered(ladder, rows),
        )

    @property
    def residuals(self) -> Array:
        """By how much each weight differs from what is believed [kg]."""
        expected = self.readings.described + self.ladder.mean(self.readings.rows)
        return np.asarray(self.masses - expected)
