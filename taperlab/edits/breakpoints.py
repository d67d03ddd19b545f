"""Breakpoints, where one segment ends and the next begins: moved, or dragged by a handle.

A dragged one, designed or measured, goes no farther than it may; a moved one is refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from taperlab.edits.changing import SHORTEST, changed, find_line, same, with_line, with_segments
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.measure import find_measurement
from taperlab.edits.measure import move_breakpoint as move_measured
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.model.segment import Segment
from taperlab.physics.section import taper_of
from taperlab.units.kinds import DIAMETER, LENGTH
from taperlab.units.sentence import Sentence

MARGIN = 0.002
"""A measured breakpoint stays this much of the line's length away from its ends."""


def move_breakpoint(
    bench: Bench,
    line: str,
    index: int,
    position: float | None = None,
    *,
    diameter_ahead: float | None = None,
    diameter_behind: float | None = None,
) -> Edited:
    """Move the breakpoint ahead of row ``index``: 0 is the fly end, n (of n rows) the rod end.

    position: where to, from the fly end [m]; what one segment gains the other loses, and each
    keeps at least 5 mm. The rod end lengthens or shortens the last segment; the fly end stays.
    diameter_ahead, diameter_behind: [m] of the segment just ahead of the breakpoint (nearer the
    fly) and of the one just behind it; an end of the line has one of them only. None leaves a
    number as it is.
    """
    whole = find_line(bench, line)
    count = len(whole.segments)
    if not (count and 0 <= index <= count):
        raise Refused(Sentence("{line} has no breakpoint {number}.", line=whole.name, number=index))
    changes: dict[int, dict[str, float]] = {row: {} for row in (index - 1, index)}
    if position is not None and index > 0:
        if not math.isfinite(position):
            raise Refused(Sentence("A breakpoint must stay on the line."))
        changes[index - 1], changes[index] = _lengths(whole.segments, whole.starts, index, position)
    if diameter_ahead is not None:
        changes[index - 1]["rear_diameter"] = diameter_ahead
    if diameter_behind is not None:
        changes[index]["front_diameter"] = diameter_behind
    rows = tuple(row for row in (index - 1, index) if 0 <= row < count)
    return with_segments(
        bench,
        whole,
        {row: changed(whole.segments[row], row, **changes[row]) for row in rows},
        Sentence("Move breakpoint"),
        typed=[(name.replace("_", " "), row) for row in rows for name in changes[row]],
        rows=rows[:1],
    )


def _lengths(
    segments: tuple[Segment, ...], starts: tuple[float, ...], index: int, position: float
) -> tuple[dict[str, float], dict[str, float]]:
    ahead = segments[index - 1].length
    shortest = min(SHORTEST, ahead)
    if index == len(segments):
        return {"length": min(max(position - starts[index - 1], shortest), LENGTH.highest)}, {}
    both = ahead + segments[index].length
    longest = both - min(SHORTEST, segments[index].length)
    length = min(max(position - starts[index - 1], shortest), longest)
    if length == ahead:
        return {}, {}
    return {"length": length}, {"length": both - length}


def drag_breakpoint(
    bench: Bench,
    line: str,
    index: int,
    position: float | None = None,
    *,
    behind: bool = False,
    diameter: float | None = None,
    linear_density: float | None = None,
) -> Edited:
    """Drag the breakpoint ahead of row ``index`` along the line, across it, or both.

    position: where to, from the fly end [m]. diameter, or instead linear_density: how thick [m],
    or how heavy per length [kg/m], it is to be there, worked back at the density of the segment
    that is meant. Both touching ends move if they were equal, else that of the segment just
    ahead, or of the one just behind if ``behind``. A drag is not refused for a place or a size
    out of bounds: it goes as far as neighbours, cores and the limits of a diameter let it.
    """
    rows = find_line(bench, line).segments
    if not (rows and 0 <= index <= len(rows)):
        return move_breakpoint(bench, line, index, position)
    ends = {"diameter_ahead": index - 1, "diameter_behind": index}
    touching = {name: rows[row] for name, row in ends.items() if 0 <= row < len(rows)}
    meant = "diameter_behind" if behind or index == 0 else "diameter_ahead"
    if index == len(rows):
        meant = "diameter_ahead"
    if len(touching) == 2 and not same(rows[index - 1].rear_diameter, rows[index].front_diameter):
        touching = {meant: touching[meant]}
    if linear_density is not None:
        taper = taper_of(rows[ends[meant]])
        diameter = float(taper.diameter_for_linear_density(max(linear_density, 0.0)))
    if diameter is None:
        return move_breakpoint(bench, line, index, position)
    diameter = _within_reach(diameter, touching.values())
    return move_breakpoint(bench, line, index, position, **dict.fromkeys(touching, diameter))


def drag_measured(bench: Bench, key: str, before: float, position: float) -> Edited:
    """Drag a breakpoint of a measured line from one distance to another [m], and hold it there.

    It goes to whole steps of the tape, and no nearer to an end than a five-hundredth of the line.
    """
    measurement = find_measurement(bench, key)
    position = on_tape(measurement, position)
    least = MARGIN * measurement.length
    return move_measured(bench, key, before, min(max(position, least), measurement.length - least))


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
    return with_line(bench, find_line(bench, line.key), line, Sentence("Move breakpoint"))
