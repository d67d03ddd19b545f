"""A head that was on the scale as it lies there: what that said of it, for as long as it is so."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from taperlab.model.line import Line, OnScale
from taperlab.physics.head import HeadSums, head_sums
from taperlab.physics.profile import Profile
from taperlab.shop.errors import WeightError
from taperlab.units.sentence import Sentence

SAME = 1e-9
"""Weights and lengths closer than this, relatively, are of one head."""


def weighed(line: Line, plus_minus: float, step: float) -> Line:
    """A line whose head weighs what a scale said; plus_minus: 95 in 100 lie so near [kg].

    step: of the scale [kg]. A line without a head stays as it is.
    """
    sums = _sums(line)
    if sums is None:
        return line
    return replace(line, weighed=OnScale(sums.mass, sums.length, plus_minus, step))


def on_scale(line: Line) -> OnScale | None:
    """What a scale said of a line's head; None where none did, or where it is another head since.

    One that weighs as much to the last digit and is as long is the one that was weighed.
    """
    said = line.weighed
    sums = _sums(line) if said is not None else None
    if said is None or sums is None:
        return None
    mass = math.isclose(sums.mass, said.mass, rel_tol=SAME)
    return said if mass and math.isclose(sums.length, said.length, rel_tol=SAME) else None


def scale_of(lines: Iterable[Line]) -> float | None:
    """The coarsest step of the scales that weighed all of these [kg]; None where one was not."""
    said = [on_scale(line) for line in lines]
    known = [each.step for each in said if each is not None]
    return max(known, default=None) if len(known) == len(said) else None


def as_weighed(said: OnScale) -> Sentence:
    """The ± of the weight of a head that was on the scale."""
    return Sentence("{off} as weighed", off=WeightError(said.plus_minus))


def _sums(line: Line) -> HeadSums | None:
    return head_sums(line, Profile.of(line)) if line.segments else None
