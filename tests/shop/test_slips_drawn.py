"""How often slips are found and good readings are thrown out, over drawn lines.

Printed with ``-s``; ``tests/slipped.py`` draws lines and slips. What is asserted is what the
program promises; the rest is printed as it comes. In the suite fewer lines, and room for what so
few may be off by (three standard deviations of a share); with TAPERLAB_DRAWN=250 as many as the
README tells of, and no room.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count, islice

import numpy as np
import pytest

from taperlab.model.exact_units import FOOT
from taperlab.model.measurement import USUAL, Station
from taperlab.shop.errors import rounding_error
from taperlab.shop.measure.breakpoints import Given
from taperlab.shop.measure.shape import ShapeFit
from taperlab.shop.measure.slips import Sifted, sift_steps
from taperlab.shop.measure.stations import gather
from taperlab.shop.steps import finish
from tests.measured import fit_shape
from tests.slipped import EIGHTH, SLIPS, THOU, Drawn, another_reading, draw, slip

pytestmark = pytest.mark.slow

ASKED = os.environ.get("TAPERLAB_DRAWN")
LINES = int(ASKED or 12)
"""Clean lines; and lines with a slip of each kind."""

REPEATED, BESIDE = round(0.5 * LINES), round(0.3 * LINES)
"""Slips of each kind after which the good value is typed at the same place, or beside it."""

NOISE = 1.0
"""How much worse a diameter may come out by the noise of one more reading [thou]: twice what one
reading scatters by."""


LEAST = {"wrong tens": 97.0, "decimal point": 97.0, "swapped digits": 92.0}
LEAST |= {"wrong ones": 40.0, "neighbour's value": 29.0}
"""Of a hundred slips so many are left out or asked about, on lines of which every piece holds three
stations or more. For the last two: what range tests and a robust fit alone are known to find."""

HARM = 4.0
"""A good reading beside a slip may make so many of a hundred lines worse, and no more."""


def room(percents: float, lines: int) -> float:
    """What a share of so few lines may be off by [%]; none where it was asked for as many."""
    share = percents / 100.0
    return 0.0 if ASKED else 300.0 * math.sqrt(share * (1.0 - share) / lines)


@dataclass(frozen=True)
class Slipped:
    """A line with one slip, and what became of it."""

    line: Drawn
    at: int
    found: Sifted

    @property
    def is_inner(self) -> bool:
        return 0 < self.at < len(self.line.places) - 1

    @property
    def is_left_out(self) -> bool:
        return any(each.station == self.at for each in self.found.left_out)

    @property
    def is_asked(self) -> bool:
        place = self.line.places[self.at] * FOOT
        return any(abs(each.distance - place) < 1e-6 for each in self.found.doubts)


def sift(line: Drawn) -> Sifted:
    places, _ = gather(line.stations(), line.length * FOOT, USUAL)
    given = Given((), rounding_error(USUAL.tape))
    return finish(sift_steps(places, USUAL, given))


def slipped(kind: str, first: int, lines: int) -> Iterator[tuple[int, Drawn, Drawn, int]]:
    """Seed, the line as it is, the line with a slip of this kind, and where."""

    def every() -> Iterator[tuple[int, Drawn, Drawn, int]]:
        for seed in count(first):
            line = draw(seed)
            bad = slip(line, kind, seed)
            if bad is not None:
                yield seed, line, *bad

    return islice(every(), lines)


def tell(words: str) -> None:
    """Write a line of the table."""
    print(f"\n{words}")  # noqa: T201


def percent(hits: list[bool]) -> float:
    return 100.0 * float(np.mean(hits)) if hits else float("nan")


@pytest.mark.parametrize("noise", [1.0, 2.0])
def test_good_readings_of_clean_lines_are_kept(noise: float) -> None:
    found = [sift(draw(seed, noise=noise)) for seed in range(LINES)]
    out = percent([bool(each.left_out) for each in found])
    inner = percent([any(not doubt.at_end for doubt in each.doubts) for each in found])
    ends = percent([any(doubt.at_end for doubt in each.doubts) for each in found])
    asked = f"asked about on {inner:.1f} %, a note at an end on {ends:.1f} %"
    tell(f"clean, {noise:g} times the noise: left out on {out:.1f} %, {asked}")
    alarms = percent(
        [bool(each.left_out) or any(not doubt.at_end for doubt in each.doubts) for each in found]
    )
    assert alarms <= 2.0 + room(2.0, LINES)


@pytest.mark.parametrize("kind", SLIPS)
def test_slips_are_found(kind: str) -> None:
    tried = [Slipped(line, at, sift(bad)) for _, line, bad, at in slipped(kind, 10_000, LINES)]
    inner = [each for each in tried if each.is_inner]
    resolved = [each for each in tried if each.line.is_resolved]
    seen = {
        "all": percent([each.is_left_out for each in tried]),
        "all, or asked": percent([each.is_left_out or each.is_asked for each in tried]),
        "inner": percent([each.is_left_out for each in inner]),
        "lines read closely": percent([each.is_left_out for each in resolved]),
        "lines read closely, or asked": percent(
            [each.is_left_out or each.is_asked for each in resolved]
        ),
        "a good one left out": percent(
            [any(out.station != each.at for out in each.found.left_out) for each in tried]
        ),
    }
    tell(f"{kind}: " + ", ".join(f"{name} {share:.1f} %" for name, share in seen.items()))
    # Where a piece of the taper holds one station or two, another taper explains what is read.
    least = LEAST[kind] - room(LEAST[kind], len(resolved))
    assert seen["lines read closely, or asked"] >= least


def worst(stations: list[Station], line: Drawn) -> float:
    """How far the fitted diameter lies off the true one, between the outermost stations [thou]."""
    fit = fit_shape(stations, line.length * FOOT, USUAL)
    if not isinstance(fit, ShapeFit):
        return float("inf")
    at = np.linspace(line.places[0], line.places[-1], 300)
    return float(np.abs(fit.state.diameter(at * FOOT) / THOU - line.truth(at)).max())


@pytest.mark.parametrize("kind", SLIPS)
def test_the_good_value_typed_at_the_same_place_never_makes_it_worse(kind: str) -> None:
    """Not worse than it was, nor, where that was luck, than the good reading alone makes it."""
    worse = []
    for seed, line, bad, at in slipped(kind, 30_000, REPEATED):
        stations = bad.stations()
        before = worst(stations, line)
        good = another_reading(line, float(line.places[at]), seed)
        mended = list(stations)
        mended[at] = replace(stations[at], readings=(*stations[at].readings, good * THOU))
        more = worst(mended, line) - before
        if more > NOISE:
            alone = list(stations)
            alone[at] = replace(stations[at], readings=(good * THOU,))
            more = min(more, worst(mended, line) - worst(alone, line))
        worse.append(more)
    share = percent([each > NOISE for each in worse])
    most = f"worse on {share:.1f} %, at most by {max(worse):.1f} thou"
    tell(f"{kind}, good value typed at the same place: {most}")
    assert share == 0.0


@pytest.mark.parametrize("kind", SLIPS)
def test_a_good_neighbour_seldom_harms(kind: str) -> None:
    worse = []
    for seed, line, bad, at in slipped(kind, 50_000, BESIDE):
        beside = at + 1 if at + 1 < len(line.places) else at - 1
        share = np.random.default_rng([seed, 80]).uniform(0.1, 0.5)
        between = line.places[at] + share * (line.places[beside] - line.places[at])
        place = float(np.round(between / EIGHTH) * EIGHTH)
        good = another_reading(line, place, seed)
        stations = bad.stations()
        more = [*stations, Station(place * FOOT, (good * THOU,))]
        worse.append(worst(more, line) - worst(stations, line))
    share = percent([each > NOISE for each in worse])
    tell(f"{kind}, a good neighbour: worse on {share:.1f} %, at most by {max(worse):.1f} thou")
    assert share <= HARM + room(HARM, BESIDE)
