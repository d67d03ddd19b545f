"""Whole segments of a line: put in, take out, move, split, merge, turn round.

Rows count from 0 at the fly end. A joint lies in the gap between two rows; what happens to it
when rows come and go is said in each function.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from taperlab.edits.changing import (
    SAME,
    check_segment,
    find_line,
    find_rows,
    find_segment,
    same,
    sound,
    weighing,
    with_line,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.line import NO_LOOP, ONE_EXTRUSION, Joint, JointKind, Line
from taperlab.model.segment import Part, Segment
from taperlab.physics import section
from taperlab.physics.profile import Profile
from taperlab.trade.starters import starter_sink_tip
from taperlab.units.kinds import LENGTH
from taperlab.units.sentence import Sentence, counted

FIRST_SEGMENT = Segment(Part.BELLY, 10.0 * FOOT, 0.060 * INCH, 0.060 * INCH, 860.0)
"""What an empty line starts with."""

NEW_LENGTH = 5.0 * FOOT
"""Length of a new row beside others [m]."""


# -- putting in -------------------------------------------------------------------------------


def new_segment(line: Line, index: int, part: Part | None = None) -> Segment:
    """A sensible segment to put in at a row: it takes up the diameters and make-up beside it.

    It is belly, or running or handling line beside that, so that a head stays a head. Where a
    sink tip is wanted it is level and sinks: like the sink tip ahead of it, or else tungsten stock
    of 11 grains per foot, by common practice (no source has one that is meant where none is
    named).
    """
    model = line.segments[max(0, index - 1)] if line.segments else FIRST_SEGMENT
    if part is Part.SINK_TIP:
        stock = model if model.part is part else starter_sink_tip().piece(NEW_LENGTH)
        level = stock.rear_diameter
        return Segment(part, NEW_LENGTH, level, level, stock.density, stock.core)
    if not line.segments:
        return FIRST_SEGMENT
    front = model.rear_diameter if index > 0 else model.front_diameter
    rear = line.segments[index].front_diameter if index < len(line.segments) else front
    core, density = model.core, model.density
    if core and core.diameter > min(front, rear):
        core, density = None, section.mean_density(model)
    part = Part.BELLY if model.part.in_head else model.part
    return Segment(part, NEW_LENGTH, front, rear, density, core)


def insert(bench: Bench, line: str, index: int, segment: Segment) -> Edited:
    """Put a segment in before row ``index``, or at the end.

    It becomes one extrusion with the row ahead of it; a joint that was there is then behind it.
    """
    whole = find_line(bench, line)
    _check_gap(whole, index)
    check_segment(segment, index)
    after = with_inserted(whole, index, (segment,))
    return with_line(bench, whole, after, Sentence("Insert segment"), (index,))


def is_as_put_in(line: Line, index: int) -> bool:
    """Whether a row is still just what :func:`new_segment` put in there."""
    others = (*line.segments[:index], *line.segments[index + 1 :])
    before = replace(line, segments=others, joints=(ONE_EXTRUSION,) * max(0, len(others) - 1))
    return line.segments[index] == new_segment(before, index)


def insert_rows(
    bench: Bench,
    line: str,
    index: int,
    segments: Sequence[Segment],
    joints: Sequence[Joint] = (),
) -> Edited:
    """Put copied segments in before row ``index``, or at the end, with the joints between them.

    They become one extrusion with the row ahead; a joint that was there is then behind them.
    """
    whole = find_line(bench, line)
    _check_gap(whole, index)
    if not segments:
        raise Refused("There are no segments to insert.")
    for row, segment in enumerate(segments, index):
        check_segment(segment, row)
    rows = tuple(range(index, index + len(segments)))
    after = with_inserted(whole, index, segments, sound(tuple(joints)))
    text = counted("Insert copied segment", "Insert {count} copied segments", len(segments))
    return with_line(bench, whole, after, text, rows)


def insert_default(bench: Bench, line: str, index: int) -> Edited:
    """Put a sensible new segment in before row ``index``, or at the end."""
    whole = find_line(bench, line)
    _check_gap(whole, index)
    return insert(bench, line, index, new_segment(whole, index))


def duplicate(bench: Bench, line: str, indices: Iterable[int]) -> Edited:
    """Copy rows, with the joints between them, to behind the last of them."""
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to duplicate."))
    at = rows[-1] + 1
    inner = joints_between(whole, rows)
    copies = tuple(whole.segments[row] for row in rows)
    after = with_inserted(whole, at, copies, inner)
    chosen = tuple(range(at, at + len(rows)))
    return with_line(
        bench,
        whole,
        after,
        counted("Duplicate segment", "Duplicate {count} segments", len(rows)),
        chosen,
    )


# -- taking out and moving --------------------------------------------------------------------


def delete(bench: Bench, line: str, indices: Iterable[int]) -> Edited:
    """Take rows out. Rows that come to touch keep the nearest made joint that lay between them."""
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to delete."))
    kept = [row for row in range(len(whole.segments)) if row not in rows]
    joints = [
        next((j for j in whole.joints[front:rear] if j != ONE_EXTRUSION), whole.joints[front])
        for front, rear in pairwise(kept)
    ]
    after = replace(
        whole, segments=tuple(whole.segments[row] for row in kept), joints=tuple(joints)
    )
    chosen = (min(rows[0], len(kept) - 1),) if kept else ()
    return with_line(
        bench, whole, after, counted("Delete segment", "Delete {count} segments", len(rows)), chosen
    )


def move(bench: Bench, line: str, indices: Iterable[int], to: int) -> Edited:
    """Move segments, kept in order, to before the row that is now ``to`` (or to the end).

    Rows that stay neighbours keep the joint between them; the other joints keep their order, so
    none is lost.
    """
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to move."))
    _check_gap(whole, to)
    stay = [row for row in range(len(whole.segments)) if row not in rows]
    start = sum(row < to for row in stay)
    order = [*stay[:start], *rows, *stay[start:]]
    after = replace(
        whole,
        segments=tuple(whole.segments[row] for row in order),
        joints=_joints_of(whole.joints, order),
    )
    chosen = tuple(range(start, start + len(rows)))
    text = counted("Move segment", "Move {count} segments", len(rows))
    return with_line(bench, whole, after, text, chosen)


def reverse(bench: Bench, line: str) -> Edited:
    """Turn a line end for end, its joints and loops with it; front tapers become rear tapers."""
    whole = find_line(bench, line)
    after = replace(
        whole,
        segments=tuple(_turned(segment) for segment in reversed(whole.segments)),
        joints=tuple(joint.turned() for joint in reversed(whole.joints)),
        front_loop=whole.rear_loop,
        rear_loop=whole.front_loop,
    )
    return with_line(bench, whole, after, Sentence("Reverse line"))


# -- splitting and merging --------------------------------------------------------------------


def split_segment(bench: Bench, line: str, index: int, distance: float) -> Edited:
    """Split a segment in two at a distance from its own front [m]; nothing else changes."""
    whole = find_line(bench, line)
    segment = find_segment(whole, index)
    rest = segment.length - distance
    least = max(SAME * segment.length, LENGTH.lowest)
    if not (distance >= -least and rest >= -least):
        raise Refused("Segment {row} can be split only between its ends.", row=index + 1)
    if distance < least or rest < least:
        raise Refused("There is a breakpoint there already.")
    halves = segment.cut(0.0, distance), segment.cut(distance, segment.length)
    after = replace(
        whole,
        segments=(*whole.segments[:index], *halves, *whole.segments[index + 1 :]),
        joints=(*whole.joints[:index], ONE_EXTRUSION, *whole.joints[index:]),
    )
    return with_line(bench, whole, after, Sentence("Split segment"), (index, index + 1))


def merge(bench: Bench, line: str, indices: Iterable[int], *, keep_weight: bool = False) -> Edited:
    """Make one segment of neighbours that are one straight taper of one make-up.

    ``keep_weight``: make one of any neighbours: a straight taper from the first front to the last
    rear, as heavy as they and the joints between them were. The part is that of the longest.
    """
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to merge."))
    if len(rows) < 2 or rows[-1] - rows[0] != len(rows) - 1:
        raise Refused("Select two or more segments that touch to merge them.")
    first, last = rows[0], rows[-1]
    pieces, inner = whole.segments[first : last + 1], whole.joints[first:last]
    if len({piece.part.in_head for piece in pieces}) > 1:
        raise Refused(
            "Head and running line can’t be merged; give the segments parts of the same kind first."
        )
    why = _why_not_straight(pieces, inner, first)
    text = counted("Merge segment", "Merge {count} segments", len(rows))
    merged = _straight(pieces)
    if why:
        if not keep_weight:
            raise Refused(why)
        text = Sentence("{merge}, keeping the weight", merge=text)
        stretch = replace(
            whole, segments=pieces, joints=inner, front_loop=NO_LOOP, rear_loop=NO_LOOP
        )
        merged = weighing(merged, first, Profile.of(stretch).total_mass)
    check_segment(merged, first)
    after = replace(
        whole,
        segments=(*whole.segments[:first], merged, *whole.segments[last + 1 :]),
        joints=(*whole.joints[:first], *whole.joints[last:]),
    )
    return with_line(bench, whole, after, text, (first,))


def _straight(pieces: Sequence[Segment]) -> Segment:
    longest = max(pieces, key=lambda piece: piece.length)
    notes = dict.fromkeys(piece.note for piece in pieces if piece.note)
    core = pieces[0].core
    return replace(
        pieces[0],
        core=core if all(piece.core == core for piece in pieces) else None,
        part=longest.part,
        length=sum(piece.length for piece in pieces),
        rear_diameter=pieces[-1].rear_diameter,
        note="; ".join(notes),
    )


def _why_not_straight(
    pieces: Sequence[Segment], inner: Sequence[Joint], first: int
) -> Sentence | None:
    """Why neighbours are not one straight taper of one make-up; None if they are."""
    whole = _straight(pieces)
    done = 0.0
    for i, (ahead, behind, joint) in enumerate(
        zip(pieces[:-1], pieces[1:], inner, strict=True), first + 1
    ):
        done += ahead.length
        there = whole.diameter(done)
        if joint.kind is not JointKind.ONE_EXTRUSION or joint.mass:
            why = Sentence("there is a joint between them ({joint})", joint=joint.kind)
        elif not same(ahead.density, behind.density) or ahead.core != behind.core:
            why = Sentence("they are not of one density")
        elif not (same(ahead.rear_diameter, there) and same(behind.front_diameter, there)):
            why = Sentence("they are not one straight taper")
        else:
            continue
        return Sentence(
            "Segments {ahead} and {behind} can’t be merged exactly: {why}.",
            ahead=i,
            behind=i + 1,
            why=why,
        )
    return None


# -- details ----------------------------------------------------------------------------------

_OTHER_END = {Part.FRONT_TAPER: Part.REAR_TAPER, Part.REAR_TAPER: Part.FRONT_TAPER}


def _turned(segment: Segment) -> Segment:
    part = _OTHER_END.get(segment.part, segment.part)
    if part is segment.part and segment.front_diameter == segment.rear_diameter:
        return segment
    return replace(segment.turned(), part=part)


def joints_between(line: Line, rows: Sequence[int]) -> tuple[Joint, ...]:
    """The joints of rows with each other; rows that do not touch are of one extrusion."""
    return tuple(
        line.joints[row] if after == row + 1 else ONE_EXTRUSION for row, after in pairwise(rows)
    )


def with_inserted(
    line: Line, index: int, segments: Sequence[Segment], joints: Sequence[Joint] = ()
) -> Line:
    """The line with segments before row ``index``, or at its end, of one extrusion with it.

    joints: those between the segments; of one extrusion by default.
    """
    gap = max(0, index - 1)
    own = tuple(joints) or (ONE_EXTRUSION,) * (len(segments) - 1)
    outer = (ONE_EXTRUSION,) if line.segments else ()
    new = (*outer, *own) if index else (*own, *outer)
    return replace(
        line,
        segments=(*line.segments[:index], *segments, *line.segments[index:]),
        joints=(*line.joints[:gap], *new, *line.joints[gap:]),
    )


def _joints_of(joints: Sequence[Joint], order: Sequence[int]) -> tuple[Joint, ...]:
    """The joints of rows that come to lie in another order.

    A joint stays between its two rows where they still follow each other. The others go, in
    their order, to the places that are left, so that none is lost.
    """
    stays = {
        place: ahead for place, (ahead, behind) in enumerate(pairwise(order)) if behind == ahead + 1
    }
    others = iter([joint for gap, joint in enumerate(joints) if gap not in stays.values()])
    return tuple(
        joints[stays[place]] if place in stays else next(others) for place in range(len(joints))
    )


def _check_gap(line: Line, index: int) -> None:
    if not 0 <= index <= len(line.segments):
        raise Refused(
            "{line} has no place {place}; it has {segments}.",
            line=line.name,
            place=index + 1,
            segments=counted("{count} segment", "{count} segments", len(line.segments)),
        )
