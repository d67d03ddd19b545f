"""Dragging a breakpoint, the place where one segment ends and the next begins."""

from __future__ import annotations

import math

from taperlab.edits.changing import (
    SHORTEST,
    changed,
    find_line,
    with_segments,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.segment import Segment
from taperlab.units.kinds import LENGTH
from taperlab.units.sentence import Sentence


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
