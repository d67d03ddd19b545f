"""The trade's names for sink rates, on the two charts that were found."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from taperlab.model.exact_units import INCH
from taperlab.trade.tables import read_table
from taperlab.units.sentence import Sentence, any_of, of_table

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

    def words(self, rate: float) -> Sentence:
        """The types of a rate [m/s] on this chart, or what it lies between."""
        numbers = self.numbers(rate)
        if numbers:
            return _types(numbers)
        below = [kind.number for kind in self.types if kind.fastest < rate]
        above = [kind.number for kind in self.types if kind.slowest > rate]
        if not below:
            return Sentence("slower than type {number}", number=above[0])
        if not above:
            return Sentence("faster than type {number}", number=below[-1])
        return Sentence("between {slower} and {faster}", slower=below[-1], faster=above[0])


def _types(numbers: Iterable[int]) -> Sentence:
    return Sentence("type {numbers}", numbers=any_of(sorted(numbers)))


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


def classify(rate: float) -> Sentence:
    """Name a sink rate [m/s], positive sinking, as the trade does.

    Types that both charts give come first: "type 3 (both charts)". Where they give none in
    common both are named. Slower than any type: the nearest of hover, slow intermediate and
    intermediate. Rising: "floats".
    """
    if rate < _FLOATS_OVER:
        return Sentence("floats")
    charts = sink_charts()
    common = set(charts[0].numbers(rate)).intersection(*(each.numbers(rate) for each in charts))
    if common:
        return Sentence("{type} (both charts)", type=_types(common))
    if all(rate < chart.types[0].slowest and not chart.numbers(rate) for chart in charts):
        slow = read_table("tables", "sink_classes.toml")["slow"]
        nearest = min(slow, key=lambda row: abs(row["about_in_per_s"] * INCH - rate))
        return of_table(nearest["name"])
    words = [chart.words(rate) for chart in charts]
    if len(set(words)) == 1:
        return Sentence("{type} (both charts)", type=words[0])
    on_charts = [
        Sentence("{type} on {chart}", type=said, chart=of_table(chart.name))
        for said, chart in zip(words, charts, strict=True)
    ]
    return Sentence("{one}, {other}", one=on_charts[0], other=on_charts[1])
