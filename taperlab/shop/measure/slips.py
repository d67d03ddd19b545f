"""Slips of the hand among measured diameters: which readings are kept, which are left out and why.

A reading that was mistyped or misread is far off, and least squares believes it all the same: it
is averaged with the good one that is typed later, or becomes a notch of breakpoints of its own.
Here every reading is one of three: kept, left out, or in doubt. Two readings at one place that
agree are always kept. A reading that stands alone is left out if

- it lies far outside all that its neighbours foretell, whichever of them are believed, or
- it lies outside what they allow if the taper changes at most once beside it, and the line
  without it is so much simpler or fits so much better that a slip is the likelier story.

Where readings at one place disagree, the line with each of them is compared in the same way. How
much diameters scatter is found along with it: noise that was set too small is no slip.

The comparison is one of penalised likelihoods: a breakpoint is charged as in
:mod:`~taperlab.shop.measure.breakpoints`, a reading left out is charged :data:`SLIP_CHARGE`. The
thresholds were chosen on drawn lines of known taper, see ``tests/shop/test_slips_drawn.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from taperlab.model.measurement import Instruments
from taperlab.shop.errors import diameter_error
from taperlab.shop.measure.breakpoints import Broken, Given, Noise, objective, search
from taperlab.shop.measure.foretold import (
    FEWEST_TO_CHOOSE_FROM,
    bend,
    foretold_at_end,
    outside,
    scatter,
)
from taperlab.shop.measure.stations import Place, Stations
from taperlab.shop.steps import Steps, uncounted

DISAGREE = 6.0
"""Standard deviations of one reading between two at one place from which they disagree."""

DOUBTFUL = 3.0
"""Standard deviations between two at one place from which the neighbours are asked for the better
one; if they cannot tell, both are kept as two honest readings."""

OUTVOTES = 2
"""Readings that agree win over others at their place if they are so many times as many."""

ALONE = 5.0
"""Standard deviations outside all that neighbours foretell: left out whatever the fit says."""

SUSPECT = 2.1
"""Standard deviations outside what one corner beside it allows, without which none is left out."""

SLIP_CHARGE = 18.0
"""What leaving a suspect out must take off the objective: two breakpoints. One reading
alone never makes a notch."""

PLAIN, PLAIN_CHARGE = 3.5, 10.0
"""The same where it lies so many standard deviations outside: little more than one breakpoint."""

TOLD_APART = 7.0
"""What one of two readings at a place must be better by in the objective to be the right one:
odds of about 30 to 1."""

OTHER_SIZE = 2.5
"""A first or last reading is left out only if it is so many times off: a line may taper there."""

ASKED, ASKED_AT_END = 6.5 * 25.4e-6, 5.0 * 25.4e-6
"""A reading so far [m] off where the line runs without it is kept and asked about."""

ASKED_BEYOND = 15.0
"""The same in standard deviations of a reading, except at an end."""

ASK_CHARGE = 5.5
"""What leaving it out would have to take off the objective: more than half a breakpoint."""

MOST_NOISE = 2.5
"""Diameters may scatter so many times what is set, even where their neighbours do not show it."""

LEAST_SHARE = 0.6
"""They scatter at least by this share of what neighbours show, which corners make too much."""

SUSPECTS = 6
MOST_LEFT_OUT = 3
USUAL_STEPS = 60


class Why(StrEnum):
    """Why a reading is left out."""

    ALONE = "stands alone among its neighbours"
    OUTVOTED = "other readings at its place agree"
    UNLIKELY = "another reading at its place fits the neighbours"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A reading that takes no part.

    distance: of its place [m]. station, number: row of its station in the measurement and which
    of its readings, from 0. diameter: what was read [m]. among: what the others say there [m].
    """

    distance: float
    station: int
    number: int
    diameter: float
    among: float
    why: Why


@dataclass(frozen=True, slots=True)
class Doubt:
    """A place [m] whose reading is kept, and should be read again.

    diameters: what was read, one that nothing tells from a slip or several that disagree [m].
    among: what the neighbours say there [m]. at_end: whether it is the first or the last place.
    """

    distance: float
    diameters: tuple[float, ...]
    among: float
    at_end: bool = False


@dataclass(frozen=True, eq=False, slots=True)
class Sifted:
    """What is kept: its places with mean diameters and errors; what is not; what is asked.

    noise: how many times their errors the diameters may scatter. fit: the best line through what
    is kept.
    """

    kept: Stations
    left_out: tuple[LeftOut, ...]
    doubts: tuple[Doubt, ...]
    noise: Noise
    fit: Broken


