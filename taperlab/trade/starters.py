"""The rods and the stock that a new bench begins with: invented examples."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Style
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Part
from taperlab.model.stock import Stock
from taperlab.trade.tables import read_table

_GRAM_PER_CM3 = 1000.0
_WINDOW_SOURCE = "Alder workshop, an example to edit"


@lru_cache(maxsize=1)
def starter_rods() -> tuple[Rod, ...]:
    """Starter rods, shortest first."""
    return tuple(_rod(row) for row in read_table("starters", "rods.toml")["rod"])


@lru_cache(maxsize=1)
def starter_stock() -> tuple[Stock, ...]:
    """Starter stock: tips, running and handling line, bellies, blanks."""
    return tuple(_stock(row) for row in read_table("starters", "stock.toml")["stock"])


def starter_sink_tip() -> Stock:
    """What a sink tip is made of where nothing else is said: level, 11 grains per foot.

    Common practice; no source. It sinks: see the note in ``stock.toml``.
    """
    return next(each for each in starter_stock() if each.key == "stock-tungsten-11")


def _rod(row: dict[str, Any]) -> Rod:
    return Rod(
        key=row["key"],
        name=row["name"],
        length=row["length_ft"] * FOOT,
        two_handed=row["two_handed"],
        line_class=row["line_class"],
        windows=tuple(
            Window(
                Style(window["style"]),
                window["lightest_gr"] * GRAIN,
                window["heaviest_gr"] * GRAIN,
                _WINDOW_SOURCE,
            )
            for window in row["windows"]
        ),
        note=row.get("note", ""),
    )


def _stock(row: dict[str, Any]) -> Stock:
    core = row.get("core")
    return Stock(
        Part(row["part"]),
        row["length_ft"] * FOOT,
        row["front_diameter_in"] * INCH,
        row["rear_diameter_in"] * INCH,
        row["density_g_cm3"] * _GRAM_PER_CM3,
        Core(core["diameter_in"] * INCH, core["density_g_cm3"] * _GRAM_PER_CM3) if core else None,
        row.get("note", ""),
        key=row["key"],
        name=row["name"],
    )
