"""A line begun from a goal: rod, style, weight and length in, a sensible taper out."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from taperlab.model.aim import Aim, Goal, GoalKind
from taperlab.model.bench import Bench
from taperlab.model.exact_units import INCH
from taperlab.model.line import Line, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Segment
from taperlab.physics.head import head_sums
from taperlab.physics.profile import Profile
from taperlab.shop.goals.buildable import Tools
from taperlab.shop.goals.study import Answer, around_of, solve
from taperlab.trade.starts import starts
from taperlab.trade.styles import counts_tip, read_ratio
from taperlab.units.finding import Impossible
from taperlab.units.kinds import DIAMETER
from taperlab.units.sentence import Ratio, Sentence, SmallWeight

FLOATING = 870.0
"""Density of floating line [kg/m^3], as most of it is: common practice."""

LOOP = Loop(LoopKind.FOLDED, 2.5 * INCH, 0.0)
"""A folded and welded loop at each end, as a head to be looped has."""


@dataclass(frozen=True, slots=True)
class Begun:
    """A line to begin with, and why it is so.

    answer: its goals, and what it comes to, rounded to what can be built.
    """

    line: Line
    answer: Answer
    reasons: tuple[Sentence, ...]


def begin(
    bench: Bench,
    name: str,
    style: Style,
    mass: float,
    length: float,
    tools: Tools,
    rod: Rod | None = None,
) -> Begun:
    """A head of a style that weighs so much [kg] at such a length [m], loops counted.

    Its proportions are those of common practice, its thickness what the weight asks for, rounded
    with the weight kept. Raises Impossible where no line is that thick or thin, and for a style
    that no practice is known of.
    """
    start = starts().get(style)
    if start is None:
        raise Impossible("No practice is known for a head of this style: begin with a sample.")
    aim = Aim((Goal(GoalKind.WEIGHT, mass, mass), Goal(GoalKind.LENGTH, length, length)))

    def of(thickest: float) -> Line:
        rows = tuple(
            Segment(
                each.part,
                each.length * length,
                each.front * thickest,
                each.rear * thickest,
                FLOATING,
            )
            for each in start.rows
        )
        made = replace(line_of("", name, rows, style), front_loop=LOOP, rear_loop=LOOP)
        return replace(made, aim=aim)

    # Without cores weight goes with the square of the thickness, loops and all.
    thickest = math.sqrt(mass / _weighs(of(1e-3))) * 1e-3
    thinnest = thickest * min(min(each.front, each.rear) for each in start.rows)
    if not (DIAMETER.allows(thickest) and DIAMETER.allows(thinnest)):
        raise Impossible("No line is that thick or thin: ask for another weight or length.")
    plain = of(thickest)
    answer = solve(plain, around_of(bench), tools)
    return Begun(answer.after, answer, tuple(_reasons(answer, style, length, rod)))


def _weighs(line: Line) -> float:
    sums = head_sums(line, Profile.of(line))
    assert sums is not None
    return sums.mass


def _reasons(answer: Answer, style: Style, length: float, rod: Rod | None) -> list[Sentence]:
    found = list(starts()[style].reasons)
    if rod is not None:
        ratio = length / rod.length
        if counts_tip(style):
            found.append(
                Sentence(
                    "The body alone is {ratio} times the rod; practice counts a tip with it.",
                    ratio=Ratio(ratio),
                )
            )
        else:
            said = read_ratio(style, ratio).words
            found.append(
                Sentence("It is {ratio} times the rod; {said}.", ratio=Ratio(ratio), said=said)
            )
    loops = Profile.of(answer.after).point_masses.sum()
    found.append(
        Sentence(
            "The weight counts its two folded loops, {weight} together.",
            weight=SmallWeight(float(loops)),
        )
    )
    return found
