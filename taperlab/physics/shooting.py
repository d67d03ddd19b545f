"""A loop that rolls out over a line that shoots: running line follows through the guides.

Beside :mod:`taperlab.physics.turnover`, whose marks and drag these are. u is the speed of the leg
at the rod, y the running line out, mu its mass per length, l the length unrolled of what is thrown,
v = u + 2 l' the speed of the leg with the fly, the loop's own u + l'. A share W (there: w) of a
piece's mass moves with the loop; Mt is the mass of all that is out, running line included::

    T = Mt u^2/2 + 2 M u l' + 2 M l'^2                  M' = dM/dl, y' = u >= 0
    Mt u' + 2 M l'' + 2 M' l'^2  = Qu - F - c mu u^2
    2 M u' + 4 M l'' + 2 M' l'^2 = Ql

Own derivation by Lagrange, for the energy T of the rolling loops of the papers named there; F is
the friction of the guides, which holds the line until it is pulled harder. c = 1/2 is Lagrange's,
and conserves energy; c = 1 is that of running line that lies slack and is picked up without
rebound, and conserves momentum. A piece in the loop moves along itself at A W - u with
A = 2 (u + l'), and across at (u + l') sin(theta), so that with Ik the integral of d W^k over the
loop and all ahead of it, J that of d sin^3(theta), R what is covered by the leg at the rod and the
running line::

    Qu = -rho/2 (Ct (A^2 (2 I3 - I2) - 2 A u (2 I2 - I1) + u^2 (2 I1 - I0) + R u^2 + ...)
    Ql = -rho/2 (2 Ct (A^2 I3 - 2 A u I2 + u^2 I1) + ...)

with Cn J (u + l')^2 in both, and the fly's drag area times v^2 once and twice. Low in the loop,
where A W < u, a piece slips backward along itself and is dragged the other way: that is counted
with the mean diameter in the loop. Wet line, coils that tangle and a hand that holds are not in it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.physics.turnover import (
    LOOP_NODES,
    Air,
    Flying,
    Turnover,
    edges_of,
    gauss,
    rise_of,
    share_of,
    wave_of,
)

INELASTIC = 1.0
"""c of running line that lies slack and is picked up without rebound [1]."""

CONSERVING = 0.5
"""c of running line that keeps its energy [1]: as none does."""

STALLED = 0.02
"""A loop that rolls so slowly, of the speed at its start, has stalled [1]: ours."""

_GRADED, _PER_HALF = 24, 2


class StalledError(ValueError):
    """The line behind follows as fast as the fly's leg goes: the loop no longer rolls out."""


@dataclass(frozen=True, eq=False, slots=True)
class Running:
    """Running line, and what holds it.

    mass: per length [kg/m]. diameter: [m]. friction: of the guides, a force whatever the speed;
    inf holds it [N]. pickup: c, from 1/2 to 1 [1].
    """

    mass: float
    diameter: float
    friction: float
    pickup: float = INELASTIC


@dataclass(frozen=True, eq=False, slots=True)
class Shot:
    """A loop that rolled out and shot line, at the places of ``run``; arrays (p,).

    run: as without shooting; its energy is that with which the fly's leg overtakes the line behind
    it, and its way the speed at the start times the time since. out: running line out [m]. follows:
    speed of the leg at the rod [m/s]. total: energy of all that moves, momentum: forward, of all
    [J], [N s]. to_guides, to_pickup, to_air: what these took by then [J].
    """

    run: Turnover
    out: Array
    follows: Array
    total: Array
    momentum: Array
    to_guides: Array
    to_pickup: Array
    to_air: Array

    @property
    def shot(self) -> float:
        """Running line shot until the fly enters the loop [m]."""
        return float(self.out[-1])

    @property
    def guides_share(self) -> float:
        """What the guides took, of the energy at the start [1]."""
        return float(self.to_guides[-1] / self.total[0])

    @property
    def pickup_share(self) -> float:
        """What picking the running line up took, of the energy at the start [1]."""
        return float(self.to_pickup[-1] / self.total[0])


