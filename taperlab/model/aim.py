"""What a line is to become: goals for its figures, and which of its numbers may move for them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from taperlab.model.marked import later

Extras = Mapping[str, object]


class GoalKind(StrEnum):
    """A figure that can be a goal. All are of the head, loops and joints counted."""

    WEIGHT = later("head weight")
    LENGTH = later("head length")
    FRONT = later("front taper")
    BALANCE = later("balance point")
    RATIO = later("ratio")
    TIP = later("weight per length at the fly end")
    THICKEST = later("greatest weight per length")
    DIAMETER = later("greatest diameter")
    STEP = later("joint step")
    RUNNING = later("running weight")
    SINK = later("sink rate")


@dataclass(frozen=True, slots=True)
class Goal:
    """A figure and the range that it is to lie in; a single number is a range of no width.

    low, high: [kg], [m], [kg/m], [m/s] or a plain number, by kind. at: for the running weight, how
    far from the fly end [m]. line: for the joint step, the key of the tip line that is looped
    ahead; for the running weight, that of a line whose own is to be matched, and then ``low`` and
    ``high`` say nothing.
    """

    kind: GoalKind
    low: float = 0.0
    high: float = 0.0
    at: float | None = None
    line: str | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low <= self.high):
            raise ValueError(later("the low end of a goal must not lie above its high end"))
        if (self.kind is GoalKind.RUNNING) is not (self.at is not None):
            raise ValueError(later("a running weight, and it alone, is at a distance"))
        if self.kind is GoalKind.STEP and self.line is None:
            raise ValueError(later("a joint step needs the line that is looped ahead"))
        if self.line is not None and self.kind not in (GoalKind.STEP, GoalKind.RUNNING):
            raise ValueError(later("this goal is of no other line"))

    @property
    def of(self) -> tuple[GoalKind, float | None, str | None]:
        """Which figure it is a goal for: a line has one goal for each."""
        other = self.line if self.kind is GoalKind.STEP else None
        return self.kind, self.at, other

    @property
    def matches(self) -> bool:
        """Whether the range is another line's figure."""
        return self.kind is GoalKind.RUNNING and self.line is not None


class Cell(StrEnum):
    """A number of a segment that may move."""

    LENGTH = later("length")
    FRONT = later("front diameter")
    REAR = later("rear diameter")
    DENSITY = later("density")


@dataclass(frozen=True, slots=True)
class Hold:
    """What a cell of a segment is held to while goals are met.

    locked: it stays. low, high: it stays between them, [m] or [kg/m^3]; None for how far a cell
    may go that nothing is said of. tie: cells of one kind with the same letters keep their ratio.
    """

    cell: Cell
    locked: bool = False
    low: float | None = None
    high: float | None = None
    tie: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(later("the low end of a hold must not lie above its high end"))

    @property
    def holds(self) -> bool:
        """Whether it says anything."""
        return self.locked or self.low is not None or self.high is not None or bool(self.tie)


@dataclass(frozen=True, slots=True)
class Aim:
    """The goals of a line, and which columns may move for them, but for what a segment holds."""

    goals: tuple[Goal, ...] = ()
    lengths: bool = True
    diameters: bool = True
    density: bool = False
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        if len({goal.of for goal in self.goals}) != len(self.goals):
            raise ValueError(later("two goals of a line are for the same figure"))

    def frees(self, cell: Cell) -> bool:
        """Whether the column of a cell may move."""
        if cell is Cell.LENGTH:
            return self.lengths
        return self.density if cell is Cell.DENSITY else self.diameters


NO_AIM = Aim()
