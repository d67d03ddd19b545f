"""A head before and after in words: figures with what changed, what that means, how to keep it.

Arithmetic, and no verdict: how it casts, whoever casts it says.
"""

from __future__ import annotations

import math

from taperlab.model.line import Loop
from taperlab.shop.before_after.study import BeforeAfter
from taperlab.shop.cut_back.study import State
from taperlab.shop.on_rod import RodFit
from taperlab.shop.versions.study import WasNow
from taperlab.trade.windows import Place
from taperlab.units.sentence import (
    NOTHING,
    Apart,
    OnTape,
    Ratio,
    Sentence,
    Share,
    SmallWeight,
    Value,
    Weight,
)

Row = tuple[Sentence, Value, Value, Value]
"""What it is, before, after, and the change."""


def figure_rows(found: BeforeAfter) -> tuple[Row, ...]:
    """The figures that a customer asks for."""
    one, two = found.before, found.after
    rows: list[Row] = [
        (
            Sentence("Weight of the rig, loops on")
            if found.is_rig
            else Sentence("Weight of the head, loops on"),
            Weight(one.mass),
            Weight(two.mass),
            Weight(two.mass - one.mass, signed=True),
        ),
        (
            Sentence("Length of the rig, loop to loop")
            if found.is_rig
            else Sentence("Length of the head, loop to loop"),
            OnTape(one.length),
            OnTape(two.length),
            OnTape(two.length - one.length, signed=True),
        ),
    ]
    ratios = _ratios(found)
    if ratios is not None:
        rows.append(
            (
                Sentence("Ratio to the rod"),
                Ratio(ratios.was, unit=False),
                Ratio(ratios.now, unit=False),
                Ratio(ratios.change, signed=True, unit=False),
            )
        )
    share = found.changes.front_share
    if share is not None:
        rows.append(
            (
                Sentence("Share of weight in tip and front taper"),
                Share(share.was),
                Share(share.now),
                Share(share.change, signed=True),
            )
        )
    if (window := two.fit.window if two.fit else None) is not None:
        rows.append(
            (
                Sentence("Your rod’s grain window, for the head alone")
                if two.fit and two.fit.alone
                else Sentence("Your rod’s grain window"),
                _place(one.fit),
                _place(two.fit),
                Sentence(
                    "{lightest} to {heaviest}",
                    lightest=Weight(window.lightest, unit=False),
                    heaviest=Weight(window.heaviest),
                ),
            )
        )
    return tuple(rows)


def meaning(found: BeforeAfter) -> tuple[Sentence, ...]:
    """What the figures come to, in sentences."""
    mass = WasNow(found.before.mass, found.after.mass)
    length = WasNow(found.before.length, found.after.length)
    first, second = _weight(mass, is_rig=found.is_rig), _length(length)
    said = [Sentence("{first}, and {second}.", first=first, second=second)]
    share = found.changes.front_share
    if share is not None:
        same = Sentence(
            "Tip and front taper hold {now} of its weight, as before.", now=Share(share.now)
        )
        other = Sentence(
            "Tip and front taper hold {now} of its weight; it was {was}.",
            now=Share(share.now),
            was=Share(share.was),
        )
        said.append(_told(Apart(Share(share.was), Share(share.now), other, same)))
    ratios = _ratios(found)
    if ratios is not None:
        said.append(
            Sentence(
                "It is {now} times as long as the rod; it was {was}.",
                now=Ratio(ratios.now, unit=False),
                was=Ratio(ratios.was, unit=False),
            )
        )
    if window := _in_window(found.after):
        said.append(window)
    return tuple(said)


