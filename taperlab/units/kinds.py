"""Kinds of value: name, units, decimals, limits and help, each declared here and only here.

The limits are the one table that cells, edits, files, paste and handles read: what one of them
takes the others take too. They are wide, since a file that was written must be read again, and
narrow enough to catch a slip of the hand.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from taperlab.model.casting import STEEPEST_LAUNCH, STEEPEST_LEAN
from taperlab.model.water import COLDEST, SALTIEST, WARMEST
from taperlab.units.language import later
from taperlab.units.vocabulary import Dimension, unit_named


class System(StrEnum):
    """How values are shown, and what a bare number means."""

    US = "us"
    METRIC = "metric"


@dataclass(frozen=True, slots=True)
class Shown:
    """How a kind is shown in one system.

    unit: symbol of the unit shown, and of a bare number. decimals: digits after the point;
    zeros at the end are dropped down to ``at_least`` digits. feet_and_inches: shown as a
    tape has it instead, ``13 ft 6 3/8 in``.
    """

    unit: str
    decimals: int
    at_least: int
    feet_and_inches: bool = False


@dataclass(frozen=True, slots=True)
class Limit:
    """The last value that is allowed [SI], and what a sentence says of one beyond it."""

    value: float
    beyond: str


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of value that is typed and shown.

    label: for a heading. noun: as a sentence says it. help: one sentence for a tooltip. low,
    high: its limits. example: a plausible value [SI]. units: those named to a person who typed
    one that is not known; every unit of the same dimension is read. signed: whether values below
    zero mean something. The texts are looked up (``tr``) where they are shown.
    """

    label: str
    noun: str
    help: str
    us: Shown
    metric: Shown
    low: Limit
    high: Limit
    example: float
    units: tuple[str, ...]
    signed: bool = False

    def shown(self, system: System) -> Shown:
        """How this kind is shown in a system."""
        return self.us if system is System.US else self.metric

    @property
    def lowest(self) -> float:
        """The lowest value allowed [SI]."""
        return self.low.value

    @property
    def highest(self) -> float:
        """The highest value allowed [SI]."""
        return self.high.value

    def allows(self, value: float) -> bool:
        """Whether a value [SI] lies within the limits."""
        return self.lowest <= value <= self.highest

    @property
    def dimension(self) -> Dimension:
        """What its units measure."""
        return unit_named(self.us.unit).dimension

    @property
    def feet_and_inches(self) -> bool:
        """Whether this is a length told in feet and inches by those who use them."""
        return self.us.feet_and_inches


# The longest spool of line: 1000 yards.
_LONGEST = 914.4

LENGTH = Kind(
    label=later("Length"),
    noun=later("a length"),
    help=later("Length along the line, at rest and straight."),
    us=Shown("ft", 1, 0, feet_and_inches=True),
    metric=Shown("m", 3, 3),
    # A cut at an eighth of an inch beside a breakpoint at a millimetre leaves 0.025 mm.
    low=Limit(0.00001, later("is too short to cut")),
    high=Limit(_LONGEST, later("is longer than any spool of line")),
    example=4.1148,
    units=("ft", "in", "yd", "m", "cm", "mm"),
)

TAKEN_OFF = replace(
    LENGTH,
    label=later("What came off"),
    noun=later("a length that came off"),
    help=later("What a blade took off an end; nothing where it took nothing."),
    low=Limit(0.0, later("is less than nothing")),
    example=0.0635,
)

DISTANCE = replace(
    LENGTH,
    label=later("Distance"),
    noun=later("a distance"),
    help=later("Distance from the fly end, along the line, at rest and straight."),
    low=Limit(0.0, later("is ahead of the fly end")),
    example=3.81,
)

ROD_LENGTH = Kind(
    label=later("Rod length"),
    noun=later("a rod length"),
    help=later("Length of the rod, put together, from butt to tip."),
    us=Shown("ft", 1, 0, feet_and_inches=True),
    metric=Shown("m", 3, 3),
    low=Limit(1.0, later("is too short for a fly rod")),
    high=Limit(7.62, later("is too long for a fly rod")),
    example=4.1148,
    units=("ft", "in", "m", "cm"),
)

