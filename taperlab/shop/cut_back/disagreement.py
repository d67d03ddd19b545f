"""Weighings that contradict each other: a question to the person, before anything more is cut.

What comes off and what stays weigh together what the head weighed before. Where the scale says
otherwise a reading is a slip or the scale is off, and no figure that stands on it is worth a cut.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import CutBack, CutStep, Weighing
from taperlab.model.exact_units import GRAIN
from taperlab.model.measurement import Instruments
from taperlab.shop.cut_back.belief import Belief
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.weighings import (
    DOUBTFUL,
    Known,
    Reading,
    Sum,
    reading_noise,
    sum_of,
    walk,
)
from taperlab.shop.errors import CONFIDENT
from taperlab.units.sentence import OnTape, Sentence, Value, Weight

ODD = 0.3
"""A first reading further off than this share of the description is a slip of the pen."""

ZERO = 0.5 * GRAIN
"""What a scale may read with nothing on it before anyone notices: standard deviation [kg]. As each
of three readings has it, two on one side and one on the other, the sums differ by it once.
Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement(NoPlan):
    """Weighings that cannot all be right; until that is settled there is no plan.

    step: which step asks, from 0; None for the weighing before the first cut. before, head, offcut:
    what was read [kg], or follows from what was read, None where nothing was. gap: by how much
    [kg] what was read is more than what it should come to. readings: those in question, of which
    one may be changed or dropped. can_trust: whether the person may also say that it is right.
    hint: which reading to look at first, where what is known tells.
    """

    step: int | None
    gap: float
    readings: tuple[Reading, ...]
    before: float | None = None
    head: float | None = None
    offcut: float | None = None
    can_trust: bool = False
    hint: Sentence | None = None

    @property
    def together(self) -> float | None:
        """What head and offcut make [kg]."""
        if self.head is None or self.offcut is None:
            return None
        return self.head + self.offcut

    @property
    def ways(self) -> tuple[Sentence, ...]:
        """What the person may do, one of these."""
        ways = [
            Sentence("Weigh again, and change the reading that was wrong."),
            *(each.drop_words for each in self.readings),
        ]
        if self.can_trust:
            ways.append(Sentence("The reading is right: go on with it."))
        return tuple(ways)


def _allowed(earlier: Sequence[Sum], found: Sum, instruments: Instruments) -> tuple[float, float]:
    """What the next sum is expected to be off by, and how far from that it may be [kg]."""
    noise = reading_noise(instruments)
    # The scale's own zero, as the sums so far tell it.
    precision, told = 1.0 / ZERO**2, 0.0
    for each in earlier:
        weight = 1.0 / (each.roundings * noise**2)
        precision, told = precision + weight, told + weight * each.gap
    error = math.sqrt(found.roundings * noise**2 + found.error**2 + 1.0 / precision)
    return told / precision, DOUBTFUL * error


def disagreement_in(
    described: float,
    job: CutBack,
    beliefs: Sequence[Belief],
    measured: tuple[float, float] | None = None,
) -> Disagreement | None:
    """The first weighing of a log that the others contradict, or None.

    ``described``: weight of the head as described, before it was weighed [kg]. ``beliefs``: before
    the first step and after each one. ``measured``: what the head weighs by its measurement [kg],
    and the standard deviation of that, if it was measured.

    Head and offcut must make what the head weighed before, as far as three roundings, handling and
    the scale's zero allow. Where no scale has told that, head and offcut must each be what the
    description, the measurement and the log lead to expect, as must a reading that no other is
    beside, unless the person says that it is right.
    """
    asked = None
    if job.first_reading is not None and not job.sure:
        asked = _of_whole(job.first_reading, None, described, measured, job.instruments)
    if asked is not None:
        return asked
    agreed: list[Sum] = []
    for i, step, before in walk(job, measured):
        found = sum_of(i, step, before)
        is_read = before is not None and not before.is_measured
        if found is not None and before is not None and (is_read or not step.sure):
            expected, allowed = _allowed(agreed, found, job.instruments)
            if abs(found.gap - expected) > allowed:
                return _of_sum(found, step, before, beliefs[i], job.instruments)
        if found is not None and is_read:
            agreed.append(found)
        elif before is not None and is_read and not (step.front or step.rear):
            asked = _of_repeat(i, step, before, job.instruments)
        elif step.head is not None and not step.sure and not _is_cut(job.steps[: i + 1]):
            asked = _of_whole(step.head, i, described, measured, job.instruments)
        elif not step.sure:
            asked = _of_one(i, step, beliefs[i], job.instruments)
        if asked is not None:
            return asked
    return None


