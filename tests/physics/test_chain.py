"""A chain of links: its equations against forces by vectors, its energy, its order."""

from __future__ import annotations

import math

import numpy as np
import pytest

from taperlab.physics.chain import (
    Chain,
    Motion,
    Mover,
    energy,
    moving_energy,
    nodes,
    speeds,
    tensions,
    thrown,
)
from taperlab.physics.turnover import Air, wave_of
from taperlab.shop.turnover.study import flying
from tests.flown import NO_AIR, level, taper

RIG = flying(taper((0.0009, 0.0021, 0.0021), (5.0, 4.0), leader=2.0))


def bent(links: int, seed: int) -> Motion:
    random = np.random.default_rng(seed)
    walk = np.cumsum(random.normal(0.0, 0.4, links))
    return Motion(walk, random.normal(0.0, 3.0, links))


@pytest.mark.parametrize("seed", range(5))
def test_newton_s_law_holds_at_each_node_and_lengths_stay(seed: int) -> None:
    """Accelerations from the angles less all known forces lie along the links: tensions alone."""
    chain = Chain.of(RIG, 12, Air())
    motion = bent(12, seed)
    turning, power = Mover(chain).turning(motion.angle, motion.rate)
    e = np.exp(1j * motion.angle)
    moved = np.cumsum(chain.link * e * (1j * turning - motion.rate**2))
    velocity = np.concatenate(([0.0], speeds(chain, motion)))
    force, taken = np.zeros(13, dtype=complex), 0.0
    for k in range(12):
        middle = 0.5 * (velocity[k] + velocity[k + 1])
        along, across = (middle * e[k].conjugate()).real, (middle * e[k].conjugate()).imag
        drag = -(chain.along[k] * abs(along) * along + 1j * chain.across[k] * abs(across) * across)
        drag *= e[k]
        force[k] += 0.5 * drag
        force[k + 1] += 0.5 * drag
        taken -= (drag * middle.conjugate()).real
    fly = -chain.end * abs(velocity[-1]) * velocity[-1]
    force[-1] += fly
    taken -= (fly * velocity[-1].conjugate()).real
    assert power == pytest.approx(taken)
    left = chain.masses * moved - force[1:] + 1j * chain.gravity * chain.masses
    # From the fly up: what is left at a node is the pull of one link less that of the next.
    pull = 0.0 + 0.0j
    for k in range(11, -1, -1):
        pull -= left[k]
        assert (pull * e[k].conjugate()).imag == pytest.approx(0.0, abs=1e-9 * abs(pull))


def test_three_diagonals_are_solved() -> None:
    random = np.random.default_rng(4)
    between = random.normal(size=29)
    diagonal = 3.0 + random.random(30)
    rates = random.normal(size=30)
    whole = np.diag(diagonal) + np.diag(between, 1) + np.diag(between, -1)
    found = tensions(diagonal.tolist(), between.tolist(), rates.tolist())
    assert whole @ found == pytest.approx(rates)


@pytest.mark.parametrize("links", [30, 100, 173])
def test_a_chain_weighs_and_balances_as_its_line(links: int) -> None:
    """For any number of links, whether or not its joints lie at nodes."""
    chain = Chain.of(RIG, links, Air())
    places = chain.link * np.arange(1, links + 1)
    fine = Chain.of(RIG, 4000, Air())
    moment = fine.masses @ (fine.link * np.arange(1, 4001))
    assert chain.masses @ places == pytest.approx(moment, rel=1e-5)
    assert chain.across.sum() == pytest.approx(fine.across.sum(), rel=1e-9)
    assert chain.masses.sum() < RIG.total_mass() < chain.masses.sum() + 0.003 * chain.link


@pytest.mark.parametrize("links", [60, 100, 240])
def test_a_loop_is_thrown_alike_with_any_number_of_links(links: int) -> None:
    chain = Chain.of(RIG, links, Air())
    motion = thrown(chain, 1.0, 1.0, 20.0)
    place, velocity = nodes(chain, motion), speeds(chain, motion)
    assert velocity[-1] == pytest.approx(20.0, rel=2e-3)
    assert abs(velocity[0]) < 1e-9
    length = RIG.length - 1.0 - wave_of(1.0)
    assert place[-1].imag == pytest.approx(1.0, rel=0.01)
    assert place[-1].real == pytest.approx(1.0 - length, abs=0.01)
    steps = np.abs(np.diff(place))
    assert steps == pytest.approx(np.full(links, chain.link), rel=1e-12)


def off_after(size: float, seconds: float) -> float:
    chain = Chain.of(level(1.0, 1e-3), 12, NO_AIR)
    mover = Mover(chain)
    motion = Motion(np.full(12, -1.2), np.zeros(12))
    before = energy(chain, motion)
    for _ in range(round(seconds / size)):
        motion = mover.step(motion, size)
    return abs(energy(chain, motion) - before) / moving_energy(chain, motion)


def test_a_chain_that_swings_keeps_its_energy_to_the_fourth_order() -> None:
    assert off_after(0.0005, 0.3) < 1e-9
    assert off_after(0.002, 0.3) / off_after(0.001, 0.3) > 12.0


def test_it_falls_freely_where_nothing_holds_it() -> None:
    """Mirrored left to right it moves likewise; and from rest its first turn is down."""
    chain = Chain.of(RIG, 20, Air())
    mover = Mover(chain)
    motion = bent(20, 1)
    turning, _ = mover.turning(motion.angle, motion.rate)
    mirrored, _ = mover.turning(math.pi - motion.angle, -motion.rate)
    assert mirrored == pytest.approx(-turning)
    turning, _ = mover.turning(np.zeros(20), np.zeros(20))
    assert turning[0] < 0.0
