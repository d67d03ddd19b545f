"""A line as a chain of stiff links in one upright plane, thrown, swung or dropped.

The state are the links' angles theta_k and their rates, so that lengths hold by construction. Nodes
are joined by links 1 to N from the end that is held, e_k is the direction of link k, n_k across it,
a_k its length, m_k the mass of the node at its far end, F_k the force there. The tensions T_k keep
the nodes apart, from a positive definite system with three diagonals::

    T_k (1/m_k + 1/m_{k-1}) - T_{k+1} c_{k+1}/m_k - T_{k-1} c_k/m_{k-1}
        = a_k omega_k^2 + e_k . (F_k/m_k - F_{k-1}/m_{k-1})          c_k = e_{k-1} . e_k
    A_k = (T_{k+1} e_{k+1} - T_k e_k + F_k)/m_k        theta_k'' = n_k . (A_k - A_{k-1})/a_k

with 1/m_0 = 0 at the end that is held. The air acts at the middle of each link, half on either
node: rho d (Cn |vn| vn n + Ct |vt| vt e)/2 a length (C. Gatti-Bono and N. C. Perkins, J. Appl.
Mech. 71, 745 (2004), eq. 6). Steps are of fourth order (Runge and Kutta) and as short as the
fastest link asks. Vectors of the plane are complex numbers, ahead and up.

A chain without drag has a whip crack: how fast its end gets grows with the number of links without
end. Nothing here tells that speed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from taperlab.physics.frustum import Array
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.turnover import Air, Flying, wave_of

Plane = NDArray[np.complex128]
"""Vectors of the plane: the part ahead, and i times the part up."""

LONGEST_STEP = 0.002
"""[s]"""

MOST_TURN = 0.1
"""No link turns by more in a step [rad]."""

MOST_TRAVEL = 0.4
"""A loop travels no farther in a step, in links."""


@dataclass(frozen=True, eq=False, slots=True)
class Chain:
    """N links from the end that is held; link [m] is the length of each.

    masses: (N,) of the nodes at their far ends [kg]. across, along: (N,) force of the air on a link
    by the square of the speed [kg/m]; end: on the last node. gravity: [m/s^2].
    """

    link: float
    masses: Array
    across: Array
    along: Array
    end: float = 0.0
    gravity: float = STANDARD_GRAVITY

    @classmethod
    def of(
        cls,
        line: Flying,
        links: int,
        air: Air = Air(),  # noqa: B008 - frozen
        gravity: float = STANDARD_GRAVITY,
    ) -> Self:
        """A line that flies, cut into links of one length; gravity: [m/s^2].

        What lies in a link goes to its two nodes so that mass and balance stay what they are.
        """
        places = np.linspace(0.0, line.length, links + 1)
        size = line.length / links
        # Exact between the nodes, and its moment by six places of Gauss's in each link.
        x, weights = np.polynomial.legendre.leggauss(6)
        mass, area = line.ahead(places)
        ahead, _ = line.ahead(places[:-1, np.newaxis] + 0.5 * size * (x + 1.0))
        held = mass[:-1] - mass[1:]
        to_far = ahead @ (0.5 * weights) - mass[1:]
        nodes = np.zeros(links + 1)
        nodes[:-1] += held - to_far
        nodes[1:] += to_far
        share = (line.length - line.points) / size
        near = np.minimum(share.astype(int), links - 1)
        np.add.at(nodes, near, (1.0 - (share - near)) * line.point_masses)
        np.add.at(nodes, near + 1, (share - near) * line.point_masses)
        nodes[-1] += line.fly_mass
        width = 0.5 * air.density * (area[:-1] - area[1:])
        return cls(
            size,
            nodes[1:],
            air.across * width,
            air.along * width,
            0.5 * air.density * line.fly_drag,
            gravity,
        )


@dataclass(frozen=True, eq=False, slots=True)
class Motion:
    """How a chain lies and moves: angles of its links from ahead (N,) [rad], rates [rad/s].

    lost: what the air has taken so far [J].
    """

    angle: Array
    rate: Array
    lost: float = 0.0


def nodes(chain: Chain, motion: Motion) -> Plane:
    """Where the nodes are (N + 1,), from the end that is held [m]."""
    steps = chain.link * np.exp(1j * motion.angle)
    return np.concatenate(([0.0], np.cumsum(steps)))


def speeds(chain: Chain, motion: Motion) -> Plane:
    """How fast the nodes move (N,), the one that is held left out [m/s]."""
    return np.asarray(np.cumsum(1j * chain.link * motion.rate * np.exp(1j * motion.angle)))


def moving_energy(chain: Chain, motion: Motion) -> float:
    """Energy of its motion [J]."""
    v = speeds(chain, motion)
    return float(0.5 * chain.masses @ (v.real**2 + v.imag**2))


def energy(chain: Chain, motion: Motion) -> float:
    """Energy of its motion and of its height, with what the air has taken [J]."""
    height = float(chain.masses @ nodes(chain, motion)[1:].imag)
    return moving_energy(chain, motion) + chain.gravity * height + motion.lost


def thrown(chain: Chain, start: float, height: float, speed: float, launch: float = 0.0) -> Motion:
    """A loop that travels ahead, half a circle, over a leg that is still.

    Parameters
    ----------
    chain : the line
    start : length of the still leg [m]
    height : of the loop [m]
    speed : of the other leg [m/s]
    launch : its direction, up from level [rad]

    Returns
    -------
    angles and rates
    """
    wave = wave_of(height)
    x = np.linspace(0.0, len(chain.masses) * chain.link, len(chain.masses) + 1) - start
    inside = np.clip(x, 0.0, wave)
    turned = np.pi * inside / wave
    # The mean direction of each link, so that the loop is the same for any number of links.
    whole = np.pi * inside**2 / (2.0 * wave) + np.pi * np.maximum(x - wave, 0.0)
    angle = np.diff(whole) / chain.link + launch
    return Motion(angle, -0.5 * speed * np.diff(turned) / chain.link)


class Mover:
    """What moves a chain; holds what stays the same from step to step."""

    def __init__(self, chain: Chain) -> None:
        self.chain = chain
        self._light = 1.0 / chain.masses
        before = np.concatenate(([0.0], self._light[:-1]))
        self._diagonal: list[float] = (self._light + before).tolist()
        self._between = -self._light[:-1]
        self._push = chain.along * (1.0 + 0.0j)
        self._fall = 1j * chain.gravity

    def turning(self, angle: Array, rate: Array) -> tuple[Array, float]:
        """How the rates of the links change [rad/s^2], and what the air takes [W].

        angle, rate: of the links [rad], [rad/s].
        """
        chain = self.chain
        e = np.exp(1j * angle)
        turned = e.conj()
        step = (1j * chain.link) * rate * e
        v = np.cumsum(step)
        own = (v - 0.5 * step) * turned
        along, across = own.real, own.imag
        pull, push = chain.along * np.abs(along) * along, chain.across * np.abs(across) * across
        power = float(pull @ along + push @ across)
        half = (-0.5 * e) * (pull + 1j * push)
        force = half.copy()
        force[:-1] += half[1:]
        last = complex(v[-1])
        if chain.end:
            force[-1] -= chain.end * abs(last) * last
            power += chain.end * abs(last) ** 3
        pulled = force * self._light - self._fall
        apart = pulled.copy()
        apart[1:] -= pulled[:-1]
        rates = chain.link * rate * rate + (turned * apart).real
        between = self._between * (turned[:-1] * e[1:]).real
        tension = e * tensions(self._diagonal, between.tolist(), rates.tolist())
        moved = -tension
        moved[:-1] += tension[1:]
        moved = moved * self._light + pulled
        moved[1:] -= moved[:-1].copy()
        return np.asarray((turned * moved).imag / chain.link), power

    def step(self, motion: Motion, size: float) -> Motion:
        """The chain so much later [s]."""
        angle, rate = motion.angle, motion.rate
        half = 0.5 * size
        a1, p1 = self.turning(angle, rate)
        r2 = rate + half * a1
        a2, p2 = self.turning(angle + half * rate, r2)
        r3 = rate + half * a2
        a3, p3 = self.turning(angle + half * r2, r3)
        r4 = rate + size * a3
        a4, p4 = self.turning(angle + size * r3, r4)
        sixth = size / 6.0
        return Motion(
            angle + sixth * (rate + 2.0 * (r2 + r3) + r4),
            rate + sixth * (a1 + 2.0 * (a2 + a3) + a4),
            motion.lost + sixth * (p1 + 2.0 * (p2 + p3) + p4),
        )

    def size(self, motion: Motion, speed: float) -> float:
        """How long the next step may be [s], for a loop thrown at a speed [m/s]."""
        fastest = float(np.abs(motion.rate).max())
        size = min(LONGEST_STEP, MOST_TURN / fastest if fastest > 0.0 else math.inf)
        return min(size, MOST_TRAVEL * self.chain.link / speed if speed > 0.0 else math.inf)


def tensions(diagonal: list[float], between: list[float], rates: list[float]) -> list[float]:
    """Solve a symmetric system with three diagonals: by elimination, in plain numbers.

    A hundred unknowns take less time so than in arrays, for which each is a step of its own.
    """
    pivots, found = [diagonal[0]], [rates[0]]
    pivot, value = diagonal[0], rates[0]
    for d, b, r in zip(diagonal[1:], between, rates[1:], strict=True):
        share = b / pivot
        pivot = d - share * b
        value = r - share * value
        pivots.append(pivot)
        found.append(value)
    value /= pivot
    found[-1] = value
    for i in range(len(between) - 1, -1, -1):
        value = (found[i] - between[i] * value) / pivots[i]
        found[i] = value
    return found
