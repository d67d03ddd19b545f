"""Dragging a handle on a breakpoint, designed or measured: what moves, and how far it goes."""

from __future__ import annotations

import math
from collections.abc import Iterable

from taperlab.edits.changing import (
    FRONT,
    REAR,
    SHORTEST,
    changed,
    find_line,
    partner,
    with_line,
    with_segments,
)
from taperlab.edits.edited import Edited, Ends, Refused
from taperlab.edits.measure import find_measurement, move_breakpoint
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.model.segment import Segment
from taperlab.physics.section import taper_of
from taperlab.units.kinds import DIAMETER, LENGTH
from taperlab.units.sentence import Sentence

MARGIN = 0.002
"""A measured breakpoint stays this much of the line's length away from its ends."""


def drag_breakpoint(
    bench: Bench,
    line: str,
    index: int,
    position: float | None = None,
    *,
    behind: bool = False,
    diameter: float | None = None,
    linear_density: float | None = None,
    joined: Ends = Ends.JOINED,
) -> Edited:
    """Drag the breakpoint ahead of row ``index`` along the line, across it, or both.

    index: 0 is the fly end, n (of n rows) the rod end. position: where to, from the fly end [m];
    what one segment gains the other loses, and each keeps at least 5 mm. The rod end lengthens or
    shortens the last segment; the fly end stays. diameter, or instead linear_density: how thick
    [m], or how heavy per length [kg/m], it is to be there, worked back at the density of the
    segment that is meant: the one just ahead, or the one just behind if ``behind``. The end that
    meets its end moves too if they were equal and are ``joined``. A drag is not refused for a
    place or a size out of bounds: it goes as far as neighbours, cores and the limits of a
    diameter let it.
    """
    whole = find_line(bench, line)
    rows, count = whole.segments, len(whole.segments)
    if not (count and 0 <= index <= count):
        raise Refused("{line} has no breakpoint {number}.", line=whole.name, number=index)
    ends = {index - 1: REAR, index: FRONT}
    ends = {row: end for row, end in ends.items() if 0 <= row < count}
    changes: dict[int, dict[str, float]] = {row: {} for row in ends}
    if position is not None and index > 0:
        if not math.isfinite(position):
            raise Refused("A breakpoint must stay on the line.")
        changes.update(_lengths(whole, index, position))
    meant = index if index == 0 or (behind and index < count) else index - 1
    if linear_density is not None:
        wanted = max(linear_density, 0.0)
        diameter = float(taper_of(rows[meant]).diameter_for_linear_density(wanted))
    if diameter is not None:
        end = meant, ends[meant]
        other = partner(whole, end, joined)
        moving = (end, other) if other else (end,)
        diameter = _within_reach(diameter, [rows[row] for row, _ in moving])
        for row, side in moving:
            changes[row][side] = diameter
    return with_segments(
        bench,
        whole,
        {row: changed(rows[row], row, **each) for row, each in changes.items()},
        Sentence("Move breakpoint"),
        typed=[(name.replace("_", " "), row) for row, each in changes.items() for name in each],
        rows=tuple(changes)[:1],
    )


def _lengths(line: Line, index: int, position: float) -> dict[int, dict[str, float]]:
    ahead, start = line.segments[index - 1].length, line.starts[index - 1]
    shortest = min(SHORTEST, ahead)
    if index == len(line.segments):
        return {index - 1: {"length": min(max(position - start, shortest), LENGTH.highest)}}
    behind = line.segments[index].length
    longest = ahead + behind - min(SHORTEST, behind)
    length = min(max(position - start, shortest), longest)
    if length == ahead:
        return {}
    return {index - 1: {"length": length}, index: {"length": ahead + behind - length}}


def drag_measured(bench: Bench, key: str, before: float, position: float) -> Edited:
    """Drag a breakpoint of a measured line from one distance to another [m], and hold it there.

    It goes to whole steps of the tape, and no nearer to an end than a five-hundredth of the line.
    """
    measurement = find_measurement(bench, key)
    position = on_tape(measurement, position)
    least = MARGIN * measurement.length
    return move_breakpoint(
        bench, key, before, min(max(position, least), measurement.length - least)
    )


def on_tape(measurement: Measurement, position: float) -> float:
    """A distance [m] in whole steps of the tape: nobody can point finer than he can measure."""
    if not math.isfinite(position):
        return position
    step = measurement.instruments.tape
    rounded = round(position / step) * step
    return rounded if 0.0 < rounded < measurement.length else position


def _within_reach(diameter: float, segments: Iterable[Segment]) -> float:
    cores = [segment.core.diameter for segment in segments if segment.core]
    thinnest = max([DIAMETER.lowest, *cores])
    if not diameter >= thinnest:  # nan too: lighter than the core alone
        return thinnest
    return min(diameter, DIAMETER.highest)


def put_back(bench: Bench, line: Line) -> Edited:
    """Put a line back as it was before a drag that was called off. Raises Refused."""
    return with_line(bench, find_line(bench, line.key), line, Sentence("Put the breakpoint back"))
