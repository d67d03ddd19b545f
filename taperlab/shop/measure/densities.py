"""Densities of a measured line from the weights of the whole and of sections of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.model.line import NO_LOOP, Loop
from taperlab.model.measurement import Instruments, WeighedSection
from taperlab.physics import frustum
from taperlab.physics.frustum import Array
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.shape import ShapeFit, diameter_gradient
from taperlab.shop.words import feet, grains
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Sentence, verbatim

SPREAD = 0.02
"""Standard deviation of the segments' densities about their common value, as a share of it."""

UNKNOWN = 5.0
"""The same for the common value: so wide that the weights alone set it."""


def segment_volumes(positions: Array, diameters: Array, front: float, rear: float) -> Array:
    """Volume [m^3] of each segment between two distances [m], shape (segments,)."""
    low = np.clip(positions[:-1], front, rear)
    high = np.clip(positions[1:], front, rear)
    slope = np.diff(diameters) / np.diff(positions)
    start = diameters[:-1] + slope * (low - positions[:-1])
    end = diameters[:-1] + slope * (high - positions[:-1])
    return frustum.volume(high - low, start, end)


@dataclass(frozen=True, eq=False, slots=True)
class DensityFit:
    """A measured line: shape and densities together, with one joint uncertainty.

    positions, diameters: nodes (m,) [m], as the weights leave them. densities: (m - 1,) [kg/m^3].
    covariance: (3 m - 1, 3 m - 1) of positions, diameters, densities, in SI.
    sections, section_residuals, section_errors: what was weighed, by how much it differs from the
    fit, and the standard deviation of the weighing alone [kg]. spread: the prior spread used.
    front_loop, rear_loop: loops on the line when it was weighed.
    """

    shape: ShapeFit
    positions: Array
    diameters: Array
    densities: Array
    covariance: Array
    sections: tuple[WeighedSection, ...]
    section_residuals: Array
    section_errors: Array
    spread: float
    groups: tuple[int, ...]
    front_loop: Loop
    rear_loop: Loop
    findings: tuple[Finding, ...]

    @property
    def density_errors(self) -> Array:
        """Standard deviation of each segment's density [kg/m^3]."""
        return np.sqrt(np.diag(self.covariance)[2 * len(self.positions) :])

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return float(self.positions[-1])

    def _state(self) -> Array:
        return np.concatenate([self.positions, self.diameters, self.densities])

    def mass(self, front: float, rear: float) -> tuple[float, float]:
        """Mass [kg] between two distances [m], loops at the ends included, and its error."""
        model = SectionMasses((WeighedSection(front, rear, 1.0),), self.front_loop, self.rear_loop)
        state = self._state()
        row = model.gradient(state, len(self.positions))[0]
        return float(model.masses(state, len(self.positions))[0]), _error(row, self.covariance)

    @property
    def total(self) -> tuple[float, float]:
        """Mass of the whole line [kg] and its standard deviation."""
        return self.mass(0.0, self.length)

    def segment_mass(self, segment: int) -> float:
        """Mass of one fitted segment [kg], loops left out."""
        return float(self._segment_volume(segment) * self.densities[segment])

    def _segment_volume(self, k: int) -> float:
        length = self.positions[k + 1] - self.positions[k]
        return float(frustum.volume(length, self.diameters[k], self.diameters[k + 1]))

    def segment_gradients(self, segment: int) -> tuple[Array, Array]:
        """Derivatives of a segment's mass and of its length to all that was fitted (3 m - 1,)."""
        k, m = segment, len(self.positions)
        length = float(self.positions[k + 1] - self.positions[k])
        d1, d2 = float(self.diameters[k]), float(self.diameters[k + 1])
        by_mass, by_length = np.zeros(3 * m - 1), np.zeros(3 * m - 1)
        by_length[k], by_length[k + 1] = -1.0, 1.0
        by_mass += by_length * self.segment_mass(k) / length
        third = np.pi / 12.0 * length * self.densities[k]
        by_mass[m + k] = third * (2.0 * d1 + d2)
        by_mass[m + k + 1] = third * (d1 + 2.0 * d2)
        by_mass[2 * m + k] = self._segment_volume(k)
        return by_mass, by_length

    def linear_density(self, x: Array) -> tuple[Array, Array]:
        """Mass per length [kg/m] at each x [m] and its standard deviation."""
        segment = np.clip(
            np.searchsorted(self.positions, x, side="right") - 1, 0, len(self.densities) - 1
        )
        d = np.interp(x, self.positions, self.diameters)
        rows = self.density_gradient(x)
        variance = np.einsum("ij,jk,ik->i", rows, self.covariance, rows)
        return frustum.linear_density(d, self.densities[segment]), np.sqrt(variance)

    def density_gradient(self, x: Array) -> Array:
        """Derivative of mass per length at x to all that was fitted, (len(x), 3 m - 1)."""
        m = len(self.positions)
        segment = np.clip(np.searchsorted(self.positions, x, side="right") - 1, 0, m - 2)
        d = np.interp(x, self.positions, self.diameters)
        rho = self.densities[segment]
        rows = np.zeros((len(x), 3 * m - 1))
        by_diameter = 2.0 * frustum.QUARTER_PI * rho * d
        rows[:, : 2 * m] = by_diameter[:, np.newaxis] * diameter_gradient(
            x, self.positions, self.diameters
        )
        rows[np.arange(len(x)), 2 * m + segment] = frustum.QUARTER_PI * d**2
        return rows


