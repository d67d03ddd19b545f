"""A film of a rig that turns over: a chain of links, and where what it shows comes to its end.

A second opinion on the live figures. It falls, sags and sharpens its loop by itself; the whip crack
at its end, and what an inextensible line does after it, are not in it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from taperlab.model.casting import Throw
from taperlab.physics.chain import Chain, Motion, Mover, energy, moving_energy, nodes, thrown
from taperlab.physics.frustum import Array
from taperlab.physics.sinking import STANDARD_GRAVITY
from taperlab.physics.turnover import Air, wave_of
from taperlab.shop.rig import Looped
from taperlab.shop.steps import Steps
from taperlab.shop.turnover.study import TurnoverStudy, flying, left_to_unroll
from taperlab.units.finding import Impossible
from taperlab.units.language import later
from taperlab.units.sentence import Length

LINKS = 100
"""Links of the chain; more only where the loop would be too small for them."""

MOST_LINKS = 240

IN_THE_LOOP = 4
"""So many links at least lie in the loop."""

SOUND = 1e-3
"""The energy balance is kept as well as this, of the energy at the start, or the film stops."""

MOST_STEPS = 4000
LONGEST = 6.0
"""No film is longer [s]."""

MARKS = (0.25, 0.5, 0.75, 0.95)
"""Shares of the fly's way at which it is told; past the last the end of the line is near."""

SPEEDS_UP_TO = 0.5
"""Up to here speeds are the same for any number of links, to 1 %; times and energies further on."""

_FRAME = 0.005
_BETWEEN_YIELDS = 8


class Ending(StrEnum):
    """Why a film ends where it does."""

    TURNED = later("the fly has passed the end of the line")
    LANDED = later("the fly has landed")
    STOPPED = later("the steps became too short to go on")
    LATE = later("it hangs in the air for too long")


@dataclass(frozen=True, slots=True)
class Mark:
    """The film at a share of the fly's way: time [s], speed of the fly [m/s], energy left [1].

    Past ``SPEEDS_UP_TO`` the speed is not to be told: it shows the links. At 95 % time is good to
    1 % and energy to 10 %.
    """

    share: float
    time: float
    speed: float
    energy: float


@dataclass(frozen=True, eq=False, slots=True)
class Film:
    """What is shown: f frames of the nodes of a chain.

    seconds: (f,) since the loop began [s]. places: (f, n, 2) of the nodes from the rod tip on, how
    far ahead of it and how high above the water [m]. travel: (f,) share of the fly's way [1].
    ending: why it ends. touches: when the line first touches the water, inf where it does not:
    what lies there from then on is not in the model [s]. marks: those that were reached before
    that. off: how far the energy balance was off at the worst, of the energy at the start [1].
    """

    seconds: Array
    places: Array
    travel: Array
    ending: Ending
    touches: float
    marks: tuple[Mark, ...]
    off: float
    steps: int

    @property
    def length(self) -> float:
        """How long it is [s]."""
        return float(self.seconds[-1])

    @property
    def model_ends(self) -> float:
        """Until when what it shows is in the model [s]: frames after it are to be faded."""
        return min(self.length, self.touches)

    @property
    def sound_until(self) -> float:
        """Until when what it shows hangs neither on the links nor on what is not in the model [s].

        Past the last of the marks the end of the line is whipped round: how, the links decide. Up
        to it twice as many links move no place of the line by more than 4 % of its length.
        """
        late = np.flatnonzero(self.travel >= MARKS[-1])
        if not len(late):
            return self.model_ends
        i = int(late[0])
        before = float(self.travel[i - 1])
        share = (MARKS[-1] - before) / (float(self.travel[i]) - before)
        at = self.seconds[i - 1] + share * (self.seconds[i] - self.seconds[i - 1])
        return min(self.model_ends, float(at))

    def travel_at(self, seconds: float) -> float:
        """Share of the fly's way that it has gone at a time [s]."""
        return float(np.interp(seconds, self.seconds, self.travel))

    def at(self, seconds: float) -> Array:
        """The nodes (n, 2) at a time [s]: between two frames, in between [m]."""
        i = int(np.clip(np.searchsorted(self.seconds, seconds) - 1, 0, len(self.seconds) - 2))
        span = self.seconds[i + 1] - self.seconds[i]
        share = min(max((seconds - self.seconds[i]) / span, 0.0), 1.0)
        return np.asarray((1.0 - share) * self.places[i] + share * self.places[i + 1])


@dataclass(frozen=True, slots=True)
class Beside:
    """Live figures and film at one share of the fly's way: times [s] and speeds [m/s]."""

    share: float
    live_time: float
    film_time: float
    live_speed: float
    film_speed: float


