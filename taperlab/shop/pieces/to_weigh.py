"""How much of a stock is laid on the scale to know its weight per length, and what that tells."""

from __future__ import annotations

import math
from collections.abc import Sequence

from taperlab.model.build import HeadBuild
from taperlab.model.exact_units import FOOT
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.shop.errors import CONFIDENT, ShareError, rounding_error
from taperlab.shop.pieces.building import UNWEIGHED
from taperlab.units.kinds import LENGTH, System
from taperlab.units.sentence import (
    NOTHING,
    Length,
    Number,
    Quantity,
    Sentence,
    Value,
    WeightPerLength,
)
from taperlab.units.show import NO_BREAK, show, shown_unit

USUAL = {System.US: 10.0 * FOOT, System.METRIC: 3.0}
"""What of a level spool is weighed, where there is as much [m]: round in what the tape shows."""

DOUBTED = 0.1
"""From this share on a weight is doubted that differs from the label, or from what was believed."""

WORTH = 0.5
"""A weighing is worth its while where it leaves at most so much of what a label leaves open."""


def length_to_weigh(stock: Stock, system: System) -> float:
    """How much of a stock is weighed [m]: all of what is tapered or short, else a round length."""
    return stock.whole_length if _is_all(stock) else USUAL[system]


def share_told(stock: Stock, length: float, scale: float) -> float:
    """The share of its weight per length that weighing so much of it [m] leaves open, as 1 sd.

    scale: its step [kg]. The length is taken from its front.
    """
    mass = sum(section.mass(each) for each in stock.stretch(0.0, length))
    return rounding_error(scale) / mass if mass > 0.0 else math.inf


def is_worth_weighing(stock: Stock, scale: float) -> bool:
    """Whether weighing it tells much more than its label. scale: its step [kg]."""
    length = length_to_weigh(stock, System.US)
    return share_told(stock, length, scale) <= WORTH * UNWEIGHED


def how_much(stock: Stock, length: float | None = None) -> Sentence:
    """What is laid on the scale: a round length of a spool, or all of it.

    length: what a person says is weighed [m], where that is another.
    """
    if length is not None:
        return Sentence("{length} of {stock}", length=Length(length), stock=stock.name)
    if _is_all(stock):
        if stock.leftover:
            return Sentence("what is left of {stock}", stock=stock.name)
        return Sentence("all of {stock}", stock=stock.name)
    return Sentence("{length} of {stock}", length=_Usual(LENGTH, 0.0), stock=stock.name)


def what_it_tells(stock: Stock, scale: float) -> Sentence:
    """How well so much of it on a scale of such a step [kg] tells its weight per length."""
    told = share_told(stock, length_to_weigh(stock, System.US), scale)
    values: dict[str, Value] = {
        "what": how_much(stock),
        "error": ShareError(CONFIDENT * told),
        "label": Number(100.0 * CONFIDENT * UNWEIGHED),
    }
    return Sentence(
        "On the scale {what} tells its weight per length to {error}; a label tells it to "
        "about {label} %.",
        **values,
    )


def doubt_words(now: float, told: Sequence[float], keys: str) -> Sentence:
    """What to say of a weight per length that came out far from all that was told; else nothing.

    now, told: [kg/m]; what is told first is what was expected. keys: what takes it back.
    """
    if not told or any(abs(now / each - 1.0) < DOUBTED for each in told):
        return NOTHING
    return Sentence(
        "It came out at {now}, where {told} was expected: weigh it again before anything is "
        "cut from it, or take the weight back with {keys}.",
        now=WeightPerLength(now),
        told=WeightPerLength(told[0]),
        keys=keys,
    )


def far_off(log: HeadBuild) -> tuple[Sentence, ...]:
    """Each stock that weighed, since a head was begun, what it hardly can: with both figures."""
    found = {}
    for each in log.pieces:
        if abs(each.heavier - 1.0) >= DOUBTED:
            stock = each.material
            told = sum(map(section.mass, stock.sections)) / stock.whole_length
            found[stock.key] = Sentence(
                "{stock} came out at {now}, where {told} was expected: weigh it again before "
                "anything is cut, or undo that.",
                stock=stock.name,
                now=WeightPerLength(each.heavier * told),
                told=WeightPerLength(told),
            )
    return tuple(found.values())


def _is_all(stock: Stock) -> bool:
    return not stock.is_level or stock.whole_length <= max(USUAL.values())


class _Usual(Quantity):
    """The round length that is weighed in the units that are read, whatever its own value."""

    def text(self, system: System) -> str:
        """Ten feet, or three metres: a round number, which nobody marks off to the millimetre."""
        if system is System.US:
            return show(USUAL[system], self.kind, system)
        return f"{USUAL[system]:g}{NO_BREAK}{shown_unit(self.kind, system)}"
