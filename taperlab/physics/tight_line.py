"""A tight line in a current: how it hangs from the rod, and how deep its fly is.

The line lies in one upright plane along the current, in the same state for as long as one looks:
straight downstream of the rod tip, neither mended nor led. ``s`` runs from the fly up the line; H
and V are the horizontal and the vertical part of its tension, phi the angle of the line with the
current, u the speed of the water there, w the weight in water of a length, d the diameter::

    H' = Dx    V' = w - Dz    x' = -cos phi    z' = sin phi    tan phi = V / H
    Dn = rho C_d(u |sin phi| d / nu) d u^2 sin phi |sin phi| / 2
    Dt = rho C_f pi d u^2 cos phi |cos phi| / 2
    Dx = Dn sin phi + Dt cos phi       Dz = Dn cos phi - Dt sin phi

At the fly H is its drag and V its weight in water. Normal and tangential drag apart: S. F. Hoerner,
Fluid-Dynamic Drag (1965); the angle of a straight line: L. Pode (1951), as quoted by E. E. Zajac,
Bell System Technical Journal 36, 1129-1207 (1957).

Nothing holds a line above the water, so its surface lies at the highest point of the line: where
it comes level in a floating part, with no sinking part further up that would pull it under again;
or at the rod, where all of it is under. From there up it lies flat and only adds tension.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

import numpy as np

from taperlab.physics.current import Stream
from taperlab.physics.drag_law import drag_law
from taperlab.physics.frustum import Array
from taperlab.physics.line_steps import Flags, Rows, mesh_of
from taperlab.physics.line_walk import Walk
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.river_search import SAME_DEPTH, Hung, RiverSearch, hang_from
from taperlab.physics.water import WaterState


class State(StrEnum):
    """How a line hangs: values are what scripts read."""

    LEVEL = "level"
    UNDER = "under"
    HANGS = "hangs"
    FLOATS = "floats"
    BOTTOM = "bottom"


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A line in the water from the fly up to where it reaches the surface or the rod.

    along, x, depth: (p,) distance from the fly along the line, distance downstream of the last
    point, depth below the surface [m]. angle: with the current [rad]. tension: [N].
    """

    along: Array
    x: Array
    depth: Array
    angle: Array
    tension: Array


@dataclass(frozen=True, eq=False, slots=True)
class TightLine:
    """How a rig hangs in each of r cases; arrays (r,) unless said otherwise.

    depth: of the fly, never above the surface; deepest: of the deepest point; nan for both where
    the line lies on the bottom [m]. under: length of rig below the surface [m]. tension: at the end
    of the rig toward the rod [N]. states: of each case. rises: whether the fly would lie above the
    surface, or a floating part ahead of a sinking one reaches it first, so that the figure is of
    what lies ahead of that alone.
    """

    depth: Array
    deepest: Array
    under: Array
    tension: Array
    states: tuple[State, ...]
    rises: tuple[bool, ...]
    _hung: Hung = field(repr=False)

    def shape(self, row: int = 0) -> Shape:
        """Its shape in one of the cases."""
        return _shape(self._hung, row, float(self.under[row]))


def hang(
    rig: Rigging,
    cases: Cases,
    state: WaterState,
    stream: Stream = Stream(),  # noqa: B008 - frozen
    *,
    coefficient: float | None = None,
    refine: float = 1.0,
) -> TightLine:
    """How a rig hangs on a tight line, in every case: :func:`hanging`, done here and now.

    Parameters and errors are those of :func:`hanging`; lengths are in [m].
    """
    walk = hanging(rig, cases, state, stream, coefficient=coefficient, refine=refine)
    while True:
        try:
            next(walk)
        except StopIteration as end:
            found: TightLine = end.value
            return found