@dataclass(frozen=True, eq=False, slots=True)
class _At:
    """A place as it stands: the readings that are believed, and the error of their mean.

    rivals: groups of readings, while none of them has won; disputed: whether not all of them can
    be honest. stays: whether two or more agree, or may, so that the place is never left out.
    """

    place: Place
    believed: tuple[float, ...]
    error: float
    rivals: tuple[tuple[float, ...], ...] = ()
    disputed: bool = False
    stays: bool = False

    @property
    def diameter(self) -> float:
        return sum(self.believed) / len(self.believed)


def sift_steps(places: Sequence[Place], instruments: Instruments, given: Given) -> Steps[Sifted]:
    """Keep the readings that fit, leave out at most three that do not, and name both.

    places: in order, as :func:`~taperlab.shop.measure.stations.gather` makes them.
    """
    return (yield from uncounted(_Sift(places, instruments, given).sifted(), USUAL_STEPS))


def _grouped(diameters: Sequence[float], apart: float) -> list[tuple[float, ...]]:
    """Diameters in order, in groups that lie more than ``apart`` from each other."""
    groups: list[list[float]] = []
    for each in diameters:
        if groups and each - groups[-1][-1] <= apart:
            groups[-1].append(each)
        else:
            groups.append([each])
    return [tuple(group) for group in groups]


