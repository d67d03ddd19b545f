"""A range: one head, the parent, graded over weights, rods or both."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.line import Line
from taperlab.model.marked import later
from taperlab.model.segment import Extras, require_not_negative, require_positive


class LengthRule(StrEnum):
    """What the length of a member goes by."""

    SAME = later("stays the same")
    ROD = later("follows the rod")
    WEIGHT = later("follows the weight")


class ThicknessRule(StrEnum):
    """What of the parent's diameters a member keeps."""

    FRONT_END = later("same fly end")
    SHAPE = later("same shape")


@dataclass(frozen=True, slots=True)
class Member:
    """One head of a range: what it is to weigh, and the rod that it is for.

    mass: of its head, loops included [kg]. rod: length of its rod [m]; None: that of the parent.
    own: the line as it was edited by hand; from then on it no longer follows the parent.
    """

    mass: float
    rod: float | None = None
    own: Line | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "mass")
        if self.rod is not None:
            require_positive(self, "rod")


@dataclass(frozen=True, slots=True)
class Range:
    """A parent, the two switches, and the members in order.

    parent: key of its line. rod: length of the rod that the parent is for [m]; None: the one chosen
    on the bench. tip: length of the tip that practice counts with a body [m]; None: that of the
    first tip on the bench. is_rounded: whether members are rounded to what a tape and a micrometer
    show.
    """

    key: str
    name: str
    parent: str
    members: tuple[Member, ...] = ()
    length: LengthRule = LengthRule.ROD
    thickness: ThicknessRule = ThicknessRule.FRONT_END
    rod: float | None = None
    tip: float | None = None
    is_rounded: bool = False
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not self.parent:
            raise ValueError(later("a range needs a parent"))
        require_not_negative(self, "tip")
        if self.rod is not None:
            require_positive(self, "rod")