def film(
    rig: Looped,
    throw: Throw,
    *,
    air: Air = Air(),  # noqa: B008 - frozen
    gravity: float = STANDARD_GRAVITY,
    links: int | None = None,
) -> Steps[Film]:
    """A film of a rig that is thrown; yields every few milliseconds.

    gravity: [m/s^2]. Raises Impossible where nothing can turn over, or the loop is too small.
    """
    line = flying(rig)
    way = 2.0 * left_to_unroll(line.length, throw.start, throw.loop_height)
    wave = wave_of(throw.loop_height)
    count = links or max(LINKS, math.ceil(IN_THE_LOOP * line.length / wave))
    if count > MOST_LINKS:
        raise Impossible(
            "A loop {height} high is too small for the film of a line of {length}.",
            height=Length(throw.loop_height),
            length=Length(line.length),
        )
    chain = Chain.of(line, count, air, gravity)
    shot = _Shot(chain, throw, way)
    steps = 0
    while shot.ending is None:
        shot.step()
        steps += 1
        if steps % _BETWEEN_YIELDS == 0:
            yield min(0.99, max(0.0, shot.travel))
    return shot.film()


def beside(found: TurnoverStudy, shown: Film) -> tuple[Beside, ...]:
    """Live figures beside the film, at equal ways of the fly and not at equal times."""
    run, speed = found.run, found.throw.speed
    travel = (run.at - run.at[0]) / (run.at[-1] - run.at[0])
    return tuple(
        Beside(
            each.share,
            float(np.interp(each.share, travel, run.way)) / speed,
            each.time,
            float(np.interp(each.share, travel, run.speed)) * speed,
            each.speed,
        )
        for each in shown.marks
    )


class _Shot:
    """A film while it is made."""

    def __init__(self, chain: Chain, throw: Throw, way: float) -> None:
        self._chain, self._throw, self._way = chain, throw, way
        self._mover = Mover(chain)
        self._toward = complex(math.cos(throw.launch), -math.sin(throw.launch))
        self._motion = thrown(chain, throw.start, throw.loop_height, throw.speed, throw.launch)
        self._moving = moving_energy(chain, self._motion)
        self._total = energy(chain, self._motion)
        place = nodes(chain, self._motion)
        self._begin = complex(place[-1])
        self._frames = [(0.0, 0.0, place)]
        self._marks: list[Mark] = []
        self._last = (0.0, 0.0, throw.speed, 1.0)
        self._time, self._off, self._steps, self._touches = 0.0, 0.0, 0, math.inf
        self.travel = 0.0
        self.ending: Ending | None = None

    def step(self) -> None:
        """Go on by one step, or end."""
        size = self._mover.size(self._motion, self._throw.speed)
        with np.errstate(over="ignore", invalid="ignore"):
            motion = self._mover.step(self._motion, size)
            off = float(abs(energy(self._chain, motion) - self._total) / self._moving)
        self._steps += 1
        if not off <= SOUND or self._steps > MOST_STEPS:
            self.ending = Ending.STOPPED
            return
        self._motion, self._off = motion, max(self._off, off)
        self._time += size
        self._look(motion)

    def _look(self, motion: Motion) -> None:
        place = nodes(self._chain, motion)
        fly = complex((1j * self._chain.link * motion.rate * np.exp(1j * motion.angle)).sum())
        self.travel = ((complex(place[-1]) - self._begin) * self._toward).real / self._way
        lowest = float(place.imag.min()) + self._throw.rod_tip
        if lowest <= 0.0:
            self._touches = min(self._touches, self._time)
        left = moving_energy(self._chain, motion) / self._moving
        now = (self.travel, self._time, abs(fly), left)
        if math.isinf(self._touches):
            self._mark(now)
        self._last = now
        if (fly * self._toward).real < 0.0:
            self.ending = Ending.TURNED
        elif place[-1].imag + self._throw.rod_tip <= 0.0:
            self.ending = Ending.LANDED
        elif self._time > LONGEST:
            self.ending = Ending.LATE
        if self.ending or self._time >= self._frames[-1][0] + _FRAME:
            self._frames.append((self._time, self.travel, place))

    def _mark(self, now: tuple[float, float, float, float]) -> None:
        """Tell what was at each share of the way that was passed in this step."""
        before = self._last
        while len(self._marks) < len(MARKS) and before[0] <= MARKS[len(self._marks)] <= now[0]:
            wanted = MARKS[len(self._marks)]
            t = (wanted - before[0]) / (now[0] - before[0]) if now[0] > before[0] else 1.0
            _, *rest = (a + t * (b - a) for a, b in zip(before, now, strict=True))
            self._marks.append(Mark(wanted, *rest))

    def film(self) -> Film:
        """What was shot."""
        if len(self._frames) < 2:
            # It stopped at once: what there was at the start is all that can be shown.
            self._frames.append((_FRAME, 0.0, self._frames[0][2]))
        seconds, travel, places = zip(*self._frames, strict=True)
        plane = np.array(places)
        height = plane.imag + self._throw.rod_tip
        return Film(
            np.array(seconds),
            np.stack((plane.real, height), axis=-1),
            np.array(travel),
            self.ending or Ending.STOPPED,
            self._touches,
            tuple(self._marks),
            self._off,
            self._steps,
        )
