"""What is said of which head suits a rod and its water."""

from __future__ import annotations

from collections.abc import Iterable

from taperlab.model.line import Style
from taperlab.model.rod import Measured, Rod
from taperlab.shop.rough import about, from_to, written_window
from taperlab.shop.which_head.changes import Change
from taperlab.shop.which_head.fit import HeadFit
from taperlab.shop.which_head.points import ASKED
from taperlab.shop.which_head.study import (
    BY_A_LITTLE,
    Advice,
    Candidate,
    HeadChoice,
    Out,
)
from taperlab.trade.windows import Place
from taperlab.units.sentence import (
    Length,
    Number,
    RodLength,
    Sentence,
    Several,
    Value,
    Weight,
    counted,
    listed,
)

ESTIMATE = Sentence(
    "Room behind is an estimate from geometry: from a round loop to the largest that any shape of "
    "line makes. Grass, wind and habit take more."
)

POINTS = Sentence(
    "The points are common practice and a matter of taste: a shop can put its own table in their "
    "place. An instructor who has seen you cast knows better."
)


def outcome_words(found: HeadChoice) -> tuple[Sentence, Sentence]:
    """The style or styles that win, in large letters, and by how much."""
    if not found.is_answered:
        return Sentence("Not said yet"), Sentence("answer a question or two")
    if not found.winners:
        return Sentence("Nothing fits"), Sentence("every style is ruled out by the arithmetic")
    names = Sentence("{styles}", styles=_styles(found.styles))
    if found.nothing_fits_well:
        return names, Sentence("nothing fits well; least bad")
    if found.is_tie:
        return names, Sentence("a tie")
    others = found.left[1:]
    if not others:
        return names, Sentence("the only one that is not ruled out")
    next_best = [each.style for each in others if each.points == others[0].points]
    if found.by_a_little:
        return names, Sentence("by a little, over {styles}", styles=_styles(next_best))
    return names, Sentence(
        "by {lead} points, over {styles}", lead=found.lead or 0, styles=_styles(next_best)
    )


def outcome_in_short(styles: Iterable[Style], lead: int | None) -> Sentence:
    """Which styles win, in a cell."""
    names = tuple(styles)
    if not names:
        return Sentence("nothing fits")
    if len(names) > 1:
        return Sentence("a tie of {styles}", styles=_styles(names))
    if lead is not None and lead <= BY_A_LITTLE:
        return Sentence("{style}, by a little", style=names[0])
    return Sentence("{style}", style=names[0])


def out_words(candidate: Candidate, found: HeadChoice) -> Sentence:
    """Why a style is ruled out, with its arithmetic."""
    rod, low = found.rod.length, candidate.low
    if candidate.out is Out.ROD:
        return Sentence(
            "{style}: from {length} on such a head is {ratio} times the rod or more, and {most} is "
            "the limit.",
            style=candidate.style,
            length=about(low),
            ratio=Number(low / rod, 1),
            most=Number(candidate.band.to_ratio, 1),
        )
    return Sentence(
        "{style}: its shortest head, {length}, wants {wanted} behind you, and there are {room}.",
        style=candidate.style,
        length=about(low),
        wanted=from_to(candidate.room.round, candidate.room.pointed)
        if candidate.room.loop
        else about(candidate.wants),
        room=about(found.answers.room or 0.0),
    )


def sum_words(found: HeadChoice) -> Sentence:
    """What the sums of points come to."""
    if found.lead is None:
        return Sentence("The only one that is not ruled out.")
    if not found.lead:
        return Sentence("As many points: a tie.")
    if found.by_a_little:
        return Sentence("A lead of one: by a little.")
    return Sentence("A lead of {lead}.", lead=found.lead)


def room_in_short(candidate: Candidate) -> Sentence:
    """What the shortest head of a style wants, in a cell."""
    return Sentence(
        "{length} head wants {room}", length=about(candidate.low), room=about(candidate.wants)
    )


def ruled_out_words(candidate: Candidate) -> Sentence:
    """What is said beside a style's room: what it wants, or that no length of it fits."""
    if candidate.out is Out.ROD:
        return Sentence("no length fits the rod")
    return room_in_short(candidate)


def windows_words(rod: Rod, styles: Iterable[Style]) -> Sentence:
    """The rod's own windows for some styles, or that it has none."""
    said = []
    for style in styles:
        window = rod.window_for(style)
        if window is not None:
            weights = written_window(window.lightest, window.heaviest)
            said.append(Sentence("{style} {weights}", style=style, weights=weights))
    if not said:
        return Sentence("no grain window for these styles")
    return Sentence("{windows}", windows=listed(*said))