def _is_cut(steps: Sequence[CutStep]) -> bool:
    return any(step.front or step.rear for step in steps)


def is_unlike(reading: float, measured: tuple[float, float], instruments: Instruments) -> bool:
    """Whether a weighing [kg] cannot be of the head that was ``measured``: mass, error [kg]."""
    mass, error = measured
    noise = math.hypot(error, reading_noise(instruments), ZERO)
    return abs(reading - mass) > DOUBTFUL * noise


def _of_whole(
    reading: float,
    step: int | None,
    described: float,
    measured: tuple[float, float] | None,
    instruments: Instruments,
) -> Disagreement | None:
    """The first weighing of a head that nothing was cut off: before any step, or in that one."""
    if abs(reading / described - 1.0) > ODD:
        expected, error = described, None
        said = Sentence(
            "The head reads {reading}, but by its description it weighs {described}. Weigh it "
            "again.",
            reading=Weight(reading),
            described=Weight(described),
        )
    elif measured is not None and is_unlike(reading, measured, instruments):
        expected, error = measured
        said = Sentence(
            "The head reads {reading}, but when it was measured it weighed {measured}. Weigh it "
            "again.",
            reading=Weight(reading),
            measured=Weight(expected),
        )
    else:
        return None
    what = Weighing.FIRST if step is None else Weighing.HEAD
    likely = None if error is None else expected
    return Disagreement(
        said,
        step=step,
        gap=reading - expected,
        before=reading if step is None else None,
        head=None if step is None else reading,
        readings=(Reading(what, step, reading, expected, likely, error),),
        can_trust=True,
    )


def _of_sum(
    found: Sum, step: CutStep, before: Known, belief: Belief, instruments: Instruments
) -> Disagreement:
    head, offcut = step.head, step.offcut
    assert head is not None
    assert offcut is not None
    expected, error = _expected(belief, step, instruments)
    told = (
        Reading(Weighing.HEAD, found.step, head, before.mass - offcut, expected, error),
        Reading(Weighing.OFFCUT, found.step, offcut, head, before.mass - expected, error),
    )
    values = {"together": Weight(head + offcut), "before": Weight(before.mass)}
    if before.is_measured and found.roundings == 2:
        said = Sentence(
            "Head and offcut make {together}; when the head was measured it weighed {before}. "
            "Weigh both again.",
            **values,
        )
    else:
        said = Sentence(
            "Head and offcut make {together}; the head was {before} before. Weigh both again.",
            **values,
        )
    return Disagreement(
        said,
        step=found.step,
        gap=found.gap,
        before=before.mass,
        head=head,
        offcut=offcut,
        readings=(*told, *before.to_drop(head)),
        can_trust=before.is_measured,
        hint=_hint(*told),
    )


def _hint(head: Reading, offcut: Reading) -> Sentence | None:
    if head.fits is False and offcut.fits:
        return Sentence("The offcut is as expected, the head is not: weigh the head first.")
    if offcut.fits is False and head.fits:
        return Sentence("The head is as expected, the offcut is not: weigh the offcut first.")
    if head.fits and offcut.fits is None:
        return Sentence("The head is nearer to what is expected: weigh the offcut first.")
    if offcut.fits and head.fits is None:
        return Sentence("The offcut is nearer to what is expected: weigh the head first.")
    return None


