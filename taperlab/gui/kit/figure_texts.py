"""The figures of a head in words and the person's own units."""

from __future__ import annotations

from taperlab.gui.state.settings import Settings
from taperlab.model.rod import Rod
from taperlab.shop.analyse import LineAnalysis, RodFit
from taperlab.shop.wording import (
    WholeWeight,
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


def place_text(fit: RodFit | None, settings: Settings) -> tuple[str, str]:
    """Where a head lies in the rod's window, and the role of that remark."""
    role = ROLES.get(fit.place, "soft") if fit and fit.place else "soft"
    return render(place_on_rod(fit), settings.system), role


def standard_text(analysis: LineAnalysis, rod: Rod | None, settings: Settings) -> tuple[str, str]:
    """The line's size in the published tables."""
    size, standing = size_on_rod(analysis, rod)
    return render(size, settings.system), render(standing, settings.system)
