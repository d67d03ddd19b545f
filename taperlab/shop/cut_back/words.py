"""Cuts, weighings and loops in words, for the page, the sheet and the command line alike."""

from __future__ import annotations

from taperlab.model.cut_log import CutStep
from taperlab.shop.cut_back.belief import CONFIDENT, Belief
from taperlab.shop.cut_back.terms import Terms
from taperlab.units.language import later
from taperlab.units.sentence import OnTape, Sentence, Several, SmallWeight, Weight


def cuts(front: float, rear: float) -> tuple[Sentence, ...]:
    """What is cut off each end [m], an end that is not cut left out."""
    fly = Sentence("{length} off the fly end", length=OnTape(front))
    rod = Sentence("{length} off the rod end", length=OnTape(rear))
    return (fly,) * (front > 0.0) + (rod,) * (rear > 0.0)


def cut_words(front: float, rear: float) -> Several:
    """What is cut off, both ends in one."""
    return Several(cuts(front, rear) or (Sentence("no cut"),))


def blade_words(front: float, rear: float, length: float) -> Several:
    """Where the blade goes on a head of ``length`` [m], from its fly end."""
    at_front, at_rear = OnTape(front), OnTape(length - rear)
    return Several((at_front,) * (front > 0.0) + (at_rear,) * (rear > 0.0))


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
    readings = Several(tuple(read), later("{others}, {last}"))
    detail = Sentence("{readings}", readings=readings) if read else Sentence("not weighed")
    if belief is not None:
        mass, error = belief.head_mass()
        taken = give_or_take(mass, CONFIDENT * error)
        detail = Sentence("{read}; taken as {taken}", read=detail, taken=taken)
    if step.note:
        detail = Sentence("{read}. {note}", read=detail, note=step.note)
    return title, detail


def loops_to_make(terms: Terms) -> tuple[Sentence, ...]:
    """How each end that is cut gets its loop; nothing for an end that gets none."""
    said = []
    if terms.cuts_front and (terms.front_loop.fold or terms.front_loop.mass):
        said.append(
            Sentence(
                "Make the loop at the fly end: {fold} folded back, {mass} added.",
                fold=OnTape(terms.front_loop.fold),
                mass=SmallWeight(terms.front_loop.mass),
            )
        )
    if terms.cuts_rear and (terms.rear_loop.fold or terms.rear_loop.mass):
        said.append(
            Sentence(
                "Make the loop at the rod end: {fold} folded back, {mass} added.",
                fold=OnTape(terms.rear_loop.fold),
                mass=SmallWeight(terms.rear_loop.mass),
            )
        )
    return tuple(said)