def _error(row: Array, covariance: Array) -> float:
    return math.sqrt(max(0.0, float(row @ covariance @ row)))


@dataclass(frozen=True, slots=True)
class SectionMasses:
    """Masses of sections as a function of positions, diameters and segment densities."""

    sections: Sequence[WeighedSection]
    front_loop: Loop
    rear_loop: Loop

    def masses(self, state: Array, m: int) -> Array:
        """Mass of each section [kg], loops at its ends included."""
        positions, diameters, densities = state[:m], state[m : 2 * m], state[2 * m :]
        end = positions[-1]
        out = np.empty(len(self.sections))
        for i, section in enumerate(self.sections):
            rear = end if section.rear >= end - 0.003 else section.rear
            out[i] = segment_volumes(positions, diameters, section.front, rear) @ densities
            if section.front == 0.0:
                weight = frustum.linear_density(diameters[0], densities[0])
                out[i] += self.front_loop.mass + self.front_loop.fold * float(weight)
            if rear == end:
                weight = frustum.linear_density(diameters[-1], densities[-1])
                out[i] += self.rear_loop.mass + self.rear_loop.fold * float(weight)
        return out

    def gradient(self, state: Array, m: int) -> Array:
        """Derivative of :meth:`masses` to the state, by central differences."""
        steps = 1e-5 * np.maximum(np.abs(state), 1e-4)
        columns = []
        for j, step in enumerate(steps):
            up, down = state.copy(), state.copy()
            up[j] += step
            down[j] -= step
            columns.append((self.masses(up, m) - self.masses(down, m)) / (2.0 * step))
        return np.array(columns).T

    def errors(self, state: Array, m: int, instruments: Instruments) -> Array:
        """Standard deviation of each weighing [kg]: the scale, and the tape at cut ends."""
        positions, diameters, densities = state[:m], state[m : 2 * m], state[2 * m :]
        tape = rounding_error(instruments.tape)
        out = np.full(len(self.sections), rounding_error(instruments.scale) ** 2)
        for i, section in enumerate(self.sections):
            for where in (section.front, section.rear):
                if 0.0 < where < positions[-1] - 0.003:
                    k = min(int(np.searchsorted(positions, where, "right")) - 1, m - 2)
                    d = np.interp(where, positions, diameters)
                    out[i] += (float(frustum.linear_density(d, densities[k])) * tape) ** 2
        return np.asarray(np.sqrt(out))


