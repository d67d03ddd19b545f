"""Work in steps, as it is told: a rail of all of them, and the one that is due in full."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.cut_log import CutEnd
from taperlab.units.sentence import NOTHING, Mark, OnTape, Quantity, Sentence


class State(StrEnum):
    """Whether a step is done, in question, due, or still to come."""

    DONE = "done"
    ASKED = "asked"
    NOW = "now"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Row:
    """A step in a line or two. step: which one of the log it is, from 0; doubtful: as it is read.

    is_first: whether it is the weighing before the first cut.
    """

    state: State
    title: Sentence
    detail: Sentence = NOTHING
    doubts: tuple[Sentence, ...] = ()
    step: int | None = None
    is_first: bool = False


@dataclass(frozen=True, slots=True)
class StepWords:
    """What is said of the step that is due.

    lead: ahead of everything; end: the end that is measured from, None where none is. figure: the
    one large figure. verb: what to do with it, in few words; more: the rest that is worth knowing.
    aside: why it is so. amiss: what must not be overlooked. role: of the figure.
    """

    lead: Sentence
    end: CutEnd | None = None
    figure: Mark | OnTape | Quantity | None = None
    verb: Sentence = NOTHING
    more: tuple[Sentence, ...] = ()
    aside: Sentence = NOTHING
    amiss: tuple[Sentence, ...] = ()
    role: str = "accent"
