"""How well the stations place each breakpoint of a shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.shop.errors import CONFIDENT
from taperlab.shop.measure.shape import Placed, ShapeFit

INSIDE = 1e-7
"""A station so near a node stands at it [m]."""

PLACED_WITHIN = 0.5
"""A breakpoint that may lie farther off than this share of the shorter segment beside it says
only that the taper changes somewhere between two places."""

OWN, FEWEST_OWN = 3.0, 2
"""Standard deviations by which a station lies off both segments beside its own, and how many
such a segment needs to have its ends where the fit puts them."""


@dataclass(frozen=True, slots=True)
class Breakpoint:
    """An inner node of a fit: where [m], how thick [m], and whether the user holds it there.

    half_width: how far it may lie from there in 95 of 100 measurements [m]. between: from where
    to where it may lie, no farther than the nodes beside it [m]. is_placed: whether the stations
    place it well enough to be called a breakpoint there, and not only somewhere in between.
    """

    position: float
    diameter: float
    fixed: bool
    half_width: float = 0.0
    between: tuple[float, float] = (0.0, 0.0)
    is_placed: bool = True


def placed_breakpoints(shape: ShapeFit) -> tuple[Breakpoint, ...]:
    """Every inner node of a shape, in order."""
    made, thin = [], _thin(shape)
    nodes, diameters = shape.positions.tolist(), shape.diameters.tolist()
    for i, placed in enumerate(shape.placed, 1):
        held = placed is Placed.FIXED
        low, high = _between(shape, i, thin) if not held else (nodes[i], nodes[i])
        reach = float(CONFIDENT * shape.errors.positions[i])
        reach = max(reach, nodes[i] - low, high - nodes[i])
        between = max(nodes[i - 1], nodes[i] - reach), min(nodes[i + 1], nodes[i] + reach)
        shorter = min(nodes[i] - nodes[i - 1], nodes[i + 1] - nodes[i])
        sure = held or reach < PLACED_WITHIN * shorter
        made.append(Breakpoint(nodes[i], diameters[i], held, reach, between, sure))
    return tuple(made)


def _thin(shape: ShapeFit) -> list[bool]:
    """Which segments have fewer than two stations that no neighbouring segment explains as well.

    Such a segment may as well begin later or end sooner: nothing says where in the gap between
    two stations.
    """
    read, nodes = shape.stations, shape.positions
    slopes = np.diff(shape.diameters) / shape.state.lengths
    found = []
    for j in range(len(slopes)):
        inside = (read.distances >= nodes[j] - INSIDE) & (read.distances <= nodes[j + 1] + INSIDE)
        for k in (j - 1, j + 1):
            if 0 <= k < len(slopes):
                on = shape.diameters[k] + slopes[k] * (read.distances - nodes[k])
                inside &= np.abs(read.diameters - on) > OWN * read.errors
        found.append(int(inside.sum()) < FEWEST_OWN)
    return found


def _between(shape: ShapeFit, node: int, thin: Sequence[bool]) -> tuple[float, float]:
    """From where to where [m] stations leave a node free beside a segment that is thin.

    A station where the node is belongs to the segment that others hold too.
    """
    at, x = float(shape.positions[node]), shape.stations.distances
    ahead, behind = thin[node - 1], thin[node]
    if not ahead and not behind:
        return at, at
    low = x[x < at - INSIDE] if ahead else x[x <= at + INSIDE]
    high = x[x > at + INSIDE] if behind else x[x >= at - INSIDE]
    return float(low.max(initial=0.0)), float(high.min(initial=shape.length))
