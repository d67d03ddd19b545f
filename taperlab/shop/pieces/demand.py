"""From designs to what is needed: for each piece its taper, its ends and what it meets."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace

from taperlab.model.line import NO_LOOP, JointKind, Line
from taperlab.model.pieces import Rules
from taperlab.model.segment import Segment
from taperlab.physics.mass_along import MassAlong
from taperlab.physics.profile import Profile
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.ends import End, ends_of, prepared
from taperlab.shop.pieces.material import Material

_LEVEL = 1e-4
"""A segment whose ends differ by less, as a share of their mass per length, is level."""


@dataclass(frozen=True, slots=True)
class Head:
    """One head that is to be built. copy: 1 for the first of its design.

    behind: segments of the design behind it that are not built. added: what welds and loops of the
    rules weigh that the design says nothing of [kg].
    """

    line: Line
    copy: int
    copies: int
    behind: tuple[Segment, ...] = ()
    added: float = 0.0

    @property
    def name(self) -> str:
        """What it is called: by its design, and a number where there are several."""
        return f"{self.line.name} ({self.copy})" if self.copies > 1 else self.line.name


@dataclass(frozen=True, eq=False, slots=True)
class Need:
    """A piece that is needed. head: its number; first, last: its rows in the design.

    taper: its mass per length; segments: the rows themselves. before, after: mass per length of
    what it meets [kg/m], None at an end of the head.
    """

    head: int
    first: int
    last: int
    segments: tuple[Segment, ...]
    taper: MassAlong
    front: End
    rear: End
    before: float | None = None
    after: float | None = None

    @property
    def is_level(self) -> bool:
        """Whether it weighs the same per length all along."""
        low, high = sorted(float(each) for each in self._ends())
        flat = high - low <= _LEVEL * high
        return flat and all(each.front_diameter == each.rear_diameter for each in self.segments)

    @property
    def likeness(self) -> Hashable:
        """What is the same of pieces that may stand in for each other, in whichever heads."""
        return self.segments, self.front, self.rear, self.before, self.after

    @property
    def rises_or_falls(self) -> bool:
        """Whether its mass per length never turns back on the way, so that steps can follow it."""
        return len(self.segments) == 1

    @property
    def mean(self) -> float:
        """Its mean mass per length [kg/m]."""
        return self.taper.mass / self.taper.length

    def _ends(self) -> tuple[float, float]:
        found = self.taper.linear_density([0.0, self.taper.length])
        return float(found[0]), float(found[1])

    def may_be(self, material: Material) -> bool:
        """Whether all of it may be cut from a material."""
        return all(material.may_be(each) for each in self.segments)


def heads_of(question: Question) -> tuple[Head, ...]:
    """Every head that is to be built, those of one design one after the other."""
    found = []
    for line, copies in question.heads:
        head = _head_alone(line)
        behind, built = line.segments[len(head.segments) :], prepared(head, question.rules)
        added = Profile.of(built).total_mass - Profile.of(head).total_mass
        found += [Head(built, copy, copies, behind, added) for copy in range(1, copies + 1)]
    return tuple(found)


def _head_alone(line: Line) -> Line:
    """A line without the handling and running line behind its head, which are bought.

    What is tied to stock is meant to be cut, and what is welded on is made with the head.
    """
    count = len(line.segments)
    while count and not (line.segments[count - 1].part.in_head or line.segments[count - 1].stock):
        count -= 1
    if count in (0, len(line.segments)):
        return line
    joint = line.joints[count - 1]
    if joint.kind in (JointKind.LAPPED_WELD, JointKind.SPLICED_CORE):
        return line
    loop = joint.loop_ahead if joint.kind is JointKind.LOOP_TO_LOOP else NO_LOOP
    kept = line.segments[:count], line.joints[: count - 1]
    return replace(line, segments=kept[0], joints=kept[1], rear_loop=loop)


def needs_of(number: int, head: Head, spare: float = 0.0) -> tuple[Need, ...]:
    """The pieces of a head, from the fly end: one a segment, each with so much to be trimmed [m].

    Neighbours of one extrusion that are tied to the same tapered stock are cut from it in one.
    """
    line = head.line
    runs: list[tuple[int, int]] = []
    for row, segment in enumerate(line.segments):
        tied = row and segment.stock and segment.stock == line.segments[row - 1].stock
        if tied and not ends_of(line, row, row)[0].added and _is_one(line, row):
            runs[-1] = runs[-1][0], row
        else:
            runs.append((row, row))
    tapers = [MassAlong.of(line.segments[first : last + 1]) for first, last in runs]
    found = []
    for at, (first, last) in enumerate(runs):
        front, rear = ends_of(line, first, last)
        rear = replace(rear, spare=spare)
        before = float(tapers[at - 1].linear_density(tapers[at - 1].length)) if at else None
        after = float(tapers[at + 1].linear_density(0.0)) if at + 1 < len(runs) else None
        segments = line.segments[first : last + 1]
        found.append(Need(number, first, last, segments, tapers[at], front, rear, before, after))
    return tuple(found)


def _is_one(line: Line, row: int) -> bool:
    one, other = line.segments[row - 1], line.segments[row]
    same = one.rear_diameter == other.front_diameter
    return same and (one.front_diameter, one.rear_diameter) != (
        other.front_diameter,
        other.rear_diameter,
    )


def stepped(need: Need, breaks: tuple[float, ...], rules: Rules) -> tuple[tuple[End, End], ...]:
    """Both ends of each level piece that stands in for a taper, welded as is asked for."""
    count = len(breaks) - 1
    return tuple(
        (
            need.front if i == 0 else step_end(rules, is_front=True),
            need.rear if i == count - 1 else step_end(rules, is_front=False),
        )
        for i in range(count)
    )


def step_end(rules: Rules, *, is_front: bool) -> End:
    """The end of a level step that meets another."""
    return End(lap=rules.overlap, spare=0.0 if is_front else rules.spare)
