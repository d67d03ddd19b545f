"""What is said of tolerances: what a thousandth costs, which matter, and the two ways out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

from taperlab.model.line import Line
from taperlab.shop.analyse import DRAG_OFF
from taperlab.shop.errors import ErrorOf, ShareError, WeightError
from taperlab.shop.tolerance.builds import Builds, LeftOn
from taperlab.shop.tolerance.dimensions import SAME, Dimension, What
from taperlab.shop.tolerance.study import Cause, ToleranceStudy
from taperlab.shop.wording import sinks_or_rises
from taperlab.trade.windows import Place, place
from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.sentence import (
    NOTHING,
    OnTape,
    Quantity,
    Sentence,
    Share,
    ShortLength,
    Weight,
    counted,
)
from taperlab.units.show import NO_BREAK, show, show_error, to_unit
from taperlab.units.steps import step_of

HARDLY = 0.1
"""What makes less than this share of a ± hardly matters: a hundredth of its square."""

NEARLY = 0.9995
"""From this share on a hundred of a hundred are said."""

LengthError = partial(ErrorOf, kinds.LENGTH)
SinkError = partial(ErrorOf, kinds.SINK_RATE)

STEPS: dict[What, Kind] = {
    What.LENGTH: kinds.LENGTH,
    What.DIAMETER: kinds.DIAMETER,
    What.OFFSET: kinds.DIAMETER,
    What.DENSITY: kinds.DENSITY,
}
"""What each kind of dimension is told in steps of: a nudge, as elsewhere."""


@dataclass(frozen=True, slots=True)
class OneStep(Quantity):
    """A step of a kind of dimension: ``0.001 in``, ``1/8 in``. value: so many of them."""

    def text(self, system: System) -> str:
        """The step, as a tape or a micrometer has it."""
        kind = kinds.SHORT_LENGTH if self.kind is kinds.LENGTH else self.kind
        return show(self.value * step_of(self.kind, system), kind, system)


@dataclass(frozen=True, slots=True)
class CostOfStep(Quantity):
    """What a step does to a weight. value: [kg] for each SI unit of ``per``."""

    per: Kind = kinds.DIAMETER

    def text(self, system: System) -> str:
        """What one step does, to a decimal more where it is little."""
        cost = abs(self.value) * step_of(self.per, system)
        how = self.kind.shown(system)
        number = to_unit(cost, how.unit, self.kind)
        decimals = how.decimals + (number < 10.0 ** (1 - how.decimals))
        text = f"{number:.{decimals}f}"
        return f"{text} {how.unit}" if self.unit else text


class Off(Quantity):
    """The half-width of what a value [SI] lies within, without the sign for it: ``0.0010 in``."""

    def text(self, system: System) -> str:
        """It, never rounded down to nothing."""
        return show_error(self.value, self.kind, system).removeprefix(f"±{NO_BREAK}")


def cost_of(cause: Cause, *, unit: bool = True) -> CostOfStep:
    """What a step of one dimension costs in weight."""
    per = STEPS[cause.dimension.what]
    return CostOfStep(kinds.WEIGHT, cause.slopes.mass, per=per, unit=unit)


# -- names -------------------------------------------------------------------------------------


def name_of(dimension: Dimension, head: Line) -> Sentence:
    """What a dimension is called, without its segments' numbers."""
    part = head.segments[dimension.rows[0]].part
    if dimension.what is What.OFFSET:
        return Sentence("All diameters one way")
    if dimension.what is What.DENSITY:
        return Sentence("Density")
    if dimension.what is What.LENGTH:
        return Sentence("Length, {part}", part=part)
    place = place_of(dimension, head)
    if dimension.level:
        return Sentence("Diameter, {part}", part=place)
    if 0.0 < position_of(dimension, head) < head.length:
        return Sentence("Diameter at {distance}", distance=place)
    return Sentence("Diameter, {end}", end=place)


def place_of(dimension: Dimension, head: Line) -> Sentence:
    """Where a diameter is: on a level segment, at an end of the head, or at a distance."""
    segments = head.segments
    if dimension.level:
        row = max(dimension.level, key=lambda i: segments[i].length)
        return Sentence("{part}", part=segments[row].part)
    place = position_of(dimension, head)
    if place == 0.0:
        return Sentence("fly end")
    if place >= head.length:
        return Sentence("rod end")
    return Sentence("{distance}", distance=OnTape(place))


def on_or_at(dimension: Dimension, head: Line) -> Sentence:
    """The same within a sentence: ``on the belly``, ``at the fly end``, ``at 18 ft``."""
    place = place_of(dimension, head)
    if dimension.level:
        return Sentence("on the {part}", part=place)
    if 0.0 < position_of(dimension, head) < head.length:
        return Sentence("at {distance}", distance=place)
    return Sentence("at the {end}", end=place)


