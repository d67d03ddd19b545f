"""The table of causes, column by column: what the page shows, what is copied, printed, reported."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from taperlab.shop.tolerance.study import Cause, ToleranceStudy
from taperlab.shop.tolerance.words import (
    STEPS,
    OneStep,
    cost_of,
    name_of,
    off_words,
    rows_words,
)
from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.show import UNKNOWN, shown_unit, to_unit

Says = Callable[[Cause, ToleranceStudy, System], str]


@dataclass(frozen=True, slots=True)
class Column:
    """One column. name: its heading. unit: of its numbers, below that. help: for a tooltip.

    is_number: whether what it says is a number, and lies at the right.
    """

    key: str
    name: str
    unit: Callable[[System], str]
    says: Says
    help: str
    is_number: bool = True

    def heading(self, system: System) -> str:
        """Its heading with its unit in brackets, as a spreadsheet has it."""
        unit = self.unit(system)
        return f"{tr(self.name)} [{unit}]" if unit else tr(self.name)


def _none(system: System) -> str:
    return ""


def _unit_of(kind: Kind) -> Callable[[System], str]:
    def unit(system: System) -> str:
        if kind is kinds.LENGTH:
            return "in" if system is System.US else "mm"
        return shown_unit(kind, system)

    return unit


def error(value: float, kind: Kind, system: System) -> str:
    """How far a figure may be off either way, the number alone; little gets a decimal more."""
    unit, decimals = _unit_of(kind)(system), kind.shown(system).decimals
    if kind is kinds.LENGTH:
        decimals = 1 if system is System.US else 0
    number = to_unit(value, unit, kind)
    if not math.isfinite(number):
        return UNKNOWN
    if number < 10.0**-decimals:
        decimals += 1
    text = f"{number:.{decimals}f}"
    return text if float(text) else "0"


def _effect(name: str, kind: Kind) -> Says:
    return lambda cause, _, system: error(getattr(cause.effects, name), kind, system)


def _words(said: Callable[[Cause, ToleranceStudy], Sentence]) -> Says:
    return lambda cause, found, system: render(said(cause, found), system)


def _step(cause: Cause, _: ToleranceStudy, system: System) -> str:
    return OneStep(STEPS[cause.dimension.what], 1.0).text(system)


COLUMNS = (
    Column(
        "what",
        later("What may be off"),
        _none,
        _words(lambda cause, found: name_of(cause.dimension, found.head)),
        later(
            "Diameters that are one today are one dimension; densities that are equal, one batch."
        ),
        is_number=False,
    ),
    Column(
        "segment",
        later("Segment"),
        _none,
        _words(lambda cause, found: rows_words(cause.dimension, found.head)),
        later("Which segments it belongs to, from 1 at the fly end."),
        is_number=False,
    ),
    Column(
        "off",
        later("Off by ±"),
        _none,
        _words(lambda cause, _: off_words(cause)),
        later("How far it may be off either way; some 95 in 100 lie within."),
    ),
    Column(
        "weight",
        later("Weight ±"),
        _unit_of(kinds.WEIGHT),
        _effect("mass", kinds.WEIGHT),
        later("What that does to the weight of the head."),
    ),
    Column(
        "cost",
        later("Costs"),
        _unit_of(kinds.WEIGHT),
        lambda cause, _, system: cost_of(cause, unit=False).text(system),
        later("What one step of it does to the weight of the head."),
    ),
    Column("step", later("for each"), _none, _step, later("The step, as its instrument has it.")),
    Column(
        "balance",
        later("Balance ±"),
        _unit_of(kinds.LENGTH),
        _effect("balance", kinds.LENGTH),
        later("What it does to the balance point."),
    ),
    Column(
        "share",
        later("Front ±"),
        _unit_of(kinds.SHARE),
        _effect("share", kinds.SHARE),
        later("What it does to the front taper’s share of the weight."),
    ),
    Column(
        "sink",
        later("Sink ±"),
        _unit_of(kinds.SINK_RATE),
        _effect("sink", kinds.SINK_RATE),
        later("What it does to the sink rate of the head as one body."),
    ),
)


def rows_of(found: ToleranceStudy, system: System) -> list[list[str]]:
    """The table with its heading, biggest first."""
    heading = [each.heading(system) for each in COLUMNS]
    return [
        heading,
        *([each.says(cause, found, system) for each in COLUMNS] for cause in found.causes),
    ]
