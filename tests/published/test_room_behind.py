"""The room behind against closed forms and what is said of it. Common practice; no source.

No published table of room against head length was found.
"""

from __future__ import annotations

import pytest

from taperlab.model.exact_units import FOOT
from taperlab.physics.room import Ends, half_ellipse, pointed_room


@pytest.mark.parametrize(
    ("line", "peel", "room"),
    [
        # A head of 30 ft and 1 ft of overhang, anchored by tip and leader a rod's 13 ft in front.
        (31.0, 13.0, 9.0),
        # A belly of 70 ft with 6 ft of it anchored, 1 ft of overhang; likewise.
        (65.0, 13.0, 26.0),
    ],
)
def test_a_line_that_lies_flat_goes_back_half_of_what_the_anchor_leaves(
    line: float, peel: float, room: float
) -> None:
    """(s - f)/2 for a rod tip at the caster's feet: folded in two, a line is half as long."""
    found = pointed_room(line * FOOT, Ends(0.0, 0.0, peel * FOOT, 0.0))
    assert found / FOOT == pytest.approx(room)


@pytest.mark.parametrize(
    ("depth", "half"), [(1.0, 1.0), (2.0, 1.0), (1.0, 3.0), (0.5, 2.0), (5.0, 1.0)]
)
def test_half_an_ellipse_by_ramanujan(depth: float, half: float) -> None:
    """S. Ramanujan, Q. J. Math. 45, 350 (1914), second approximation; from memory."""
    share = ((depth - half) / (depth + half)) ** 2
    arc = (
        3.14159265359 / 2.0 * (depth + half) * (1.0 + 3.0 * share / (10.0 + (4 - 3 * share) ** 0.5))
    )
    assert half_ellipse(depth, half) == pytest.approx(arc, rel=1e-4)
