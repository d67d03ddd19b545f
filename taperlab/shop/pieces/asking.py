"""What is asked of pieces: which heads, of which stock, and what they must keep to."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line
from taperlab.model.measurement import USUAL
from taperlab.model.stock import Stock
from taperlab.shop.pieces.bars import Worth


@dataclass(frozen=True, slots=True)
class Rules:
    """What pieces must keep to.

    tolerance: how far the mass per length of stock may be off the design's anywhere [kg/m].
    largest_step: mass per length at a joint, heavier over lighter. shortest: piece [m]. usable: a
    shorter offcut is worth nothing [m]. overlap: of lapped welds where the design says only that
    two segments are one [m]; nought for none. fold: line folded back into each end loop [m]; None
    as the design says. keeps_weight: pieces are cut to the weight of the design and not to its
    length. scale: its step [kg].
    """

    tolerance: float = 1.5 * GRAIN / FOOT
    largest_step: float = math.inf
    shortest: float = 6.0 * INCH
    usable: float = 3.0 * FOOT
    overlap: float = 0.0
    fold: float | None = None
    keeps_weight: bool = True
    scale: float = USUAL.scale

    @property
    def worth(self) -> Worth:
        """What cutting costs."""
        return Worth(usable=self.usable)


@dataclass(frozen=True, slots=True)
class Question:
    """Heads, each with how many of it are made, and the stock that they are cut from."""

    heads: tuple[tuple[Line, int], ...]
    stock: tuple[Stock, ...]
    rules: Rules = field(default_factory=Rules)