SHORT_LENGTH = Kind(
    label=later("Short length"),
    noun=later("a short length"),
    help=later("Length of a fold, an overlap, a sleeve or an offcut."),
    us=Shown("in", 3, 0),
    metric=Shown("mm", 1, 0),
    low=Limit(0.0, later("is too short")),
    high=Limit(3.048, later("is too long for a fold, an overlap or an offcut")),
    example=0.0635,
    units=("in", "ft", "mm", "cm", "m"),
)

DIAMETER = Kind(
    label=later("Diameter"),
    noun=later("a diameter"),
    help=later("Outside diameter of the line, read with a micrometer that does not squeeze it."),
    us=Shown("in", 4, 3),
    metric=Shown("mm", 3, 2),
    # A single fibre of a core.
    low=Limit(0.00001, later("is thinner than any line")),
    high=Limit(0.0127, later("is thicker than any fly line")),
    example=0.002159,
    units=("in", "thou", "mm"),
)

LABEL_SIZE = replace(
    SHORT_LENGTH,
    label=later("Size"),
    noun=later("a size"),
    help=later("Of a label, from one to the next, or how far from the edge of the paper."),
    high=Limit(1.0, later("is more than any sheet of labels has")),
    example=0.0508,
)

LABEL_SHIFT = replace(
    SHORT_LENGTH,
    label=later("Shift"),
    noun=later("a shift"),
    help=later("How far labels are moved right or down, for a printer that feeds askew."),
    low=Limit(-0.0254, later("is too far the other way")),
    high=Limit(0.0254, later("is too far")),
    example=0.001,
    signed=True,
)

FINE_LENGTH = Kind(
    label=later("Step"),
    noun=later("a step"),
    help=later(
        "The smallest step that a micrometer or caliper shows, or how far its readings scatter."
    ),
    us=Shown("in", 5, 4),
    metric=Shown("mm", 4, 2),
    low=Limit(0.0, later("is too fine")),
    high=Limit(0.00254, later("is too coarse to measure a line with")),
    example=0.0000127,
    units=("in", "thou", "mm", "µm"),
)

WEIGHT = Kind(
    label=later("Weight"),
    noun=later("a weight"),
    help=later("Weight as a scale gives it: 1 grain is 64.79891 mg."),
    us=Shown("gr", 1, 1),
    metric=Shown("g", 2, 2),
    low=Limit(6.479891e-6, later("is lighter than a grain scale can tell")),
    high=Limit(0.6, later("is heavier than any fly line")),
    example=0.0311034768,
    units=("gr", "g", "oz"),
)

SMALL_WEIGHT = Kind(
    label=later("Small weight"),
    noun=later("a small weight"),
    help=later("Weight of what a joint or a loop adds: sleeve, braid, adhesive."),
    us=Shown("gr", 2, 1),
    metric=Shown("g", 3, 2),
    low=Limit(0.0, later("is too light")),
    high=Limit(0.00648, later("is too heavy for a loop or a joint")),
    example=0.00012959782,
    units=("gr", "g", "mg"),
)

GUIDES = Kind(
    label=later("Friction of the guides"),
    noun=later("a weight that draws a line through the guides"),
    help=later(
        "Friction of the guides: the weight that, hung on the running line, just draws it through."
    ),
    us=Shown("gr", 0, 0),
    metric=Shown("g", 1, 0),
    low=Limit(0.0, later("is no weight")),
    high=Limit(1.0, later("is more than any guides hold")),
    example=0.015,
    units=("gr", "g", "oz"),
)

DENSITY = Kind(
    label=later("Density"),
    noun=later("a density"),
    help=later(
        "Weight of the line for its volume, core and coating together; fresh water has about 1."
    ),
    us=Shown("g/cm³", 3, 3),
    metric=Shown("g/cm³", 3, 3),
    # Of a coating, a core and both together alike: a mean lies between its parts, so that what
    # a coating and a core may be, their mean may be too. The lightest foam has 50 kg/m³; a
    # coating worked out round a core may come out above tungsten's 19,300.
    low=Limit(50.0, later("is lighter than any foam")),
    high=Limit(25000.0, later("is heavier than any metal")),
    example=870.0,
    units=("g/cm³", "g/cc", "kg/m³"),
)

