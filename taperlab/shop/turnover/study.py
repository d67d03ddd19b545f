"""Whether a rig turns over before it lands, and how hard it arrives: live figures of one rig.

They rank rigs, and rank them well; as absolute numbers they are as good as their band.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from taperlab.model.casting import Throw
from taperlab.physics import section
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.turnover import Flying, Turnover, turn_over, wave_of
from taperlab.shop.rig import Looped
from taperlab.shop.turnover.shooting import Shooting, running_of, shooting
from taperlab.units.finding import Impossible
from taperlab.units.language import later
from taperlab.units.sentence import Length

NEEDED_OFF = 0.2
"""How far off the line speed that is needed may be, as a share either way: ours."""

TIE = 0.05
"""Rigs that differ by less are a tie."""

LIKELY_TO_KICK = 0.15
"""With more of its energy left a tip is likely to kick: loosely supported."""

LARGE_STEP = 2.0
"""Where mass per length changes by more between neighbours, the film says more."""

_SOUGHT = 2e-3
"""The speed needed to shoot is sought as closely as this, as a share: a hundredth of its band."""

_WIDEN = 12
_MOST = 30


class Verdict(StrEnum):
    """Whether it turns over before it lands: values are what scripts read."""

    YES = later("yes")
    NO = later("no")
    CLOSE = later("too close to call")


class LookAgain(StrEnum):
    """Why the film should be looked at besides."""

    KICKS = later("much energy arrives at the fly")
    STEPS = later("the line’s weight per length changes in a large step")


@dataclass(frozen=True, slots=True)
class Needed:
    """Line speed needed to turn over before it lands [m/s]; inf where none would do."""

    estimate: float
    low: float
    high: float


@dataclass(frozen=True, eq=False, slots=True)
class TurnoverStudy:
    """A rig that is thrown.

    run: along the line, for any line speed. half, end: speed of the leg with the fly where half of
    the whole has unrolled, nan where that is not within the run, and as the fly enters the loop
    [m/s]. time: until then [s]. energy_left: of what there was [1]. height: of the fly then, above
    the water; below zero it has landed before [m]. shooting: what was shot; None where it is held.
    """

    rig: Looped
    throw: Throw
    run: Turnover
    half: float
    end: float
    time: float
    energy_left: float
    height: float
    needed: Needed
    verdict: Verdict
    look_again: tuple[LookAgain, ...]
    shooting: Shooting | None = None

    @property
    def kicks(self) -> bool:
        """Whether the tip is likely to kick."""
        return self.energy_left > LIKELY_TO_KICK

    @property
    def gives_away(self) -> tuple[tuple[float, float], ...]:
        """From where to where the line gives its energy to the air [m from the rod tip]."""
        at, over = self.run.at, self.run.drags - self.run.weighs
        gives = np.concatenate(([False], over > 0.0, [False]))
        edges = np.flatnonzero(gives[1:] != gives[:-1])
        return tuple(
            (self._crossing(first), self._crossing(last) if last < len(at) else float(at[-1]))
            for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
        )

    def _crossing(self, i: int) -> float:
        """Where the air begins, or ends, to take more, at an edge or between it and the last."""
        at, over = self.run.at, self.run.drags - self.run.weighs
        weighs = self.run.weighs
        if i == 0 or abs(weighs[i] - weighs[i - 1]) > 0.2 * weighs[i - 1]:
            return float(at[i])
        share = over[i - 1] / (over[i - 1] - over[i])
        return float(at[i - 1] + share * (at[i] - at[i - 1]))


class Better(StrEnum):
    """Which of two rigs has less of something."""

    ONE = later("the first")
    OTHER = later("the second")
    TIE = later("a tie")


@dataclass(frozen=True, slots=True)
class Against:
    """One rig over another: ratios of the speeds needed and of the energies left [1].

    They rank the same rigs differently, and there is no one score.
    """

    needed: float
    energy: float

    @property
    def needs_less(self) -> Better:
        """Which needs less line speed."""
        return _better(self.needed)

    @property
    def arrives_softer(self) -> Better:
        """Which arrives with less energy."""
        return _better(self.energy)

    @property
    def look_again(self) -> bool:
        """Whether the film should be looked at besides."""
        return Better.TIE in (self.needs_less, self.arrives_softer)


def flying(rig: Looped) -> Flying:
    """A rig as it flies, with its leader and fly."""
    return Flying.of(rig.rigging(), rig.fly.mass if rig.fly else 0.0)


def study(rig: Looped, throw: Throw, known: TurnoverStudy | None = None) -> TurnoverStudy:
    """Everything about one rig in one throw. Raises Impossible where nothing can turn over.

    known: of the same rig in another throw, whose run serves this one where the loop is the same.
    """
    shot, needed = None, None
    if throw.shoots:
        line = flying(rig)
        left_to_unroll(line.length, throw.start, throw.height)
        shot = shooting(line, *running_of(rig, throw), throw, throw.speed)
        run, needed = shot.shot.run, _needed_to_shoot(line, shot, throw)
    elif (
        known is not None
        and known.shooting is None
        and known.throw.height == throw.height
        and known.throw.start == throw.start
    ):
        run = known.run
    else:
        line = flying(rig)
        left_to_unroll(line.length, throw.start, throw.height)
        run = turn_over(line, throw.start, throw.height)
    way, speed = float(run.way[-1]), throw.speed
    time = way / speed
    # The fly's leg starts above the rod tip by the loop's height, and climbs as it is thrown.
    drop = _drop(throw, way)
    if needed is None:
        needed = needed_for(way, drop)
    return TurnoverStudy(
        rig,
        throw,
        run,
        half=speed * run.speed_at(0.5 * run.length),
        end=speed * float(run.speed[-1]),
        time=time,
        energy_left=run.energy_left,
        height=drop - 0.5 * STANDARD_GRAVITY * time**2,
        needed=needed,
        verdict=verdict_of(speed, needed),
        look_again=known.look_again if known and known.run is run else _look_again(rig, run),
        shooting=shot,
    )


def _drop(throw: Throw, way: float) -> float:
    """How far it may fall [m]; way: line speed times the time to roll out [m]."""
    return throw.rod_tip + throw.loop_height + way * math.sin(throw.launch)


def _needed_to_shoot(line: Flying, found: Shooting, throw: Throw) -> Needed:
    """The line speed needed where running line is shot: how much is shot hangs on the speed.

    The speed at which what is needed is what it is thrown at, between one that is enough and one
    that is not.
    """

    def lacks(speed: float) -> float:
        shot = found.shot
        if speed != throw.speed:
            try:
                shot = shooting(line, found.running, found.source, throw, speed).shot
            except Impossible:
                return math.inf
        way = float(shot.run.way[-1])
        return math.log(needed_for(way, _drop(throw, way)).estimate / speed)

    at, short = throw.speed, lacks(throw.speed)
    is_short = short > 0.0
    for _ in range(_WIDEN):
        last, before = at, short
        # Where it shot nothing, or alike, what is needed would be met at once.
        by = min(max(1.02 * math.exp(abs(short)), 1.05), 2.0)
        at = last * by if is_short else last / by
        short = lacks(at)
        if (short > 0.0) is not is_short:
            break
    else:
        return _banded(math.inf if is_short else at)
    # Illinois: the secant, but that an end which stays counts for half.
    for _ in range(_MOST):
        if abs(math.log(at / last)) < _SOUGHT or short == 0.0:
            break
        share = short / (short - before) if math.isfinite(short - before) else 0.5
        between = at * (last / at) ** share
        found_short = lacks(between)
        if (found_short > 0.0) is (short > 0.0):
            before = 0.5 * before
        else:
            last, before = at, short
        done = abs(found_short) < 0.1 * _SOUGHT
        at, short = between, found_short
        if done:
            break
    return _banded(at)


def left_to_unroll(length: float, start: float, height: float) -> float:
    """Length [m] that unrolls of a line so long, with a loop so high. Raises Impossible at none."""
    wave = wave_of(height)
    if length - wave <= start:
        raise Impossible(
            "Nothing is left to turn over: of {length}, leader included, {start} has unrolled and "
            "{wave} lies in the loop.",
            length=Length(length),
            start=Length(start),
            wave=Length(wave),
        )
    return length - wave - start


def needed_for(way: float, drop: float) -> Needed:
    """The line speed needed: what falls over ``drop`` [m] has that time to roll out.

    way: line speed times the time to roll out [m].
    """
    return _banded(way * math.sqrt(0.5 * STANDARD_GRAVITY / drop) if drop > 0.0 else math.inf)


def _banded(estimate: float) -> Needed:
    return Needed(estimate, (1.0 - NEEDED_OFF) * estimate, (1.0 + NEEDED_OFF) * estimate)


def verdict_of(speed: float, needed: Needed) -> Verdict:
    """Whether a line speed [m/s] is enough; within the band nobody can tell."""
    if speed > needed.high:
        return Verdict.YES
    return Verdict.NO if speed < needed.low or math.isinf(needed.low) else Verdict.CLOSE


def compare(one: TurnoverStudy, other: TurnoverStudy) -> Against:
    """One rig over another, thrown alike."""
    return Against(one.needed.estimate / other.needed.estimate, one.energy_left / other.energy_left)


def _better(ratio: float) -> Better:
    if abs(ratio - 1.0) < TIE or math.isnan(ratio):
        return Better.TIE
    return Better.ONE if ratio < 1.0 else Better.OTHER


def _look_again(rig: Looped, run: Turnover) -> tuple[LookAgain, ...]:
    found = []
    if run.energy_left > LIKELY_TO_KICK:
        found.append(LookAgain.KICKS)
    for ahead, behind in itertools.pairwise(rig.cast.segments):
        step = section.linear_density(ahead, ahead.length) / section.linear_density(behind, 0.0)
        if not 1.0 / LARGE_STEP <= step <= LARGE_STEP:
            found.append(LookAgain.STEPS)
            break
    return tuple(found)
