"""What of a line is its head: every segment that is neither handling nor running line.

Its weight and length are those of all such segments, wherever they lie. To be taken off, cut or
looped, it must also be one piece from the fly end on; :func:`head_problem` says why it is not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.line import JointKind, Line, Style
from taperlab.model.segment import Part
from taperlab.model.water import Water
from taperlab.physics import section
from taperlab.physics.frustum import Array
from taperlab.physics.profile import Profile
from taperlab.physics.water import water_state
from taperlab.units.finding import Finding, Impossible, Level
from taperlab.units.sentence import Sentence

_TIP_PARTS = (Part.SINK_TIP, Part.TIP, Part.FRONT_TAPER)
"""What a line without a style is a tip of."""


def head_rows(line: Line) -> tuple[int, ...]:
    """Rows of the segments that are head, from 0 at the fly end."""
    return tuple(i for i, segment in enumerate(line.segments) if segment.part.in_head)


@dataclass(frozen=True, eq=False, slots=True)
class HeadSums:
    """What the head's figures are made of.

    within, points: 1 for each segment and each point mass of the profile that counts, else 0.
    length, front_length: [m], of all of it and of its tip and front taper. mass: [kg], loops and
    sleeves on it included. front_mass: [kg], of tip and front taper, without loops and sleeves.
    moment: [kg*m], of the mass about the fly end.
    """

    within: Array
    points: Array
    length: float
    mass: float
    front_length: float
    front_mass: float
    moment: float

    @property
    def front_mass_share(self) -> float:
        """Share of the tip and front-taper segments in the weight, from 0 to 1."""
        return self.front_mass / self.mass

    @property
    def balance_point(self) -> float:
        """Centre of mass [m] from the fly end."""
        return self.moment / self.mass


def head_sums(line: Line, profile: Profile) -> HeadSums | None:
    """The sums over a line's head, given the line's profile; None where it has none."""
    rows = list(head_rows(line))
    if not rows:
        return None
    within, front = np.zeros((2, len(line.segments)))
    within[rows] = 1.0
    front[[i for i in rows if line.segments[i].part.in_front_taper]] = 1.0
    points = within[profile.point_segments]
    mass = float(profile.mass(within, points))
    return HeadSums(
        within=within,
        points=points,
        length=float(profile.lengths @ within),
        mass=mass,
        front_length=float(profile.lengths @ front),
        front_mass=float(profile.mass(front, 0.0)),
        moment=mass * float(profile.balance(within, points)),
    )


def rows_in_one_piece(line: Line) -> int:
    """How many segments are head, one after the other, from the fly end on."""
    return next(
        (i for i, segment in enumerate(line.segments) if not segment.part.in_head),
        len(line.segments),
    )


def has_tip(line: Line) -> bool:
    """Whether a tip is cast with the head: a sink tip, or a level tip that is joined to it.

    A level tip of one extrusion with the rest is part of the taper.
    """
    if any(segment.part is Part.SINK_TIP for segment in line.segments):
        return True
    return any(
        ahead.part is Part.TIP and joint.kind is not JointKind.ONE_EXTRUSION
        for ahead, joint in zip(line.segments, line.joints, strict=False)
    )


def is_tip(line: Line, water: Water) -> bool:
    """Whether a line is a tip: it is called one, or is of no said style, and sinks all over.

    A line with a belly is a head, however it sinks.
    """
    if line.style is Style.TIP:
        return True
    if line.style is not Style.OTHER or not line.segments:
        return False
    if any(segment.part not in _TIP_PARTS for segment in line.segments):
        return False
    density = water_state(water).density
    return all(section.mean_density(segment) > density for segment in line.segments)


def head_problem(line: Line) -> Finding | None:
    """Why a line has no head, or not one in one piece at its fly end; None where it has one."""
    rows, count = head_rows(line), rows_in_one_piece(line)
    if not line.segments:
        why = Sentence("This line has no segments yet: add the first one.")
    elif not rows:
        why = Sentence("This line is all handling or running line: it has no head.")
    elif count == len(rows):
        return None
    elif not count:
        why = Sentence(
            "Segment {row} is {part} ahead of the head. Is the line the wrong way round? "
            "Reverse it end for end.",
            row=1,
            part=line.segments[0].part,
        )
    else:
        why = Sentence(
            "The head is in two pieces: segment {row} between them is {part}.",
            row=count + 1,
            part=line.segments[count].part,
        )
    return Finding(Level.CAUTION, why, count) if rows else Finding(Level.NOTE, why)


def head_of(line: Line) -> Line:
    """The head on its own: running and handling line taken off at its rear.

    The loop of the joint there stays on it, and what else the joint adds: that lies on the head.
    Raises Impossible where there is no head, or where it is not one piece at the fly end.
    """
    problem = head_problem(line)
    if problem:
        raise Impossible(problem.sentence)
    count = rows_in_one_piece(line)
    if count == len(line.segments):
        return line
    joint = line.joints[count - 1]
    return replace(
        line,
        segments=line.segments[:count],
        joints=line.joints[: count - 1],
        rear_loop=replace(joint.loop_ahead, mass=joint.loop_ahead.mass + joint.mass),
    )
