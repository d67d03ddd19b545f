"""The figures of a head in words and the person's own units."""

from __future__ import annotations

import math

from taperlab.gui.state.settings import Settings
from taperlab.model.line import Style
from taperlab.shop.analyse import HeadFigures, LineAnalysis, RodFit
from taperlab.trade.sink_types import classify
from taperlab.trade.windows import Place
from taperlab.units.kinds import SINK_RATE, WEIGHT, System
from taperlab.units.show import show

NONE = "–"
"""Where there is no figure."""


def weight_text(mass: float, settings: Settings, *, whole: bool = False) -> str:
    """A weight in the person's unit; whole grains where a scale supports no more."""
    text = show(mass, WEIGHT, settings.system)
    if whole and text.endswith(" gr"):
        return f"{float(text.removesuffix(' gr').replace(' ', '')):.0f} gr"
    return text


def other_weight_text(mass: float, settings: Settings) -> str:
    """The same weight in the other system."""
    other = System.METRIC if settings.system is System.US else System.US
    return show(mass, WEIGHT, other)


def place_text(fit: RodFit | None, settings: Settings) -> tuple[str, str]:
    """Where a head lies in the rod's window, and the role of that remark."""
    if fit is None:
        return "choose a rod to see its window", "soft"
    if fit.window is None or fit.place is None:
        return "the rod has no window for this style", "soft"
    edge = weight_text(abs(fit.to_edge or 0.0), settings, whole=True)
    if fit.place is Place.INSIDE:
        return f"inside the window, {edge} from its edge", "good"
    if fit.place is Place.ABOVE:
        return f"{edge} too heavy for the window", "bad"
    return f"{edge} too light for the window", "warn"


def sink_text(head: HeadFigures, settings: Settings) -> tuple[str, str]:
    """The head's sink rate and the trade's name for it."""
    system = settings.system
    if head.floats:
        share = head.buoyancy_in_hand / head.mass * 100.0
        return "floats", f"buoyancy {share:.0f} % in hand"
    if math.isclose(head.buoyancy_in_hand, 0.0, abs_tol=1e-9):
        return "hovers", "as dense as the water"
    rate = show(head.sink, SINK_RATE, system)
    slowest, fastest = (show(each, SINK_RATE, system) for each in (head.slowest, head.fastest))
    if head.slowest < 0.0 < head.fastest:
        return rate, f"part of it floats: {slowest} to {fastest}"
    if slowest == fastest:
        return rate, classify(head.sink)
    return rate, f"{classify(head.sink)}; {slowest} to {fastest} along it"


def standard_text(analysis: LineAnalysis, rod: object, settings: Settings) -> tuple[str, str]:
    """The line's size in the published tables."""
    single = analysis.line.style is Style.SINGLE_HAND or not getattr(rod, "two_handed", True)
    if single:
        rating = analysis.single_hand
        if rating is None:
            head = analysis.head
            short = head is None or head.first_30_ft is None
            return "no size", "shorter than 30 ft" if short else "outside the table"
        return f"size {rating.size}", rating.words
    two = analysis.two_handed
    if two is None:
        return "no class", "heads under 30 ft have none"
    return f"{two.letter} {two.size}", (
        f"{show(two.offset, WEIGHT, settings.system, signed=True)} of its target"
    )
