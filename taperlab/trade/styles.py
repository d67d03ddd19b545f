"""What the trade says of the ratio of head to rod, by style of line. Common practice."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from taperlab.model.line import Style
from taperlab.trade.tables import read_table
from taperlab.units.sentence import Sentence, of_table

_ROUNDING = 1e-9


class RatioReading(NamedTuple):
    """A ratio of line to rod in the trade's words, who says so, and which parts were counted."""

    words: Sentence
    source: str
    counted: Sentence


def _practice(style: Style) -> dict[str, Any]:
    table = read_table("tables", "style_ratios.toml")
    found: dict[str, Any] = next(
        (entry for entry in table["style"] if entry["style"] == style.value), table["general"]
    )
    return found


def counts_tip(style: Style) -> bool:
    """Whether practice counts a tip looped ahead of the body with it."""
    return "with_tip" in _practice(style)


def body_alone(style: Style) -> RatioReading:
    """In place of a reading, where a style's practice counts a tip and the line has none."""
    entry = _practice(style)
    counted = of_table(entry["counted"])
    words = Sentence("body alone; practice counts {parts}", parts=counted)
    return RatioReading(words, entry["source"], Sentence("body alone"))


def read_ratio(style: Style, ratio: float) -> RatioReading:
    """Read the ratio of what practice counts for a style of line to the rod's length.

    The edges of a band are inside it. From resources/tables/style_ratios.toml.
    """
    entry = _practice(style)
    words = [
        reading["words"]
        for reading in entry["reading"]
        if ratio >= reading.get("from", -math.inf) * (1.0 - _ROUNDING)
        and ratio > reading.get("over", -math.inf) * (1.0 + _ROUNDING)
    ][-1]
    return RatioReading(of_table(words), entry["source"], of_table(entry["counted"]))
