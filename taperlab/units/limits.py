"""Which kind of value each number of the model is, so that one table limits it everywhere.

What the program writes it must read again: edits refuse, and files do not hold, what lies outside
the limits of a number's kind.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass

from taperlab.model.aim import Cell, Goal, GoalKind, Hold
from taperlab.model.build import BuildPiece, HeadBuild, JointMade
from taperlab.model.casting import LoopBehind, Throw
from taperlab.model.cut_log import CutBack, CutStep, Limits, NewLoop, Target, TargetKind
from taperlab.model.line import Joint, Loop, OnScale
from taperlab.model.measurement import Instruments, Measurement, Station, WeighedSection
from taperlab.model.pieces import Rules
from taperlab.model.range import Member, Range
from taperlab.model.rig import Fly, Leader
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Segment
from taperlab.model.stock import Stock
from taperlab.model.swing import Swing
from taperlab.model.tolerance import Tolerance
from taperlab.model.water import Water
from taperlab.model.which_head import Answers
from taperlab.units import kinds
from taperlab.units.kinds import Kind
from taperlab.units.language import later

MOST_SEGMENTS = 2000
"""Of a line: a hundred times what the longest taper has, and what the window still answers to."""

MOST_STATIONS = 2000
"""Of a measurement: a reading at every half inch of a shooting head and more."""

MOST_HEADS = 200
"""Made of stock at once: what a plan still answers."""

MOST_BUILDS = 500
"""Heads that are built, or were, on one bench."""

MOST_STOCK = 1000
"""Pieces of stock of a bench: every spool and every offcut of a shop, and what is still planned."""

MOST_VERSIONS = 1000
"""Of a bench: before and after of every head that a shop cuts in a year, and a file still small."""

MOST_JOBS = 2000
"""Of a bench: years of a shop that keeps one bench for all, and what a list still shows."""

MOST_PHOTOGRAPHS = 100
"""Of a job."""

MOST_MEMBERS = 60
"""Of a range: every weight of every rod that a shop sells, and what a table still shows."""


@dataclass(frozen=True, slots=True)
class Limited:
    """One number of a dataclass. name: what it is called, to begin a sentence.

    besides: a value that is allowed too, though it lies outside the limits of the kind.
    """

    kind: Kind
    name: str
    besides: float | None = None

    def allows(self, value: float) -> bool:
        """Whether a value [SI] lies within the limits."""
        return self.kind.allows(value) or value == self.besides


_SECTION = {
    "length": Limited(kinds.LENGTH, later("The length")),
    "front_diameter": Limited(kinds.DIAMETER, later("The front diameter")),
    "rear_diameter": Limited(kinds.DIAMETER, later("The rear diameter")),
    "density": Limited(kinds.DENSITY, later("The density")),
}
_LOOP = {
    "fold": Limited(kinds.SHORT_LENGTH, later("The line folded back into a loop")),
    "mass": Limited(kinds.SMALL_WEIGHT, later("The weight added by a loop")),
}

LIMITS: Mapping[type, Mapping[str, Limited]] = {
    Core: {
        "diameter": Limited(kinds.DIAMETER, later("The core diameter")),
        "density": Limited(kinds.DENSITY, later("The core density")),
    },
    Segment: _SECTION,
    Stock: {
        **_SECTION,
        "labelled": Limited(kinds.WEIGHT_PER_LENGTH, later("The weight per length on the label")),
        "mass_error": Limited(kinds.SHARE, later("The error of the weight per length")),
        "cost": Limited(kinds.COST, later("The cost")),
    },
    OnScale: {
        "mass": Limited(kinds.WEIGHT, later("The weight of the head")),
        "length": Limited(kinds.DISTANCE, later("The length of the head")),
        "plus_minus": Limited(kinds.WEIGHT, later("The ± of a weight"), 0.0),
        "step": Limited(kinds.SMALL_WEIGHT, later("The scale’s step")),
    },
    Joint: {
        "overlap": Limited(kinds.SHORT_LENGTH, later("The overlap of a joint")),
        "mass": Limited(kinds.SMALL_WEIGHT, later("The weight added by a joint")),
    },
    Loop: _LOOP,
    NewLoop: _LOOP,
    Leader: {
        "length": Limited(kinds.LENGTH, later("The length of the leader")),
        "diameter": Limited(kinds.DIAMETER, later("The diameter of the leader")),
        "density": Limited(kinds.DENSITY, later("The density of the leader")),
    },
    Fly: {
        "weight": Limited(kinds.FLY_WEIGHT, later("The weight of the fly in water")),
        "mass": Limited(kinds.FLY_MASS, later("The weight of the fly in air")),
        "drag_area": Limited(kinds.DRAG_AREA, later("The drag area of the fly")),
    },
    Swing: {
        "speed": Limited(kinds.CURRENT, later("The current")),
        "bed": Limited(kinds.RIVER_DEPTH, later("The depth of the river")),
        "drift": Limited(kinds.DURATION, later("The time of free drift")),
    },
    LoopBehind: {
        "hands": Limited(kinds.HEIGHT, later("The height of the hands")),
        "ahead": Limited(kinds.BESIDE, later("The distance of the hands")),
        "wading": Limited(kinds.HEIGHT, later("The depth that one wades")),
        "overhang": Limited(kinds.BESIDE, later("The overhang")),
        "peel": Limited(kinds.BESIDE, later("The distance of the peel point ahead")),
        "aside": Limited(kinds.BESIDE, later("The distance of the peel point aside")),
        "on_water": Limited(kinds.BESIDE, later("The length on the water")),
    },
    Answers: {"room": Limited(kinds.ROOM, later("The room behind"))},
    Throw: {
        "speed": Limited(kinds.LINE_SPEED, later("The line speed")),
        "loop_height": Limited(kinds.LOOP_HEIGHT, later("The height of the loop")),
        "loop_factor": Limited(kinds.RATIO, later("What the air leaves of the loop’s height")),
        "rod_tip": Limited(kinds.HEIGHT, later("The height of the rod tip")),
        "start": Limited(kinds.BESIDE, later("The length already unrolled")),
        "guides": Limited(kinds.GUIDES, later("What draws the running line through the guides")),
        "running": Limited(
            kinds.WEIGHT_PER_LENGTH, later("The weight per length of the running line")
        ),
    },
    Tolerance: {
        "length": Limited(kinds.SHORT_LENGTH, later("The ± of a length")),
        "diameter": Limited(kinds.FINE_LENGTH, later("The ± of a diameter")),
        "offset": Limited(kinds.FINE_LENGTH, later("The ± of all diameters one way")),
        "density": Limited(kinds.DENSITY_OFF, later("The ± of a density")),
        "piece": Limited(kinds.LENGTH, later("The length of the piece that was weighed")),
    },
    Member: {
        "mass": Limited(kinds.WEIGHT, later("The weight of a member of a range")),
        "rod": Limited(kinds.ROD_LENGTH, later("The length of a rod")),
    },
    Range: {
        "rod": Limited(kinds.ROD_LENGTH, later("The length of a rod")),
        "tip": Limited(kinds.LENGTH, later("The length of the tip that counts"), 0.0),
    },
    Rod: {"length": Limited(kinds.ROD_LENGTH, later("The length of a rod"))},
    Window: {
        "lightest": Limited(kinds.WEIGHT, later("The lightest head of a grain window")),
        "heaviest": Limited(kinds.WEIGHT, later("The heaviest head of a grain window")),
    },
    Water: {
        "temperature": Limited(kinds.TEMPERATURE, later("The temperature of the water")),
        "salinity": Limited(kinds.SALINITY, later("The salinity of the water")),
    },
    Instruments: {
        "scale": Limited(kinds.SMALL_WEIGHT, later("The scale’s step")),
        "tape": Limited(kinds.SHORT_LENGTH, later("The tape’s step")),
        "micrometer": Limited(kinds.FINE_LENGTH, later("The micrometer’s step")),
        "scatter": Limited(kinds.FINE_LENGTH, later("The scatter of the diameters")),
    },
    Station: {
        "distance": Limited(kinds.DISTANCE, later("The distance from the fly end")),
        "readings": Limited(kinds.DIAMETER, later("A diameter")),
    },
    WeighedSection: {
        "front": Limited(kinds.DISTANCE, later("The distance from the fly end")),
        "rear": Limited(kinds.DISTANCE, later("The distance from the fly end")),
        "mass": Limited(kinds.WEIGHT, later("The weight")),
        "span": Limited(kinds.SHORT_LENGTH, later("The length that hung free")),
    },
    Measurement: {
        "length": Limited(kinds.LENGTH, later("The measured length")),
        "breakpoints": Limited(kinds.DISTANCE, later("The distance from the fly end")),
    },
    Limits: {
        "shortest": Limited(kinds.DISTANCE, later("The shortest head")),
        "largest_step": Limited(kinds.RATIO, later("The largest joint step"), besides=math.inf),
        "tip_linear_density": Limited(
            kinds.WEIGHT_PER_LENGTH, later("The tip’s weight per length")
        ),
    },
    Rules: {
        "tolerance": Limited(kinds.WEIGHT_PER_LENGTH, later("The tolerance")),
        "largest_step": Limited(kinds.RATIO, later("The largest joint step"), besides=math.inf),
        "shortest": Limited(kinds.LENGTH, later("The shortest piece")),
        "usable": Limited(kinds.DISTANCE, later("The shortest offcut of any use")),
        "overlap": Limited(kinds.SHORT_LENGTH, later("The overlap of a joint")),
        "fold": Limited(kinds.SHORT_LENGTH, later("The line folded back into a loop")),
        "scale": Limited(kinds.WEIGHT, later("The scale’s step")),
        "spare": Limited(kinds.SHORT_LENGTH, later("The spare to trim")),
        "tube": Limited(kinds.SMALL_WEIGHT, later("The weight of a tube")),
    },
    BuildPiece: {
        "begin": Limited(kinds.DISTANCE, later("The distance from the front of the stock")),
        "spare": Limited(kinds.SHORT_LENGTH, later("The spare to trim")),
        "heavier": Limited(kinds.RATIO, later("What was weighed of the stock")),
        "own": Limited(kinds.WEIGHT, later("The weight of a piece")),
        "trimmed": Limited(kinds.DISTANCE, later("What is trimmed off")),
        "opened": Limited(kinds.DISTANCE, later("The length of the stock")),
    },
    JointMade: {"mass": Limited(kinds.WEIGHT, later("The weight of the head"))},
    HeadBuild: {
        "rear_trimmed": Limited(kinds.DISTANCE, later("What is trimmed off")),
        "last_reading": Limited(kinds.WEIGHT, later("The weight of the head")),
    },
    CutStep: {
        "front": Limited(kinds.DISTANCE, later("What is cut off the fly end")),
        "rear": Limited(kinds.DISTANCE, later("What is cut off the rod end")),
        "head": Limited(kinds.WEIGHT, later("The weight of the head")),
        # A short trim may not move the scale at all.
        "offcut": Limited(kinds.WEIGHT, later("The weight of the offcut"), besides=0.0),
        "dropped_head": Limited(kinds.WEIGHT, later("The weight of the head")),
        "dropped_offcut": Limited(kinds.WEIGHT, later("The weight of the offcut"), besides=0.0),
    },
    CutBack: {
        "front_share": Limited(kinds.SHARE, later("The share that comes off the fly end")),
        "first_reading": Limited(kinds.WEIGHT, later("The weight of the head")),
        "dropped_first": Limited(kinds.WEIGHT, later("The weight of the head")),
        "last_reading": Limited(kinds.WEIGHT, later("The weight of the head")),
    },
}
"""Of each dataclass, the numbers in it that have limits; of a tuple, each number in it."""

_TARGETS: Mapping[TargetKind, Limited] = {
    TargetKind.WEIGHT: Limited(kinds.WEIGHT, later("The weight to cut to")),
    TargetKind.LENGTH: Limited(kinds.LENGTH, later("The length to cut to")),
    TargetKind.RATIO: Limited(kinds.RATIO, later("The ratio to cut to")),
}
"""What the value of a target is; a place in a window and a size are numbers of their own."""

GOAL_LIMITS: Mapping[GoalKind, Limited] = {
    GoalKind.WEIGHT: Limited(kinds.WEIGHT, later("The goal for the head weight")),
    GoalKind.LENGTH: Limited(kinds.LENGTH, later("The goal for the head length")),
    GoalKind.FRONT: Limited(kinds.SHARE, later("The goal for the front taper")),
    GoalKind.BALANCE: Limited(kinds.DISTANCE, later("The goal for the balance point")),
    GoalKind.RATIO: Limited(kinds.RATIO, later("The goal for the ratio")),
    GoalKind.TIP: Limited(kinds.WEIGHT_PER_LENGTH, later("The goal for the fly end")),
    GoalKind.THICKEST: Limited(
        kinds.WEIGHT_PER_LENGTH, later("The goal for the greatest weight per length")
    ),
    GoalKind.DIAMETER: Limited(kinds.DIAMETER, later("The goal for the greatest diameter")),
    GoalKind.STEP: Limited(kinds.RATIO, later("The goal for the joint step")),
    GoalKind.RUNNING: Limited(kinds.WEIGHT, later("The goal for the running weight")),
    GoalKind.SINK: Limited(kinds.SINK_RATE, later("The goal for the sink rate")),
}
"""What both ends of a goal are, by its kind."""

CELL_LIMITS: Mapping[Cell, Limited] = {
    Cell.LENGTH: Limited(kinds.LENGTH, later("The length")),
    Cell.FRONT: Limited(kinds.DIAMETER, later("The front diameter")),
    Cell.REAR: Limited(kinds.DIAMETER, later("The rear diameter")),
    Cell.DENSITY: Limited(kinds.DENSITY, later("The density")),
}
"""What a number of a segment is, and what it may be held between."""

_AT = Limited(kinds.DISTANCE, later("The distance from the fly end"))


def outside(thing: object) -> tuple[Limited, float] | None:
    """The first number outside its limits in a value of the model, or in what it is made of."""
    if isinstance(thing, tuple):
        return next((found for each in thing if (found := outside(each))), None)
    if not is_dataclass(thing):
        return None
    for name, limited in _limits_of(thing).items():
        held = getattr(thing, name)
        for value in held if isinstance(held, tuple) else (held,):
            if value is not None and not limited.allows(value):
                return limited, value
    return outside(tuple(getattr(thing, field.name) for field in fields(thing)))


def _limits_of(thing: object) -> Mapping[str, Limited]:
    if isinstance(thing, Target):
        limited = _TARGETS.get(thing.kind)
        return {"value": limited} if limited else {}
    if isinstance(thing, Goal):
        ends = {} if thing.matches else dict.fromkeys(("low", "high"), GOAL_LIMITS[thing.kind])
        return {**ends, "at": _AT}
    if isinstance(thing, Hold):
        return dict.fromkeys(("low", "high"), CELL_LIMITS[thing.cell])
    return LIMITS.get(type(thing), {})