def length_words(advice: Advice) -> tuple[Sentence, Sentence]:
    """How long the head should be, and what that is of the rod."""
    ratio = Sentence(
        "{low} to {high} times the rod",
        low=Number(advice.from_ratio, 1),
        high=Number(advice.to_ratio, 1),
    )
    if advice.tip is not None:
        ratio = Sentence("with its tip {ratio}", ratio=ratio)
    return Sentence("{lengths}", lengths=from_to(advice.low, advice.high)), ratio


def weight_words(advice: Advice) -> tuple[Sentence, Sentence]:
    """What the head may weigh, by the rod’s own window alone, and who says so."""
    window = advice.window
    if window is None:
        return (
            Sentence("ask its maker"),
            Sentence("the rod has no grain window for {style}", style=advice.style),
        )
    said = written_window(window.lightest, window.heaviest)
    if window.measured_on is Measured.HEAD_AND_TIP:
        return said, Sentence("head and tip, from the rod’s own grain window")
    return said, Sentence("from the rod’s own grain window")


def tip_words(advice: Advice) -> tuple[Sentence, Sentence]:
    """Which tip goes with it."""
    if advice.tip is None:
        return Sentence("none"), Sentence("practice counts none with this style")
    return (
        Sentence("{length}", length=about(advice.tip)),
        Sentence("common practice for such a rod, and never longer than the rod"),
    )


def change_words(change: Change) -> Sentence:
    """Another answer, and what would suit then."""
    outcome = outcome_in_short(change.styles, change.lead)
    if isinstance(change.answer, Rod):
        return Sentence("With {rod}: {outcome}.", rod=change.answer.name, outcome=outcome)
    if isinstance(change.answer, float):
        return Sentence(
            "With {room} behind you: {outcome}.", room=about(change.answer), outcome=outcome
        )
    return Sentence(
        "{question}, {answer}: {outcome}.",
        question=ASKED[change.question],
        answer=change.answer,
        outcome=outcome,
    )


def fit_words(fit: HeadFit, found: HeadChoice) -> tuple[Sentence, ...]:
    """How a head that is there fits: style, length, weight, room."""
    rod = RodLength(found.rod.length)
    said = []
    candidate = fit.candidate
    if candidate is None:
        said.append(Sentence("{style} is not among the styles chosen from.", style=fit.line.style))
    elif candidate.style in found.styles:
        said.append(Sentence("{style}: what suits best.", style=candidate.style))
    elif candidate.out is not None:
        said.append(out_words(candidate, found))
    else:
        said.append(
            Sentence(
                "{style}: {points} points, and the best has {best}.",
                style=candidate.style,
                points=candidate.points,
                best=found.left[0].points,
            )
        )
    if fit.off < 0.0:
        said.append(
            Sentence("{length} too short for a rod of {rod}.", length=Length(-fit.off), rod=rod)
        )
    elif fit.off > 0.0:
        said.append(
            Sentence("{length} too long for a rod of {rod}.", length=Length(fit.off), rod=rod)
        )
    said.append(_weight_fit(fit))
    if fit.too_little_room and fit.room is not None:
        said.append(
            Sentence("It wants {room} behind you.", room=from_to(fit.room.round, fit.room.pointed))
        )
    return tuple(said)


def fit_in_short(fit: HeadFit) -> Sentence:
    """How a head that is there fits, in a cell."""
    if fit.faults:
        return counted("one thing speaks against it", "{count} things speak against it", fit.faults)
    if fit.place is None:
        return Sentence("fits, but the rod has no grain window for it")
    return Sentence("fits")


def head_in_short(fit: HeadFit) -> Sentence:
    """What a head that is there is, in a cell."""
    return Sentence(
        "{style}, {length}, {weight}",
        style=fit.line.style,
        length=Length(fit.length),
        weight=Weight(fit.mass),
    )


def _weight_fit(fit: HeadFit) -> Sentence:
    if fit.place is None or fit.to_edge is None:
        return Sentence("The rod has no grain window for this head: ask its maker.")
    if fit.place is Place.INSIDE:
        return Sentence("Its weight, {weight}, is in the grain window.", weight=Weight(fit.mass))
    return Sentence(
        "Its weight, {weight}, is {off} {place}.",
        weight=Weight(fit.mass),
        off=Weight(fit.to_edge),
        place=fit.place,
    )


def _styles(styles: Iterable[Style]) -> Value:
    return Several(tuple(styles))
