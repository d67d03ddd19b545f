"""What a head of each style is begun with. Common practice, without a printed source."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from taperlab.model.line import Style
from taperlab.model.segment import Part
from taperlab.trade.tables import read_table
from taperlab.units.sentence import Sentence, of_table


@dataclass(frozen=True, slots=True)
class StartRow:
    """One row: its part, its share of the head's length, its ends as shares of the thickest."""

    part: Part
    length: float
    front: float
    rear: float


@dataclass(frozen=True, slots=True)
class Start:
    """The rows of a style's head from the fly end, and why they are so, in sentences."""

    style: Style
    rows: tuple[StartRow, ...]
    reasons: tuple[Sentence, ...]
    source: Sentence


@lru_cache(maxsize=1)
def starts() -> dict[Style, Start]:
    """The styles that a head can be begun in. From resources/tables/starts.toml."""
    table = read_table("tables", "starts.toml")
    source = of_table(table["source"])
    return {
        Style(each["style"]): Start(
            Style(each["style"]),
            tuple(StartRow(Part(row.pop("part")), **row) for row in map(dict, each["rows"])),
            tuple(of_table(reason["text"]) for reason in each["reasons"]),
            source,
        )
        for each in table["start"]
    }