def after_care(found: BeforeAfter) -> tuple[Sentence, ...]:
    """How to look after it."""
    said: list[Sentence] = []
    front, rear = found.new
    if front and rear:
        said.append(Sentence("The loops at both ends are new."))
    elif front or rear:
        end = Sentence("fly end") if front else Sentence("rod end")
        said.append(Sentence("The loop at the {end} is new.", end=end))
    if found.off is not None and found.off.folded > 0.0:
        said.append(
            Sentence("Folding took {length} of the length.", length=OnTape(found.off.folded))
        )
    if _has_loop(found.after.line.front_loop) or _has_loop(found.after.line.rear_loop):
        said.append(Sentence("Look at the loops before each day out."))
    ends = found.after.line.segments
    if ends and ends[0].front_diameter < ends[-1].rear_diameter:
        said.append(Sentence("The thin end, with the open tag, goes to the fly."))
    else:
        said.append(Sentence("The end with the open tag goes to the fly."))
    return tuple(said)


def small_print(found: BeforeAfter) -> Sentence:
    """How it was weighed, and whose word goes before ours."""
    keep = Sentence("Keep to what the rod’s maker states.")
    before, after = found.scales
    if before is None and after is None:
        return Sentence("Weights are worked out with both loops on. {keep}", keep=keep)
    step = SmallWeight(max(before or 0.0, after or 0.0))
    if before is None:
        return Sentence(
            "Weights with both loops on: after, from a scale that reads to {step}; before, worked "
            "out. {keep}",
            step=step,
            keep=keep,
        )
    if after is None:
        return Sentence(
            "Weights with both loops on: before, from a scale that reads to {step}; after, worked "
            "out. {keep}",
            step=step,
            keep=keep,
        )
    return Sentence(
        "Weights with both loops on, from a scale that reads to {step}. {keep}",
        step=step,
        keep=keep,
    )


def _told(value: Value) -> Sentence:
    return Sentence("{value}", value=value)


def _weight(mass: WasNow, *, is_rig: bool) -> Apart:
    what, by = Sentence("The rig") if is_rig else Sentence("The head"), Weight(abs(mass.change))
    said = Sentence("{what} weighs {weight} less", what=what, weight=by)
    if mass.change > 0.0:
        said = Sentence("{what} weighs {weight} more", what=what, weight=by)
    alike = Sentence("{what} weighs as much as before", what=what)
    return Apart(Weight(mass.was), Weight(mass.now), said, alike)


def _length(length: WasNow) -> Apart:
    by = OnTape(abs(length.change))
    said = Sentence("is {length} shorter", length=by)
    if length.change > 0.0:
        said = Sentence("is {length} longer", length=by)
    return Apart(OnTape(length.was), OnTape(length.now), said, Sentence("is as long as before"))


def _ratios(found: BeforeAfter) -> WasNow | None:
    """To the rod, before and after, of what practice counts; None without a rod or a head."""
    one, two = found.before.fit, found.after.fit
    if one is None or two is None:
        return None
    pair = WasNow(one.ratio, two.ratio)
    return pair if math.isfinite(pair.was) and math.isfinite(pair.now) else None


def _place(fit: RodFit | None) -> Sentence:
    if fit is None or fit.place is None or fit.to_edge is None:
        return Sentence("not told")
    edge = Weight(fit.to_edge)
    if fit.place is Place.ABOVE:
        return Sentence("{weight} above", weight=edge)
    if fit.place is Place.BELOW:
        return Sentence("{weight} below", weight=edge)
    return Sentence("inside")


def _in_window(side: State) -> Sentence:
    fit = side.fit
    if fit is None or fit.window is None or fit.place is None or fit.to_edge is None:
        return NOTHING
    edge = Weight(fit.to_edge)
    # Of a rig most windows judge the head by itself.
    what = Sentence("It")
    if fit.alone and fit.mass is not None:
        what = Sentence("Its head, {weight},", weight=Weight(fit.mass))
    if fit.place is Place.INSIDE:
        return Sentence(
            "{what} lies inside the rod’s grain window, {weight} from its nearer edge.",
            what=what,
            weight=edge,
        )
    if fit.place is Place.ABOVE:
        return Sentence(
            "{what} lies {weight} above the rod’s grain window.", what=what, weight=edge
        )
    return Sentence("{what} lies {weight} below the rod’s grain window.", what=what, weight=edge)


def _has_loop(loop: Loop) -> bool:
    return loop.fold > 0.0 or loop.mass > 0.0
