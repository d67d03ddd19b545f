"""Cuts, weighings and loops in words, for the page, the sheet and the command line alike."""

from __future__ import annotations

from taperlab.model.cut_log import CutEnd, CutStep, NewLoop
from taperlab.shop.cut_back.belief import Belief
from taperlab.shop.cut_back.terms import Terms
from taperlab.shop.errors import CONFIDENT
from taperlab.units.sentence import OnTape, Sentence, Several, SmallWeight, Weight, listed

ENDS = {
    CutEnd.FRONT: Sentence("the fly end"),
    CutEnd.REAR: Sentence("the rod end"),
    CutEnd.BOTH: Sentence("both ends"),
}
"""What the ends of a head are called."""


def cuts(front: float, rear: float) -> tuple[Sentence, ...]:
    """What is cut off each end [m], an end that is not cut left out."""
    return tuple(
        Sentence("{length} off {end}", length=OnTape(length), end=ENDS[end])
        for length, end in ((front, CutEnd.FRONT), (rear, CutEnd.REAR))
        if length > 0.0
    )


def cut_words(front: float, rear: float) -> Several:
    """What is cut off, both ends in one."""
    return Several(cuts(front, rear) or (Sentence("no cut"),))


def give_or_take(mass: float, error: float) -> Sentence:
    """A weight [kg] and how far it may be off."""
    return Sentence("{mass} ± {error}", mass=Weight(mass), error=Weight(error))


def logged(number: int, step: CutStep, belief: Belief | None) -> tuple[Sentence, Sentence]:
    """A logged cut: what was cut, and what the scale said and is believed since.

    number: of the step, from 1. belief: after it, None where the log cannot be followed so far.
    """
    if step.front or step.rear:
        title = Sentence("Cut {number}: {cut}", number=number, cut=cut_words(step.front, step.rear))
    else:
        title = Sentence("Step {number}: weighed again", number=number)
    read = []
    if step.head is not None:
        read.append(Sentence("head {mass}", mass=Weight(step.head)))
    if step.offcut is not None:
        read.append(Sentence("offcut {mass}", mass=Weight(step.offcut)))
    if step.dropped_head is not None:
        read.append(Sentence("head {mass}, dropped", mass=Weight(step.dropped_head)))
    if step.dropped_offcut is not None:
        read.append(Sentence("offcut {mass}, dropped", mass=Weight(step.dropped_offcut)))
    detail = Sentence("{read}", read=listed(*read)) if read else Sentence("not weighed")
    if belief is not None:
        mass, error = belief.head_mass()
        taken = give_or_take(mass, CONFIDENT * error)
        detail = Sentence("{read}; taken as {taken}", read=detail, taken=taken)
    if step.note:
        detail = Sentence("{read}. {note}", read=detail, note=step.note)
    return title, detail


def loops_to_make(terms: Terms) -> tuple[Sentence, ...]:
    """How each end that is cut gets its loop; nothing for an end that gets none."""
    loops = (
        (CutEnd.FRONT, terms.cuts_front, terms.front_loop),
        (CutEnd.REAR, terms.cuts_rear, terms.rear_loop),
    )
    return tuple(
        _loop_to_make(end, loop)
        for end, is_cut, loop in loops
        if is_cut and (loop.fold or loop.mass)
    )


def _loop_to_make(end: CutEnd, loop: NewLoop) -> Sentence:
    fold = Sentence(
        "Make the loop at {end}: {fold} folded back", end=ENDS[end], fold=OnTape(loop.fold)
    )
    if not loop.mass:
        return Sentence("{fold}.", fold=fold)
    return Sentence("{fold}, {mass} added.", fold=fold, mass=SmallWeight(loop.mass))
