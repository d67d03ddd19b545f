"""What is said of a rig that is thrown."""

from __future__ import annotations

import math

from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.shop.rough import about, from_to
from taperlab.shop.turnover.film import SPEEDS_UP_TO, Beside, Ending, Film
from taperlab.shop.turnover.study import Against, Better, TurnoverStudy, Verdict
from taperlab.units.kinds import GUIDES, LINE_SPEED
from taperlab.units.sentence import (
    Apart,
    Duration,
    Length,
    LineSpeed,
    Number,
    Quantity,
    Sentence,
    Several,
    Value,
    WeightPerLength,
)

NOT_COUNTED = Sentence(
    "Not in it: what moves out of the plane, wind, the rod after its stop, the anchor, a wet line. "
    "No cast was measured for these figures."
)

FILM_IS_HELD = Sentence("The film does not shoot: it shows the line held at the rod tip.")

SHOT_NOT_IN = Sentence(
    "Where a line gives its energy away is plotted as for one that is held. What is shot after the "
    "loop has rolled out is not counted, and whether line and guides are wet or dry is not "
    "modelled."
)

NO_SCORE = Sentence(
    "Speed needed and energy left rank heads differently: a long fine front needs less and arrives "
    "soft, a heavy tip needs least and arrives hard."
)


def speeds(low: float, high: float) -> Value:
    """Between two line speeds [m/s]: ``38 to 57 ft/s``."""
    slow, fast = Quantity(LINE_SPEED, low, unit=False), LineSpeed(high)
    apart = Sentence("{low} to {high}", low=slow, high=fast)
    return Apart(LineSpeed(low), fast, apart, Sentence("{speed}", speed=fast))


def needed_words(found: TurnoverStudy) -> Sentence:
    """The line speed that is needed."""
    if math.isinf(found.needed.estimate) and found.shooting is not None:
        return Sentence(
            "Shooting so freely, it lands before it turns over, at this line speed and any above: "
            "held more, it may not."
        )
    if math.isinf(found.needed.estimate):
        return Sentence("Thrown so far down, it lands before it turns over at any line speed.")
    return Sentence(
        "To turn over before it lands it needs a line speed of {band}.",
        band=speeds(found.needed.low, found.needed.high),
    )


def figure_words(found: TurnoverStudy) -> Sentence:
    """The line speed that is needed in large letters."""
    if math.isinf(found.needed.estimate):
        return Sentence("No speed")
    return Sentence("{band}", band=speeds(found.needed.low, found.needed.high))


def verdict_words(found: TurnoverStudy) -> Sentence:
    """Whether it turns over at the line speed that is asked about."""
    speed = LineSpeed(found.throw.speed)
    if found.verdict is Verdict.YES:
        return Sentence("At {speed} it turns over in time.", speed=speed)
    if found.verdict is Verdict.NO:
        return Sentence("At {speed} it lands before it has turned over.", speed=speed)
    return Sentence("At {speed} it is too close to call.", speed=speed)


def landing_words(found: TurnoverStudy) -> Sentence:
    """What the verdict hangs on besides the line: always beside it."""
    return Sentence(
        "With the rod tip {rod_tip} above the water, thrown {degrees}° up, in a loop {loop} high: "
        "these decide more than the taper.",
        rod_tip=Length(found.throw.rod_tip),
        degrees=Number(math.degrees(found.throw.launch)),
        loop=Length(found.throw.loop_height),
    )


def arrives_words(found: TurnoverStudy) -> Sentence:
    """How hard it arrives."""
    percent = Number(100.0 * found.energy_left)
    if found.kicks:
        return Sentence(
            "{percent} % of the energy is left at the fly: the tip is likely to kick.",
            percent=percent,
        )
    return Sentence("{percent} % of the energy is left at the fly.", percent=percent)


def time_words(found: TurnoverStudy) -> Sentence:
    """How long it takes, and how high it is then."""
    time = Duration(found.time)
    if found.height <= 0.0:
        return Sentence("It would take {time} to turn over, and lands before.", time=time)
    return Sentence(
        "It turns over in {time}, {height} above the water.",
        time=time,
        height=about(found.height),
    )


def gives_away_words(found: TurnoverStudy) -> Sentence:
    """Where the line gives its energy to the air."""
    spans = found.gives_away
    if not spans:
        return Sentence("It speeds up all along: the air takes less than the line gives.")
    if len(spans) == 1 and spans[0][0] <= found.run.at[0]:
        return Sentence("It slows down all along: the air takes more than the line gives.")
    return Sentence(
        "From the rod tip it gives more to the air than it gains: {spans}.",
        spans=Several(tuple(from_to(low, high) for low, high in spans)),
    )


