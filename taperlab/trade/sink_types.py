"""The trade's names for sink rates, on the two charts that were found."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from taperlab.model.exact_units import INCH
from taperlab.trade.tables import read_table

_UNITS = {"in/s": INCH, "cm/s": 0.01}
_FLOATS_OVER = -1e-6  # slower than this is called hover, whichever way it goes [m/s]


@dataclass(frozen=True, slots=True)
class SinkType:
    """A numbered type and its band of sink rates [m/s]."""

    number: int
    slowest: float
    fastest: float


@dataclass(frozen=True, slots=True)
class SinkChart:
    """A published chart of sink types, slowest first, and where it stood."""

    name: str
    source: str
    types: tuple[SinkType, ...]

    def numbers(self, rate: float) -> tuple[int, ...]:
        """The types whose band holds a rate [m/s], edges included; none in a gap or beyond."""
        slack = 1e-9 * abs(rate)
        return tuple(
            kind.number
            for kind in self.types
            if kind.slowest - slack <= rate <= kind.fastest + slack
        )

    def words(self, rate: float) -> str:
        """The types of a rate [m/s] on this chart, or what it lies between."""
        numbers = self.numbers(rate)
        if numbers:
            return "type " + " or ".join(str(number) for number in numbers)
        below = [kind.number for kind in self.types if kind.fastest < rate]
        above = [kind.number for kind in self.types if kind.slowest > rate]
        if not below:
            return f"slower than type {above[0]}"
        if not above:
            return f"faster than type {below[-1]}"
        return f"between {below[-1]} and {above[0]}"


@lru_cache(maxsize=1)
def sink_charts() -> tuple[SinkChart, ...]:
    """The published charts of sink types."""
    return tuple(
        SinkChart(
            name=chart["name"],
            source=chart["source"],
            types=tuple(
                SinkType(number, slow * _UNITS[chart["unit"]], fast * _UNITS[chart["unit"]])
                for number, slow, fast in chart["types"]
            ),
        )
        for chart in read_table("tables", "sink_classes.toml")["chart"]
    )


def classify(rate: float) -> str:
    """Name a sink rate [m/s], positive sinking, as the trade does.

    Types that both charts give come first: "type 3 (both charts)". Where they give none in
    common both are named. Slower than any type: the nearest of hover, slow intermediate and
    intermediate. Rising: "floats".
    """
    if rate < _FLOATS_OVER:
        return "floats"
    charts = sink_charts()
    common = set(charts[0].numbers(rate)).intersection(*(each.numbers(rate) for each in charts))
    if common:
        return "type " + " or ".join(str(number) for number in sorted(common)) + " (both charts)"
    if all(rate < chart.types[0].slowest and not chart.numbers(rate) for chart in charts):
        slow = read_table("tables", "sink_classes.toml")["slow"]
        nearest = min(slow, key=lambda row: abs(row["about_in_per_s"] * INCH - rate))
        return str(nearest["name"])
    words = [chart.words(rate) for chart in charts]
    if len(set(words)) == 1:
        return f"{words[0]} (both charts)"
    return ", ".join(f"{said} on {chart.name}" for said, chart in zip(words, charts, strict=True))
