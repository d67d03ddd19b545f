"""The numbers that a line's shape is made of: kept in one vector, read and derived by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import numpy as np

from taperlab.physics.frustum import Array


@dataclass(frozen=True, eq=False, slots=True)
class State:
    """Positions and diameters of nodes [m].

    values (..., 2 m): the numbers one after the other along the last axis, or something about
    each of them, such as its error or a derivative with respect to it. nodes: how many nodes, m.
    """

    values: Array
    nodes: int

    @classmethod
    def of(cls, positions: Array, diameters: Array) -> Self:
        """The state with these numbers, (m,) each."""
        return cls(np.concatenate([positions, diameters]), len(positions))

    def like(self, values: Array) -> Self:
        """Other numbers of the same names."""
        return type(self)(values, self.nodes)

    @property
    def positions(self) -> Array:
        """Of each node, (..., m)."""
        return self.values[..., : self.nodes]

    @property
    def diameters(self) -> Array:
        """Of each node, (..., m)."""
        return self.values[..., self.nodes :]

    # -- what the numbers mean ----------------------------------------------------------------

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return float(self.positions[-1])

    @property
    def lengths(self) -> Array:
        """Length of each segment [m]."""
        return np.diff(self.positions)

    def diameter(self, x: Array) -> Array:
        """Diameter [m] at each x [m], straight between nodes and level beyond the ends."""
        return np.asarray(np.interp(x, self.positions, self.diameters))

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
