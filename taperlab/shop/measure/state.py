"""The numbers that a measured line is made of: kept in one vector, read and derived by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import numpy as np

from taperlab.physics import frustum
from taperlab.physics.frustum import Array

IntArray = np.ndarray[tuple[int, ...], np.dtype[np.intp]]


@dataclass(frozen=True, eq=False, slots=True)
class State:
    """Positions and diameters of nodes [m], densities of the segments between [kg/m^3].

    values (..., size): the numbers one after the other along the last axis, or something about
    each of them, such as its error or a derivative with respect to it. nodes: how many nodes, m.
    There are m - 1 segments; a shape alone has no densities. What the names give are views, so
    that a derivative is filled in by name.
    """

    values: Array
    nodes: int

    @classmethod
    def of(cls, positions: Array, diameters: Array, densities: Array | None = None) -> Self:
        """The state with these numbers, (m,), (m,) and (m - 1,)."""
        parts = [positions, diameters] if densities is None else [positions, diameters, densities]
        return cls(np.concatenate(parts), len(positions))

    def like(self, values: Array) -> Self:
        """Other numbers of the same names."""
        return type(self)(values, self.nodes)

    def zeros(self, *shape: int) -> Self:
        """Derivatives of an array of quantities of this shape, none of them filled in yet."""
        return self.like(np.zeros((*shape, self.values.shape[-1])))

    @property
    def positions(self) -> Array:
        """Of each node, (..., m)."""
        return self.values[..., : self.nodes]

    @property
    def diameters(self) -> Array:
        """Of each node, (..., m)."""
        return self.values[..., self.nodes : 2 * self.nodes]

    @property
    def densities(self) -> Array:
        """Of each segment, (..., m - 1)."""
        return self.values[..., 2 * self.nodes :]

    # -- what the numbers mean ----------------------------------------------------------------

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return float(self.positions[-1])

    @property
    def lengths(self) -> Array:
        """Length of each segment [m]."""
        return np.diff(self.positions)

    @property
    def is_crossed(self) -> bool:
        """Whether a node lies at or past the next one, so that there is no such line."""
        return bool(np.any(self.lengths <= 0.0))

    @property
    def segment_masses(self) -> Array:
        """Mass of each segment [kg], loops left out."""
        ends = (self.diameters[:-1], self.diameters[1:])
        return frustum.volume(self.lengths, *ends) * self.densities

    def segment_at(self, x: Array) -> IntArray:
        """The segment at each x [m]; at a node, the one to the rear."""
        found = np.searchsorted(self.positions, x, side="right") - 1
        return np.clip(found, 0, self.nodes - 2)

    def diameter(self, x: Array) -> Array:
        """Diameter [m] at each x [m], straight between nodes and level beyond the ends."""
        return np.asarray(np.interp(x, self.positions, self.diameters))

    def linear_density(self, x: Array) -> Array:
        """Mass per length [kg/m] at each x [m]."""
        return frustum.linear_density(self.diameter(x), self.densities[self.segment_at(x)])

    def volumes(self, front: Array | float, rear: Array | float) -> Array:
        """Volume [m^3] of each segment between two distances [m], shape (..., m - 1)."""
        ahead, behind = self.positions[:-1], self.positions[1:]
        low = np.clip(ahead, np.expand_dims(front, -1), np.expand_dims(rear, -1))
        high = np.clip(behind, np.expand_dims(front, -1), np.expand_dims(rear, -1))
        slope = np.diff(self.diameters) / self.lengths
        start = self.diameters[:-1] + slope * (low - ahead)
        end = self.diameters[:-1] + slope * (high - ahead)
        return frustum.volume(high - low, start, end)

    # -- how they change with it --------------------------------------------------------------

    def diameter_gradient(self, x: Array) -> Self:
        """Derivative of the diameter at each x, (n,): of d1 + (d2 - d1) (x - x1) / (x2 - x1)."""
        segment, each = self.segment_at(x), np.arange(len(x))
        width = self.lengths[segment]
        share = (x - self.positions[segment]) / width
        slope = np.diff(self.diameters)[segment] / width
        gradient = self.zeros(len(x))
        gradient.positions[each, segment] = -slope * (1.0 - share)
        gradient.positions[each, segment + 1] = -slope * share
        gradient.diameters[each, segment] = 1.0 - share
        gradient.diameters[each, segment + 1] = share
        return gradient

    def linear_density_gradient(self, x: Array) -> Self:
        """Derivative of the mass per length pi/4 rho d^2 at each x, (n,)."""
        segment, diameter = self.segment_at(x), self.diameter(x)
        by_diameter = 2.0 * frustum.QUARTER_PI * self.densities[segment] * diameter
        gradient = self.like(by_diameter[:, np.newaxis] * self.diameter_gradient(x).values)
        gradient.densities[np.arange(len(x)), segment] = frustum.QUARTER_PI * diameter**2
        return gradient

    def gradient(self, quantities: Callable[[Self], Array]) -> Self:
        """Derivative of quantities (n,) that change smoothly with all numbers, by differences.

        Central ones, so that they are off by the square of a step only.
        """
        steps = 1e-5 * np.maximum(np.abs(self.values), 1e-4)
        columns = [
            (quantities(self.like(self.values + step)) - quantities(self.like(self.values - step)))
            / (2.0 * step.sum())
            for step in np.diag(steps)
        ]
        return self.like(np.array(columns).T)


@dataclass(frozen=True, eq=False, slots=True)
class Fitted:
    """A state and how well it is known: covariance (size, size) of all its numbers, in SI."""

    state: State
    covariance: Array

    @property
    def positions(self) -> Array:
        """Distances of the nodes from the fly end [m], (m,), the last at the rear end."""
        return self.state.positions

    @property
    def diameters(self) -> Array:
        """Diameters at the nodes [m], (m,)."""
        return self.state.diameters

    @property
    def densities(self) -> Array:
        """Densities of the segments [kg/m^3], (m - 1,)."""
        return self.state.densities

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return self.state.length

    @property
    def errors(self) -> State:
        """Standard deviation of each number, by the same names."""
        return self.state.like(np.sqrt(np.maximum(0.0, np.diag(self.covariance))))

    def error(self, gradient: State) -> Array:
        """Standard deviation of each quantity with these derivatives: sqrt(g C g^T)."""
        g = gradient.values
        return np.asarray(np.sqrt(np.maximum(0.0, np.sum((g @ self.covariance) * g, axis=-1))))

    def with_error(self, quantities: Callable[[State], Array]) -> tuple[Array, Array]:
        """Quantities (n,) of the state, and the standard deviation of each."""
        return quantities(self.state), self.error(self.state.gradient(quantities))
