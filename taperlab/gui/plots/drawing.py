"""What the plots are given to show."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.rod import Window
from taperlab.shop.analyse import LineAnalysis


@dataclass(frozen=True, eq=False, slots=True)
class Laid:
    """A line laid over the one in hand, and how it is drawn."""

    name: str
    analysis: LineAnalysis
    colour: str
    dash: tuple[float, ...] | None


@dataclass(frozen=True, eq=False, slots=True)
class Drawing:
    """What the plots show. rod_length: [m]. A window is drawn on running weight.

    start: where the fly end of the line lies on the axis [m], for what is left of a longer one.
    """

    analysis: LineAnalysis | None = None
    laid: tuple[Laid, ...] = ()
    rod_length: float | None = None
    window: Window | None = None
    start: float = 0.0
