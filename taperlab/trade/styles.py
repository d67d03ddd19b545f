"""What the trade says of head lengths: ratio to the rod, and belly names. Common practice."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style
from taperlab.trade.line_weights import two_handed_class
from taperlab.trade.tables import read_table
from taperlab.units.sentence import Sentence, of_table

_ROUNDING = 1e-9


class RatioReading(NamedTuple):
    """A ratio of head length to rod length in the trade's words, and who says so."""

    words: Sentence
    source: str


def read_ratio(style: Style, ratio: float) -> RatioReading:
    """Read the ratio of head length to rod length for a style of line.

    The edges of a band are inside it. From resources/tables/style_ratios.toml.
    """
    table = read_table("tables", "style_ratios.toml")
    entry: dict[str, Any] = next(
        (entry for entry in table["style"] if entry["style"] == style.value), table["general"]
    )
    words = [
        reading["words"]
        for reading in entry["reading"]
        if ratio >= reading.get("from", -math.inf) * (1.0 - _ROUNDING)
        and ratio > reading.get("over", -math.inf) * (1.0 + _ROUNDING)
    ][-1]
    return RatioReading(of_table(words), entry["source"])


def trade_belly(head_length: float) -> Style | None:
    """What the trade calls a head of this length [m]; its edges go to the shorter name.

    None where it is shorter or longer than any that the trade names.
    """
    for row in read_table("tables", "belly_lengths.toml")["belly"]:
        longest = row["to_ft"] * FOOT * (1.0 + _ROUNDING)
        if row["from_ft"] * FOOT * (1.0 - _ROUNDING) <= head_length <= longest:
            return Style(row["name"])
    return None


def belly_words(head_length: float) -> Sentence:
    """What a head of this length [m] is called in the trade and by the written standard."""
    standard, column = Sentence("no class"), two_handed_class(head_length)
    if column:
        name = of_table(column.name)
        standard = Sentence("class {letter} ({name})", letter=column.letter, name=name)
    return Sentence(
        "{trade} in the trade, {standard} by the written standard",
        trade=trade_belly(head_length) or Sentence("no belly line"),
        standard=standard,
    )
