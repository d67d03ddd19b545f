"""What is said of what is looked at and what is laid over it, in the air."""

from __future__ import annotations

import math

from taperlab.model.casting import Throw
from taperlab.shop.air.study import AirStudy, Thrown
from taperlab.shop.rig import Looped
from taperlab.shop.room.study import on_water_of
from taperlab.shop.rough import about
from taperlab.shop.turnover.study import Against, Better, TurnoverStudy
from taperlab.shop.turnover.words import speeds
from taperlab.units.kinds import BESIDE, LAUNCH, LEAN
from taperlab.units.sentence import (
    NOTHING,
    Diameter,
    Length,
    LineSpeed,
    Number,
    Quantity,
    Sentence,
    Several,
)

NOT_WET = Sentence("Whether the line is wet or dry is not modelled.")

NO_ROD = Sentence("Choose a rod: the room behind hangs on its length.")


def tied_words(rig: Looped) -> Sentence:
    """What is tied to what is looked at."""
    leader = Sentence("no leader")
    if rig.leader is not None:
        leader = Sentence(
            "a leader of {length}, {diameter} thick",
            length=Length(rig.leader.length),
            diameter=Diameter(rig.leader.diameter),
        )
    if rig.fly is None:
        return Sentence("With {leader} and no fly.", leader=leader)
    return Sentence("With {leader} and a fly, {fly}.", leader=leader, fly=rig.fly.kind)


def thrown_as_words(throw: Throw) -> Sentence:
    """What the verdict hangs on besides the line, in a few words: always beside it."""
    return Sentence(
        "Rod tip {rod_tip} above the water, thrown {launch}, loop {loop} high: these decide more "
        "than the taper.",
        rod_tip=about(throw.rod_tip),
        launch=up_words(throw),
        loop=about(throw.loop_height),
    )


def up_words(throw: Throw) -> Sentence:
    """How it is launched: ``5° up``."""
    if throw.launch < 0.0:
        return Sentence("{angle} down", angle=Quantity(LAUNCH, -throw.launch))
    return Sentence("{angle} up", angle=Quantity(LAUNCH, throw.launch))


def energy_words(found: TurnoverStudy) -> Sentence:
    """What of the energy is left at the fly, in a few characters."""
    return Sentence("{percent} %", percent=Number(100.0 * found.energy_left))


def row_words(each: Thrown) -> Sentence:
    """One line that is thrown: the speed it needs and the energy left, or why that isn't told."""
    if each.study is None:
        return each.problem
    if math.isinf(each.study.needed.estimate):
        needs = Sentence("no speed would do")
    else:
        needs = Sentence("needs {band}", band=speeds(each.study.needed.low, each.study.needed.high))
    return Sentence(
        "{name}: {needs}, {left} of the energy left",
        name=each.name,
        needs=needs,
        left=energy_words(each.study),
    )


def tie_words(name: str, found: Against | None) -> Sentence:
    """How one of the others stands beside the first, in one line."""
    if found is None:
        return NOTHING
    needs = {
        Better.TIE: Sentence("a tie in speed"),
        Better.ONE: Sentence("needs less"),
        Better.OTHER: Sentence("needs more"),
    }[found.needs_less]
    arrives = {
        Better.TIE: Sentence("a tie at the fly"),
        Better.ONE: Sentence("arrives softer"),
        Better.OTHER: Sentence("arrives harder"),
    }[found.arrives_softer]
    if found.needs_less is found.arrives_softer is Better.TIE:
        return Sentence("{name}: a tie, within 5 %.", name=name)
    return Sentence("{name}: {needs}, {arrives}.", name=name, needs=needs, arrives=arrives)


def kick_words(found: AirStudy) -> Sentence:
    """Which of them are likely to kick."""
    kicking = [each.name for each in found.all if each.study is not None and each.study.kicks]
    if not kicking:
        return NOTHING
    if len(found.all) == 1:
        return Sentence("The tip is likely to kick.")
    return Sentence("Likely to kick: {names}.", names=Several(tuple(kicking)))


def heading_words(throw: Throw) -> Sentence:
    """What the plot of speeds is headed by."""
    return Sentence("cast at {speed}", speed=LineSpeed(throw.speed))


def faded_words() -> Sentence:
    """What is said where the film is faded."""
    return Sentence("faded: from here on it is not in the model")


def shown_words(found: AirStudy) -> Sentence:
    """What the drawing to scale shows, for those who cannot see it."""
    tip = about(found.throw.rod_tip)
    if found.behind is None:
        return Sentence("The loop ahead, from a rod tip {height} above the water.", height=tip)
    return Sentence(
        "From the side: the rod leant back with its tip {back} above the water, the line from "
        "there to the anchor {peel} ahead of you, and the loop ahead from {height} above it.",
        back=about(found.behind.ends.tip_height),
        peel=about(found.behind.ends.peel_ahead),
        height=tip,
    )


def cast_rows(found: AirStudy) -> tuple[tuple[Sentence, Sentence], ...]:
    """How it is cast: names and values."""
    throw, behind, study = found.throw, found.behind_as, found.behind

    def far(value: float) -> Sentence:
        return Sentence("{length}", length=Quantity(BESIDE, value))

    rows = [
        (Sentence("Cast"), Sentence("{cast}", cast=behind.cast)),
        (Sentence("Cast at"), Sentence("{speed}", speed=LineSpeed(throw.speed))),
        (Sentence("Rod tip, height"), far(throw.rod_tip)),
        (Sentence("Launch angle"), up_words(throw)),
        (Sentence("Loop height"), far(throw.loop_height)),
        (Sentence("Wading"), far(behind.wading)),
    ]
    if study is not None:
        lean = Sentence("{angle}", angle=Quantity(LEAN, behind.lean))
        rows += [
            (Sentence("Lean of the rod"), lean),
            (Sentence("Anchor, ahead"), far(study.ends.peel_ahead)),
            (Sentence("Anchor, aside"), far(study.ends.aside)),
            (Sentence("Line on the water"), far(on_water_of(behind, study.parts))),
        ]
    return tuple(rows)
