"""The quantity that a target names, as a function of how much is cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from taperlab.model.line import Line, Loop
from taperlab.model.segment import Part
from taperlab.physics.profile import Profile
from taperlab.physics.trim import SLIVER
from taperlab.shop.cut_back.goal import Goal
from taperlab.shop.cut_back.terms import Terms


class Meter:
    """The goal's quantity as a function of how much is cut."""

    def __init__(self, line: Line, head: Line, terms: Terms, goal: Goal) -> None:
        # The standards weigh on into the running line where that stays on.
        whole = line if terms.share == 1.0 else replace(head, rear_loop=Loop())
        self.counted = Profile.of(replace(whole, front_loop=Loop()))
        self.profile = Profile.of(replace(head, front_loop=Loop(), rear_loop=Loop()))
        self.length = self.profile.length
        self.old_front, self.old_rear = loop_masses(head)
        self.terms, self.goal = terms, goal
        tips = 0
        while tips < len(head.segments) and head.segments[tips].part is Part.TIP:
            tips += 1
        self.tip_end = head.starts[tips]

    def finished(self, cut: float, *, remade: bool) -> tuple[float, float]:
        """Front and rear end of the finished head on the uncut one [m]."""
        front, rear = self.terms.split(cut)
        share = self.terms.share
        if remade and share > 0.0:
            front += self.terms.front_loop.fold
        if remade and share < 1.0:
            rear += self.terms.rear_loop.fold
        return front, self.length - rear

    def __call__(self, cut: float, *, remade: bool = True) -> float:
        """Length [m] or mass [kg] after cutting so much in all; the loops re-made, or not."""
        first, last = self.finished(cut, remade=remade)
        if self.goal.by_length:
            return last - first
        share = self.terms.share
        front_loop = self.terms.front_loop.mass if remade and share > 0.0 else self.old_front
        rear_loop = self.terms.rear_loop.mass if remade and share < 1.0 else self.old_rear
        front, rear = self.terms.split(cut)
        begin, end = front, self.length - rear
        over = self.goal.weighed_over
        if over is None:
            return _held(self.profile, begin, end) + front_loop + rear_loop
        reach = self.counted.length if share == 1.0 else last
        if self.goal.from_tip:
            start = max(first, self.tip_end)
            stop = max(start, min(start + over, reach))
            return self.counted.mass_between(start, stop, points=False)
        if first + over < reach:
            # The fold at the front lies on itself: it counts wherever the weighing stops.
            return _held(self.counted, begin, first + over) + front_loop
        if share == 1.0:
            return _held(self.counted, begin, self.counted.length) + front_loop
        return _held(self.counted, begin, end) + front_loop + rear_loop


def _held(profile: Profile, front: float, rear: float) -> float:
    """Mass [kg] between two blades; a sleeve that lies exactly at one goes with the offcut."""
    where = profile.point_positions
    behind = where < rear - SLIVER / 2.0
    if rear >= profile.length:
        behind = where <= rear
    points = profile.point_masses[(where > front + SLIVER / 2.0) & behind]
    return profile.mass_between(front, rear, points=False) + float(points.sum())


def loop_masses(head: Line) -> tuple[float, float]:
    """Mass of the loops at the front and the rear of a head [kg], folds included."""
    with_loops = Profile.of(head).total_mass
    no_front = Profile.of(replace(head, front_loop=Loop())).total_mass
    no_rear = Profile.of(replace(head, rear_loop=Loop())).total_mass
    return with_loops - no_front, with_loops - no_rear


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
    for _ in range(60):
        middle = (low + high) / 2.0
        if function(middle) > goal:
            low = middle
        else:
            high = middle
    return high
