"""Shortening a line, joining two, and scaling what one weighs."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.line import NO_LOOP, Joint, JointKind, Line
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.physics.profile import Profile
from taperlab.units.finding import Impossible
from taperlab.units.kinds import LENGTH

SLIVER = 1e-9
"""Positions closer than this [m] are the same but for rounding."""


def trim(line: Line, front: float, rear: float) -> Line:
    """The line between two positions [m from the fly end], diameters interpolated.

    A cut end loses its loop. Joints inside are kept; one at a cut is undone: a loop goes back to
    the end of the piece that it belongs to, what else the joint adds goes with the offcut. Raises
    ValueError where the positions are out of order or outside the line.
    """
    length = line.starts[-1]
    if not -SLIVER <= front < rear <= length + SLIVER:
        raise ValueError(f"cannot keep {front!r} to {rear!r} m of a line of {length!r} m")
    segments: list[Segment] = []
    kept: list[int] = []
    for i, (segment, start) in enumerate(zip(line.segments, line.starts, strict=False)):
        begin, end = max(0.0, front - start), min(segment.length, rear - start)
        if end - begin < LENGTH.lowest:  # no row is as short as that
            continue
        kept.append(i)
        segments.append(segment.cut(begin, end))
    if not kept:
        raise ValueError(f"nothing is left from {front!r} to {rear!r} m")
    front_loop = rear_loop = NO_LOOP
    first, last = kept[0], kept[-1]
    if front <= SLIVER:
        front_loop = line.front_loop
    elif first and front <= line.starts[first] + SLIVER:
        front_loop = line.joints[first - 1].loop_behind
    if rear >= length - SLIVER:
        rear_loop = line.rear_loop
    elif last < len(line.joints) and rear >= line.starts[last + 1] - SLIVER:
        rear_loop = line.joints[last].loop_ahead
    return replace(
        line,
        segments=tuple(segments),
        joints=tuple(line.joints[i] for i in kept[:-1]),
        front_loop=front_loop,
        rear_loop=rear_loop,
    )


def join(ahead: Line, behind: Line) -> Line:
    """The two lines looped together: a tip to a head, a head to an extension.

    ``ahead`` is nearer the fly. The two loops that meet go into the joint, so that nothing is
    lost, and :func:`trim` at the joint gives both lines back. Key, style and the rest are those
    of ``behind``. Raises Impossible where one of them has no segments.
    """
    if not (ahead.segments and behind.segments):
        raise Impossible("A line without segments can’t be joined to another.")
    joint = Joint(JointKind.LOOP_TO_LOOP, loop_ahead=ahead.rear_loop, loop_behind=behind.front_loop)
    return replace(
        behind,
        segments=(*ahead.segments, *behind.segments),
        joints=(*ahead.joints, joint, *behind.joints),
        front_loop=ahead.front_loop,
    )


def scaled_to(line: Line, mass: float) -> Line:
    """The line with its densities scaled so that the whole of it weighs ``mass`` [kg].

    Raises Impossible if the line is empty or what its loops and joints add weighs as much.
    """
    fixed = line.added_mass
    scalable = Profile.of(line).total_mass - fixed
    if scalable <= 0.0:
        raise Impossible("An empty line has no weight to scale.")
    if mass <= fixed:
        raise Impossible("The loops and joints alone weigh more than that.")
    factor = (mass - fixed) / scalable
    return replace(line, segments=tuple(section.scaled(each, factor) for each in line.segments))
