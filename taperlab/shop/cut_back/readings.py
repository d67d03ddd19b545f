"""Weighings of a cut-back that do not fit what is known: a slip caught before the next cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from taperlab.model.cut_log import CutBack
from taperlab.shop.cut_back.belief import Belief
from taperlab.shop.measure.instruments import rounding_error
from taperlab.shop.words import grains
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import verbatim

DOUBTFUL = 4.0
"""Standard deviations beyond which a reading is more likely a slip than bad luck."""

ANOTHER_LINE = 0.15
"""Share by which a head differs from its description before it may be another one."""


def doubtful_readings(
    described: float, job: CutBack, beliefs: Sequence[Belief]
) -> tuple[Finding, ...]:
    """A finding for every weighing that does not fit; its ``segment`` is the step (from 0).

    ``described``: weight of the head as described, before it was weighed [kg]. ``beliefs``:
    before the first step and after each one.
    """
    findings: list[Finding] = []
    scale = job.instruments.scale
    if job.first_reading is not None:
        off = job.first_reading / described - 1.0
        if abs(off) > ANOTHER_LINE:
            findings.append(
                Finding(
                    Level.CAUTION,
                    verbatim(
                        f"The head weighs {abs(off):.0%} {'more' if off > 0.0 else 'less'} than "
                        "described: is it the right line?"
                    ),
                )
            )
    before = job.first_reading
    for i, step in enumerate(job.steps):
        cut = beliefs[i].after(replace(step, head=None, offcut=None))
        expected, error = cut.head_mass()
        if step.head is not None:
            off = step.head - expected
            if abs(off) > DOUBTFUL * math.hypot(error, rounding_error(scale)):
                findings.append(
                    Finding(
                        Level.CAUTION,
                        verbatim(
                            f"After cut {i + 1} the head reads {grains(abs(off))} "
                            f"{'more' if off > 0.0 else 'less'} than that cut can explain: weigh it "
                            "again and check what was cut."
                        ),
                        i,
                    )
                )
        if step.head is not None and step.offcut is not None and before is not None:
            missing = before - step.head - step.offcut
            # Three roundings of half a step each.
            if abs(missing) > 1.5 * scale + 1e-9:
                findings.append(
                    Finding(
                        Level.CAUTION,
                        verbatim(
                            f"After cut {i + 1} head and offcut together are {grains(abs(missing))} "
                            f"{'less' if missing > 0.0 else 'more'} than the head before it: weigh "
                            "both again."
                        ),
                        i,
                    )
                )
        before = step.head
    return tuple(findings)