DENSITY_OFF = replace(
    DENSITY,
    label=later("Density, off by"),
    noun=later("a difference of densities"),
    help=later("How far the density of one batch of material may be off, either way."),
    us=Shown("g/cm³", 4, 3),
    metric=Shown("g/cm³", 4, 3),
    low=Limit(0.0, later("is no distance")),
    high=Limit(5000.0, later("is more than most densities are")),
    example=10.0,
)

WEIGHT_PER_LENGTH = Kind(
    label=later("Weight per length"),
    noun=later("a weight per length"),
    help=later("Weight of the line for its length at one place: density × π d²/4."),
    us=Shown("gr/ft", 2, 2),
    metric=Shown("g/m", 3, 3),
    low=Limit(0.00001, later("is lighter than any line")),
    high=Limit(0.106, later("is heavier than any fly line")),
    example=0.0029763278871391075,
    units=("gr/ft", "g/m"),
)

SINK_RATE = Kind(
    label=later("Sink rate"),
    noun=later("a sink rate"),
    # The drag formula is good to some 8 %, so a second decimal would mean nothing.
    help=later(
        "Speed at which a level, straight piece settles in still water; below zero, it rises."
    ),
    us=Shown("in/s", 1, 1),
    metric=Shown("cm/s", 1, 1),
    low=Limit(-1.016, later("is a faster rise than any line’s")),
    high=Limit(1.016, later("is faster than any line sinks")),
    example=0.1778,
    units=("in/s", "ips", "cm/s"),
    signed=True,
)

TEMPERATURE = Kind(
    label=later("Temperature"),
    noun=later("a water temperature"),
    help=later("Temperature of the water."),
    us=Shown("°F", 1, 1),
    metric=Shown("°C", 1, 1),
    low=Limit(COLDEST, later("is colder than sea water gets before it freezes")),
    high=Limit(WARMEST, later("is warmer than any fishing water")),
    example=283.15,
    units=("°F", "°C", "K"),
    signed=True,
)

SALINITY = Kind(
    label=later("Salinity"),
    noun=later("a salinity"),
    help=later("Weight of salt in a weight of sea water; the open sea has about 35 g/kg."),
    us=Shown("g/kg", 1, 1),
    metric=Shown("g/kg", 1, 1),
    low=Limit(0.0, later("is too low")),
    high=Limit(SALTIEST, later("is saltier than the formulas for sea water hold for")),
    example=0.035,
    units=("g/kg", "‰", "%"),
)

SHARE = Kind(
    label=later("Share"),
    noun=later("a share"),
    help=later("Part of a whole, in percent."),
    us=Shown("%", 1, 1),
    metric=Shown("%", 1, 1),
    low=Limit(0.0, later("is too small")),
    high=Limit(1.0, later("is more than the whole")),
    example=0.425,
    units=("%",),
)

RATIO = Kind(
    label=later("Ratio"),
    noun=later("a ratio"),
    help=later("Head length divided by rod length."),
    us=Shown("", 2, 2),
    metric=Shown("", 2, 2),
    low=Limit(0.01, later("is too small")),
    high=Limit(100.0, later("is too large")),
    example=2.75,
    units=("×",),
)

COST = replace(
    RATIO,
    label=later("Cost"),
    noun=later("a cost"),
    help=later("What all that is left of it cost, in your own money."),
    low=Limit(0.0, later("is less than nothing")),
    high=Limit(1e6, later("is more than any line costs")),
    example=25.0,
)

CURRENT = Kind(
    label=later("Current"),
    noun=later("a current"),
    help=later("Speed of the water near the surface at the line: time a leaf over a stretch."),
    us=Shown("ft/s", 1, 1),
    metric=Shown("m/s", 2, 2),
    low=Limit(0.0, later("is no current")),
    high=Limit(4.572, later("is faster than anyone can wade or fish")),
    example=0.9144,
    units=("ft/s", "m/s", "in/s", "cm/s"),
)

DEPTH = Kind(
    label=later("Depth"),
    noun=later("a depth"),
    help=later("Depth below the surface of the water."),
    us=Shown("ft", 2, 1),
    metric=Shown("m", 2, 2),
    low=Limit(0.0, later("is above the water")),
    high=Limit(_LONGEST, later("is deeper than any line is long")),
    example=0.762,
    units=("ft", "in", "m", "cm"),
)

