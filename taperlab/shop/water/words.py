"""What is said of a rig in the water."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.exact_units import FOOT
from taperlab.physics.tight_line import State
from taperlab.physics.water import water_state
from taperlab.shop.water.band import Against
from taperlab.shop.water.settling import FORGOTTEN, tip_and_leader
from taperlab.shop.water.study import WaterStudy
from taperlab.units.kinds import DEPTH, System
from taperlab.units.sentence import (
    Apart,
    Depth,
    Duration,
    Length,
    Number,
    Quantity,
    Sentence,
    SinkRate,
)

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


def remarks(found: WaterStudy) -> tuple[Sentence, ...]:
    """What else is to be said: where the figure does not hold, a drift, what is forgotten."""
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
