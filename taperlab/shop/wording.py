"""The figures of a line in words: each fact is worded here, and nowhere else."""

from __future__ import annotations

import math
from functools import partial

from taperlab.model.line import NO_LOOP, Joint, Loop, Style
from taperlab.model.rod import Measured, Rod
from taperlab.model.stock import Stock
from taperlab.model.water import Water, WaterKind
from taperlab.physics import section
from taperlab.physics.water import practical_salinity, water_state
from taperlab.shop.analyse import (
    DENSITY_OFF,
    DRAG_OFF,
    ROUNDING,
    STANDARD_LENGTH,
    HeadFigures,
    LineAnalysis,
)
from taperlab.shop.on_rod import RodFit
from taperlab.trade.line_weights import two_handed_class
from taperlab.trade.sink_types import classify
from taperlab.trade.windows import Place
from taperlab.units.finding import Finding, Level
from taperlab.units.kinds import LENGTH, WEIGHT, System
from taperlab.units.sentence import (
    NOTHING,
    Apart,
    Density,
    Diameter,
    Length,
    Number,
    Quantity,
    Ratio,
    Salinity,
    Sentence,
    Share,
    ShortLength,
    SinkRate,
    SmallWeight,
    Temperature,
    Unbroken,
    Value,
    Weight,
    WeightPerLength,
    any_of,
    of_table,
)
from taperlab.units.show import show, shown_unit

SLOWEST = 1e-6
"""Slower than this a piece is said to hover, whichever way it goes [m/s]."""

MOST_TIPS = 3
"""How many tips of the bench are named beside a ratio."""

AS_DENSE = 1e-9
"""A head that could take on less than this, or must lose less, hovers [kg]."""


class _Whole(Quantity):
    """A weight in whole grains, all that a grain scale supports; in grams as it is."""

    def text(self, system: System) -> str:
        """The weight."""
        if shown_unit(self.kind, system) != "gr":
            return Quantity.text(self, system)
        number = show(self.value, self.kind, system, unit=False).replace(" ", "")
        return f"{float(number):.0f} gr" if self.unit else f"{float(number):.0f}"


class _InOther(Quantity):
    """A value as the other system has it, to stand beside the one that is read."""

    def text(self, system: System) -> str:
        """The value."""
        return Quantity.text(self, System.METRIC if system is System.US else System.US)


WholeWeight, OtherWeight = partial(_Whole, WEIGHT), partial(_InOther, WEIGHT)
OtherLength = partial(_InOther, LENGTH)


def both_weights(mass: float) -> Sentence:
    """A weight [kg], and in brackets the same in the other system."""
    return Sentence("{weight} ({other})", weight=Weight(mass), other=OtherWeight(mass))


# -- on a rod ---------------------------------------------------------------------------------


def window_words(lightest: float, heaviest: float) -> Sentence:
    """From the lightest to the heaviest head [kg]."""
    return Sentence(
        "{lightest} to {heaviest}",
        lightest=Weight(lightest, unit=False),
        heaviest=Weight(heaviest),
    )


NO_WINDOW = Sentence("the rod has no grain window for this style")
NEEDS_TIP = Sentence("the grain window is for head and tip: loop a tip to it")


def place_on_rod(fit: RodFit | None) -> Sentence:
    """Where a head lies in the rod's window, and how far from its nearer edge, or why not."""
    if fit is None:
        return Sentence("choose a rod to see its grain window")
    if fit.to_edge is None:
        return NEEDS_TIP if fit.window and fit.mass is not None else NO_WINDOW
    edge = WholeWeight(fit.to_edge)
    if fit.place is Place.INSIDE:
        return Sentence("inside the grain window, {edge} from its edge", edge=edge)
    if fit.place is Place.ABOVE:
        return Sentence("{edge} too heavy for the grain window", edge=edge)
    return Sentence("{edge} too light for the grain window", edge=edge)


def judged_words(fit: RodFit) -> Sentence:
    """What of a line or a rig the grain window judges; nothing where that goes without saying."""
    if fit.judged is Measured.HEAD_AND_TIP:
        return Sentence("head and tip")
    return Sentence("the head alone") if fit.alone else NOTHING