def _of_repeat(
    i: int, step: CutStep, before: Known, instruments: Instruments
) -> Disagreement | None:
    """A head that was weighed once more, with nothing cut between."""
    if step.head is None:
        return None
    gap = step.head - before.mass
    noise = reading_noise(instruments) * math.sqrt(before.roundings + 1)
    if abs(gap) <= DOUBTFUL * noise:
        return None
    return Disagreement(
        Sentence(
            "The head reads {head}; it was {before} before, and nothing was cut between. Weigh it "
            "once more.",
            head=Weight(step.head),
            before=Weight(before.mass),
        ),
        step=i,
        gap=gap,
        before=before.mass,
        head=step.head,
        readings=(
            Reading(Weighing.HEAD, i, step.head, before.mass),
            *before.to_drop(step.head),
        ),
    )


def _of_one(i: int, step: CutStep, belief: Belief, instruments: Instruments) -> Disagreement | None:
    """Head and offcut, or one of them, each beside what the cut should have done."""
    expected, error = _expected(belief, step, instruments)
    cut = OnTape(step.front + step.rear)
    told: list[tuple[Reading, Sentence]] = []
    both = step.head is not None and step.offcut is not None
    if step.head is not None:
        values: dict[str, Value] = {
            "reading": Weight(step.head),
            "cut": cut,
            "expected": Weight(expected),
        }
        if both:
            said = Sentence(
                "The head reads {reading}; after a cut of {cut} it should be about {expected}. "
                "Weigh both again, and measure what was cut.",
                **values,
            )
        elif not _is_cut([step]):
            said = Sentence(
                "The head reads {reading}; after what was cut before it should be about "
                "{expected}. Weigh it again, and measure what was cut.",
                reading=Weight(step.head),
                expected=Weight(expected),
            )
        else:
            said = Sentence(
                "The head reads {reading}; after a cut of {cut} it should be about {expected}. "
                "Weigh it again, weigh the offcut too, and measure what was cut.",
                **values,
            )
        told.append((Reading(Weighing.HEAD, i, step.head, None, expected, error), said))
    if step.offcut is not None:
        gone, without = belief.head_weight - expected, expected
        if step.head is not None:
            gone, error = _expected_offcut(belief, step, instruments)
            without = step.head
        values = {"reading": Weight(step.offcut), "cut": cut, "expected": Weight(gone)}
        if both:
            said = Sentence(
                "The offcut reads {reading}; {cut} of this head should be about {expected}. "
                "Weigh both again, and measure what was cut.",
                **values,
            )
        else:
            said = Sentence(
                "The offcut reads {reading}; {cut} of this head should be about {expected}. "
                "Weigh it again, weigh the head too, and measure what was cut.",
                **values,
            )
        told.append((Reading(Weighing.OFFCUT, i, step.offcut, without, gone, error), said))
    # Beside a head that is in question itself, an offcut tells nothing.
    for reading, said in told:
        if reading.fits is False:
            assert reading.expected is not None
            return Disagreement(
                said,
                step=i,
                gap=reading.mass - reading.expected,
                head=step.head,
                offcut=step.offcut,
                readings=tuple(each for each, _ in told),
                can_trust=True,
            )
    return None


def _expected(belief: Belief, step: CutStep, instruments: Instruments) -> tuple[float, float]:
    """What the head should read after a cut [kg], and the standard deviation of that."""
    cut = belief.after(replace(step, head=None, offcut=None))
    mass, error = cut.head_mass()
    return mass, math.hypot(error, reading_noise(instruments))


def _expected_offcut(
    belief: Belief, step: CutStep, instruments: Instruments
) -> tuple[float, float]:
    """What the offcut should read [kg] beside the head as read, and the standard deviation."""
    cut = belief.after(replace(step, offcut=None))
    row, described = belief.offcut_of(cut)
    error = float(cut.known.half_width(row[np.newaxis])[0]) / CONFIDENT
    mass = described + float(cut.known.mean(row[np.newaxis])[0])
    return mass, math.hypot(error, reading_noise(instruments), ZERO)
