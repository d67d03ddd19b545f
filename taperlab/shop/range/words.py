"""What is said of a range: its switches with their reasons, each member, and what to know of it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.exact_units import GRAIN
from taperlab.model.range import LengthRule, ThicknessRule
from taperlab.physics.grading import Bound
from taperlab.shop.range.member import MemberFigures, TipStep
from taperlab.shop.range.study import RangeStudy, reach_for
from taperlab.shop.wording import WholeWeight
from taperlab.trade.windows import Place
from taperlab.units.finding import Finding, Level
from taperlab.units.language import later
from taperlab.units.sentence import (
    NOTHING,
    Diameter,
    Length,
    Number,
    Ratio,
    Sentence,
    Several,
    ShortLength,
    Weight,
    counted,
)

ON_EDGE = 0.5 * GRAIN
"""A head this near to an edge of a window stands on it, as far as a grain scale tells [kg]."""

THIN_COAT = 0.0001
"""A coat thinner than a tenth of a millimetre is worth a remark, by judgement [m]."""

NEAR_LEAST = 1.05
"""A member lighter than this many times the least that a held front end allows is told of."""

AS_ASKED = 0.5 * GRAIN
"""What is built weighs what was asked for where it is off by no more than this [kg]."""


class Standing(StrEnum):
    """How a member stands in its rod's window; each has a sign of its own."""

    NONE = later("no grain window")
    INSIDE = later("inside")
    EDGE = later("on the edge")
    OUTSIDE = later("outside")


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a member stands in its rod's window, in words."""

    standing: Standing
    words: Sentence


def verdict(member: MemberFigures) -> Verdict:
    """The window of the member's rod, and where its head lies in it."""
    window = member.window
    if window is None:
        words = Sentence("no grain window")
        if member.rod is None:
            words = Sentence("no rod")
        return Verdict(Standing.NONE, words)
    edges = Sentence(
        "{lightest}–{heaviest}",
        lightest=WholeWeight(window.lightest, unit=False),
        heaviest=WholeWeight(window.heaviest),
    )
    if member.place is None:
        return Verdict(Standing.NONE, Sentence("{window} for head and tip", window=edges))
    if member.to_edge <= ON_EDGE:
        return Verdict(Standing.EDGE, Sentence("edge of {window}", window=edges))
    if member.place is Place.INSIDE:
        return Verdict(Standing.INSIDE, Sentence("inside {window}", window=edges))
    off = WholeWeight(member.to_edge)
    if member.place is Place.ABOVE:
        words = Sentence("{off} above {window}", off=off, window=edges)
    else:
        words = Sentence("{off} below {window}", off=off, window=edges)
    return Verdict(Standing.OUTSIDE, words)


# -- the two switches --------------------------------------------------------------------------


def length_reason(rule: LengthRule, found: RangeStudy | None) -> Sentence:
    """What a rule for lengths keeps, in a few words."""
    if rule is LengthRule.SAME:
        return Sentence("keeps length and room behind")
    if rule is LengthRule.WEIGHT:
        return Sentence("keeps every diameter, weight per foot, sink rate and joint step")
    parent = found.parent if found else None
    if found is None or parent is None or math.isnan(parent.ratio):
        return Sentence("keeps the ratio of head to rod")
    if found.counts.tip:
        return Sentence(
            "keeps the ratio, {ratio} with a tip of {tip}",
            ratio=Ratio(parent.ratio),
            tip=Length(found.counts.tip),
        )
    return Sentence("keeps the ratio, {ratio}", ratio=Ratio(parent.ratio))


def thickness_reason(rule: ThicknessRule, found: RangeStudy | None) -> Sentence:
    """What a rule for diameters keeps, in a few words."""
    if rule is ThicknessRule.SHAPE:
        return Sentence("keeps front-taper share, balance and outline")
    if found is None or found.parent is None:
        return Sentence("keeps the tip: leaders and tips still match")
    tip = Diameter(found.parent.tip_diameter)
    reach = reach_for(found, rule)
    if reach is None or reach.lower is not Bound.FRONT:
        return Sentence("tip stays {diameter}: leaders and tips still match", diameter=tip)
    return Sentence(
        "tip stays {diameter}: leaders and tips still match; {least} at least",
        diameter=tip,
        least=WholeWeight(reach.least),
    )


def rounded_words(found: RangeStudy) -> Sentence:
    """What members are rounded to; nothing where they are not."""
    tools = found.question.tools
    if tools is None:
        return NOTHING
    return Sentence(
        "Rounded to {tape} and {micrometer}.",
        tape=ShortLength(tools.length),
        micrometer=Diameter(tools.diameter),
    )


def carries_words(member: MemberFigures) -> Sentence:
    """How much more or less a member carries in front than its parent."""
    percent = round(100.0 * (member.carries - 1.0))
    if percent == 0:
        return Sentence("carries as much in front as the parent")
    if percent > 0:
        return Sentence("carries {percent} % more in front", percent=Number(percent))
    return Sentence("carries {percent} % less in front", percent=Number(-percent))


# -- what to know before making them -----------------------------------------------------------


def findings(found: RangeStudy) -> tuple[Finding, ...]:
    """What to know of the members before they are made, the gravest first."""
    if found.why_not is not None:
        return (Finding(Level.CAUTION, found.why_not),)
    grave = (*_outside(found), *_of_make_up(found), *_hinging(found))
    slight = (*_of_windows(found), *_notes(found))
    return (
        *(Finding(Level.CAUTION, each) for each in grave),
        *(Finding(Level.NOTE, each) for each in slight),
    )