def shoot(
    line: Flying,
    running: Running,
    speed: float,
    start: float,
    height: float,
    air: Air = Air(),  # noqa: B008 - frozen
    *,
    refine: int = 1,
) -> Shot:
    """Roll a loop out over a line that shoots.

    Parameters
    ----------
    line : what is thrown
    running : the running line behind it, and the friction of the guides
    speed : of the leg with the fly as the loop begins; the leg at the rod is still then [m/s]
    start : length already unrolled as the loop begins [m]
    height : of the loop, as the air shapes it; above 0 [m]
    air : density, and drag coefficients
    refine : factor on the number of steps [1]

    Returns
    -------
    speed, line shot, and where the energy went, along the line

    Raises
    ------
    StalledError : if the loop no longer rolls out, since the line behind follows as fast
    ValueError : if the line ends in the loop from the start, or the loop has no height
    """
    wave, length = wave_of(height), line.length
    end = length - wave
    if not 0.0 <= start < end:
        raise ValueError("no line is left to turn over")
    if not wave > 0.0:
        raise ValueError("a fold without a height cannot shoot")
    edges = edges_of(line, start, end, wave, refine, points=True)
    # At first little line lies behind the loop, and what it does changes as fast.
    soon = 0.5 ** (np.arange(_GRADED * refine + 1) / (_PER_HALF * refine))
    edges = np.union1d(edges, start + (edges[-1] - start) * soon)
    places = np.empty(2 * len(edges) - 1)
    places[::2], places[1::2] = edges, 0.5 * (edges[1:] + edges[:-1])
    rolling = _Rolling(line, running, places, wave, air)
    first = rolling.tables[0]
    state = (0.0, math.sqrt(first.moving) * 0.5 * speed, 0.0, 0.0, 0.0, 0.0)
    slowest = STALLED * 0.5 * speed
    states = [state]
    for i in range(len(edges) - 1):
        state = _step(rolling, 2 * i, float(edges[i + 1] - edges[i]), state, slowest)
        states.append(state)
    return _shot(line, running, rolling, edges, np.array(states), speed, air)


_State = tuple[float, float, float, float, float, float]
"""u, sqrt(M) l', running line out, time, what its pickup and what the air took."""


@dataclass(frozen=True, slots=True)
class _Table:
    """What the equations take from the line at one length unrolled.

    moving, slope: M and M'. i0 to i3: of d W^k [m^2]. across: J [m^2]. behind, inside: covered by
    the leg at the rod, and by the line in the loop [m^2].
    """

    moving: float
    slope: float
    i0: float
    i1: float
    i2: float
    i3: float
    across: float
    behind: float
    inside: float


class _Rolling:
    """The equations, with l as what everything hangs on."""

    def __init__(
        self, line: Flying, running: Running, places: Array, wave: float, air: Air
    ) -> None:
        self.tables = [_Table(*row) for row in _tables(line, places, wave).tolist()]
        self._mass, self._running, self._air = line.total_mass(), running, air
        self._fly = line.fly_drag

    def rates(self, i: int, state: _State) -> _State:
        """By how much the state changes with l, at place ``i``."""
        table, running = self.tables[i], self._running
        u, q, out = max(state[0], 0.0), state[1], state[2]
        root = math.sqrt(table.moving)
        roll = q / root
        pushed, turned = self._drag(table, u, roll, out)
        mu = running.mass
        pull = -table.slope * roll**2 + pushed - 0.5 * turned - running.pickup * mu * u**2
        faster = 0.0
        if pull > running.friction or (u > 0.0 and math.isfinite(running.friction)):
            faster = (pull - running.friction) / (self._mass + mu * out - table.moving)
        gains = (turned - 2.0 * table.moving * faster) / (4.0 * root)
        picked = (running.pickup - 0.5) * mu * u**3
        taken = -pushed * u - turned * roll
        return (faster / roll, gains / roll, u / roll, 1.0 / roll, picked / roll, taken / roll)

    def _drag(self, table: _Table, u: float, roll: float, out: float) -> tuple[float, float]:
        """Qu and Ql [N]."""
        air = self._air
        a, behind = 2.0 * (u + roll), table.behind + self._running.diameter * out
        along = (
            a * a * (2.0 * table.i3 - table.i2)
            - 2.0 * a * u * (2.0 * table.i2 - table.i1)
            + u * u * (2.0 * table.i1 - table.i0 + behind)
        )
        turning = 2.0 * (a * a * table.i3 - 2.0 * a * u * table.i2 + u * u * table.i1)
        if u > 0.0:
            turn, push = _backward(u, roll)
            along += 2.0 * table.inside * push
            turning -= 2.0 * table.inside * (turn - push)
        across = air.across * table.across * (u + roll) ** 2
        fly = self._fly * (u + 2.0 * roll) ** 2
        half = 0.5 * air.density
        return (
            -half * (air.along * along + across + fly),
            -half * (air.along * turning + across + 2.0 * fly),
        )


