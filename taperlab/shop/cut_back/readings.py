"""Weighings of a cut-back that do not fit what is known: a slip caught before the next cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from taperlab.model.cut_log import CutBack
from taperlab.shop.cut_back.belief import Belief
from taperlab.shop.cut_back.disagreement import ODD
from taperlab.shop.cut_back.weighings import DOUBTFUL, shift_of, sums
from taperlab.shop.errors import rounding_error
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Sentence, Share, Value, Weight

ANOTHER_LINE = 0.15
"""Share by which a head differs from its description before it may be another one."""

HEAVIER = 1.05
"""No scale reads this many times what the head weighed before the cut."""


def slip_of_head(reading: float, before: float, expected: float) -> Sentence | None:
    """Why a reading of the head [kg] is not taken; ``before``: what it weighed before the cut."""
    if reading > HEAVIER * before:
        return Sentence(
            "More than before the cut, {before}: read the scale again.", before=Weight(before)
        )
    if abs(reading - expected) > ODD * expected:
        return Sentence(
            "About {expected} is expected: read the scale again, or put the length that was cut "
            "right.",
            expected=Weight(expected),
        )
    return None


def slip_of_offcut(reading: float, before: float) -> Sentence | None:
    """Why a reading of the offcut [kg] is not taken."""
    if reading < before:
        return None
    return Sentence("More than the head weighed before: read the scale again.")


def doubtful_readings(
    described: float, job: CutBack, beliefs: Sequence[Belief]
) -> tuple[Finding, ...]:
    """A finding for every weighing that does not quite fit; its ``segment`` is the step (from 0).

    What cannot be right at all is asked about before (see :mod:`.disagreement`). ``described``:
    weight of the head as described, before it was weighed [kg]. ``beliefs``: before the first step
    and after each one.
    """
    doubts: list[tuple[Sentence, int | None]] = []
    scale = job.instruments.scale
    if job.first_reading is not None:
        off = job.first_reading / described - 1.0
        if abs(off) > ANOTHER_LINE:
            doubts.append((_another_line(off), None))
    found = sums(job)
    shift = shift_of(found, job.instruments)
    usual = shift.gap if shift else 0.0
    added = {each.step: each for each in found}
    for i, step in enumerate(job.steps):
        if step.head is not None and not step.sure:
            cut = beliefs[i].after(replace(step, head=None, offcut=None))
            expected, error = cut.head_mass()
            off = step.head - expected
            if abs(off) > DOUBTFUL * math.hypot(error, rounding_error(scale)):
                tell = _unexplained if step.front or step.rear else _unlike_before
                doubts.append((tell(i + 1, off), i))
        # Each reading is rounded by half a step at most.
        if i in added and abs(added[i].gap - usual) > 0.5 * scale * added[i].roundings + 1e-9:
            doubts.append((_does_not_add_up(i + 1, added[i].gap), i))
    if shift is not None:
        doubts.append((shift.sentence, len(job.steps) - 1))
    return tuple(Finding(Level.CAUTION, sentence, i) for sentence, i in doubts)


def _another_line(off: float) -> Sentence:
    values = {"off": Share(abs(off))}
    if off > 0.0:
        return Sentence(
            "The head weighs {off} more than described: is it the right line?",
            **values,
        )
    return Sentence(
        "The head weighs {off} less than described: is it the right line?",
        **values,
    )


def _unexplained(number: int, off: float) -> Sentence:
    values: dict[str, Value] = {"number": number, "off": Weight(abs(off))}
    if off > 0.0:
        return Sentence(
            "After cut {number} the head reads {off} more than that cut can explain: weigh "
            "it again and check what was cut.",
            **values,
        )
    return Sentence(
        "After cut {number} the head reads {off} less than that cut can explain: weigh "
        "it again and check what was cut.",
        **values,
    )


def _unlike_before(number: int, off: float) -> Sentence:
    values: dict[str, Value] = {"number": number, "off": Weight(abs(off))}
    if off > 0.0:
        return Sentence(
            "In step {number} the head reads {off} more than expected, and nothing was cut: "
            "weigh it once more.",
            **values,
        )
    return Sentence(
        "In step {number} the head reads {off} less than expected, and nothing was cut: "
        "weigh it once more.",
        **values,
    )


def _does_not_add_up(number: int, more: float) -> Sentence:
    values: dict[str, Value] = {"number": number, "off": Weight(abs(more))}
    if more > 0.0:
        return Sentence(
            "After cut {number} head and offcut together are {off} more than the head "
            "before it: weigh both again.",
            **values,
        )
    return Sentence(
        "After cut {number} head and offcut together are {off} less than the head "
        "before it: weigh both again.",
        **values,
    )
