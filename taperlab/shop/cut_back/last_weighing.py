"""The finished head on the scale, its new loops on; and what no weighing of it can show."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from taperlab.model.exact_units import GRAIN
from taperlab.shop.cut_back.belief import Belief
from taperlab.shop.cut_back.staging import Stop, Why
from taperlab.shop.cut_back.terms import Terms
from taperlab.shop.cut_back.weighings import DOUBTFUL, reading_noise
from taperlab.shop.cut_back.words import give_or_take
from taperlab.shop.errors import CONFIDENT
from taperlab.units.sentence import Sentence, Share, SmallWeight, Weight

LOOP = 0.7 * GRAIN
"""What a loop adds more or less than planned: standard deviation [kg]. Judgement."""

SCALE_OFF = 0.003
"""Share by which a scale may read high or low and nobody notice."""

LOOP_OFF = 1.0 * GRAIN
"""What a loop may weigh more than planned [kg], as an example."""


@dataclass(frozen=True, slots=True)
class LastWeighing:
    """The weighing that ends a cut-back.

    expected: what the head should read with its new loops on [kg]; plus_minus: 95 in 100 lie so
    near [kg]. reading: what it read [kg], None before. loops: how many were made.
    sure: the person's word that it reads so.
    """

    expected: float
    plus_minus: float
    reading: float | None
    loops: int
    sure: bool = False

    @property
    def is_odd(self) -> bool:
        """Whether it was read, and is further off than loops and scale explain."""
        if self.reading is None or self.sure:
            return False
        return abs(self.reading - self.expected) > DOUBTFUL / CONFIDENT * self.plus_minus

    @property
    def taken(self) -> float | None:
        """What it read [kg], where it was read and may be right."""
        return None if self.is_odd else self.reading

    @property
    def sentence(self) -> Sentence:
        """What to do, or what came of it."""
        if self.reading is None:
            should = give_or_take(self.expected, self.plus_minus)
            if not self.loops:
                return Sentence("Weigh the finished head once more: {weight}.", weight=should)
            return Sentence(
                "Make the loops, then weigh the head once more with its loops on: {weight}.",
                weight=should,
            )
        off, reading = self.reading - self.expected, Weight(self.reading)
        by = Weight(abs(off))
        if self.is_odd:
            return Sentence(
                "With its loops on the head reads {reading}, where {expected} is expected. Weigh "
                "it again.",
                reading=reading,
                expected=Weight(self.expected),
            )
        if abs(off) <= GRAIN / 2.0:
            return Sentence(
                "With its loops on the head reads {reading}, as planned.", reading=reading
            )
        if off > 0.0:
            return Sentence(
                "With its loops on the head reads {reading}, {by} more than planned.",
                reading=reading,
                by=by,
            )
        return Sentence(
            "With its loops on the head reads {reading}, {by} less than planned.",
            reading=reading,
            by=by,
        )


def last_weighing(
    belief: Belief, terms: Terms, reading: float | None, *, sure: bool = False
) -> LastWeighing:
    """The last weighing of a head that nothing more is cut off."""
    front, rear = belief.front > 0.0, belief.rear > 0.0
    mass, error = belief.head_mass()
    loops = sum(
        cut and bool(loop.fold or loop.mass)
        for cut, loop in ((front, terms.front_loop), (rear, terms.rear_loop))
    )
    noise = math.hypot(error, reading_noise(belief.instruments), math.sqrt(loops) * LOOP)
    expected = mass + terms.added(front=front, rear=rear)
    return LastWeighing(expected, CONFIDENT * noise, reading, loops, sure)


def stop_after(stop: Stop, last: LastWeighing, target: float, tolerance: float | None) -> Stop:
    """A stop once the finished head was weighed: the scale has the last word, unless it is odd.

    ``target``: what was aimed at [kg]; ``tolerance``: how far from it is near enough [kg], None
    where a length was aimed at, of which the scale tells nothing.
    """
    if last.reading is None:
        return stop
    off = last.reading - target
    if last.is_odd:
        return Stop(Why.WEIGH_FINISHED_AGAIN, stop.off, last.sentence)
    if tolerance is None:
        said = last.sentence
        if stop.why is not Why.DONE:
            said = Sentence("{standing} {weighed}", standing=stop.sentence, weighed=said)
        return replace(stop, off=off, sentence=said)
    values = {"reading": Weight(last.reading), "by": Weight(abs(off)), "target": Weight(target)}
    if off < -tolerance:
        light = Sentence(
            "With its loops on the head reads {reading}, {by} under the target of {target}: "
            "nothing more to cut.",
            **values,
        )
        return Stop(Why.TOO_LIGHT, off, light)
    if off <= tolerance:
        return Stop(Why.DONE, off, last.sentence)
    if stop.why is not Why.DONE and last.reading - last.expected <= last.plus_minus:
        # It was known to stay over the target, and why no cut helps.
        return replace(stop, off=off, sentence=last.sentence)
    heavy = Sentence(
        "With its loops on the head reads {reading}, {by} over the target of {target}, and more "
        "than the weighings before it say: check those in the log before it is cut on.",
        **values,
    )
    return Stop(Why.TOO_HEAVY, off, heavy)


def cannot_see(target: float, terms: Terms) -> tuple[Sentence, ...]:
    """What no weighing on the bench shows, in what it does to a head of ``target`` [kg]."""
    said = [
        Sentence(
            "No weighing here shows a scale that is off as a whole: where it reads {share} high, "
            "the head comes out {by} lighter than it reads.",
            share=Share(SCALE_OFF),
            by=Weight(SCALE_OFF * target),
        )
    ]
    loops = (terms.cuts_front, terms.front_loop), (terms.cuts_rear, terms.rear_loop)
    if any(cut and (loop.fold or loop.mass) for cut, loop in loops):
        said.append(
            Sentence(
                "Nor is a loop known before it is made: one that comes out {by} heavier makes the "
                "head that much heavier. Weigh it once more with its loops on.",
                by=SmallWeight(LOOP_OFF),
            )
        )
    return tuple(said)
