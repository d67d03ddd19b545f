"""Scale, tape and micrometer: as they usually are, where nobody has said more, and in words."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.measurement import USUAL, Instruments
from taperlab.units.kinds import System
from taperlab.units.sentence import FineLength, Mark, Sentence, SmallWeight

METRIC_USUAL = replace(USUAL, scale=1e-5, tape=1e-3)
"""A scale that reads to a hundredth of a gram and a tape in millimetres."""


def usual_instruments(system: System) -> Instruments:
    """Scale and tape of a person who works in these units."""
    return METRIC_USUAL if system is System.METRIC else USUAL


def instrument_words(tools: Instruments) -> Sentence:
    """The step of each, and how well a diameter repeats."""
    return Sentence(
        "Scale {scale} · tape {tape} · micrometer {micrometer}, scatter {scatter}",
        scale=SmallWeight(tools.scale),
        tape=Mark(tools.tape, tools.tape),
        micrometer=FineLength(tools.micrometer),
        scatter=FineLength(tools.scatter),
    )
