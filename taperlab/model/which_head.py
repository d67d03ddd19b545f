"""What a person says of rod and water before a head is chosen."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.marked import later
from taperlab.model.segment import Extras, require_not_negative


class Thrown(StrEnum):
    """What is thrown on most days."""

    SMALL = later("a small fly")
    LIGHT_TIP = later("a light tip")
    HEAVY_TIP = later("a heavy tip")


class Breadth(StrEnum):
    """How far the usual cast has to go."""

    SMALL = later("small")
    MIDDLING = later("middling")
    WIDE = later("wide")


class Stripping(StrEnum):
    """Whether line may have to be stripped in between casts."""

    RATHER_NOT = later("rather not")
    NO_MATTER = later("no matter")


class Casting(StrEnum):
    """How one casts most of the time."""

    LEARNING = later("learning")
    SUSTAINED = later("sustained")
    TOUCH_AND_GO = later("touch and go")
    LONG_LINES = later("long lines")


class Wading(StrEnum):
    """How deep one stands."""

    SHALLOW = later("shallow")
    THIGH = later("to the thigh")
    DEEP = later("deep")


@dataclass(frozen=True, slots=True)
class Answers:
    """Six of seven answers; the seventh is the rod. None: not answered, which speaks for nothing.

    room: behind, to the first thing that a line would hit [m].
    """

    thrown: Thrown | None = None
    room: float | None = None
    water: Breadth | None = None
    stripping: Stripping | None = None
    casting: Casting | None = None
    wading: Wading | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if self.room is not None:
            require_not_negative(self, "room")