def ratio_words(fit: RodFit) -> Sentence:
    """What the trade says of a ratio, and of which parts; of a body alone, what a tip makes it."""
    said = fit.reading.words
    if fit.judges_ratio:
        return Sentence("{reading} ({parts})", reading=said, parts=fit.reading.counted)
    if not fit.with_tips:
        return Sentence("{alone}: loop a tip to it", alone=said)
    tips = any_of(
        Sentence("{ratio} with “{tip}”", ratio=Ratio(each.ratio), tip=each.name)
        for each in fit.with_tips[:MOST_TIPS]
    )
    return Sentence("{alone}: {tips}", alone=said, tips=tips)


def ratio_with_tips(fit: RodFit) -> tuple[Sentence, ...]:
    """How practice reads a body with each tip on the bench."""
    return tuple(
        Sentence(
            "With “{tip}”: {ratio}, {reading}.",
            tip=each.name,
            ratio=Ratio(each.ratio),
            reading=each.reading.words,
        )
        for each in fit.with_tips[:MOST_TIPS]
    )


# -- in water ---------------------------------------------------------------------------------


def sinks_or_rises(speed: float) -> Sentence:
    """Which way a piece goes, and how fast [m/s, positive sinking]."""
    if abs(speed) < SLOWEST:
        return Sentence("hovers")
    if speed > 0.0:
        return Sentence("sinks {rate}", rate=SinkRate(speed))
    return Sentence("rises {rate}", rate=SinkRate(-speed))


def head_floats(head: HeadFigures) -> Sentence:
    """Whether a head floats, hovers or sinks."""
    if head.floats:
        return Sentence("floats")
    return Sentence("hovers") if _hovers(head) else Sentence("sinks")


def head_sink(head: HeadFigures) -> Sentence:
    """A head's sink rate, where it has one."""
    if head.floats or _hovers(head):
        return head_floats(head)
    return Sentence("{rate}", rate=SinkRate(head.sink))


def head_sink_rates(head: HeadFigures) -> Sentence:
    """A head's sink rate as one body, which way it goes, and the rates along it."""
    rate, way = SinkRate(head.sink), head_floats(head)
    whole = Sentence("{rate} as one body ({floats})", rate=rate, floats=way)
    slowest, fastest = SinkRate(head.slowest), SinkRate(head.fastest)
    along = Sentence(
        "{whole}; {slowest} to {fastest} along the head",
        whole=whole,
        slowest=slowest,
        fastest=fastest,
    )
    rates = Sentence("{rates}", rates=Apart(slowest, fastest, along, whole))
    if head.tip_sink is None:
        return rates
    return Sentence("{rates}; its tip alone sinks {tip}", rates=rates, tip=SinkRate(head.tip_sink))


def sink_range(head: HeadFigures) -> Sentence:
    """From what to what a head's sink rate may be, and why."""
    return Sentence(
        "{low} to {high}, for drag {drag} and mean density {density} off either way",
        low=SinkRate(head.sink_low),
        high=SinkRate(head.sink_high),
        drag=Unbroken(Share(DRAG_OFF)),
        density=Unbroken(Share(DENSITY_OFF)),
    )


def head_sink_class(head: HeadFigures) -> Sentence:
    """What the trade calls a head's sink rate, and how it varies along the head."""
    if head.tip_sink is not None:
        tip, whole = SinkRate(head.tip_sink), sinks_or_rises(head.sink)
        return Sentence("tip sinks {tip}, head as one body {whole}", tip=tip, whole=whole)
    if head.floats:
        percent = Number(head.spare_buoyancy / head.mass * 100.0)
        return Sentence("spare buoyancy {percent} %", percent=percent)
    if _hovers(head):
        return Sentence("as dense as the water")
    slowest, fastest = SinkRate(head.slowest), SinkRate(head.fastest)
    along = Sentence("{slowest} to {fastest}", slowest=slowest, fastest=fastest)
    if head.slowest < 0.0 < head.fastest:
        return Sentence("part of it floats: {along}", along=along)
    kind = classify(head.sink)
    varies = Sentence("{type}; {along} along it", type=kind, along=along)
    return Sentence("{kind}", kind=Apart(slowest, fastest, varies, kind))