def cautions(found: RangeStudy) -> tuple[Sentence, ...]:
    """The same as sentences alone."""
    return tuple(each.sentence for each in findings(found))


def _outside(found: RangeStudy) -> Iterable[Sentence]:
    for row in found.refused:
        yield Sentence(
            "{letter}, {weight}, can’t be made. {why}",
            letter=row.letter,
            weight=Weight(row.asked.mass),
            why=row.why,
        )
    for rod, those in _by_rod(found, Place.ABOVE):
        yield counted(
            "{letters} is {off} above the grain window of {rod}: an overloaded rod can break. Keep "
            "to what the rod’s maker states.",
            "{letters} are up to {off} above the grain window of {rod}: an overloaded rod can "
            "break. Keep to what the rod’s maker states.",
            len(those),
            letters=_letters(those),
            off=WholeWeight(max(each.to_edge for each in those)),
            rod=rod,
        )


def _by_rod(found: RangeStudy, place: Place) -> Iterable[tuple[str, list[MemberFigures]]]:
    """Members that lie so in the windows of their rods, rod by rod."""
    rods: dict[str, list[MemberFigures]] = {}
    for each in found.members:
        if each.place is place and each.owner is not None:
            rods.setdefault(each.owner.name, []).append(each)
    return rods.items()


def _letters(those: Iterable[MemberFigures]) -> Several:
    return Several(tuple(each.letter for each in those))


def _of_make_up(found: RangeStudy) -> Iterable[Sentence]:
    for each in found.members:
        if each.coat is not None and each.coat.thickness < THIN_COAT:
            yield Sentence(
                "{letter} has only {coat} of coat over its core {place}.",
                letter=each.letter,
                coat=Diameter(each.coat.thickness),
                place=_where(each.coat.position),
            )
        if each.neutral is not None:
            yield Sentence(
                "{letter} is as heavy as the water {place}, where the parent floats.",
                letter=each.letter,
                place=_where(each.neutral),
            )
        if each.least is not None and each.mass < NEAR_LEAST * each.least:
            yield Sentence(
                "{letter} is near the lightest that there can be at its length, {least}: it hardly "
                "tapers.",
                letter=each.letter,
                least=Weight(each.least),
            )
        off = each.mass - each.asked.mass
        if not each.by_hand and abs(off) > AS_ASKED:
            yield Sentence(
                "{letter} comes to {off} against what was asked, rounded as it is.",
                letter=each.letter,
                off=Weight(off, signed=True),
            )


def _where(position: float) -> Sentence:
    if position == 0.0:
        return Sentence("at its fly end")
    return Sentence("{distance} from its fly end", distance=Length(position))


def _hinging(found: RangeStudy) -> Iterable[Sentence]:
    """Tips of the bench that are heavier at the joint than the head that must carry them."""
    by_tip: dict[str, list[tuple[MemberFigures, TipStep]]] = {}
    for member in found.members:
        for step in member.steps:
            if step.hinges:
                by_tip.setdefault(step.tip.name, []).append((member, step))
    everyone = len(found.members)
    for name, those in by_tip.items():
        if len(those) == everyone and everyone > 1:
            yield Sentence("{tip} hinges on every one of them.", tip=name)
        else:
            letters = Several(tuple(member.letter for member, _ in those))
            yield Sentence("{tip} hinges on {letters}.", tip=name, letters=letters)


def _of_windows(found: RangeStudy) -> Iterable[Sentence]:
    for rod, those in _by_rod(found, Place.BELOW):
        yield counted(
            "{letters} is {off} below the grain window of {rod}.",
            "{letters} are up to {off} below the grain window of {rod}.",
            len(those),
            letters=_letters(those),
            off=WholeWeight(max(each.to_edge for each in those)),
            rod=rod,
        )
    standing = [(each, verdict(each).standing) for each in found.members]
    on_edge = [each.letter for each, how in standing if how is Standing.EDGE]
    if on_edge:
        yield counted(
            "{letters} stands on an edge of its rod’s grain window.",
            "{letters} stand on an edge of their rods’ grain windows.",
            len(on_edge),
            letters=Several(tuple(on_edge)),
        )
    without = [
        each.letter
        for each, how in standing
        if how is Standing.NONE and each.rod and not each.window
    ]
    if without:
        yield counted(
            "{letters} has no grain window: ask the rod’s maker.",
            "{letters} have no grain window: ask the rods’ makers.",
            len(without),
            letters=Several(tuple(without)),
        )


def _notes(found: RangeStudy) -> Iterable[Sentence]:
    by_hand = [each.letter for each in found.members if each.by_hand]
    if by_hand:
        yield counted(
            "{letters} was edited by hand and no longer follows.",
            "{letters} were edited by hand and no longer follow.",
            len(by_hand),
            letters=Several(tuple(by_hand)),
        )
    if found.falls_back:
        yield Sentence(
            "This head is nowhere thicker than its fly end, so that cannot be held: the shape is "
            "kept instead."
        )
    if found.has_no_rod:
        yield Sentence(
            "The parent’s rod is not known, so lengths stay as they are: type it, or choose a rod."
        )
