"""A rod and the windows of head weight that it takes."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.line import Style
from taperlab.model.marked import later
from taperlab.model.segment import Extras, require_positive


class Measured(StrEnum):
    """What of a rig a grain window was measured on."""

    HEAD = later("head")
    HEAD_AND_TIP = later("head and tip")


@dataclass(frozen=True, slots=True)
class Window:
    """The lightest and heaviest head [kg] that a rod takes in one style, and who says so.

    measured_on: what was weighed for it: the head alone, or head and tip together.
    """

    style: Style
    lightest: float
    heaviest: float
    source: str = ""
    measured_on: Measured = Measured.HEAD
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "lightest", "heaviest")
        if self.lightest > self.heaviest:
            raise ValueError(later("the lightest head must not be heavier than the heaviest"))


@dataclass(frozen=True, slots=True)
class Rod:
    """A rod: length [m], two-handed or not, line class as written on it, windows by style."""

    key: str
    name: str
    length: float
    two_handed: bool = True
    line_class: str = ""
    windows: tuple[Window, ...] = ()
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "length")

    def window_for(self, style: Style) -> Window | None:
        """The window for a style; a rod with one window for ``other`` lends it to all styles."""
        by_style = {window.style: window for window in self.windows}
        return by_style.get(style) or by_style.get(Style.OTHER)
