"""What is said of a rig in the water."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from taperlab.model.exact_units import FOOT
from taperlab.physics.tight_line import State
from taperlab.physics.water import water_state
from taperlab.shop.water.band import Against, Effect
from taperlab.shop.water.drawn import Drawn, Falls
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.settling import FORGOTTEN, tip_and_leader
from taperlab.shop.water.study import DepthCurve, WaterStudy
from taperlab.shop.water.together import Lying
from taperlab.shop.wording import water_words
from taperlab.units.kinds import DEPTH, System
from taperlab.units.sentence import (
    NOTHING,
    Apart,
    Current,
    Depth,
    Diameter,
    Duration,
    Length,
    Number,
    Quantity,
    Sentence,
    SinkRate,
)

HARDLY = 0.05
"""What moves a depth by less is not told in figures [m]."""

_QUARTERS = ("", "¼", "½", "¾")


@dataclass(frozen=True, slots=True)
class Rough(Quantity):
    """A depth as well as it can be known: to a quarter of a foot, or a tenth of a metre."""

    def text(self, system: System) -> str:
        """The depth, ``2¼ ft`` or ``0.7 m``; without its unit where that follows."""
        if not math.isfinite(self.value):
            return Quantity.text(self, system)
        if system is System.METRIC:
            number = f"{self.value:.1f}"
        else:
            whole, quarters = divmod(round(4.0 * self.value / FOOT), 4)
            number = f"{whole or ('' if quarters else 0)}{_QUARTERS[quarters]}"
        return f"{number} {self.kind.shown(system).unit}" if self.unit else number


NOT_COUNTED = Sentence(
    "Not counted: belly and mends in the line above, leading with the rod, seams, water that wells "
    "up or down, line above the water, stretch. No fly line was measured for these figures."
)


def depth_words(found: WaterStudy) -> Sentence:
    """How deep the fly is, or why there is no figure."""
    if found.state is State.BOTTOM:
        return Sentence("The rig lies on the bottom: there is no figure.")
    if found.state is State.FLOATS:
        return Sentence("The fly stays at the surface.")
    if found.state is State.HANGS:
        return Sentence(
            "Without a current the rig hangs straight down: {depth}.", depth=Depth(found.depth)
        )
    low, high = Rough(DEPTH, found.band.low), Rough(DEPTH, found.band.high)
    if math.isnan(found.band.high):
        if math.isnan(found.band.low):
            return Sentence("The fly may lie on the bottom.")
        return Sentence("The fly is about {low} deep, or lies on the bottom.", low=low)
    apart = Sentence("{low} to {high}", low=Rough(DEPTH, found.band.low, unit=False), high=high)
    return Sentence(
        "The fly is about {depth} deep.",
        depth=Apart(low, high, apart, Sentence("{depth}", depth=high)),
    )


def depth_in_short(found: WaterStudy, *, unit: bool = True) -> Sentence:
    """The depths that the fly is between, or in a word why there are none: for a cell.

    unit: whether their unit is written.
    """
    if found.state is State.FLOATS:
        return Sentence("at the surface")
    low, high = found.band.low, found.band.high
    if found.state is State.BOTTOM or math.isnan(low):
        return Sentence("on the bottom")
    if found.state is State.HANGS:
        low = high = found.depth
    shallow = Rough(DEPTH, low, unit=unit)
    if math.isnan(high):
        return Sentence("{low} or on the bottom", low=shallow)
    deep = Rough(DEPTH, high, unit=unit)
    apart = Sentence("{low} to {high}", low=Rough(DEPTH, low, unit=False), high=deep)
    return Sentence("{depth}", depth=Apart(shallow, deep, apart, Sentence("{depth}", depth=deep)))


def why_words(found: WaterStudy) -> Sentence | None:
    """What makes the band so wide: its two largest causes; None where there is no band."""
    effects = [effect for effect in found.band.effects if effect.size > 0.0][:2]
    if found.state not in (State.LEVEL, State.UNDER) or len(effects) < 2:
        return None
    first, second = effects
    return Sentence(
        "What is least sure: {first}, then {second}.", first=first.cause, second=second.cause
    )


def settling_words(found: WaterStudy) -> Sentence | None:
    """How tip and fly settle from a slack cast; None where there is no tip, or no fly."""
    settling = found.settling
    slow, fast, tip = settling.fly_slow, settling.fly_fast, settling.tip
    if not (math.isfinite(slow) and math.isfinite(fast) and math.isfinite(tip)):
        return None
    return Sentence(
        "From a slack cast the tip sinks {tip}, and the fly between {slow} and {fast}: on its own, "
        "or with the tip.",
        tip=SinkRate(tip),
        slow=SinkRate(slow),
        fast=SinkRate(fast),
    )


def caveats(found: WaterStudy) -> tuple[Sentence, ...]:
    """Where the figure does not hold, or holds for a part alone."""
    said = []
    if found.rises:
        said.append(
            Sentence(
                "A floating part ahead of a sinking one reaches the surface: the figure is of what "
                "lies ahead of it alone."
            )
            if found.depth > 0.0
            else Sentence(
                "The fly would lie above the surface: it floats, and holds what hangs below it."
            )
        )
    if found.state is State.UNDER:
        said.append(
            Sentence(
                "The whole rig is under, to its rod end, and is taken to be held at the surface "
                "there: line behind it that is pulled under makes it deeper."
            )
        )
    return tuple(said)


def remarks(found: WaterStudy) -> tuple[Sentence, ...]:
    """What else is to be said: caveats first, then a drift, and what is forgotten."""
    said = [*caveats(found)]
    if settles := settling_words(found):
        said.append(settles)
    drift = found.drift
    if drift is not None:
        said.append(
            Sentence(
                "After {time} of free drift the tip is about {depth} down; the fly lags behind it.",
                time=Duration(drift.seconds),
                depth=Rough(DEPTH, drift.tip_depth),
            )
        )
        said += [
            Sentence(
                "{time} after the line came tight the fly is about {depth} deep.",
                time=Duration(moment.seconds),
                depth=Rough(DEPTH, moment.depth),
            )
            for moment in drift.then[:1]
        ]
    if length := tip_and_leader(found.rig, water_state(found.fishing.water)):
        said.append(
            Sentence(
                "A mend or a drift is forgotten after about {length} of water, twice the length "
                "of tip and leader.",
                length=Length(FORGOTTEN * length),
            )
        )
    said.append(NOT_COUNTED)
    return tuple(said)


def against_words(one: WaterStudy, other: WaterStudy, found: Against | None) -> Sentence:
    """Which of two rigs fishes deeper."""
    names = {"one": one.rig.cast.name, "other": other.rig.cast.name}
    if found is None:
        return Sentence("{one} and {other} can’t be compared here.", **names)
    if found.alike:
        return Sentence("{one} and {other} fish at one depth, for all that can be told.", **names)
    percent = Number(abs(found.ratio - 1.0) * 100.0)
    if found.ratio > 1.0:
        return Sentence("{one} fishes {percent} % deeper than {other}.", percent=percent, **names)
    return Sentence("{one} fishes {percent} % shallower than {other}.", percent=percent, **names)


def figure_words(found: WaterStudy) -> tuple[Sentence, Sentence]:
    """The depth in large letters, and what stands below it; words where there is no figure."""
    if found.state is State.BOTTOM:
        return Sentence("On the bottom"), Sentence(
            "The rig lies on the bottom: there is no figure."
        )
    if found.state is State.FLOATS:
        return Sentence("At the surface"), Sentence("The fly stays at the surface.")
    if found.state is State.HANGS:
        depth = Sentence("{depth}", depth=Rough(DEPTH, found.depth))
        return depth, Sentence("straight down: without a current the rig hangs")
    low, high = Rough(DEPTH, found.band.low), Rough(DEPTH, found.band.high)
    if math.isnan(found.band.low):
        return Sentence("On the bottom?"), Sentence("The fly may lie on the bottom.")
    if math.isnan(found.band.high):
        return (
            Sentence("{low} or more", low=low),
            Sentence("down, or it lies on the bottom"),
        )
    apart = Sentence("{low} to {high}", low=Rough(DEPTH, found.band.low, unit=False), high=high)
    alike = Sentence("{depth}", depth=high)
    return (
        Sentence("{depth}", depth=Apart(low, high, apart, alike)),
        Sentence("down, eight times in ten"),
    )


def aside_words(found: WaterStudy) -> Sentence:
    """The depth at another angle, in a few words; nothing in still water, where there is none."""
    if found.state is State.HANGS:
        return NOTHING
    figure, _ = figure_words(found)
    if found.fishing.angle == 0.0:
        return Sentence("{figure} straight below", figure=figure)
    degrees = Number(math.degrees(found.fishing.angle))
    return Sentence("{figure} at {degrees}° across", figure=figure, degrees=degrees)


def causes(found: WaterStudy) -> tuple[Effect, ...]:
    """The two things that make the band so wide, the larger first; none where there is no band."""
    if found.state not in (State.LEVEL, State.UNDER):
        return ()
    return tuple(effect for effect in found.band.effects if effect.size > 0.0)[:2]


def effect_words(effect: Effect) -> Sentence:
    """How much shallower and how much deeper one cause may make it."""
    minus, plus = Rough(DEPTH, effect.minus), Rough(DEPTH, effect.plus)
    if math.isnan(effect.plus):
        return Sentence("{minus} shallower, or on the bottom", minus=minus)
    if effect.minus < HARDLY and effect.plus < HARDLY:
        return Sentence("hardly any, either way")
    if effect.minus < HARDLY:
        return Sentence("{plus} deeper", plus=plus)
    if effect.plus < HARDLY:
        return Sentence("{minus} shallower", minus=minus)
    return Sentence("{minus} shallower, {plus} deeper", minus=minus, plus=plus)


def ratio_words(found: Against | None) -> Sentence:
    """How deep one rig fishes beside another, in a few words."""
    if found is None:
        return Sentence("no figure to compare")
    if found.alike:
        return Sentence("equal, within 5 %")
    percent = Number(abs(found.ratio - 1.0) * 100.0)
    if found.ratio > 1.0:
        return Sentence("{percent} % deeper", percent=percent)
    return Sentence("{percent} % shallower", percent=percent)


def swing_words(fishing: Fishing) -> Sentence:
    """Where the line hangs, and in what."""
    speed = Current(fishing.speed)
    if fishing.speed == 0.0:
        return Sentence("Hanging in still water")
    if fishing.angle == 0.0:
        return Sentence("Straight below you, in a current of {speed}", speed=speed)
    degrees = Number(math.degrees(fishing.angle))
    return Sentence("{degrees}° across, in a current of {speed}", degrees=degrees, speed=speed)


def falls_words(found: Falls) -> Sentence:
    """How long the tip takes, and what of the fly."""
    tip = found.tip
    if tip is None:
        return Sentence("Nothing of this rig sinks ahead of its head.")
    if tip.rate <= 0.0:
        return Sentence("The tip floats.")
    if tip.on_bed:
        return Sentence(
            "The tip, at {rate}, is on the bed in {time}.",
            rate=SinkRate(tip.rate),
            time=Duration(round(tip.seconds)),
        )
    return Sentence(
        "The tip, at {rate}, is {depth} down in {time}.",
        rate=SinkRate(tip.rate),
        depth=Rough(DEPTH, tip.depth),
        time=Duration(tip.seconds),
    )


def lies_words(found: Lying, picture: Drawn) -> Sentence:
    """How the line lies, for whoever does not see it drawn."""
    under = Length(float(found.shape.along[-1]))
    if math.isnan(picture.slope):
        return Sentence("{length} of it is under water.", length=under)
    return Sentence(
        "{length} of it is under water; its tip slopes {degrees}°.",
        length=under,
        degrees=Number(math.degrees(picture.slope)),
    )


def curve_words(name: str, curve: DepthCurve, speed: float) -> Sentence:
    """What a curve of depth against current reads at one current [m/s]."""
    low, high = (
        Rough(DEPTH, float(np.interp(speed, curve.speed, each))) for each in (curve.low, curve.high)
    )
    if math.isnan(low.value):
        return Sentence("{rig}: on the bottom.", rig=name)
    if math.isnan(high.value):
        return Sentence("{rig}: {low} or more, or on the bottom.", rig=name, low=low)
    return Sentence("{rig}: {low} to {high}.", rig=name, low=low, high=high)


def angle_words(angle: float) -> Sentence:
    """Where the line hangs, from above."""
    if angle == 0.0:
        return Sentence("The line hangs straight below the rod, at 0°.")
    return Sentence(
        "The line hangs {degrees}° across the stream.", degrees=Number(math.degrees(angle))
    )


LOCAL_RULES = Sentence(
    "Some waters forbid weighted lines, tips or flies, and lead: the rules of the water come first."
)


def fished_words(found: WaterStudy) -> tuple[Sentence, ...]:
    """What is tied to it, and the river that it is fished in."""
    rig, fishing = found.rig, found.fishing
    said = [Sentence("Water: {water}.", water=water_words(fishing.water))]
    if rig.leader is not None:
        said.append(
            Sentence(
                "Leader: {length}, {diameter} thick.",
                length=Length(rig.leader.length),
                diameter=Diameter(rig.leader.diameter),
            )
        )
    if rig.fly is not None:
        said.append(Sentence("Fly: {fly}.", fly=rig.fly.kind))
    if math.isfinite(fishing.stream.bed):
        bed = Sentence("The river is {depth} deep.", depth=Depth(fishing.stream.bed))
        said.append(bed)
    if fishing.stream.slackens:
        said.append(Sentence("The current slackens toward the bed."))
    return tuple(said)
