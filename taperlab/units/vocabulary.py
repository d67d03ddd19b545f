"""The units that people type, and the words for them. A short list: all else is refused."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from taperlab.units.language import later


class Dimension(Enum):
    """What a unit measures, as a sentence names it, and its SI unit as pint writes it."""

    LENGTH = (later("a length"), "meter")
    WEIGHT = (later("a weight"), "kilogram")
    AREA = (later("an area"), "meter**2")
    VOLUME = (later("a volume"), "meter**3")
    TIME = (later("a time"), "second")
    DENSITY = (later("a density"), "kilogram / meter**3")
    WEIGHT_PER_LENGTH = (later("a weight per length"), "kilogram / meter")
    SPEED = (later("a speed"), "meter / second")
    TEMPERATURE = (later("a temperature"), "kelvin")
    ANGLE = (later("an angle"), "radian")
    SHARE = (later("a share"), "")
    RATIO = (later("a ratio"), "dimensionless")

    def __init__(self, noun: str, si: str) -> None:
        self.noun = noun
        self.si = si


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: the symbol it is shown by, pint's expression for it, and what it measures."""

    symbol: str
    expression: str
    dimension: Dimension

    def __str__(self) -> str:
        return self.symbol


_UNITS = (
    ("in", "inch", Dimension.LENGTH, '" inch inches in in. ins'),
    ("ft", "foot", Dimension.LENGTH, "' foot feet ft ft."),
    ("yd", "yard", Dimension.LENGTH, "yard yards yd yd. yds"),
    ("mi", "mile", Dimension.LENGTH, "mile miles mi"),
    ("thou", "thou", Dimension.LENGTH, "thou thous mil mils"),
    ("µm", "micrometer", Dimension.LENGTH, "µm μm um micron microns"),
    ("mm", "millimeter", Dimension.LENGTH, "mm millimetre millimetres millimeter millimeters"),
    ("cm", "centimeter", Dimension.LENGTH, "cm centimetre centimetres centimeter centimeters"),
    ("m", "meter", Dimension.LENGTH, "m metre metres meter meters"),
    ("km", "kilometer", Dimension.LENGTH, "km kilometre kilometres kilometer kilometers"),
    ("gr", "grain", Dimension.WEIGHT, "gr gr. grs grain grains"),
    ("oz", "ounce", Dimension.WEIGHT, "oz oz. ounce ounces"),
    ("lb", "pound", Dimension.WEIGHT, "lb lb. lbs pound pounds"),
    ("mg", "milligram", Dimension.WEIGHT, "mg milligram milligrams"),
    ("g", "gram", Dimension.WEIGHT, "g gram grams gramme grammes"),
    ("kg", "kilogram", Dimension.WEIGHT, "kg kilo kilos kilogram kilograms"),
    ("mm²", "millimeter**2", Dimension.AREA, "mm2"),
    ("cm²", "centimeter**2", Dimension.AREA, "cm2"),
    ("m²", "meter**2", Dimension.AREA, "m2"),
    ("in²", "inch**2", Dimension.AREA, "in2"),
    ("cm³", "centimeter**3", Dimension.VOLUME, "cm3 cc ml"),
    ("m³", "meter**3", Dimension.VOLUME, "m3"),
    ("l", "liter", Dimension.VOLUME, "l litre liter"),
    ("in³", "inch**3", Dimension.VOLUME, "in3"),
    ("ft³", "foot**3", Dimension.VOLUME, "ft3"),
    ("s", "second", Dimension.TIME, "s sec sec. second seconds"),
    ("min", "minute", Dimension.TIME, "min minute minutes"),
    ("°C", "degree_Celsius", Dimension.TEMPERATURE, "°c °_c ℃ c degc deg_c celsius centigrade"),
    ("°F", "degree_Fahrenheit", Dimension.TEMPERATURE, "°f °_f ℉ f degf deg_f fahrenheit"),
    ("K", "kelvin", Dimension.TEMPERATURE, "k kelvin kelvins"),
    ("°", "degree", Dimension.ANGLE, "° deg degree degrees"),
    ("%", "percent", Dimension.SHARE, "% percent"),
    ("‰", "gram / kilogram", Dimension.SHARE, "‰ ppt"),
    ("", "dimensionless", Dimension.RATIO, "x × :1"),
    ("gr/ft", "grain / foot", Dimension.WEIGHT_PER_LENGTH, "gpf"),
    ("in/s", "inch / second", Dimension.SPEED, "ips"),
    ("ft/s", "foot / second", Dimension.SPEED, "fps"),
)

SYMBOLS = tuple(symbol for symbol, *_ in _UNITS if symbol)
"""Those that units are shown by; a quotient is shown as two of them."""

_QUOTIENTS = {
    (Dimension.WEIGHT, Dimension.LENGTH): Dimension.WEIGHT_PER_LENGTH,
    (Dimension.WEIGHT, Dimension.VOLUME): Dimension.DENSITY,
    (Dimension.WEIGHT, Dimension.WEIGHT): Dimension.SHARE,
    (Dimension.LENGTH, Dimension.TIME): Dimension.SPEED,
}

# An underscore stands for a space inside a word.
_BY_WORD: dict[str, Unit] = {
    word.replace("_", " "): Unit(symbol, expression, dimension)
    for symbol, expression, dimension, words in _UNITS
    for word in words.split()
}
_BY_WORD[""] = Unit("", "dimensionless", Dimension.RATIO)


@lru_cache(maxsize=256)
def find_unit(words: str) -> Unit | None:
    """The unit that these words name, or None: ``in``, ``grains per foot``, ``g/cm^3``.

    Case, ``^`` and a raised 2 or 3 make no difference.
    """
    spelled = " ".join(words.replace("^", "").replace("²", "2").replace("³", "3").split())
    if found := _BY_WORD.get(spelled.casefold()):
        return found
    above, slash, below = spelled.casefold().replace(" per ", "/").partition("/")
    top, bottom = (_BY_WORD.get(part.strip()) for part in (above, below))
    if not slash or top is None or bottom is None:
        return None
    dimension = _QUOTIENTS.get((top.dimension, bottom.dimension))
    if dimension is None:
        return None
    return Unit(f"{top}/{bottom}", f"{top.expression} / ({bottom.expression})", dimension)


def unit_named(words: str) -> Unit:
    """The unit that these words name. Raises KeyError: for words from code, not from people."""
    found = find_unit(words)
    if found is None:
        raise KeyError(words)
    return found
