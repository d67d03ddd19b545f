"""The drawing of lines from the side, as values: what is drawn, not how.

Places run from the fly end, which is drawn at the left. Thickness is exaggerated, by one factor for
all outlines of a drawing; lengths are to one scale.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from taperlab.gui.paper.layout.said import Text


class Tone(Enum):
    """How a stretch is filled, so that a printer without colour tells them apart."""

    WHITE = "white"
    LINES = "lines"
    GREY = "grey"
    DOTS = "dots"
    BACK = "lines the other way"
    CROSSED = "crossed lines"
    STIFF = "narrow lines"
    GONE = "white, its edge dashed"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a line: its two ends and its diameters there [m]."""

    front: float
    rear: float
    front_diameter: float
    rear_diameter: float
    tone: Tone = Tone.WHITE


@dataclass(frozen=True, slots=True)
class Label:
    """Words about a place [m]."""

    at: float
    text: Text


@dataclass(frozen=True, slots=True)
class Numbered:
    """A number in a ring, for a stretch from front to rear [m]."""

    front: float
    rear: float
    text: str


@dataclass(frozen=True, slots=True)
class Blade:
    """Where a blade goes [m], and its number in the order of the work.

    next: whether it is the one to use now.
    """

    at: float
    number: str
    next: bool = False


@dataclass(frozen=True, slots=True)
class Bracket:
    """Words about a stretch [m], under a bracket as long as that."""

    front: float
    rear: float
    text: Text


@dataclass(frozen=True, slots=True)
class Outline:
    """One line from the side.

    begins: where its fly end lies in the drawing [m], all its own places being counted from its
    fly end. title: over it. stiff: stretches that a joint makes stiff; joints: where two pieces
    meet; looped: where two lines are looped together. loops: whether there is one at the fly end,
    and at the rod end. labels, under it, tell of places; brackets of stretches. blades: where it is
    cut.
    """

    stretches: tuple[Stretch, ...]
    title: Text = ""
    begins: float = 0.0
    stiff: tuple[tuple[float, float], ...] = ()
    joints: tuple[float, ...] = ()
    looped: tuple[float, ...] = ()
    loops: tuple[bool, bool] = (False, False)
    labels: tuple[Label, ...] = ()
    numbers: tuple[Numbered, ...] = ()
    blades: tuple[Blade, ...] = ()
    brackets: tuple[Bracket, ...] = ()

    @property
    def ends(self) -> float:
        """Where its rod end lies in the drawing [m]."""
        return self.begins + max((each.rear for each in self.stretches), default=0.0)

    def thickness(self, at: float) -> float:
        """How thick it is at one of its own places [m], the thicker side where it steps."""
        found = 0.0
        for each in self.stretches:
            if each.front <= at <= each.rear:
                share = (at - each.front) / max(each.rear - each.front, 1e-12)
                thick = each.front_diameter + share * (each.rear_diameter - each.front_diameter)
                found = max(found, thick)
        return found


@dataclass(frozen=True, slots=True)
class Drawing:
    """Lines from the side, one below the other, to one scale, as wide as the page.

    uprights: dashed lines through all of them [m]. dimensions: lengths below, from the first place
    to the second. under: between the tags that name the two ends.
    """

    outlines: tuple[Outline, ...]
    uprights: tuple[float, ...] = ()
    dimensions: tuple[Bracket, ...] = ()
    under: Text = ""
    tags: bool = True
