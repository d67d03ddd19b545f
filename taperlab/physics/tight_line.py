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

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

import numpy as np

from taperlab.physics.current import Stream
from taperlab.physics.drag_law import Drag, drag_law
from taperlab.physics.frustum import Array
from taperlab.physics.line_steps import Mesh, Places, Rows, Start, mesh_of
from taperlab.physics.line_walk import Flow, Path, Slackens, Top, Walk, highest, walk_up
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.water import WaterState

SAME_DEPTH = 1e-9
"""Depths that differ by less are the same [m]."""

_SAME_IN_RIVER = 1e-5


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
    _hung: _Hung = field(repr=False)

    def shape(self, row: int = 0) -> Shape:
        """Its shape in one of the cases."""
        return _shape(self._hung, row, float(self.under[row]))


@dataclass(frozen=True, eq=False, slots=True)
class _Hung:
    """Mesh, path and top of a rig in its cases."""

    mesh: Mesh
    path: Path
    top: Top


def _hang(
    rows: Rows, mesh: Mesh, start: Start, law: Drag, share: Slackens | None = None
) -> Walk[_Hung]:
    state = rows.state
    water = Flow(
        np.hypot,
        law.at_many,
        rows.per_re,
        0.5 * state.density * rows.drag,
        0.5 * state.density * np.pi * rows.skin,
        rows.speed,
        share,
    )
    if share is not None:
        drag = rows.fly_drag * (rows.speed * share(np.zeros(len(rows.speed)))) ** 2
        start = replace(start, h=np.where(start.along == 0.0, drag, start.h))
    path = yield from walk_up(mesh, start, water, law)
    return _Hung(mesh, path, highest(mesh, path, water))


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
    grounded = np.zeros(len(rows.speed), dtype=bool)
    if stream.slackens:
        fly, grounded = yield from _depth_in_river(rows, mesh, start, law, stream.bed)
        hung = yield from _hang(rows, mesh, start, law, Slackens(fly, stream.bed))
    else:
        hung = yield from _hang(rows, mesh, start, law)
    return _told(rows, hung, stream, grounded)


def _depth_in_river(
    rows: Rows, mesh: Mesh, start: Start, law: Drag, bed: float
) -> Walk[tuple[Array, Any]]:
    """Depth of the fly at which the line just reaches the surface; and whether there is none.

    The current at the fly hangs on its depth, and that on the current: the first depth from the
    surface down at which both agree. Where they agree at none, the fly lies on the bottom.
    """

    def missing(fly: Array, of: Places) -> Walk[Array]:
        share = Slackens(fly, bed)
        hung = yield from _hang(rows.only(of), mesh.only(of), start.only(of), law, share)
        return np.asarray(hung.top.z - fly)

    count = len(rows.speed)
    low, high = np.zeros((2, count))
    over_low = yield from missing(low, np.arange(count))
    over_high = over_low.copy()
    # As deep as in water that is nowhere slower, it hangs too deep for that by a little; twice as
    # much is mostly too much. Where it is not, the way down to the bed is looked along.
    for turn, part in enumerate((0.0, 0.0, 0.25, 0.5, 0.75, 0.9, 1.0)):
        of = np.flatnonzero(over_high > SAME_DEPTH)
        if not len(of):
            break
        further = high[of] + (1.0 + min(turn, 1)) * over_high[of] if turn < 2 else high[of]
        low[of], over_low[of] = high[of], over_high[of]
        high[of] = np.minimum(np.maximum(further, part * bed), bed)
        over_high[of] = yield from missing(high[of], of)
    grounded = over_high > SAME_DEPTH
    there, last = np.where(grounded, bed, high), np.zeros(count)
    open_ = ~grounded & (over_high < -_SAME_IN_RIVER)
    for _ in range(30):
        of = np.flatnonzero(open_)
        if not len(of):
            break
        gap = over_low[of] - over_high[of]
        there[of] = low[of] + (high[of] - low[of]) * over_low[of] / gap
        over = yield from missing(there[of], of)
        # Where one end stays twice, half of what it is over by lets it move (Illinois).
        above, side = over > 0.0, np.sign(over)
        half = np.where(side == last[of], 0.5, 1.0)
        over_high[of] = np.where(above, over_high[of] * half, over)
        over_low[of] = np.where(above, over, over_low[of] * half)
        low[of] = np.where(above, there[of], low[of])
        high[of] = np.where(above, high[of], there[of])
        last[of] = side
        open_[of] = (np.abs(over) > _SAME_IN_RIVER) & (high[of] - low[of] > _SAME_IN_RIVER)
    return there, grounded


def _told(rows: Rows, hung: _Hung, stream: Stream, grounded: Any) -> TightLine:
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


def _tension_at_rod(rows: Rows, hung: _Hung, under: Array) -> Array:
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


def _shape(hung: _Hung, row: int, under: float) -> Shape:
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
