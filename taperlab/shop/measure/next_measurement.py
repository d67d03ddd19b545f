"""Which measurement would sharpen the answer, the ones that harm nothing first."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.measurement import Instruments, WeighedSection
from taperlab.physics.frustum import Array
from taperlab.shop.belief.ladder import Ladder
from taperlab.shop.belief.line import PAN_ERROR
from taperlab.shop.errors import CONFIDENT, ShareError, WeightError, diameter_error
from taperlab.shop.measure.weights import WeightFit
from taperlab.units.sentence import OnTape, Sentence, ShortLength, Value

PLACES = 25
"""Places along the line at which a diameter is tried."""

FREE_SPAN = 15.0 * INCH
"""How much line hangs free between the bench and the pan: 12 to 18 in, so that neither pulls."""

ON_PAN = (0.2, 0.3, 0.4)
"""Shares of the line that are tried on the pan, from either end."""


class Aim(StrEnum):
    """What should become sharper."""

    HEAD_WEIGHT = "head weight"
    GRAINS_PER_FOOT = "grains per foot"


class Kind(StrEnum):
    """What to measure, in the order of what it harms."""

    DIAMETER = "diameter"
    WHOLE = "whole"
    PAN = "end on the pan"
    CUT = "cut"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A measurement and what it would do.

    front, rear: where [m]; equal for a diameter. before, after: half-width (95 in 100) of the aim
    without and with it: [kg] for the head weight, a share, middle of all places, for grains per
    foot. sentence: all that in words.
    """

    aim: Aim
    kind: Kind
    front: float
    rear: float
    before: float
    after: float
    sentence: Sentence


@dataclass(frozen=True, eq=False, slots=True)
class _Candidate:
    """What could be measured: its row over the unknowns, and its error (standard deviation)."""

    kind: Kind
    front: float
    rear: float
    row: Array
    noise: float


