"""How a line hangs from its fly up; and at which depth its fly is where the current slackens.

There the current at the fly hangs on its depth, and that on the current: the answer is the first
depth from the surface down at which the line, walked up from there, just reaches the surface.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from taperlab.physics.current import RIVER_POWER, river_share
from taperlab.physics.drag_law import Drag
from taperlab.physics.frustum import Array
from taperlab.physics.line_steps import Flags, Mesh, Places, Rows, Start
from taperlab.physics.line_walk import FEW_ROWS, Flow, Path, Slackens, Top, Walk, highest, walk_up

SAME_DEPTH = 1e-9
"""Depths that differ by less are the same [m]."""

_SAME_IN_RIVER = 1e-5
"""So near to the surface is reaching it [m]."""

_TAME = 0.75
"""Share of the river's depth above which depths are found by secants.

A line hangs deeper by about the 1.2th power of what the current is slower by, so a depth D over a
bed B moves the depth that it leads to by 0.2 D / (B - D): by less than itself down to 0.83 B. Above
that there is one answer and no more.
"""

_DEEPER = 1.2
_SECANTS = 6
_PROBES = (0.25, 0.5, 0.75, 0.82, 0.87, 0.91, 0.94, 0.97, 1.0)
"""Shares of the river's depth that are tried where secants are no use.

