"""A chain of links, against what is known of chains."""

from __future__ import annotations

import math
import os

import numpy as np
import pytest

from taperlab.physics.chain import Chain, Mover, energy, nodes, thrown
from tests.flown import NO_AIR, level

LINKS = int(os.environ.get("TAPERLAB_LINKS", "400"))
"""Of the chain that falls; in full: 800."""

# First zeros of the Bessel function J0: M. Abramowitz and I. A. Stegun, Handbook of Mathematical
# Functions (1964), table 9.5.
ZEROS = np.array([2.404826, 5.520078, 8.653728])


def modes(links: int) -> np.ndarray:
    """Rates of the slowest modes of a hanging chain of 1 m and gravity 1, from its equations."""
    mover = Mover(Chain.of(level(1.0, 1e-3), links, NO_AIR, 1.0))
    still, straight, small = np.zeros(links), np.full(links, -0.5 * math.pi), 1e-5
    columns = [
        mover.turning(straight + small * each, still)[0]
        - mover.turning(straight - small * each, still)[0]
        for each in np.eye(links)
    ]
    stiff = -np.array(columns).T / (2.0 * small)
    return np.sqrt(np.sort(np.linalg.eigvals(stiff).real)[:3])


def test_a_hanging_chain_swings_as_bernoulli_has_it() -> None:
    """Omega = j0k/2 sqrt(g/L): D. Bernoulli (1738), in any text on vibration; from memory."""
    wanted = 0.5 * ZEROS
    coarse, fine = (np.abs(modes(links) / wanted - 1.0) for links in (40, 80))
    assert fine[0] < 1e-4
    assert np.all(fine < 0.01)
    # Half the link, a quarter of the error.
    assert coarse / fine == pytest.approx([4.0] * 3, rel=0.05)


def test_a_folded_chain_falls_faster_than_a_stone() -> None:
    """0.84721 of the time of free fall, Gamma(3/4) Gamma(1/2) / (2 sqrt2 Gamma(5/4)).

    The law that keeps energy, M. G. Calkin and R. H. March, Am. J. Phys. 57, 154 (1989), which
    their chain obeyed; C. W. Wong and K. Yasui, Am. J. Phys. 74, 490 (2006). As quoted by others.
    The gap is 1 % of the length. Half the links: twice the error.
    """
    gap = 0.01
    chain = Chain.of(level(1.0, 1e-3), LINKS, NO_AIR, 1.0)
    mover = Mover(chain)
    motion = thrown(chain, 0.5 * (1.0 - 0.5 * math.pi * gap), gap, 0.0, -0.5 * math.pi)
    begin, lowest, time = nodes(chain, motion)[-1].imag, math.inf, 0.0
    before = energy(chain, motion)
    while True:
        size = mover.size(motion, 0.0)
        after = mover.step(motion, size)
        height = float(nodes(chain, after)[-1].imag)
        if height > lowest:
            break
        motion, lowest, time = after, height, time + size
    assert begin - lowest == pytest.approx(1.0, abs=0.002)
    assert energy(chain, motion) == pytest.approx(before, abs=1e-4 * 1e-3)
    exact = math.gamma(0.75) * math.gamma(0.5) / (2.0 * math.sqrt(2.0) * math.gamma(1.25))
    assert exact == pytest.approx(0.84721, abs=5e-6)
    free = math.sqrt(2.0 * (begin - lowest))
    assert time / free == pytest.approx(exact, rel=1e-3 * 800 / LINKS)
