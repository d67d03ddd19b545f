"""Which style of head suits a rod and its water: ruled out by arithmetic first, then by points."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from taperlab.model.casting import Cast, LoopBehind
from taperlab.model.line import Style
from taperlab.model.rod import Rod, Window
from taperlab.model.which_head import Answers, Casting
from taperlab.shop.room.study import Parts, RoomStudy, longest
from taperlab.shop.room.study import study as room_study
from taperlab.trade.head_choice import (
    HeadBand,
    head_bands,
    long_rod,
    rooms,
    tip_for,
    wading_depth,
)
from taperlab.trade.reasons import (
    Question,
    Reason,
    Reasons,
    RodSize,
    RoomSize,
    shipped_reasons,
)
from taperlab.units.finding import Impossible
from taperlab.units.language import later

_CASTS = {
    Casting.LEARNING: Cast.SUSTAINED,
    Casting.SUSTAINED: Cast.SUSTAINED,
    Casting.TOUCH_AND_GO: Cast.TOUCH_AND_GO,
    Casting.LONG_LINES: Cast.TOUCH_AND_GO,
}

BY_A_LITTLE = 1
"""A lead of so many points is no clear one."""


class Out(StrEnum):
    """Why a style is ruled out."""

    ROD = later("no length of it fits the rod")
    ROOM = later("its shortest head wants more room")


@dataclass(frozen=True, slots=True)
class Counted:
    """A reason that counts, and its points for one style."""

    reason: Reason
    points: int


@dataclass(frozen=True, slots=True)
class Candidate:
    """One style of head on a rod.

    low, high: lengths of head [m]: what the style's band leaves on the rod, cut to the room where
    it is not ruled out. room: what the shortest wants. out: why it is ruled out; None where it is
    not. reasons: those that count, whatever their points.
    """

    band: HeadBand
    low: float
    high: float
    room: RoomStudy
    out: Out | None
    reasons: tuple[Counted, ...]

    @property
    def style(self) -> Style:
        """The style."""
        return self.band.style

    @property
    def points(self) -> int:
        """All of its points."""
        return sum(each.points for each in self.reasons)

    @property
    def wants(self) -> float:
        """Room that its shortest head wants in a round loop [m]; at least the leant rod's own."""
        if self.room.loop:
            return self.room.round
        return max(0.0, -self.room.ends.tip_ahead)


@dataclass(frozen=True, slots=True)
class Advice:
    """What a head of a style that wins should be like.

    low, high: its length; tip: that of the tip that goes with it, None for none [m]. from_ratio,
    to_ratio: of what practice counts over the rod. window: the rod's own for the style: the only
    thing that its weight is told by.
    """

    style: Style
    low: float
    high: float
    from_ratio: float
    to_ratio: float
    window: Window | None
    tip: float | None


@dataclass(frozen=True, slots=True)
class HeadChoice:
    """What suits a rod and its water.

    candidates: all styles, the best first, then those that are ruled out. winners: those with most
    points; several are a tie. lead: points before the next; None where no other is left.
    """

    rod: Rod
    answers: Answers
    behind: LoopBehind
    candidates: tuple[Candidate, ...]
    winners: tuple[Advice, ...]
    lead: int | None

    @property
    def left(self) -> tuple[Candidate, ...]:
        """Styles that are not ruled out, the best first."""
        return tuple(each for each in self.candidates if each.out is None)

    @property
    def ruled_out(self) -> tuple[Candidate, ...]:
        """Styles that are."""
        return tuple(each for each in self.candidates if each.out is not None)

    @property
    def is_answered(self) -> bool:
        """Whether anything was answered besides which rod it is."""
        return self.answers != Answers(extra=self.answers.extra)

    @property
    def is_tie(self) -> bool:
        """Whether several are as good."""
        return len(self.winners) > 1

    @property
    def by_a_little(self) -> bool:
        """Whether the lead is no clear one."""
        return self.lead is not None and 0 < self.lead <= BY_A_LITTLE

    @property
    def nothing_fits_well(self) -> bool:
        """Whether more speaks against the best than for it."""
        return bool(self.left) and self.left[0].points < 0

    @property
    def styles(self) -> tuple[Style, ...]:
        """The styles that win."""
        return tuple(each.style for each in self.winners)

    def candidate(self, style: Style) -> Candidate:
        """One style. Raises StopIteration for one that is not chosen among."""
        return next(each for each in self.candidates if each.style is style)


def check_rod(rod: Rod | None) -> Rod:
    """The rod, if heads are chosen for it. Raises Impossible."""
    if rod is None:
        raise Impossible("Choose a rod first.")
    if not rod.two_handed:
        raise Impossible(
            "These heads are for two-handed rods, and {rod} is for one hand.", rod=rod.name
        )
    return rod


