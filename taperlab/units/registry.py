"""The one pint registry, and the exact factors asked of it.

Typed text never comes here: only the unit expressions written down in ``vocabulary``. Loading
pint and its definitions takes about a third of a second, so both wait for the first factor.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import UnitRegistry


@dataclass(frozen=True, slots=True)
class Conversion:
    """SI value = number * factor + offset, all exact."""

    factor: Fraction
    offset: Fraction


@cache
def registry() -> UnitRegistry[Fraction]:
    """The registry, which counts in fractions: its definitions stay exact, as floats would not."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def conversion(expression: str, si: str) -> Conversion:
    """How a pint unit expression, such as ``"grain / foot"``, converts to SI, such as ``"kg/m"``.

    Raises pint's DimensionalityError where the two do not measure the same thing.
    """
    quantity = registry().Quantity
    at_zero, at_one = (quantity(Fraction(n), expression).to(si).magnitude for n in (0, 1))
    return Conversion(factor=Fraction(at_one - at_zero), offset=Fraction(at_zero))