def _hovers(head: HeadFigures) -> bool:
    return math.isclose(head.spare_buoyancy, 0.0, abs_tol=AS_DENSE)


def water_words(water: Water) -> Sentence:
    """Kind, temperature and, for the sea, salt."""
    warm = Temperature(water.temperature)
    if water.kind is WaterKind.FRESH:
        return Sentence("fresh, {temperature}", temperature=warm)
    return Sentence(
        "sea, {temperature}, {salt} of salt (practical salinity {practical})",
        temperature=warm,
        salt=Salinity(water.salinity),
        practical=Number(float(practical_salinity(water.salinity)), 2),
    )


def water_figures(water: Water) -> Sentence:
    """Density and viscosity of a water, and who says so."""
    state = water_state(water)
    return Sentence(
        "Density {density}, viscosity {viscosity} mPa·s.\n"
        "Density: Tanaka and others (2001), or EOS-80 for sea water. Viscosity: Sharqawy, "
        "Lienhard and Zubair (2010).",
        density=Density(state.density),
        viscosity=Number(state.viscosity * 1e3, 3),
    )


# -- by the tables ----------------------------------------------------------------------------


def single_hand(analysis: LineAnalysis) -> tuple[Sentence, Sentence]:
    """A line's size in the single-hand table, and how it stands there or why it has none."""
    rating, head = analysis.single_hand, analysis.head
    if rating is not None:
        return Sentence("size {size}", size=rating.nearest.number), rating.words
    if head is None:
        why = Sentence("no head")
    elif head.first_30_ft is not None:
        why = Sentence("outside the table")
    elif head.length < STANDARD_LENGTH - ROUNDING:
        why = Sentence("the head is shorter than the 30 ft it weighs")
    else:
        why = Sentence("less than the 30 ft it weighs behind the level tip")
    return Sentence("no size"), why


def two_handed(analysis: LineAnalysis) -> tuple[Sentence, Sentence]:
    """A line's class and size in the two-handed table, and how it stands or why it has none."""
    rating, head = analysis.two_handed, analysis.head
    if rating is not None:
        size = Sentence("{letter} {size}", letter=rating.column.letter, size=rating.size)
        return size, Sentence("{off} of its target", off=Weight(rating.offset, signed=True))
    if head is None:
        return Sentence("no class"), Sentence("no head")
    if two_handed_class(head.length):
        return Sentence("no size"), Sentence("outside the table")
    return Sentence("no class"), Sentence("heads under 30 ft have none")


def weighed_by_standard(analysis: LineAnalysis) -> Sentence:
    """What of a line the two-handed standard weighs, and in which class, if it has one."""
    head = analysis.head
    column = two_handed_class(head.length) if head else None
    if head is None or column is None:
        return NOTHING
    over = min(column.weigh_point, analysis.length)
    said = Sentence(
        "Class {letter} ({name}): the first {length} from the fly end weighed",
        letter=column.letter,
        name=of_table(column.name),
        length=Length(over),
    )
    if over > head.length + ROUNDING:
        behind = Length(over - head.length)
        return Sentence("{weighed}, {length} of it behind the head.", weighed=said, length=behind)
    return Sentence("{weighed}.", weighed=said)


def size_on_rod(analysis: LineAnalysis, rod: Rod | None) -> tuple[Sentence, Sentence]:
    """A line's size in the table that its style, or the rod, goes by, and how it stands there."""
    one_hand = analysis.line.style is Style.SINGLE_HAND or (rod and not rod.two_handed)
    return single_hand(analysis) if one_hand else two_handed(analysis)


# -- joints and loops -------------------------------------------------------------------------


def loop_words(loop: Loop) -> Sentence:
    """What a loop is, what is folded back and what it adds."""
    return _with_details(
        loop.kind,
        Sentence("{length} folded back", length=ShortLength(loop.fold)) if loop.fold else NOTHING,
        Sentence("adds {weight}", weight=SmallWeight(loop.mass)) if loop.mass else NOTHING,
    )