Close together near the bed: there the water is so slow that a line which hangs free in a little of
it would lie on the bottom a little further down.
"""

_FLATTEST = -0.15
"""What is missing falls at least so steeply with the depth, where secants are trusted."""


@dataclass(frozen=True, eq=False, slots=True)
class Hung:
    """Mesh, path and top of a rig in its cases."""

    mesh: Mesh
    path: Path
    top: Top

    def take_over(self, other: Hung, of: Places) -> None:
        """Have some of the cases hang as they do in another answer, which is of those alone."""
        for mine, theirs in ((self.path, other.path), (self.top, other.top)):
            for name in mine.__slots__:
                getattr(mine, name)[..., of] = getattr(theirs, name)


def hang_from(
    rows: Rows, mesh: Mesh, start: Start, law: Drag, share: Slackens | None = None
) -> Walk[Hung]:
    """How a rig hangs in its cases, from what holds at its fly. share: where it slackens."""
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
    return Hung(mesh, path, highest(mesh, path, water))


class RiverSearch:
    """Looks for the depth of the fly in each of r cases, over a bed [m], and keeps how it hangs."""

    def __init__(self, rows: Rows, mesh: Mesh, start: Start, law: Drag, bed: float) -> None:
        self._rows, self._mesh, self._start, self._law = rows, mesh, start, law
        self._bed = bed
        self._hung: Hung

    def hung(self) -> Walk[tuple[Hung, Flags]]:
        """How the rig hangs in each case, and where the fly lies on the bottom."""
        count = len(self._rows.speed)
        every = np.arange(count)
        # With the fly at the surface no part of the line is in slower water.
        none = np.zeros(count)
        self._hung = yield from self._at(none, every)
        over = self._hung.top.z.copy()
        wild = yield from self._by_secants(over)
        grounded = np.zeros(count, dtype=bool)
        of = np.flatnonzero(wild)
        if len(of):
            grounded[of] = yield from self._by_bracket(of, over[of])
        return self._hung, grounded

    def _at(self, fly: Array, of: Places) -> Walk[Hung]:
        """How some of the cases hang with flies so deep [m]."""
        share = Slackens(fly, self._bed)
        parts = (self._rows.only(of), self._mesh.only(of), self._start.only(of))
        return (yield from hang_from(*parts, self._law, share))

    def _missing(self, fly: Array, of: Places) -> Walk[Array]:
        """By how much lines whose flies are so deep reach above the surface [m]; kept as is."""
        hung = yield from self._at(fly, of)
        self._hung.take_over(hung, of)
        return np.asarray(hung.top.z - fly)

    def _by_secants(self, even: Array) -> Walk[Flags]:
        """Find what lies well above the bed; tells what is still to be found.

        even: depth in water that is nowhere slower, (r,) [m].
        """
        bed, open_ = self._bed, even > SAME_DEPTH
        wild = np.zeros(len(even), dtype=bool)
        depth = _guess(even, bed)
        before, over_before = np.zeros(len(even)), even
        for turn in range(_SECANTS):
            wild |= open_ & ~((depth > 0.0) & (depth < _TAME * bed))
            open_ &= ~wild
            of = np.flatnonzero(open_)
            if not len(of):
                return wild
            here = depth[of]
            over = yield from self._missing(here, of)
            if turn:
                with np.errstate(divide="ignore", invalid="ignore"):
                    slope = (over - over_before[of]) / (here - before[of])
            else:
                slope = (_DEEPER * RIVER_POWER) * here / (bed - here) - 1.0
            found = np.abs(over) <= _SAME_IN_RIVER
            trusted = found | (slope < _FLATTEST)
            before[of], over_before[of] = here, over
            depth[of] = np.where(trusted, here - over / np.minimum(slope, _FLATTEST), np.inf)
            open_[of[found]] = False
        return wild | open_

    def _probed(self, of: Places, even: Array, probes: Array) -> Walk[Array]:
        """What is missing at the surface and at each of the probes, (n, 1 + probes) [m].

        Many lines are walked up together at all of them; a few probe by probe, and no further
        than to the first that is too deep: nan from there on.
        """
        if len(of) > FEW_ROWS:
            tried = yield from self._at(np.tile(probes, len(of)), np.repeat(of, len(probes)))
            return np.column_stack((even, tried.top.z.reshape(len(of), -1) - probes))
        over = np.full((len(of), len(probes) + 1), np.nan)
        over[:, 0] = even
        here = np.arange(len(of))
        for i, probe in enumerate(probes):
            hung = yield from self._at(np.full(len(here), probe), of[here])
            over[here, i + 1] = hung.top.z - probe
            here = here[over[here, i + 1] > SAME_DEPTH]
            if not len(here):
                break
        return over

    def _by_bracket(self, of: Places, even: Array) -> Walk[Flags]:
        """Find some of the cases wherever they are; tells which of them lie on the bottom."""
        bed = self._bed
        probes = np.array(_PROBES) * bed
        over = yield from self._probed(of, even, probes)
        at = np.append(0.0, probes)
        reached = over[:, 1:] <= SAME_DEPTH
        first = np.where(reached.any(axis=1), reached.argmax(axis=1), len(probes) - 1)
        every = np.arange(len(of))
        low, high = at[first], at[first + 1]
        over_low, over_high = over[every, first], over[every, first + 1]
        grounded = over_high > SAME_DEPTH
        last = np.zeros(len(of))
        # On the bottom, and where a probe is the answer, it hangs as it was tried.
        open_ = ~grounded & (over_high < -_SAME_IN_RIVER)
        shut = np.flatnonzero(~open_)
        if len(shut):
            yield from self._missing(high[shut], of[shut])
        for turn in range(40):
            here = np.flatnonzero(open_)
            if not len(here):
                break
            gap = over_low[here] - over_high[here]
            share = np.full(len(here), 0.5)
            if turn % 4 < 3:  # now and then in the middle, where what is missing may jump
                np.divide(over_low[here], gap, out=share, where=gap > 0.0)
            there = low[here] + (high[here] - low[here]) * share
            found = yield from self._missing(there, of[here])
            # Where one end stays twice, half of what it is over by lets it move (Illinois).
            above, side = found > 0.0, np.sign(found)
            half = np.where(side == last[here], 0.5, 1.0)
            over_high[here] = np.where(above, over_high[here] * half, found)
            over_low[here] = np.where(above, found, over_low[here] * half)
            low[here] = np.where(above, there, low[here])
            high[here] = np.where(above, high[here], there)
            last[here] = side
            shut_now = (np.abs(found) <= _SAME_IN_RIVER) | (
                high[here] - low[here] <= _SAME_IN_RIVER
            )
            open_[here[shut_now]] = False
        return np.asarray(grounded)


def _guess(even: Array, bed: float) -> Array:
    """A depth near the one sought [m], from that in water that is nowhere slower (r,) [m]."""
    depth = even
    for _ in range(4):
        share = np.maximum(river_share(0.5 * np.minimum(depth, bed), bed), 0.2)
        depth = even * share**-_DEEPER
    return np.asarray(depth)
