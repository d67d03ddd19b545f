"""The cuts in the order of work, each measured from the end that it is made at.

The rod end comes first: its offcut is the heavier, and the fly end, whose taper is cut by the inch,
is still whole while the long cut is made. Each is measured from its own end, so neither moves the
mark of the other.
"""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.cut_log import CutEnd
from taperlab.shop.cut_back.words import ENDS
from taperlab.units.sentence import Mark, Sentence


@dataclass(frozen=True, slots=True)
class EndCut:
    """One cut of the work.

    end: the end that it is measured from and that comes off. length: what comes off [m]; mass: what
    that weighs [kg], None where it is not worked out. mark: how far from that end to mark [m], a
    whole number of the tape's steps. step: that step [m].
    """

    end: CutEnd
    length: float
    mark: float
    step: float
    mass: float | None = None

    @property
    def how_far(self) -> Mark:
        """The mark as the tape shows it."""
        return Mark(self.mark, self.step)


def in_order(
    front: float,
    rear: float,
    tape: float,
    masses: tuple[float, float] | tuple[None, None] = (None, None),
) -> tuple[EndCut, ...]:
    """Cuts of ``front`` and ``rear`` [m], the first one first; ends that are not cut left out.

    ``tape``: its step [m]. ``masses``: what comes off the fly end and the rod end [kg].
    """
    work = ((CutEnd.REAR, rear, masses[1]), (CutEnd.FRONT, front, masses[0]))
    return tuple(
        EndCut(end, length, round(length / tape) * tape, tape, mass)
        for end, length, mass in work
        if length > 0.0
    )


def work_words(cuts: tuple[EndCut, ...]) -> tuple[Sentence, ...]:
    """What to do, one sentence a cut."""
    said = []
    for number, each in enumerate(cuts):
        end, length = ENDS[each.end], each.how_far
        if len(cuts) == 1:
            said.append(
                Sentence("From {end}: measure {length}, mark, cut.", end=end, length=length)
            )
        elif number == 0:
            said.append(
                Sentence("First from {end}: measure {length}, mark, cut.", end=end, length=length)
            )
        else:
            said.append(
                Sentence("Then from {end}: measure {length}, mark, cut.", end=end, length=length)
            )
    return tuple(said)