class Prospect:
    """What each further measurement of a line would do to the errors.

    Every candidate is tried on the covariances alone: what it would leave does not depend on what
    it will read (one step of a Kalman filter; Kalman, J. Basic Eng. 82, 35, 1960). The rungs of
    the belief keep their weights. end: where the head ends [m].
    """

    def __init__(self, fit: WeightFit, instruments: Instruments, end: float) -> None:
        self.fit, self.end = fit, end
        belief = fit.belief
        places = np.linspace(0.0, fit.length, PLACES)
        self.ladder = belief.with_diameters_at(places)
        one = diameter_error(instruments, 1)
        self.candidates = [
            _Candidate(Kind.DIAMETER, place, place, self._unit(i), one)
            for i, place in enumerate(places.tolist())
        ]
        cut: list[float] = fit.positions.tolist()
        spans = {(0.0, at) for at in cut[1:-1]} | set(pairwise(cut)) - {(0.0, fit.length)}
        ways = [(Kind.WHOLE, WeighedSection(0.0, fit.length, 1.0))]
        ways += [(Kind.PAN, section) for section in self._on_pan()]
        ways += [(Kind.CUT, WeighedSection(front, rear, 1.0)) for front, rear in sorted(spans)]
        weighed = belief.weighed([section for _, section in ways])
        for (kind, section), row, noise in zip(ways, weighed.rows, weighed.noise, strict=True):
            self.candidates.append(
                _Candidate(kind, section.front, section.rear, self._wide(row), float(noise))
            )

    def _unit(self, place: int) -> Array:
        row = np.zeros(self.ladder.size)
        row[place - PLACES] = 1.0
        return row

    def _wide(self, rows: Array) -> Array:
        """Rows over the cells, the diameters left out."""
        pad = [(0, 0)] * (rows.ndim - 1) + [(0, PLACES)]
        return np.pad(rows, pad)

    def _on_pan(self) -> list[WeighedSection]:
        length = self.fit.length
        long = [round(share * length / FOOT) * FOOT for share in ON_PAN]
        long = [each for each in sorted(set(long)) if 0.0 < each < length - FREE_SPAN]
        ends = [WeighedSection(length - each, length, 1.0, FREE_SPAN) for each in long]
        return ends + [WeighedSection(0.0, each, 1.0, FREE_SPAN) for each in long]

    def _rows(self, aim: Aim) -> Array:
        """What the aim is of, as rows over the unknowns."""
        belief = self.fit.belief
        if aim is Aim.HEAD_WEIGHT:
            return self._wide(belief.weighed([WeighedSection(0.0, self.end, 1.0)]).rows)
        inside = np.flatnonzero(belief.centres < self.end)[::4]
        return self._wide(np.eye(len(belief.centres))[inside])

    def _reach(self, aim: Aim, ladder: Ladder, rows: Array) -> float:
        """Half-width of what the rows are of, the middle one of several."""
        a_sum = aim is Aim.HEAD_WEIGHT
        halves = self.fit.belief.gathered(ladder, rows) if a_sum else ladder.half_width(rows)
        return float(np.median(halves))

    def suggestions(self, aim: Aim) -> tuple[Suggestion, ...]:
        """What each candidate would do, the best of each kind first; cutting comes last."""
        rows = self._rows(aim)
        before = self._reach(aim, self.ladder, rows)
        made = []
        for each in self.candidates:
            after = self._reach(aim, self.ladder.foreseen(each.row, each.noise), rows)
            said = self._said(aim, each, before, after)
            made.append(Suggestion(aim, each.kind, each.front, each.rear, before, after, said))
        made.sort(key=lambda each: (each.kind is Kind.CUT, each.after))
        best = {each.kind: each for each in reversed(made)}
        return tuple(each for each in made if best[each.kind] is each)

    def _said(self, aim: Aim, each: _Candidate, before: float, after: float) -> Sentence:
        what = self._measurement(each)
        if aim is Aim.HEAD_WEIGHT:
            return Sentence(
                "{measurement} would bring the weight of the first {end} from {before} to {after} "
                "(95 in 100).",
                measurement=what,
                end=OnTape(self.end),
                before=WeightError(before),
                after=WeightError(after),
            )
        return Sentence(
            "{measurement} would tell the weight per length to {after} at a usual place; now it is "
            "{before} (95 in 100).",
            measurement=what,
            before=ShareError(before),
            after=ShareError(after),
        )

    def _measurement(self, each: _Candidate) -> Sentence:
        at_fly_end, at_rod_end = each.front == 0.0, each.rear == self.fit.length
        if each.kind is Kind.DIAMETER and at_fly_end:
            return Sentence("a diameter at the fly end")
        if each.kind is Kind.DIAMETER and at_rod_end:
            return Sentence("a diameter at the rod end")
        if each.kind is Kind.DIAMETER:
            return Sentence("a diameter at {place}", place=OnTape(each.front))
        if each.kind is Kind.WHOLE:
            return Sentence("the weight of the whole line")
        if each.kind is Kind.PAN:
            values: dict[str, Value] = {
                "long": OnTape(each.rear - each.front),
                "span": ShortLength(FREE_SPAN),
                "doubt": WeightError(CONFIDENT * PAN_ERROR),
            }
            if at_rod_end:
                return Sentence(
                    "the last {long} at the rod end on the pan, the rest beside it on a level "
                    "bench, {span} hanging free between ({doubt} by judgement, tried on no real "
                    "line),",
                    **values,
                )
            return Sentence(
                "the first {long} at the fly end on the pan, the rest beside it on a level bench, "
                "{span} hanging free between ({doubt} by judgement, tried on no real line),",
                **values,
            )
        if at_fly_end:
            return Sentence(
                "only if it is cut off anyway: the weight of the first {rear}",
                rear=OnTape(each.rear),
            )
        if at_rod_end:
            return Sentence(
                "only if it is cut off anyway: the weight from {front} to the rod end",
                front=OnTape(each.front),
            )
        return Sentence(
            "only if it is cut out anyway: the weight from {front} to {rear}",
            front=OnTape(each.front),
            rear=OnTape(each.rear),
        )