def position_of(dimension: Dimension, head: Line) -> float:
    """How far a diameter that is at one place lies from the fly end [m]."""
    first, last = dimension.rows[0], dimension.rows[-1]
    if first != last:
        return head.starts[last]
    front = head.segments[first].front_diameter
    is_front = math.isclose(front, dimension.value, rel_tol=SAME)
    return head.starts[first if is_front else first + 1]


def rows_words(dimension: Dimension, head: Line) -> Sentence:
    """The numbers of a dimension's segments, from 1: ``3``, ``2–4``."""
    first, last = dimension.rows[0] + 1, dimension.rows[-1] + 1
    if len(dimension.rows) == len(head.segments) and first != last:
        return Sentence("all")
    if first == last:
        return Sentence("{row}", row=first)
    if last - first + 1 == len(dimension.rows):
        return Sentence("{first}–{last}", first=first, last=last)
    return Sentence("{text}", text=", ".join(str(row + 1) for row in dimension.rows))


def off_words(cause: Cause) -> Sentence:
    """How far a dimension may be off, as its instrument is read."""
    kind = {
        What.LENGTH: kinds.SHORT_LENGTH,
        What.DENSITY: kinds.DENSITY_OFF,
    }.get(cause.dimension.what, kinds.DIAMETER)
    return Sentence("{off}", off=Off(kind, cause.off))


# -- the one sentence --------------------------------------------------------------------------


def weight_by_kind(found: ToleranceStudy) -> dict[What, float]:
    """The ± of the weight [kg] that each kind of dimension makes by itself."""
    return {what: math.hypot(*(each.effects.mass for each in found.of(what))) for what in What}


def summary(found: ToleranceStudy) -> Sentence:
    """What a thousandth costs, what to measure first, and whether the tape matters."""
    by = weight_by_kind(found)
    whole = found.spread.one.mass
    diameters = math.hypot(by[What.DIAMETER], by[What.OFFSET])
    if whole == 0.0:
        return Sentence("{costs}; nothing is said to be off.", costs=_costs(found))
    if diameters >= max(by[What.DENSITY], by[What.LENGTH]):
        first = Sentence("measure those first")
    elif by[What.DENSITY] >= by[What.LENGTH]:
        first = Sentence(
            "but the density does more, {off}: know that first", off=WeightError(by[What.DENSITY])
        )
    else:
        first = Sentence("but the tape does more: measure lengths first")
    tape = by[What.LENGTH]
    said = Sentence("{costs}: {first}", costs=_costs(found), first=first)
    if by[What.LENGTH] > max(diameters, by[What.DENSITY]):
        return Sentence("{said}.", said=said)
    if tape < HARDLY * whole:
        return Sentence("{said}; the tape hardly matters.", said=said)
    return Sentence("{said}; the tape adds {off}.", said=said, off=WeightError(tape))


def _costs(found: ToleranceStudy) -> Sentence:
    diameters = found.of(What.DIAMETER)
    worst = max(diameters, key=lambda each: abs(each.slopes.mass))
    step, every = OneStep(kinds.DIAMETER, 1.0), CostOfStep(kinds.WEIGHT, found.every_diameter)
    if len(diameters) == 1:
        return Sentence("{step} on the diameter is {cost}", step=step, cost=every)
    return Sentence(
        "{step} {place} is {cost}, on every diameter {every}",
        step=step,
        place=on_or_at(worst.dimension, found.head),
        cost=cost_of(worst),
        every=CostOfStep(kinds.WEIGHT, found.every_diameter, unit=False),
    )


def weight_words(found: ToleranceStudy) -> Sentence:
    """The weight of one head, and its ±."""
    return Sentence(
        "{weight} {off}", weight=Weight(found.values.mass), off=WeightError(found.spread.one.mass)
    )


def as_built(found: ToleranceStudy) -> Sentence:
    """The ± of the weight of one head, before it was on the scale."""
    return Sentence("{off} as built", off=WeightError(found.spread.one.mass))


def balance_words(found: ToleranceStudy) -> Sentence:
    """Balance, front-taper share and sink rate of one head, each with its ±."""
    values, off = found.values, found.spread.one
    return Sentence(
        "Balance {balance} {balance_off}; front taper {share} {share_off}; {sinks} {sink_off}.",
        balance=OnTape(values.balance),
        balance_off=LengthError(off.balance),
        share=Share(values.share),
        share_off=ShareError(off.share),
        sinks=sinks_or_rises(values.sink),
        sink_off=SinkError(off.sink),
    )