def look_again_words(found: TurnoverStudy) -> Sentence | None:
    """Whether the film should be looked at besides, and why."""
    if not found.look_again:
        return None
    return Sentence(
        "These figures are for ranking. Look at the film as well: {why}.",
        why=Several(found.look_again),
    )


def against_words(one: TurnoverStudy, other: TurnoverStudy, found: Against) -> tuple[Sentence, ...]:
    """Which of two rigs needs less line speed, and which arrives softer."""
    names = {"one": one.rig.cast.name, "other": other.rig.cast.name}
    needed, energy = (
        Number(100.0 * abs(each - 1.0)) if math.isfinite(each) else Number(math.inf)
        for each in (found.needed, found.energy)
    )
    slower = {
        Better.TIE: Sentence("Line speed needed: a tie, within 5 %."),
        Better.ONE: Sentence(
            "{one} needs {percent} % less line speed than {other}.", percent=needed, **names
        ),
        Better.OTHER: Sentence(
            "{one} needs {percent} % more line speed than {other}.", percent=needed, **names
        ),
    }
    arrives = {
        Better.TIE: Sentence("Energy left at the fly: a tie, within 5 %."),
        Better.ONE: Sentence(
            "{one} arrives with {percent} % less energy than {other}.", percent=energy, **names
        ),
        Better.OTHER: Sentence(
            "{one} arrives with {percent} % more energy than {other}.", percent=energy, **names
        ),
    }
    return slower[found.needs_less], arrives[found.arrives_softer]


def remarks(found: TurnoverStudy) -> tuple[Sentence, ...]:
    """What else is to be said."""
    look = look_again_words(found)
    again = (look,) if look else ()
    return (*shot_words(found), *goes_words(found), *again, NO_SCORE, NOT_COUNTED)


def shot_words(found: TurnoverStudy) -> tuple[Sentence, ...]:
    """How much line is shot, and what that costs; nothing where none is meant to be."""
    if found.shooting is None:
        return ()
    shot = found.shooting.shot
    if shot.shot <= 0.0:
        held = Sentence("No running line is shot: the guides hold more than the line pulls.")
        return held, FILM_IS_HELD
    told = Sentence(
        "{length} of running line is shot by then: the guides take {guides} % of the energy, "
        "picking it up {pickup} %.",
        length=about(shot.shot),
        guides=Number(100.0 * shot.guides_share),
        pickup=Number(100.0 * shot.pickup_share),
    )
    return told, FILM_IS_HELD


def goes_words(found: TurnoverStudy) -> tuple[Sentence, ...]:
    """Where the energy of a line that is held goes; of one that shoots, with what and what not."""
    if found.shooting is None:
        return (gives_away_words(found),)
    running = found.shooting.running
    return (
        Sentence(
            "Running line of {weight}, {source}; it lies slack, and {guides} just draws it "
            "through the guides.",
            weight=WeightPerLength(running.mass),
            source=found.shooting.source,
            guides=Quantity(GUIDES, running.friction / STANDARD_GRAVITY),
        ),
        SHOT_NOT_IN,
    )


def beside_words(each: Beside) -> Sentence:
    """The film's figure and the live one, at one share of the fly's way.

    Speeds up to the half, and times past it: what the number of links does not show in.
    """
    percent = Number(100.0 * each.share)
    if each.share <= SPEEDS_UP_TO:
        return Sentence(
            "At {percent} % of its way: {film} in the film, {live} worked out.",
            percent=percent,
            film=LineSpeed(each.film_speed),
            live=LineSpeed(each.live_speed),
        )
    return Sentence(
        "At {percent} % of its way: after {film} in the film, {live} worked out.",
        percent=percent,
        film=Duration(each.film_time),
        live=Duration(each.live_time),
    )


def film_words(shown: Film) -> tuple[Sentence, ...]:
    """How the film ends, and what of it is not in the model."""
    return _ends(shown), *_touches(shown)


def _ends(shown: Film) -> Sentence:
    time = Duration(shown.length)
    if shown.ending is Ending.TURNED:
        return Sentence(
            "After {time} the fly passes the end of the line. Here the film ends: a line that does "
            "not stretch would rebound as no real one does.",
            time=time,
        )
    if shown.ending is Ending.LANDED:
        return Sentence("After {time} the fly lands, before it has turned over.", time=time)
    if shown.ending is Ending.LATE:
        return Sentence("After {time} it still has not turned over.", time=time)
    return Sentence(
        "The film was stopped after {time}: its energy no longer adds up from there on.", time=time
    )


def _touches(shown: Film) -> tuple[Sentence, ...]:
    if shown.touches >= shown.length:
        return ()
    return (
        Sentence(
            "After {time} the line touches the water: how the water holds it is not in the film.",
            time=Duration(shown.touches),
        ),
    )