def study(
    rod: Rod, answers: Answers, behind: LoopBehind, reasons: Reasons | None = None
) -> HeadChoice:
    """Which head suits a rod and its water. Raises Impossible for a rod that is for one hand.

    behind: how the loop behind is formed, where the answers do not say. reasons: else the shipped.
    """
    check_rod(rod)
    table = shipped_reasons() if reasons is None else reasons
    habit = behind_of(answers, behind)
    counting = _counting(rod, answers, table)
    found = [_candidate(band, rod, answers, habit, counting) for band in head_bands()]
    found.sort(key=lambda each: (each.out is not None, each.out is None and -each.points))
    left = [each for each in found if each.out is None]
    best = [each for each in left if each.points == left[0].points]
    others = left[len(best) :]
    lead = None
    if best:
        lead = 0 if len(best) > 1 else best[0].points - others[0].points if others else None
    winners = tuple(advice_of(each, rod) for each in best)
    return HeadChoice(rod, answers, habit, tuple(found), winners, lead)


def behind_of(answers: Answers, behind: LoopBehind) -> LoopBehind:
    """How the loop behind is formed by one who answers so."""
    told = replace(behind, peel=None, aside=None, on_water=None)
    if answers.casting is not None:
        told = replace(told, cast=_CASTS[answers.casting])
    if answers.wading is not None:
        told = replace(told, wading=min(wading_depth(answers.wading), 0.9 * told.hands))
    return told


def room_size(room: float | None) -> RoomSize | None:
    """What a room behind [m] is called; nothing between tight and open."""
    if room is None:
        return None
    if room < rooms().tight_below:
        return RoomSize.TIGHT
    return RoomSize.OPEN if room >= rooms().open_from else None


def rod_size(length: float) -> RodSize:
    """What a rod so long [m] is called."""
    return RodSize.LONG if length >= long_rod() * (1.0 - 1e-9) else RodSize.SHORT


def answer_to(question: Question, rod: Rod, answers: Answers) -> StrEnum | None:
    """What was answered to a question, as the table of reasons has it."""
    return {
        Question.ROD: rod_size(rod.length),
        Question.THROWN: answers.thrown,
        Question.ROOM: room_size(answers.room),
        Question.WATER: answers.water,
        Question.STRIPPING: answers.stripping,
        Question.CASTING: answers.casting,
        Question.WADING: answers.wading,
    }[question]


def parts_of(band: HeadBand, head: float, rod_length: float) -> Parts:
    """What is cast where a head is so long [m]: with the tip that practice counts."""
    return Parts(head, tip_for(rod_length) if band.with_tip else 0.0)


@lru_cache(maxsize=512)
def _wanted(parts: Parts, rod_length: float, habit: LoopBehind) -> RoomStudy:
    """The room that what is cast wants; kept, since most answers leave it as it is."""
    return room_study(parts, rod_length, habit, habits=False)


def _counting(rod: Rod, answers: Answers, table: Iterable[Reason]) -> tuple[Reason, ...]:
    order = list(Question)
    found = [each for each in table if answer_to(each.question, rod, answers) == each.answer]
    return tuple(sorted(found, key=lambda each: order.index(each.question)))


def _candidate(
    band: HeadBand, rod: Rod, answers: Answers, habit: LoopBehind, counting: tuple[Reason, ...]
) -> Candidate:
    low, high = band.lengths(rod.length, tip_for(rod.length))
    shortest = parts_of(band, low, rod.length)
    room = _wanted(shortest, rod.length, habit)
    reasons = tuple(Counted(each, each.for_style(band.style)) for each in counting)
    found = Candidate(band, low, high, room, None, reasons)
    # The standard's classes begin beyond the length where the one before ends.
    if high < low or (band.shortest and high <= low):
        return replace(found, out=Out.ROD)
    if answers.room is None:
        return found
    most = answers.room + rooms().grace
    if found.wants > most:
        return replace(found, out=Out.ROOM)
    cut = longest(shortest, rod.length, habit, most, habits=False).round
    if math.isfinite(cut):
        found = replace(found, high=max(low, min(high, cut)))
    return found


def advice_of(candidate: Candidate, rod: Rod) -> Advice:
    """What a head of a style should be like on a rod."""
    band = candidate.band
    tip = tip_for(rod.length) if band.with_tip else None
    beside = tip or 0.0
    return Advice(
        band.style,
        candidate.low,
        candidate.high,
        (candidate.low + beside) / rod.length,
        (candidate.high + beside) / rod.length,
        rod.window_for(band.style),
        tip,
    )