def fit_densities(
    shape: ShapeFit,
    sections: Sequence[WeighedSection],
    instruments: Instruments,
    *,
    spread: float = SPREAD,
    groups: Sequence[int] = (),
    front_loop: Loop = NO_LOOP,
    rear_loop: Loop = NO_LOOP,
) -> DensityFit | NoFit:
    """Densities from weights, by generalised least squares over shape and densities together.

    The fitted shape enters with its covariance and the densities with a prior: a common value
    that the weights alone set, about which segments spread by ``spread`` (one standard deviation,
    as a share). Where sections were weighed one by one their weights win; where only the total
    was, all segments share what it says. Linearised about the answer and repeated until it
    stands still (Tarantola, Inverse Problem Theory, 2005, section 3.2.3).

    Parameters
    ----------
    shape : the fitted shape
    sections : what was weighed, the whole line being one of them [m], [kg]
    instruments : steps of the instruments
    spread : prior spread of the segments' densities about their common value, as a share
    groups : for each segment the number of its material; equal numbers share one density exactly
    front_loop, rear_loop : loops on the line when it was weighed
    """
    m = len(shape.positions)
    if not sections:
        return NoFit(
            Sentence("Weigh the whole line, or a section of it: without a weight no density.")
        )
    for section in sections:
        if section.front >= shape.length or section.rear > shape.length + instruments.tape:
            return NoFit(
                verbatim(
                    f"The weighed section to {feet(section.rear)} runs beyond the line's end at "
                    f"{feet(shape.length)}."
                )
            )
    kinds = list(groups) if groups else list(range(m - 1))
    if len(kinds) != m - 1:
        return NoFit(
            verbatim(f"{m - 1} segments were fitted but {len(kinds)} materials were given.")
        )
    order = sorted(set(kinds))
    share = np.array([[float(kind == each) for each in order] for kind in kinds])
    spread_out = np.zeros((3 * m - 1, 2 * m + len(order)))
    spread_out[: 2 * m, : 2 * m] = np.eye(2 * m)
    spread_out[2 * m :, 2 * m :] = share

    model = SectionMasses(tuple(sections), front_loop, rear_loop)
    measured = np.array([section.mass for section in sections])
    unit = np.concatenate([shape.positions, shape.diameters, np.ones(m - 1)])
    bare = SectionMasses(tuple(sections), NO_LOOP, NO_LOOP).masses(unit, m)
    common = float(measured.sum() / bare.sum())
    start = np.concatenate([shape.positions, shape.diameters, np.full(len(order), common)])
    prior = np.zeros((len(start), len(start)))
    prior[: 2 * m, : 2 * m] = shape.covariance
    prior[2 * m :, 2 * m :] = common**2 * (UNKNOWN**2 + spread**2 * np.eye(len(order)))
    at = start
    for _ in range(8):
        full = spread_out @ at
        rows = model.gradient(full, m) @ spread_out
        noise = model.errors(full, m, instruments)
        gain = np.linalg.solve(rows @ prior @ rows.T + np.diag(noise**2), rows @ prior).T
        then = start + gain @ (measured - model.masses(full, m) - rows @ (start - at))
        moved = float(np.max(np.abs(then - at) / np.maximum(np.abs(start), 1e-6)))
        at = then
        if moved < 1e-10:
            break
    # Joseph's form keeps the covariance symmetric and not negative.
    left = np.eye(len(start)) - gain @ rows
    inner = left @ prior @ left.T + gain @ np.diag(noise**2) @ gain.T
    full = spread_out @ at
    if np.any(full[m:] <= 0.0):
        return NoFit(Sentence("The weights cannot all be right: a density comes out below zero."))
    if np.any(np.diff(full[:m]) <= 0.0):
        # The stations place a breakpoint so loosely that the weights push it past its neighbour.
        return NoFit(
            Sentence(
                "Too few stations tell where the taper changes for the weights to be shared out: "
                "measure more diameters."
            )
        )
    residuals = measured - model.masses(full, m)
    findings = list(_remarks(sections, residuals, noise))
    told = np.sqrt(np.diag(inner)[2 * m :]) < 0.5 * spread * common
    if spread > 0.0 and len(order) > 1 and not told.all():
        findings.append(
            Finding(
                Level.NOTE,
                verbatim(
                    "The weights do not tell all segments apart: one common density is taken, within "
                    f"{spread * 100.0:.0f} % (one standard deviation) from segment to segment."
                ),
            )
        )
    return DensityFit(
        shape=shape,
        positions=full[:m],
        diameters=full[m : 2 * m],
        densities=full[2 * m :],
        covariance=spread_out @ inner @ spread_out.T,
        sections=tuple(sections),
        section_residuals=residuals,
        section_errors=noise,
        spread=spread,
        groups=tuple(groups),
        front_loop=front_loop,
        rear_loop=rear_loop,
        findings=tuple(findings),
    )


def _remarks(sections: Sequence[WeighedSection], residuals: Array, noise: Array) -> list[Finding]:
    remarks = []
    for section, residual, error in zip(sections, residuals, noise, strict=True):
        if abs(residual) > 4.0 * error:
            more = "more" if residual > 0.0 else "less"
            remarks.append(
                Finding(
                    Level.CAUTION,
                    verbatim(
                        f"The section from {feet(section.front)} to {feet(section.rear)} weighs "
                        f"{grains(abs(float(residual)))} {more} than the rest allows: weigh it again."
                    ),
                )
            )
    return remarks
