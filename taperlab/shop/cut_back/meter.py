"""The quantity that a target names, as a function of how much is cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from taperlab.model.line import NO_LOOP, Line
from taperlab.model.segment import Part
from taperlab.physics.profile import Profile
from taperlab.physics.trim import SLIVER
from taperlab.shop.cut_back.goal import Goal
from taperlab.shop.cut_back.terms import Terms

CLOSE = 1e-12
"""Two cuts that differ by no more than this are one [m]."""


class Meter:
    """What a goal counts, length [m] or mass [kg], as a function of how much is cut in all [m]."""

    def __init__(self, line: Line, head: Line, terms: Terms, goal: Goal) -> None:
        self.terms, self.goal = terms, goal
        self.profile = bare_profile(head)
        self.length = self.profile.length
        self.old_front, self.old_rear = loop_masses(head, self.profile)
        # The standards weigh on into the running line where that stays on.
        self.keeps_rear = not terms.cuts_rear
        whole = line if self.keeps_rear else replace(head, rear_loop=NO_LOOP)
        self.counted = Profile.of(replace(whole, front_loop=NO_LOOP))
        tips = 0
        while tips < len(head.segments) and head.segments[tips].part is Part.TIP:
            tips += 1
        self.tip_end = head.starts[tips]

    def finished(self, cut: float, *, remade: bool = True) -> tuple[float, float]:
        """Front and rear end of the finished head on the uncut one [m]; loops re-made, or not."""
        front, rear = self.terms.split(cut)
        front_fold, rear_fold = self.terms.folds(
            front=remade and self.terms.cuts_front, rear=remade and self.terms.cuts_rear
        )
        return front + front_fold, self.length - rear - rear_fold

    def __call__(self, cut: float, *, remade: bool = True) -> float:
        """Length [m] or mass [kg] after cutting so much in all; the loops re-made, or not."""
        first, last = self.finished(cut, remade=remade)
        if self.goal.by_length:
            return last - first
        if self.goal.from_tip:
            return self._of_line_alone(first, last)
        front, rear = self.terms.split(cut)
        blades = front, self.length - rear
        if self.goal.weighed_over is None:
            return _held(self.profile, *blades) + sum(self._loops(remade))
        return self._up_to_weigh_point(first, last, blades, remade)

    def _loops(self, remade: bool) -> tuple[float, float]:
        """What the loops at fly end and rod end add [kg], old or new."""
        new = self.terms
        return (
            new.front_loop.mass if remade and new.cuts_front else self.old_front,
            new.rear_loop.mass if remade and new.cuts_rear else self.old_rear,
        )

    def _of_line_alone(self, first: float, last: float) -> float:
        """Mass from the end of a level tip on, over what the standard weighs; no loops."""
        reach = self.counted.length if self.keeps_rear else last
        start = max(first, self.tip_end)
        stop = max(start, min(start + (self.goal.weighed_over or 0.0), reach))
        return self.counted.mass_between(start, stop, points=False)

    def _up_to_weigh_point(
        self, first: float, last: float, blades: tuple[float, float], remade: bool
    ) -> float:
        """Mass from the fly end to the weigh point, loops counted; all of it where that is less."""
        front_loop, rear_loop = self._loops(remade)
        weigh_point = first + (self.goal.weighed_over or 0.0)
        # The fold at the fly end lies on itself: it counts wherever the weighing stops.
        if weigh_point < (self.counted.length if self.keeps_rear else last):
            return _held(self.counted, blades[0], weigh_point) + front_loop
        if self.keeps_rear:
            # The old loop lies at the rear end of what is counted, running line or not.
            return _held(self.counted, blades[0], self.counted.length) + front_loop
        return _held(self.counted, *blades) + front_loop + rear_loop


def _held(profile: Profile, front: float, rear: float) -> float:
    """Mass [kg] between two blades; a sleeve that lies exactly at one goes with the offcut."""
    where = profile.point_positions
    behind = where < rear - SLIVER / 2.0
    if rear >= profile.length:
        behind = where <= rear
    points = profile.point_masses[(where > front + SLIVER / 2.0) & behind]
    return profile.mass_between(front, rear, points=False) + float(points.sum())


def bare_profile(head: Line) -> Profile:
    """The profile of a head without its loops."""
    return Profile.of(replace(head, front_loop=NO_LOOP, rear_loop=NO_LOOP))


def loop_masses(head: Line, bare: Profile) -> tuple[float, float]:
    """Mass of the loops at the fly end and the rod end of a head [kg], folds included."""
    last = len(bare.lengths) - 1
    front = float(bare.linear_density(0.0, 0))
    rear = float(bare.linear_density(bare.length, last))
    return (
        head.front_loop.mass + head.front_loop.fold * front,
        head.rear_loop.mass + head.rear_loop.fold * rear,
    )


def first_crossing(
    function: Callable[[float], float], goal: float, high: float
) -> tuple[float, float] | float:
    """The least x from 0 to ``high`` where a function meets the goal.

    Where it never does: the least and greatest value found on the way.
    """
    xs = np.linspace(0.0, high, 129)
    values = np.array([function(float(x)) for x in xs]) - goal
    changes = np.flatnonzero(values[:-1] * values[1:] <= 0.0)
    if not len(changes):
        return float(values.min()) + goal, float(values.max()) + goal
    k = int(changes[0])
    if values[k] > 0.0:
        return falling_root(function, goal, float(xs[k]), float(xs[k + 1]))
    return falling_root(lambda x: -function(x), -goal, float(xs[k]), float(xs[k + 1]))


def falling_root(function: Callable[[float], float], goal: float, low: float, high: float) -> float:
    """The least x from low to high where a never-rising function has come down to the goal."""
    while high - low > CLOSE:
        middle = (low + high) / 2.0
        if function(middle) > goal:
            low = middle
        else:
            high = middle
    return high