def _backward(u: float, roll: float) -> tuple[float, float]:
    """Means round the loop of the slip squared, and of that times cos(phi), where it is backward.

    phi: turned from the leg at the rod. The slip along itself is roll - (u + roll) cos(phi).
    """
    b = u + roll
    cosine = roll / b
    phi, sine = math.acos(cosine), math.sqrt(1.0 - cosine * cosine)
    square = 0.5 * (phi + sine * cosine)
    turn = roll * roll * phi - 2.0 * roll * b * sine + b * b * square
    push = roll * roll * sine - 2.0 * roll * b * square + b * b * (sine - sine**3 / 3.0)
    return turn / math.pi, push / math.pi


def _step(rolling: _Rolling, i: int, size: float, state: _State, slowest: float) -> _State:
    """One step of Runge and Kutta's, from place ``i`` to the second after it."""
    half = 0.5 * size

    def at(place: int, rates: _State, by: float) -> _State:
        u, q, out, time, picked, taken = (a + by * b for a, b in zip(state, rates, strict=True))
        if not q > slowest * math.sqrt(rolling.tables[place].moving):
            raise StalledError("the line behind follows as fast")
        # Line that was shot does not come back.
        return max(u, 0.0), q, out, time, picked, taken

    one = rolling.rates(i, state)
    two = rolling.rates(i + 1, at(i + 1, one, half))
    three = rolling.rates(i + 1, at(i + 1, two, half))
    four = rolling.rates(i + 2, at(i + 2, three, size))
    a, b, c, d, e, f = (
        (w + 2.0 * x + 2.0 * y + z) / 6.0 for w, x, y, z in zip(one, two, three, four, strict=True)
    )
    return at(i + 2, (a, b, c, d, e, f), size)


def _tables(line: Flying, places: Array, wave: float) -> Array:
    """Rows of ``_Table``, (p, 9): by parts, as in ``turnover``."""
    x, weights, _ = gauss(LOOP_NODES)
    w, rise = share_of(x), rise_of(x)
    within = places[:, np.newaxis] + wave * x
    mass, area = line.ahead(within)
    moving = mass @ (weights * rise) + line.fly_mass
    slope = -(line.mass_per_length(within) @ (weights * rise))
    if len(line.points):
        turned = np.clip((line.length - line.points - places[:, np.newaxis]) / wave, 0.0, 1.0)
        moving = moving + share_of(turned) @ line.point_masses
        slope = slope - (rise_of(turned) / wave) @ line.point_masses
    ahead = line.ahead(places)[1]
    all_of_it = float(line.ahead(np.zeros(1))[1][0])
    bend = 3.0 * np.pi * np.sin(np.pi * x) ** 2 * np.cos(np.pi * x)
    return np.stack(
        (
            moving,
            slope,
            ahead,
            *(area @ (weights * k * w ** (k - 1) * rise) for k in (1, 2, 3)),
            area @ (weights * bend),
            all_of_it - ahead,
            ahead - line.ahead(places + wave)[1],
        ),
        axis=1,
    )


def _shot(
    line: Flying,
    running: Running,
    rolling: _Rolling,
    edges: Array,
    states: Array,
    speed: float,
    air: Air,
) -> Shot:
    follows, q, out, time, picked, taken = states.T
    tables = rolling.tables[::2]
    moving = np.array([each.moving for each in tables])
    drags = np.array(
        [air.along * each.i3 + air.across * each.across / 8.0 + line.fly_drag for each in tables]
    )
    roll = q / np.sqrt(moving)
    mass = line.total_mass() + running.mass * out
    start = 2.0 * q[0] ** 2
    run = Turnover(
        edges,
        moving,
        2.0 * q**2 / start,
        (follows + 2.0 * roll) / speed,
        speed * time,
        line.mass_per_length(edges),
        2.0 * air.density * drags,
        line.length,
        float(line.length - edges[-1]),
    )
    guides = running.friction * out if math.isfinite(running.friction) else np.zeros_like(out)
    total = 0.5 * mass * follows**2 + 2.0 * moving * follows * roll + 2.0 * q**2
    momentum = mass * follows + 2.0 * moving * roll
    return Shot(run, out, follows, total, momentum, guides, picked, taken)
