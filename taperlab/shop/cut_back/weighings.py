"""The weighings of a log beside each other: head and offcut against what was there before."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from taperlab.model.cut_log import CutBack, CutStep, Weighing
from taperlab.model.exact_units import GRAIN
from taperlab.model.measurement import Instruments
from taperlab.shop.errors import rounding_error
from taperlab.units.sentence import Sentence, Weight

DOUBTFUL = 4.0
"""Standard deviations beyond which a reading is more likely a slip than bad luck."""

FITS = 2.0
"""Standard deviations within which a reading is as expected."""

HANDLING = 0.15 * GRAIN
"""What one weighing is off by besides the scale's step, from draught, damp and a coil that touches
the bench: standard deviation [kg]. Judgement; no scale was tried."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A weighing that is in question.

    what, step: which one it is, the step counted from 0 and None for the first weighing. mass: what
    the scale read [kg]. without: what the head then weighs now if this reading is dropped [kg],
    None where nothing else says. expected, error: what the rest of the log and the description lead
    to expect of it, and the standard deviation [kg]; None for what was there before.
    """

    what: Weighing
    step: int | None
    mass: float
    without: float | None = None
    expected: float | None = None
    error: float | None = None

    @property
    def fits(self) -> bool | None:
        """Whether it is as expected; None where it can be told neither way."""
        if self.expected is None or self.error is None:
            return None
        off = abs(self.mass - self.expected)
        if off <= FITS * self.error:
            return True
        return False if off > DOUBTFUL * self.error else None

    @property
    def drop_words(self) -> Sentence:
        """What dropping it means."""
        reading = Weight(self.mass)
        if self.without is None:
            return Sentence("Drop the reading of {reading}.", reading=reading)
        head = Weight(self.without)
        if self.what is Weighing.FIRST:
            return Sentence(
                "Drop the {reading} from before the first cut: then the head weighs {head} now.",
                reading=reading,
                head=head,
            )
        if self.what is Weighing.HEAD:
            return Sentence(
                "Drop the head’s {reading}: then the head weighs {head} now.",
                reading=reading,
                head=head,
            )
        return Sentence(
            "Drop the offcut’s {reading} from cut {number}: then the head weighs {head} now.",
            reading=reading,
            number=(self.step or 0) + 1,
            head=head,
        )


@dataclass(frozen=True, slots=True)
class Known:
    """What the head weighs as read [kg], from so many roundings.

    readings: those that say so, one of the head and every offcut that was taken from it since.
    error: standard deviation [kg] of what a measurement says, on which it then stands; zero where
    it stands on readings of the log alone.
    """

    mass: float
    roundings: int
    readings: tuple[Reading, ...] = ()
    error: float = 0.0

    @property
    def is_measured(self) -> bool:
        """Whether it stands on a measurement rather than on the log alone."""
        return self.error > 0.0

    def to_drop(self, head: float) -> tuple[Reading, ...]:
        """The readings that say so, beside a later one of the ``head`` [kg] that says otherwise."""
        return tuple(replace(each, without=head) for each in self.readings)


@dataclass(frozen=True, slots=True)
class Sum:
    """Head and offcut of a step, both weighed, beside the head before it.

    gap: their sum less that [kg]; roundings: how many readings of the log that stands on; error:
    standard deviation of what it stands on besides [kg].
    """

    step: int
    gap: float
    roundings: int
    error: float = 0.0


def sums(job: CutBack) -> tuple[Sum, ...]:
    """Every step of a log whose head and offcut were both weighed, with what was there before."""
    return tuple(found for found in (sum_of(*each) for each in walk(job)) if found is not None)


def walk(
    job: CutBack, measured: tuple[float, float] | None = None
) -> list[tuple[int, CutStep, Known | None]]:
    """Every step with what the head weighed before it, as far as scale or measurement told."""
    known = None
    if job.first_reading is not None:
        known = Known(job.first_reading, 1, (Reading(Weighing.FIRST, None, job.first_reading),))
    elif measured is not None:
        mass, error = measured
        # It was weighed when it was measured, and handled as at any weighing.
        known = Known(mass, 0, error=math.hypot(error, HANDLING))
    out: list[tuple[int, CutStep, Known | None]] = []
    for i, step in enumerate(job.steps):
        out.append((i, step, known))
        if step.head is not None:
            known = Known(step.head, 1, (Reading(Weighing.HEAD, i, step.head),))
        elif known is not None and step.offcut is not None:
            known = replace(
                known,
                mass=known.mass - step.offcut,
                roundings=known.roundings + 1,
                readings=(*known.readings, Reading(Weighing.OFFCUT, i, step.offcut)),
            )
        elif step.front or step.rear:
            known = None
    return out


def sum_of(i: int, step: CutStep, before: Known | None) -> Sum | None:
    """Head and offcut of a step beside what was there before; None where one was not weighed."""
    if before is None or step.head is None or step.offcut is None:
        return None
    gap = step.head + step.offcut - before.mass
    return Sum(i, gap, before.roundings + 2, before.error)


def reading_noise(instruments: Instruments) -> float:
    """Standard deviation of one weighing [kg]: the scale's step, and how it is handled."""
    return math.hypot(rounding_error(instruments.scale), HANDLING)


@dataclass(frozen=True, slots=True)
class Shift:
    """By how much sums of head and offcut differ from what was there before, each time.

    gap: of them all [kg], above zero where head and offcut read more. error: its standard deviation
    [kg]. count: how many sums tell.
    """

    gap: float
    error: float
    count: int

    @property
    def sentence(self) -> Sentence:
        """The shift, and what does that."""
        by = Weight(abs(self.gap))
        if self.gap > 0.0:
            return Sentence(
                "Head and offcut together read {by} more than before each time. A scale that reads "
                "{by} with nothing on it does that: set it to nought. The head is then {by} "
                "lighter than it reads.",
                by=by,
            )
        return Sentence(
            "Head and offcut together read {by} less than before each time. A scale that reads "
            "{by} below nought when it is empty does that, or crumbs that are lost at the blade: "
            "look at both.",
            by=by,
        )


def shift_of(found: Sequence[Sum], instruments: Instruments) -> Shift | None:
    """What several sums are off by alike, if chance does not explain it; None if it does."""
    if len(found) < 2:
        return None
    rounding = rounding_error(instruments.scale)
    gaps = [each.gap for each in found]
    error = rounding * math.sqrt(sum(each.roundings for each in found)) / len(found)
    mean = sum(gaps) / len(gaps)
    alike = all(gap * mean > 0.0 for gap in gaps)
    close = max(gaps) - min(gaps) <= 3.0 * instruments.scale + 1e-9
    if alike and close and abs(mean) > 3.0 * error:
        return Shift(mean, error, len(gaps))
    return None
