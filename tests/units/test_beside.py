"""A bare number beside a length that is shown: in which unit it is meant."""

from __future__ import annotations

import pytest

from taperlab.units.beside import parse_beside
from taperlab.units.kinds import TAKEN_OFF, System
from taperlab.units.parse import Unreadable
from taperlab.units.sentence import OnTape

FOOT, INCH = 0.3048, 0.0254
"""Exact by definition: NIST SP 811 (2008), app. B.8."""

METRIC = [
    (0.196, "196", 0.196),
    (0.196, "198,5", 0.1985),
    (0.196, "50", 0.050),
    (0.005, "6", 0.006),
    (0.196, "0,2", 0.2),
    (0.523, "0.5", 0.5),
    (0.196, "0.2 m", 0.2),
    (0.196, "20 cm", 0.2),
    (0.196, "2 mm", 0.002),
    (0.196, "0", 0.0),
    (0.0, "3", 0.003),
    # From a metre on lengths are written in metres, and bare numbers are.
    (3.804, "3,8", 3.8),
    (1.077, "1", 1.0),
]
US = [
    (5.875 * INCH, "6", 6.0 * INCH),
    (5.875 * INCH, "5 3/4", 5.75 * INCH),
    (11.0 * INCH, "1", FOOT),
    (5.875 * INCH, "1 ft", FOOT),
    (2.0 * FOOT, "2.5", 2.5 * FOOT),
    (2.0 * FOOT, "1'9", 1.75 * FOOT),
]


@pytest.mark.parametrize(
    ("system", "stands", "typed", "meant"),
    [(System.METRIC, *each) for each in METRIC] + [(System.US, *each) for each in US],
)
def test_a_bare_number_is_of_the_unit_that_stands_there(system, stands, typed, meant) -> None:
    found = parse_beside(typed, TAKEN_OFF, system, stands, OnTape(stands).text(system))
    assert found == pytest.approx(meant)


@pytest.mark.parametrize(
    ("system", "stands", "typed", "either"),
    [
        (System.METRIC, 0.196, "1", ("1 mm", "1 m")),
        (System.METRIC, 0.030, "1", ("1 mm", "1 m")),
        (System.US, 6.0 * INCH, "1", ("1 in", "1 ft")),
    ],
)
def test_what_may_be_either_is_asked_about(system, stands, typed, either) -> None:
    with pytest.raises(Unreadable) as found:
        parse_beside(typed, TAKEN_OFF, system, stands, OnTape(stands).text(system))
    said = str(found.value.sentence).replace("\N{NO-BREAK SPACE}", " ")
    assert said == f"“{typed}” could be {either[0]} or {either[1]}: write the unit after it."


def test_what_cannot_be_read_says_why() -> None:
    with pytest.raises(Unreadable, match="long"):
        parse_beside("long", TAKEN_OFF, System.METRIC, 0.196, "196 mm")