def hanging(
    rig: Rigging,
    cases: Cases,
    state: WaterState,
    stream: Stream = Stream(),  # noqa: B008 - frozen
    *,
    coefficient: float | None = None,
    refine: float = 1.0,
) -> Walk[TightLine]:
    """How a rig hangs on a tight line, in every case; yields every few milliseconds.

    Parameters
    ----------
    rig : pieces from the fly up, and the fly
    cases : current, drag and what the rig is taken for in each case
    state : density and viscosity of the water
    stream : depth of the bed, and whether the current slackens toward it
    coefficient : a drag coefficient across the line that holds everywhere, in place of that of a
        smooth cylinder; for comparison with closed forms [1]
    refine : factor on the number of steps [1]

    Returns
    -------
    depth, tension and the rest, for each case

    Raises
    ------
    ValueError : if the rig has neither line nor leader
    """
    rows = Rows(rig, cases, state)
    law = drag_law(coefficient)
    if not len(rig.lengths):
        raise ValueError("there is no line to hang")
    mesh, start = mesh_of(rows, law, refine)
    grounded: Flags = np.zeros(len(rows.speed), dtype=bool)
    if stream.slackens:
        search = RiverSearch(rows, mesh, start, law, stream.bed)
        hung, grounded = yield from search.hung()
    else:
        hung = yield from hang_from(rows, mesh, start, law)
    return _told(rows, hung, stream, grounded)


def _told(rows: Rows, hung: Hung, stream: Stream, grounded: Any) -> TightLine:
    mesh, path, top = hung.mesh, hung.path, hung.top
    count, every = mesh.sizes.shape[0], np.arange(mesh.sizes.shape[1])
    size = mesh.sizes[np.minimum(top.node, count - 1), every]
    under = np.where(top.z > 0.0, mesh.along[top.node, every] + top.share * size, 0.0)
    beneath = np.arange(count + 1)[:, np.newaxis] <= top.node
    deepest = top.z - np.where(beneath, np.minimum(path.z, 0.0), np.inf).min(axis=0)
    depth = np.maximum(top.z, 0.0)
    on_bed = grounded | (deepest > stream.bed)
    ends = (top.node == count) & (path.below[count] > 0.0)
    # The fly is the highest point; or a floating part comes level ahead of what sinks further up.
    afloat = (top.z <= 0.0) & (deepest > SAME_DEPTH)
    ahead = ~ends & (top.z > 0.0) & mesh.sinks[np.minimum(top.node, count - 1)]
    states = np.select(
        [on_bed, depth <= SAME_DEPTH, rows.speed == 0.0, ends],
        [State.BOTTOM, State.FLOATS, State.HANGS, State.UNDER],
        State.LEVEL,
    )
    return TightLine(
        depth=np.where(on_bed, np.nan, depth),
        deepest=np.where(on_bed, np.nan, deepest),
        under=under,
        tension=_tension_at_rod(rows, hung, under),
        states=tuple(State(each) for each in states),
        rises=tuple((afloat | ahead).tolist()),
        _hung=hung,
    )


def _tension_at_rod(rows: Rows, hung: Hung, under: Array) -> Array:
    """Tension where the line reaches the surface, and the friction of what lies flat behind it."""
    mesh, path, top = hung.mesh, hung.path, hung.top
    count, every = mesh.sizes.shape[0], np.arange(len(under))
    there = np.hypot(path.h[top.node, every], path.v[top.node, every])
    further = np.minimum(top.node + 1, count)
    beyond = np.hypot(path.h[further, every], path.below[further, every])
    there = there + top.share * (beyond - there)
    steps = np.arange(count)[:, np.newaxis]
    part = np.where(steps == top.node, 1.0 - top.share, np.where(steps > top.node, 1.0, 0.0))
    flat = (part * mesh.sizes * mesh.diameters[1]).sum(axis=0)
    return np.asarray(there + 0.5 * rows.state.density * np.pi * rows.skin * rows.speed**2 * flat)


def _shape(hung: Hung, row: int, under: float) -> Shape:
    mesh, path, top = hung.mesh, hung.path, hung.top
    last = int(top.node[row]) + 1
    t, node = float(top.share[row]), last - 1
    along, x, z = (each[:last, row] for each in (mesh.along, path.x, path.z))
    h, v = path.h[:last, row], path.v[:last, row]
    if along[0] > 0.0:
        # The straight part of a bare end.
        along, x, z = (np.concatenate(([0.0], each)) for each in (along, x, z))
        h, v = (np.concatenate((each[:1], each)) for each in (h, v))
    if t > 0.0:
        along = np.append(along, under)
        x = np.append(x, x[-1] + t * (path.x[node + 1, row] - x[-1]))
        z = np.append(z, top.z[row])
        h = np.append(h, h[-1] + t * (path.h[node + 1, row] - h[-1]))
        v = np.append(v, 0.0)
    surface = max(float(top.z[row]), 0.0)
    return Shape(along, x - x[-1], surface - z, np.arctan2(v, h), np.hypot(h, v))