def of_weight(found: ToleranceStudy) -> Sentence:
    """What the weight is that may be off."""
    return Sentence("either way, of {weight}", weight=Weight(found.values.mass))


def once_weighed(off: ErrorOf) -> Sentence:
    """What is left of a ± once the head was on the scale."""
    return Sentence("once weighed {off}", off=off)


def apart_words(found: ToleranceStudy) -> Sentence:
    """The ± from head to head, and what all of a batch have alike."""
    return Sentence(
        "{apart} from head to head, and {alike} in all of them alike, by micrometer and batch.",
        apart=WeightError(found.spread.apart.mass),
        alike=WeightError(found.spread.alike.mass),
    )


def weighed_words(found: ToleranceStudy) -> Sentence:
    """What is left of the ± of the weight once the head was on the scale."""
    return Sentence("Once weighed, {off}: the scale’s.", off=WeightError(found.spread.weighed.mass))


def drag_words(found: ToleranceStudy) -> Sentence:
    """What the law of drag may be off by, which is the same for every head."""
    low, high = (abs(each) for each in found.drag_ends)
    return Sentence(
        "The law of drag itself may be {off} off: {low} to {high}, alike for every head and in no "
        "sum here.",
        off=ShareError(DRAG_OFF),
        low=Quantity(kinds.SINK_RATE, min(low, high), unit=False),
        high=Quantity(kinds.SINK_RATE, max(low, high)),
    )


# -- builds of a hundred -----------------------------------------------------------------------


def of_hundred(share: float) -> int:
    """A share as so many of a hundred; all or none are said only where that is nearly sure."""
    if share >= NEARLY:
        return 100
    if share <= 1.0 - NEARLY:
        return 0
    return min(max(round(100.0 * share), 1), 99)


def landing_words(found: Builds) -> Sentence:
    """How many of a hundred builds land in the grain window."""
    return counted(
        "Of 100 builds {count} lands in the grain window.",
        "Of 100 builds {count} land in the grain window.",
        of_hundred(found.share),
    )


def alike_words(found: Builds) -> Sentence:
    """What becomes of a whole batch, since all of it is off alike."""
    right, least = of_hundred(found.right), of_hundred(found.least)
    if right == least:
        return NOTHING
    return Sentence(
        "Of one batch on one micrometer: {right} where those are right, {least} where both are off "
        "by their ±.",
        right=right,
        least=least,
    )


def shrink_words(found: Builds, study: ToleranceStudy) -> Sentence:
    """By how much to work closer."""
    mass = study.values.mass
    if found.shrink is None:
        return _no_closer(found, mass)
    if found.shrink == 1.0:
        return Sentence("Close enough: 95 of 100 land, or more.")
    return Sentence(
        "Work closer: for 95 of 100 every ± must come down to {percent} % of what it is.",
        percent=math.floor(100.0 * found.shrink),
    )


def _no_closer(found: Builds, mass: float) -> Sentence:
    fit = place(mass, found.window)
    edge = Weight(fit.to_edge)
    if fit.place is Place.BELOW:
        return Sentence(
            "Closer work does not help: the design is {edge} too light for the grain window.",
            edge=edge,
        )
    if fit.place is Place.ABOVE:
        return Sentence(
            "Closer work does not help: the design is {edge} too heavy for the grain window.",
            edge=edge,
        )
    return Sentence("Closer work does not help: the design lies on the edge of the grain window.")


def left_on_words(left: LeftOn, found: ToleranceStudy) -> Sentence:
    """Leaving line on and cutting back to the scale."""
    part = found.head.segments[left.row].part
    said = Sentence(
        "Leave {length} of {part} on and cut back to the scale: the weight is then {then}, the "
        "length {off}.",
        length=OnTape(left.length),
        part=part,
        then=WeightError(left.then),
        off=LengthError(left.length_off),
    )
    if left.is_last:
        return said
    return Sentence(
        "{said} The blade comes at the rod end: what lies behind the {part} goes first.",
        said=said,
        part=part,
    )


def read_with(found: ToleranceStudy) -> Sentence:
    """What the instruments read to."""
    tools = found.asked.instruments
    return Sentence(
        "Tape {tape}, micrometer {micrometer} with a scatter of {scatter}, scale {scale}.",
        tape=ShortLength(tools.tape),
        micrometer=Quantity(kinds.FINE_LENGTH, tools.micrometer),
        scatter=Quantity(kinds.FINE_LENGTH, tools.scatter),
        scale=Quantity(kinds.SMALL_WEIGHT, tools.scale),
    )
