"""What is looked at and what is laid over it, thrown alike; the room behind that the first wants.

Live: a millisecond or so for each line. The film, which takes longer, is :func:`films`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from taperlab.model.bench import Bench
from taperlab.model.casting import LoopBehind, Throw
from taperlab.model.exact_units import FOOT
from taperlab.model.rig import FlyKind
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.shop.rig import Looped, looped
from taperlab.shop.room import study as room
from taperlab.shop.room.study import DrawnLoop, Longest, Parts, RoomStudy
from taperlab.shop.steps import Steps, part
from taperlab.shop.turnover import study as turnover
from taperlab.shop.turnover.film import Film, film
from taperlab.shop.turnover.study import Against, TurnoverStudy, compare
from taperlab.shop.whole import Whole
from taperlab.trade.flies import flies
from taperlab.units.finding import Impossible
from taperlab.units.sentence import NOTHING, Sentence

USUAL_ROOM = 8.0 * FOOT
"""The room behind that a head is told for where nobody said how much there is [m]: ours."""

MOST = 6
"""So many lines are thrown at the most: the one looked at, and five laid over it."""


@dataclass(frozen=True, eq=False, slots=True)
class Thrown:
    """A line or a rig that is thrown. key, name: its own on the bench.

    study: None where nothing can be told of it, and problem says why.
    """

    key: str
    name: str
    rig: Looped | None
    study: TurnoverStudy | None
    problem: Sentence = NOTHING


@dataclass(frozen=True, eq=False, slots=True)
class AirStudy:
    """What is thrown: the one looked at, and the others.

    against: each of the others beside the first, None where one of the two can't be told. behind,
    longest, drawn: the room behind that the first wants, and how long a head the room that there
    is takes; None without a rod or a head. room: that room [m].
    """

    throw: Throw
    behind_as: LoopBehind
    first: Thrown
    others: tuple[Thrown, ...]
    against: tuple[Against | None, ...]
    room: float
    behind: RoomStudy | None
    longest: Longest | None
    drawn: DrawnLoop | None

    @property
    def all(self) -> tuple[Thrown, ...]:
        """The one looked at, then the others."""
        return (self.first, *self.others)

    @property
    def asks(self) -> tuple[Parts, float, LoopBehind, float] | None:
        """What the room behind hangs on: lengths, rod, how the loop is formed, room there is."""
        found = self.behind
        if found is None:
            return None
        return found.parts, found.rod_length, found.behind, self.room

    @property
    def highest(self) -> float:
        """No line of them gets higher above the water [m]: thrown up freely, it falls again."""
        up = self.throw.speed * max(0.0, math.sin(self.throw.launch))
        return self.throw.rod_tip + self.throw.loop_height + up**2 / (2.0 * STANDARD_GRAVITY)


def rig_of(whole: Whole, bench: Bench) -> Looped:
    """What is looked at, as it is cast: with the leader and the fly that it is fished with.

    Raises Impossible where it has no head in one piece.
    """
    if whole.looped is not None:
        return whole.looped
    fly = bench.swing.fly or flies()[FlyKind.USUAL].fly
    return looped(whole.line, leader=bench.swing.leader, fly=fly)


def study(
    first: Whole, others: Sequence[Whole], bench: Bench, known: AirStudy | None = None
) -> AirStudy:
    """Throw what is looked at and what is laid over it as the bench says.

    known: an earlier study, of which all is taken over that is still so.
    """
    before = {each.key: each for each in known.all} if known else {}
    thrown = [_thrown(each, bench, before.get(each.key)) for each in (first, *others[: MOST - 1])]
    one, *rest = thrown
    against = tuple(
        compare(each.study, one.study) if each.study and one.study else None for each in rest
    )
    there = room_of(bench)
    behind = turned = drawn = None
    rod = bench.chosen_rod
    if rod is not None and one.rig is not None:
        parts = Parts.of(one.rig)
        asked = parts, rod.length, bench.behind
        if known is not None and known.behind is not None and known.asks == (*asked, there):
            behind, turned, drawn = known.behind, known.longest, known.drawn
        else:
            behind = room.study(*asked)
            turned = room.longest(*asked, there)
            drawn = room.drawn(behind)
    return AirStudy(
        bench.throw, bench.behind, one, tuple(rest), against, there, behind, turned, drawn
    )


def room_of(bench: Bench) -> float:
    """The room behind that there is [m], or a usual one."""
    return USUAL_ROOM if bench.answers.room is None else bench.answers.room


def films(rigs: Sequence[Looped], throw: Throw) -> Steps[tuple[Film | Sentence, ...]]:
    """A film of each, or why there is none."""
    shot: list[Film | Sentence] = []
    for i, each in enumerate(rigs):
        start, end = i / len(rigs), (i + 1) / len(rigs)
        try:
            shot.append((yield from part(film(each, throw), start, end)))
        except Impossible as problem:
            shot.append(problem.sentence)
    return tuple(shot)


def _thrown(whole: Whole, bench: Bench, known: Thrown | None) -> Thrown:
    rig = None
    try:
        rig = rig_of(whole, bench)
        before = None
        if known is not None and known.study is not None and known.rig == rig:
            before = known.study
            if known.name == whole.name and before.throw == bench.throw:
                return known
        return Thrown(whole.key, whole.name, rig, turnover.study(rig, bench.throw, before))
    except Impossible as problem:
        return Thrown(whole.key, whole.name, rig, None, problem.sentence)
