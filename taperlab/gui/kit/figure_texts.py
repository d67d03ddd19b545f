"""The figures of a head in words and the person's own units."""

from __future__ import annotations

from taperlab.gui.state.settings import Settings
from taperlab.model.rod import Rod
from taperlab.shop.analyse import HeadFigures, LineAnalysis, RodFit
from taperlab.shop.wording import (
    OtherWeight,
    WholeWeight,
    head_sink,
    head_sink_class,
    place_on_rod,
    size_on_rod,
)
from taperlab.trade.windows import Place
from taperlab.units.sentence import Weight, render

NONE = "–"
"""Where there is no figure."""

ROLES = {Place.INSIDE: "good", Place.ABOVE: "bad", Place.BELOW: "warn"}


def weight_text(mass: float, settings: Settings, *, whole: bool = False) -> str:
    """A weight in the person's unit; whole grains where a scale supports no more."""
    return (WholeWeight(mass) if whole else Weight(mass)).text(settings.system)


def other_weight_text(mass: float, settings: Settings) -> str:
    """The same weight in the other system."""
    return OtherWeight(mass).text(settings.system)


def place_text(fit: RodFit | None, settings: Settings) -> tuple[str, str]:
    """Where a head lies in the rod's window, and the role of that remark."""
    role = ROLES.get(fit.place, "soft") if fit and fit.place else "soft"
    return render(place_on_rod(fit), settings.system), role


def sink_text(head: HeadFigures, settings: Settings) -> tuple[str, str]:
    """The head's sink rate and the trade's name for it."""
    system = settings.system
    return render(head_sink(head), system), render(head_sink_class(head), system)


def standard_text(analysis: LineAnalysis, rod: Rod | None, settings: Settings) -> tuple[str, str]:
    """The line's size in the published tables."""
    size, standing = size_on_rod(analysis, rod)
    return render(size, settings.system), render(standing, settings.system)
