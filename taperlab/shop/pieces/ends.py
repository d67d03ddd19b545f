"""What each end of a piece needs beyond its finished share, and what becomes of it.

A lapped weld needs half the overlap more at either piece, and half of what lies under each bevel
ends up as shavings: as much as was added. A loop needs its fold, which stays on. A spliced core
needs the length that is stripped, of which the core stays. What is cut on to be trimmed goes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.line import NO_LOOP, ONE_EXTRUSION, Joint, JointKind, Line, Loop
from taperlab.model.pieces import Rules
from taperlab.model.segment import Segment
from taperlab.physics.frustum import linear_density
from taperlab.physics.mass_along import MassAlong
from taperlab.shop.pieces.tubes import left_on

USUAL_CORE = 1.6 * GRAIN / FOOT
"""Mass per length of a core that nobody described [kg/m]: 0.024 in of nylon."""


@dataclass(frozen=True, slots=True)
class End:
    """One end of a piece. lap: overlap there; fold: folded back; strip: coating stripped [m].

    core: mass per length of what is left where it is stripped [kg/m]. spare: beyond all that, to be
    trimmed off before the end is worked [m].
    """

    lap: float = 0.0
    fold: float = 0.0
    strip: float = 0.0
    core: float = 0.0
    spare: float = 0.0

    @property
    def added(self) -> float:
        """What the piece is cut longer there [m]."""
        return self.lap / 2.0 + self.fold + self.strip + self.spare

    @property
    def stiff(self) -> float:
        """How much of the finished line is stiff there [m]; an estimate, to mark it by."""
        return self.lap or self.fold or 2.0 * self.strip


NOTHING = End()


@dataclass(frozen=True, slots=True)
class Masses:
    """A piece on the scale: as it is cut, as it ends up in the head, and the difference [kg]."""

    cut: float
    finished: float

    @property
    def waste(self) -> float:
        """Shavings, stripped coating and what is trimmed off [kg]."""
        return self.cut - self.finished


def masses_of(along: MassAlong, front: End, rear: End) -> Masses:
    """Of a piece as it was cut from its stock, from its own front."""
    waste = _waste(along, front) + _waste(along.reversed(), rear)
    return Masses(along.mass, along.mass - waste)


def level_masses(density: float, length: float, front: End, rear: End) -> Masses:
    """Of a level piece of a mass per length [kg/m], its finished share so long [m]."""
    waste = sum(
        density * (e.lap / 2.0 + e.spare) + (density - e.core) * e.strip for e in (front, rear)
    )
    cut = density * (length + front.added + rear.added)
    return Masses(cut, cut - waste)


def _waste(along: MassAlong, end: End) -> float:
    """What is taken off at the front: under the bevel, mass per length times 1 - u to 0."""
    taken = 0.0
    if end.spare:
        taken += float(along.running_mass(end.spare))
        along = along.cut(end.spare, along.length)
    if end.strip:
        taken += float(along.running_mass(end.strip)) - end.core * end.strip
    if end.lap:
        lap = along.cut(0.0, end.lap)
        taken += lap.mass - lap.first_moment() / end.lap
    return taken


def prepared(line: Line, rules: Rules) -> Line:
    """The line with the welds and loops that are asked for where it says nothing of its own."""
    joints = line.joints
    if rules.overlap:
        weld = Joint(JointKind.LAPPED_WELD, rules.overlap, left_on(rules, rules.overlap))
        joints = tuple(weld if each == ONE_EXTRUSION else each for each in joints)
    loops = line.front_loop, line.rear_loop
    if rules.fold is not None:
        loops = tuple(replace(each, fold=rules.fold) for each in loops)  # type: ignore[assignment]
    return replace(line, joints=joints, front_loop=loops[0], rear_loop=loops[1])


def end_at(joint: Joint | None, loop: Loop, segment: Segment, *, is_ahead: bool) -> End:
    """The end of a piece at a joint, or at an end of the line (None) with its loop.

    is_ahead: whether the piece lies ahead of the joint.
    """
    if joint is None:
        return End(fold=loop.fold)
    if joint.kind is JointKind.LAPPED_WELD:
        return End(lap=joint.overlap)
    if joint.kind is JointKind.SPLICED_CORE:
        core = segment.core
        density = float(linear_density(core.diameter, core.density)) if core else USUAL_CORE
        return End(strip=joint.overlap / 2.0, core=density)
    if joint.kind is JointKind.LOOP_TO_LOOP:
        return End(fold=(joint.loop_ahead if is_ahead else joint.loop_behind).fold)
    return NOTHING


def ends_of(line: Line, first: int, last: int) -> tuple[End, End]:
    """Both ends of a piece for the rows from first to last of a line."""
    ahead = line.joints[first - 1] if first else None
    behind = line.joints[last] if last < len(line.joints) else None
    front_loop = NO_LOOP if first else line.front_loop
    rear_loop = line.rear_loop if behind is None else NO_LOOP
    return (
        end_at(ahead, front_loop, line.segments[first], is_ahead=False),
        end_at(behind, rear_loop, line.segments[last], is_ahead=True),
    )
