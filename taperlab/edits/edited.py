"""What an edit gives back, and how it says no."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.bench import Bench
from taperlab.units.sentence import NOTHING, Sentence, Told


class Refused(Told, ValueError):  # noqa: N818 - an answer, not a fault
    """An edit that can't be done. ``sentence`` says why; nothing was changed."""


class Solve(StrEnum):
    """Which number a typed weight, or weight per length, moves."""

    DENSITY = "density"
    DIAMETER = "diameter"


@dataclass(frozen=True, slots=True)
class Moved:
    """A number, other than the one typed, that an edit moved.

    quantity: "length", "front diameter", "rear diameter" or "density" (the mean over the segment,
    core included). segment: its row, from 0. before, after: [m] or [kg/m^3].
    """

    quantity: str
    segment: int
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Edited:
    """The bench after an edit; the very same object if the edit changes nothing.

    text: what the undo menu calls the edit. line: key of the line concerned. segments: rows to
    select afterwards. held: what stays as it was typed where other numbers moved for it.
    """

    bench: Bench
    text: Sentence
    moved: tuple[Moved, ...] = ()
    line: str | None = None
    segments: tuple[int, ...] = ()
    held: Sentence = NOTHING