RIVER_DEPTH = replace(
    DEPTH,
    label=later("Depth of the river"),
    noun=later("a river depth"),
    help=later("Depth of the bed where the line hangs."),
    low=Limit(0.03, later("is too shallow to fish")),
    high=Limit(30.48, later("is deeper than a line is fished from a rod")),
    example=1.524,
)

DURATION = Kind(
    label=later("Time"),
    noun=later("a time"),
    help=later("Seconds of free drift, the line slack, before it comes tight."),
    us=Shown("s", 1, 0),
    metric=Shown("s", 1, 0),
    low=Limit(0.0, later("is too short")),
    high=Limit(120.0, later("is longer than any drift")),
    example=4.0,
    units=("s", "min"),
)

DRAG_AREA = Kind(
    label=later("Drag area"),
    noun=later("an area"),
    help=later("Drag coefficient of a fly times its area across the current."),
    us=Shown("cm²", 2, 1),
    metric=Shown("cm²", 2, 1),
    low=Limit(0.0, later("is too small")),
    high=Limit(0.01, later("is larger than any fly")),
    example=0.0001,
    units=("cm²", "mm²", "in²"),
)

FLY_MASS = replace(
    SMALL_WEIGHT,
    label=later("Weight of the fly"),
    noun=later("a weight of a fly"),
    help=later("Weight of the fly in air, as a scale gives it."),
    us=Shown("gr", 1, 1),
    high=Limit(0.02, later("is too heavy for a fly")),
    example=0.00051839128,
)

FLY_WEIGHT = replace(
    FLY_MASS,
    label=later("Weight of the fly in water"),
    noun=later("a weight of a fly in water"),
    help=later("What the fly weighs in water; below zero, it floats."),
    low=Limit(-0.00648, later("is more buoyant than any fly")),
    example=0.00019439673,
    signed=True,
)

LINE_SPEED = Kind(
    label=later("Line speed"),
    noun=later("a line speed"),
    help=later("Speed of the line as the loop forms, before it begins to turn over."),
    us=Shown("ft/s", 0, 0),
    metric=Shown("m/s", 1, 1),
    low=Limit(0.5, later("is too slow to form a loop")),
    high=Limit(100.0, later("is faster than any line is cast")),
    example=18.288,
    units=("ft/s", "m/s"),
)

HEIGHT = replace(
    DISTANCE,
    label=later("Height"),
    noun=later("a height"),
    help=later("Height above the water."),
    low=Limit(0.0, later("is under water")),
    high=Limit(30.48, later("is higher than anyone casts from")),
    example=3.5,
)

LOOP_HEIGHT = replace(
    HEIGHT,
    label=later("Height of the loop"),
    noun=later("a loop height"),
    help=later("From the leg of the loop that is still to the leg that moves."),
    low=Limit(0.009525, later("is no loop")),
    high=Limit(15.24, later("is taller than any loop")),
    example=1.0,
)

BESIDE = replace(
    DISTANCE,
    label=later("Distance"),
    noun=later("a distance"),
    help=later("Distance from where one stands."),
    low=Limit(0.0, later("is on the other side")),
    high=Limit(91.44, later("is farther than a line reaches")),
    example=2.0,
)

ROOM = replace(
    BESIDE,
    label=later("Room behind"),
    noun=later("a room behind"),
    help=later("From where one stands back to the first thing that a line would hit."),
    example=3.048,
)

LEAN = Kind(
    label=later("Lean of the rod"),
    noun=later("a lean"),
    help=later("How far the rod is leant back from upright as the loop behind is formed."),
    us=Shown("°", 0, 0),
    metric=Shown("°", 0, 0),
    low=Limit(0.0, later("is leant ahead")),
    high=Limit(STEEPEST_LEAN, later("is leant back too far to cast")),
    example=math.radians(30.0),
    units=("°",),
)

LAUNCH = Kind(
    label=later("Launch angle"),
    noun=later("a launch angle"),
    help=later("How far up from level the line is thrown; below zero, down."),
    us=Shown("°", 0, 0),
    metric=Shown("°", 0, 0),
    low=Limit(-STEEPEST_LAUNCH, later("is thrown down too steeply")),
    high=Limit(STEEPEST_LAUNCH, later("is thrown up too steeply")),
    example=math.radians(5.0),
    units=("°",),
    signed=True,
)
