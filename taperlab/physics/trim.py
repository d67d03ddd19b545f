"""Shortening a line, and scaling what it weighs."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.line import NO_LOOP, Line
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.physics.profile import Profile
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Sentence

SLIVER = 1e-9
"""Pieces shorter than this [m] are rounding, not line."""


def trim(line: Line, front: float, rear: float) -> Line:
    """The line between two positions [m from the fly end], diameters interpolated.

    A cut end loses its loop; joints inside are kept, a joint at a cut goes with the offcut.
    Raises ValueError where the positions are out of order or outside the line.
    """
    length = line.starts[-1]
    if not -SLIVER <= front < rear <= length + SLIVER:
        raise ValueError(f"cannot keep {front!r} to {rear!r} m of a line of {length!r} m")
    segments: list[Segment] = []
    kept: list[int] = []
    for i, (segment, start) in enumerate(zip(line.segments, line.starts, strict=False)):
        begin, end = max(0.0, front - start), min(segment.length, rear - start)
        if end - begin <= SLIVER:
            continue
        kept.append(i)
        segments.append(segment.cut(begin, end))
    return replace(
        line,
        segments=tuple(segments),
        joints=tuple(line.joints[i] for i in kept[:-1]),
        front_loop=line.front_loop if front <= SLIVER else NO_LOOP,
        rear_loop=line.rear_loop if rear >= length - SLIVER else NO_LOOP,
    )


def scaled(line: Line, factor: float) -> Line:
    """The line with every density multiplied by ``factor``; what loops and joints add stays."""
    return replace(line, segments=tuple(section.scaled(each, factor) for each in line.segments))


def scaled_to(line: Line, mass: float) -> Line:
    """The line with its densities scaled so that the whole of it weighs ``mass`` [kg].

    Raises Impossible if the line is empty or what its loops and joints add weighs as much.
    """
    fixed = line.front_loop.mass + line.rear_loop.mass + sum(j.mass for j in line.joints)
    scalable = Profile.of(line).total_mass - fixed
    if scalable <= 0.0:
        raise Impossible(Sentence("An empty line has no weight to scale."))
    if mass <= fixed:
        raise Impossible(Sentence("The loops and joints alone weigh more than that."))
    return scaled(line, (mass - fixed) / scalable)
