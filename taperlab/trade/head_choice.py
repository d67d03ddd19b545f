"""How long heads are, and which tip goes on which rod."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style
from taperlab.model.which_head import Wading
from taperlab.trade.line_weights import two_handed_classes
from taperlab.trade.styles import counts_tip
from taperlab.trade.tables import read_table


@dataclass(frozen=True, slots=True)
class HeadBand:
    """How long the heads of a style are: by the rod, or as the written standard has it.

    from_ratio, to_ratio: of what practice counts over the rod's length; from_ratio is 0 where the
    lengths are the standard's: shortest, longest [m]. with_tip: whether practice counts a tip.
    """

    style: Style
    from_ratio: float
    to_ratio: float
    shortest: float
    longest: float
    with_tip: bool
    source: str

    def lengths(self, rod_length: float, tip: float) -> tuple[float, float]:
        """Shortest and longest head [m] on a rod so long [m], without the tip that counts [m].

        The shortest is longer than the longest where none fits the rod.
        """
        beside = tip if self.with_tip else 0.0
        low = max(self.shortest, self.from_ratio * rod_length - beside)
        return low, min(self.longest, self.to_ratio * rod_length - beside)


class Depths(NamedTuple):
    """Where a room is called tight or open, and what is let pass beyond it [m]."""

    tight_below: float
    open_from: float
    grace: float


@lru_cache(maxsize=1)
def head_bands() -> tuple[HeadBand, ...]:
    """The styles that are chosen among, shortest heads first."""
    classes = {each.letter: each for each in two_handed_classes()}
    found = []
    for row in _table()["style"]:
        style = Style(row["style"])
        column = classes.get(row.get("class", ""))
        found.append(
            HeadBand(
                style,
                row.get("from_ratio", 0.0),
                row["to_ratio"],
                column.head_from if column else 0.0,
                column.head_to if column else math.inf,
                counts_tip(style),
                row["source"],
            )
        )
    return tuple(found)


def tip_for(rod_length: float) -> float:
    """Length of the tip [m] that practice has on a rod so long [m]; never longer than the rod."""
    for row in _table()["tip"]:
        if rod_length <= row.get("to_rod_ft", math.inf) * FOOT * (1.0 + 1e-9):
            return min(float(row["length_ft"]) * FOOT, rod_length)
    raise LookupError("no tip for rods of every length")


def rooms() -> Depths:
    """What is called a tight room, and an open one."""
    row = _table()["room"]
    return Depths(*(row[key] * FOOT for key in ("tight_below_ft", "open_from_ft", "grace_ft")))


def long_rod() -> float:
    """Length of rod [m] from which on the larger ratios are carried."""
    return float(_table()["rod"]["long_from_ft"]) * FOOT


def wading_depth(wading: Wading) -> float:
    """How deep a wader stands [m]."""
    keys = {Wading.SHALLOW: "shallow_ft", Wading.THIGH: "thigh_ft", Wading.DEEP: "deep_ft"}
    return float(_table()["wading"][keys[wading]]) * FOOT


def _table() -> dict[str, Any]:
    return read_table("tables", "head_choice.toml")
