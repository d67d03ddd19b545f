"""The one pint registry, and the exact factors asked of it.

Typed text never comes here: only the unit expressions written down in ``vocabulary``. Loading
pint and its definitions takes about a third of a second, as much as all else that a start needs.
So the factors of the units that are shown are written down here, and a test asks pint for each of
them; any other unit loads pint when it is first typed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import UnitRegistry


@dataclass(frozen=True)
class Conversion:
    """SI value = number * factor + offset, all exact."""

    factor: Fraction
    offset: Fraction

    @cached_property
    def rounded(self) -> tuple[float, float]:
        """Factor and offset as floats."""
        return float(self.factor), float(self.offset)


_GRAIN = Fraction(6479891, 10**11)

_DEGREE = Fraction("3.1415926535897932384626433832795028841971693993751") / 180
"""As many figures as pint has of it."""

_SHOWN: dict[tuple[str, str], Conversion] = {
    (expression, si): Conversion(Fraction(factor), Fraction(offset))
    for expression, si, factor, offset in (
        ("meter", "meter", 1, 0),
        ("millimeter", "meter", "0.001", 0),
        ("foot", "meter", "0.3048", 0),
        ("inch", "meter", "0.0254", 0),
        ("thou", "meter", "0.0000254", 0),
        ("gram", "kilogram", "0.001", 0),
        ("grain", "kilogram", _GRAIN, 0),
        ("gram / (centimeter**3)", "kilogram / meter**3", 1000, 0),
        ("gram / (meter)", "kilogram / meter", "0.001", 0),
        ("grain / (foot)", "kilogram / meter", _GRAIN / Fraction("0.3048"), 0),
        ("centimeter / (second)", "meter / second", "0.01", 0),
        ("inch / (second)", "meter / second", "0.0254", 0),
        ("foot / (second)", "meter / second", "0.3048", 0),
        ("meter / (second)", "meter / second", 1, 0),
        ("second", "second", 1, 0),
        ("centimeter**2", "meter**2", "0.0001", 0),
        ("degree_Celsius", "kelvin", 1, "273.15"),
        ("degree_Fahrenheit", "kelvin", Fraction(5, 9), Fraction(45967, 180)),
        ("gram / (kilogram)", "", "0.001", 0),
        ("percent", "", "0.01", 0),
        ("degree", "radian", _DEGREE, 0),
        ("dimensionless", "dimensionless", 1, 0),
    )
}
"""Units shown in a table, a field or on an axis, by pint's expression for them and for SI."""


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
    return _SHOWN.get((expression, si)) or from_pint(expression, si)


def from_pint(expression: str, si: str) -> Conversion:
    """As :func:`conversion`, asked of pint whether or not it is written down."""
    quantity = registry().Quantity
    at_zero, at_one = (quantity(Fraction(n), expression).to(si).magnitude for n in (0, 1))
    return Conversion(factor=Fraction(at_one - at_zero), offset=Fraction(at_zero))