def loop_in_short(loop: Loop) -> Sentence:
    """The same in few words, for a box to tick: what is folded back, what is added."""
    return _with_details(
        loop.kind,
        Sentence("{length}", length=ShortLength(loop.fold)) if loop.fold else NOTHING,
        Sentence("{weight}", weight=SmallWeight(loop.mass)) if loop.mass else NOTHING,
    )


def joint_words(joint: Joint) -> Sentence:
    """What a joint is, its overlap, what it adds and its loops."""
    overlap = Sentence("overlap {length}", length=ShortLength(joint.overlap))
    added = Sentence("adds {weight}", weight=SmallWeight(joint.mass))
    said = _with_details(
        joint.kind, overlap if joint.overlap else NOTHING, added if joint.mass else NOTHING
    )
    if (joint.loop_ahead, joint.loop_behind) == (NO_LOOP, NO_LOOP):
        return said
    return Sentence(
        "{joint}; ahead: {ahead}; behind: {behind}",
        joint=said,
        ahead=loop_words(joint.loop_ahead),
        behind=loop_words(joint.loop_behind),
    )


def fittings_words(found: LineAnalysis) -> Sentence:
    """What the weight of a line includes besides its segments, or nothing."""
    line, weight = found.line, SmallWeight(found.fittings_mass)
    loops = [line.front_loop, line.rear_loop]
    loops += [loop for each in line.joints for loop in (each.loop_ahead, each.loop_behind)]
    looped = any(loop.fold or loop.mass for loop in loops)
    joined = any(joint.mass for joint in line.joints)
    if looped and joined:
        return Sentence("with loops and joints {weight}", weight=weight)
    if looped or joined:
        what = Sentence("loops") if looped else Sentence("joints")
        return Sentence("with {fittings} {weight}", fittings=what, weight=weight)
    return NOTHING


def _with_details(thing: Value, *details: Sentence) -> Sentence:
    said = Sentence("{thing}", thing=thing)
    for detail in details:
        if detail:
            said = Sentence("{thing}, {detail}", thing=said, detail=detail)
    return said


def share_of(share: float, length_share: float) -> Sentence:
    """A front taper's share of the head's weight and of its length."""
    return Sentence(
        "{weight} of the weight, {length} of the length",
        weight=Share(share),
        length=Share(length_share),
    )


def from_fly_end(distance: float) -> Sentence:
    """A place [m] along a line."""
    return Sentence("{distance} from the fly end", distance=Length(distance))


# -- stock ------------------------------------------------------------------------------------


def stock_words(stock: Stock) -> Sentence:
    """What a material is: its part, how thick and how heavy it is, and how much there is."""
    first, last = stock.sections[0], stock.sections[-1]
    ends = ((first, 0.0), (last, last.length))
    return Sentence(
        "{part}, {diameter}, {weight}; {length} on the spool.",
        part=stock.part,
        diameter=_ends(*(Diameter(each.diameter(end)) for each, end in ends)),
        weight=_ends(*(WeightPerLength(section.linear_density(each, end)) for each, end in ends)),
        length=Length(stock.whole_length),
    )


def piece_words(stock: Stock, length: float) -> Sentence:
    """What a length [m] of a material weighs."""
    weight = Weight(sum(section.mass(each) for each in stock.stretch(0.0, length)))
    return Sentence("This length weighs {weight}.", weight=weight)


def _ends(front: Quantity, rear: Quantity) -> Value:
    """What both ends have, or what the one and the other have."""
    return front if front == rear else Sentence("{front} to {rear}", front=front, rear=rear)


# -- remarks ----------------------------------------------------------------------------------


def with_level(finding: Finding) -> Sentence:
    """A finding with how much it matters ahead of it."""
    said = finding.sentence
    if finding.level is Level.STOP:
        return Sentence("stop: {finding}", finding=said)
    if finding.level is Level.CAUTION:
        return Sentence("caution: {finding}", finding=said)
    return Sentence("note: {finding}", finding=said)
