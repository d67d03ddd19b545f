"""Heads that nobody knows: they can only be weighed and cut, with the errors of the tools."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import CutBack, CutEnd, CutStep, NewLoop, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line, line_of
from taperlab.model.measurement import Instruments
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.belief import begin
from taperlab.shop.cut_back.disagreement import disagreement_in
from taperlab.shop.cut_back.staging import Stop, next_stage
from taperlab.shop.cut_back.terms import Terms

TOOLS = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
LOOP = NewLoop(2.5 * INCH, 1.0 * GRAIN)
Shares = np.ndarray[tuple[int], np.dtype[np.float64]]
Drift = Callable[[Shares], Shares]


def described(rng: np.random.Generator) -> Line:
    big = rng.uniform(0.07, 0.1) * INCH
    pieces = [
        Segment(Part.FRONT_TAPER, rng.uniform(6, 14) * FOOT, big / 2, big, 900.0),
        Segment(Part.BELLY, rng.uniform(10, 25) * FOOT, big, big, 900.0),
    ]
    if rng.random() < 0.7:
        end = rng.uniform(0.6, 0.8) * big
        pieces.append(Segment(Part.REAR_TAPER, rng.uniform(2, 6) * FOOT, big, end, 900.0))
    return line_of("bag", "From the bag", tuple(pieces))


def wrong_diameters(bag: Line, rng: np.random.Generator, most: float) -> Line:
    """The bag's line with every diameter off by up to so much, as a share; pieces still meet."""
    off = 1.0 + rng.uniform(-most, most, len(bag.segments) + 1)
    return replace(
        bag,
        segments=tuple(
            replace(
                each,
                front_diameter=each.front_diameter * float(off[i]),
                rear_diameter=each.rear_diameter * float(off[i + 1]),
            )
            for i, each in enumerate(bag.segments)
        ),
    )


class RealHead:
    """A head as it is: ``true`` its shape, ``drift`` what its density strays by along it.

    heavier: factor on all of it; tape: true length of what its tape calls one.
    """

    def __init__(
        self,
        true: Line,
        drift: Drift,
        rng: np.random.Generator,
        *,
        heavier: float = 1.0,
        tape: float = 1.0,
    ) -> None:
        profile = Profile.of(true)
        self.rng, self.length, self.tape = rng, profile.length, tape
        self.x = np.linspace(0.0, self.length, 3001)
        cells = np.diff(profile.running_mass(self.x))
        off = 1.0 + drift((self.x[1:] + self.x[:-1]) / 2.0)
        self.mass = np.concatenate([[0.0], np.cumsum(cells * off)]) * heavier
        self.front, self.rear = 0.0, self.length

    @property
    def weight(self) -> float:
        at = np.interp([self.front, self.rear], self.x, self.mass)
        return float(at[1] - at[0])

    def cut(self, front: float, rear: float) -> float:
        """Cut so much off each end, as the tape reads it; what comes off [kg]."""
        before = self.weight
        if front > 0.0:
            self.front += self.tape * front + self.rng.uniform(-0.5, 0.5) * TOOLS.tape
        if rear > 0.0:
            self.rear -= self.tape * rear + self.rng.uniform(-0.5, 0.5) * TOOLS.tape
        return before - self.weight


def read(mass: float, step: float = TOOLS.scale) -> float:
    return round(mass / step) * step


def terms_for(rng: np.random.Generator) -> Terms:
    end = rng.choice(
        np.array([CutEnd.REAR, CutEnd.FRONT, CutEnd.BOTH], dtype=object), p=[0.6, 0.2, 0.2]
    )
    return Terms(CutEnd(end), float(rng.uniform(0.2, 0.8)), LOOP, LOOP)


def loops_of(terms: Terms) -> float:
    return LOOP.mass * (2 if terms.end is CutEnd.BOTH else 1)


@dataclass
class Result:
    """Off: finished weight less target [gr]. below: lowest before the last trim [gr].

    covered: stages that came out within what was stated of them. stated, missed: what was stated
    of all stages together, and what they came out off by [gr]. asked: whether weighings that are
    all right were called in question.
    """

    off: float
    target: float
    stages: int
    below: float = 0.0
    covered: int = 0
    stated: float = 0.0
    missed: float = 0.0
    asked: bool = False

    @property
    def good(self) -> bool:
        return abs(self.off) <= max(3.0, 0.01 * self.target)


def cut_in_stages(bag: Line, real: RealHead, terms: Terms, target: float) -> Result:
    """Cut as the stages say, weighing head and offcut after each."""
    loops = loops_of(terms)
    first = read(real.weight)
    belief = begin(bag, TOOLS, first)
    below, covered, stated, missed = 0.0, 0, 0.0, 0.0
    beliefs, steps = [belief], []
    while not isinstance(stage := next_stage(belief, target, terms), Stop):
        offcut = real.cut(stage.front, stage.rear)
        miss = abs(real.weight + loops - stage.expected)
        covered += miss <= stage.plus_minus
        stated += stage.plus_minus / GRAIN
        missed += miss / GRAIN
        if not stage.last:
            below = min(below, (real.weight + loops - target) / GRAIN)
        steps.append(CutStep(stage.front, stage.rear, read(real.weight), read(offcut)))
        belief = belief.after(steps[-1])
        beliefs.append(belief)
    aim = Target(TargetKind.WEIGHT, target)
    log = CutBack("log", bag.key, aim, TOOLS, first_reading=first, steps=tuple(steps))
    asked = disagreement_in(Profile.of(bag).total_mass, log, beliefs) is not None
    off = (real.weight + loops - target) / GRAIN
    return Result(off, target / GRAIN, len(steps), below, covered, stated, missed, asked)