class _Sift:
    """The readings on their way to being kept or left out."""

    def __init__(self, places: Sequence[Place], instruments: Instruments, given: Given) -> None:
        self.instruments, self.given = instruments, given
        self.out: list[LeftOut] = []
        self.asked: list[Doubt] = []
        self._fits: dict[tuple[bytes, ...], Broken] = {}
        middles = [float(np.median(place.diameters)) for place in places]
        errors = [diameter_error(instruments, len(place.readings)) for place in places]
        rough = Stations(
            np.array([place.distance for place in places], dtype=float),
            np.array(middles, dtype=float),
            np.array(errors, dtype=float),
        )
        there = scatter(rough)
        self.noise = Noise(max(1.0, LEAST_SHARE * there), max(MOST_NOISE, there))
        self.single = self.noise.least * diameter_error(instruments, 1)
        self.at = [self._at_first(place) for place in places]

    def _error(self, count: int) -> float:
        return diameter_error(self.instruments, count)

    def _at_first(self, place: Place) -> _At:
        groups = _grouped(place.diameters, DISAGREE * self.single)
        most = max(map(len, groups))
        rivals = [group for group in groups if OUTVOTES * len(group) > most]
        outvoted = [group for group in groups if group not in rivals]
        if len(rivals) > 1:
            middles = [sum(group) / len(group) for group in rivals]
            half = (middles[-1] - middles[0]) / 2.0
            here = _At(place, tuple(middles), half, tuple(rivals), True, most > 1)
        else:
            (won,) = rivals
            # Near enough to be two honest readings, far enough for one of them to be none.
            parts = _grouped(won, DOUBTFUL * self.single)
            apart = tuple(parts) if len(parts) > 1 else ()
            here = _At(place, won, self._error(len(won)), apart, stays=len(won) > 1)
        self._leave_out(place, outvoted, here.diameter, Why.OUTVOTED)
        return here

    def _leave_out(
        self, place: Place, groups: Sequence[Sequence[float]], among: float, why: Why
    ) -> None:
        gone = {diameter for group in groups for diameter in group}
        self.out += [
            LeftOut(place.distance, each.station, each.number, each.diameter, among, why)
            for each in place.readings
            if each.diameter in gone
        ]

    def sifted(self) -> Steps[Sifted]:
        """All of it in turn."""
        contested = [each for each in self.at if each.rivals]
        self.at = [each for each in self.at if not each.rivals]
        yield from self.leave_out()
        for each in contested:
            yield from self.settle(each)
        if contested:
            yield from self.leave_out()
        yield from self.ask()
        kept = self.points()
        _, fit = yield from self._fit(kept)
        return Sifted(
            kept,
            tuple(sorted(self.out, key=lambda each: (each.distance, each.station, each.number))),
            tuple(sorted(self.asked, key=lambda each: each.distance)),
            self.noise,
            fit,
        )

    def points(self, at: Sequence[_At] | None = None) -> Stations:
        """What is believed."""
        chosen = self.at if at is None else at
        return Stations(
            np.array([each.place.distance for each in chosen], dtype=float),
            np.array([each.diameter for each in chosen], dtype=float),
            np.array([each.error for each in chosen], dtype=float),
        )

    def _fit(self, points: Stations) -> Steps[tuple[float, Broken]]:
        """The best line through points, and its objective."""
        # Each question about the same readings begins with the line through all of them.
        told = (points.distances.tobytes(), points.diameters.tobytes(), points.errors.tobytes())
        fit = self._fits.get(told)
        if fit is None:
            fit = yield from search(points, self.given, noise=self.noise)
            self._fits[told] = fit
        return objective(fit, len(points), self.noise), fit

    # -- readings that stand alone ------------------------------------------------------------

    def leave_out(self) -> Steps[None]:
        """Leave out readings that stand alone, the worst first."""
        while sum(each.why is Why.ALONE for each in self.out) < MOST_LEFT_OUT:
            if len(self.at) <= FEWEST_TO_CHOOSE_FROM:
                break
            worst = yield from self._worst()
            if worst is None:
                break
            i, among = worst
            gone = self.at.pop(i)
            self._leave_out(gone.place, [gone.believed], among, Why.ALONE)

    def _worst(self) -> Steps[tuple[int, float] | None]:
        """The reading that stands alone most clearly, and what the others say there."""
        points = self.points()
        score, fit = yield from self._fit(points)
        noise = self.noise.of(fit, len(points))
        far, off = outside(points)
        may_go = [i for i, each in enumerate(self.at) if not each.stays]
        suspects = [i for i in may_go if off[i] > SUSPECT * noise]
        suspects = sorted(suspects, key=lambda i: -off[i])[:SUSPECTS]
        ends = [i for i in (0, len(points) - 1) if i in may_go and self._another_size(points, i)]
        best, worst = (math.inf, math.inf), None
        for i in [*suspects, *ends]:
            yield 0.5
            without = points.at(np.arange(len(points)) != i)
            score_without, fit_without = yield from self._fit(without)
            gain = score - score_without
            charge = PLAIN_CHARGE if off[i] > PLAIN * noise else SLIP_CHARGE
            # A bad reading makes good ones beside it stand alone: it is the one without which
            # the others do not.
            left = max(ALONE, float(outside(without)[0].max()) / noise)
            slipped = i in ends or far[i] > ALONE * noise or gain > charge
            if slipped and (left, -gain) < best:
                best = (left, -gain)
                worst = i, float(fit_without.at(points.distances[i : i + 1])[0])
        return worst

    def _another_size(self, points: Stations, end: int) -> bool:
        """Whether a first or last reading is so far off that no taper explains it."""
        foretold = foretold_at_end(points, end)
        ratio = points.diameters[end] / max(foretold, 1e-12)
        return not 1.0 / OTHER_SIZE < ratio < OTHER_SIZE

    # -- readings that disagree ---------------------------------------------------------------

    def settle(self, here: _At) -> Steps[None]:
        """Of readings that differ at one place keep those that the neighbours favour."""
        i = sum(each.place.distance < here.place.distance for each in self.at)
        scores, alone = [], []
        for group in here.rivals:
            rival = replace(here, believed=group, error=self._error(len(group)))
            points = self.points([*self.at[:i], rival, *self.at[i:]])
            score, fit = yield from self._fit(points)
            scores.append(score)
            if len(points) > 1 and i in (0, len(points) - 1):
                alone.append(self._another_size(points, i))
            else:
                noise = self.noise.of(fit, len(points))
                alone.append(bool(outside(points)[0][i] > ALONE * noise))
        best = min(range(len(scores)), key=lambda k: (alone[k], scores[k]))
        others = [k for k in range(len(scores)) if k != best]
        better = min(scores[k] for k in others) - scores[best] > TOLD_APART
        if len(self.at) > 1 and (better or (not alone[best] and all(alone[k] for k in others))):
            won = here.rivals[best]
            gone = [here.rivals[k] for k in others]
            self._leave_out(here.place, gone, sum(won) / len(won), Why.UNLIKELY)
            here = replace(here, believed=won, error=self._error(len(won)))
        elif here.disputed:
            among = here.diameter
            if self.at:
                _, fit = yield from self._fit(self.points())
                among = float(fit.at(np.array([here.place.distance]))[0])
            self.asked.append(Doubt(here.place.distance, here.believed, among))
            here = replace(here, stays=True)
        self.at.insert(i, replace(here, rivals=()))

    # -- readings to be asked about -----------------------------------------------------------

    def ask(self) -> Steps[None]:
        """A reading far off where the line runs without it may be a taper or a slip: ask."""
        points = self.points()
        if len(points) <= FEWEST_TO_CHOOSE_FROM:
            return
        score, whole = yield from self._fit(points)
        noise, last = self.noise.of(whole, len(points)), len(points) - 1
        for i, here in enumerate(self.at):
            at_end = i in (0, last)
            if here.stays or not (at_end or bend(points, i) > ASKED_AT_END):
                continue
            without = points.at(np.arange(len(points)) != i)
            score_without, fit = yield from self._fit(without)
            foretold = float(fit.at(points.distances[i : i + 1])[0])
            off = abs(points.diameters[i] - foretold)
            clear = max(ASKED, ASKED_BEYOND * noise * float(points.errors[i]))
            lone = off > clear and score - score_without > ASK_CHARGE
            if lone or (at_end and off > ASKED_AT_END):
                self.asked.append(Doubt(here.place.distance, here.believed, foretold, at_end))
