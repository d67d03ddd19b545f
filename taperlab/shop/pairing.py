"""Which segment of one line goes with which of another."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from difflib import SequenceMatcher

from taperlab.model.segment import Segment

Pair = tuple[int | None, int | None]
"""A row of the one line and a row of the other; None where a segment stands alone."""


def pairs_by_part(one: Sequence[Segment], other: Sequence[Segment]) -> list[Pair]:
    """Pairs in order from the fly end: one by one where both have as many, else by their parts."""
    if len(one) == len(other):
        return [(row, row) for row in range(len(one))]
    found: list[Pair] = []
    parts = [each.part for each in one], [each.part for each in other]
    for _, a0, a1, b0, b1 in _stretches(*parts):
        for k in range(max(a1 - a0, b1 - b0)):
            found.append((a0 + k if a0 + k < a1 else None, b0 + k if b0 + k < b1 else None))
    return found


def pairs_of_one_line(before: Sequence[Segment], after: Sequence[Segment]) -> list[Pair]:
    """Pairs of a line before and after it was edited: what is alike first, the rest by part."""
    found: list[Pair] = []
    alike = [_what(each) for each in before], [_what(each) for each in after]
    for tag, a0, a1, b0, b1 in _stretches(*alike):
        if tag == "equal":
            found += zip(range(a0, a1), range(b0, b1), strict=True)
            continue
        for a, b in pairs_by_part(before[a0:a1], after[b0:b1]):
            found.append((None if a is None else a0 + a, None if b is None else b0 + b))
    return found


def _what(segment: Segment) -> Hashable:
    """What a segment is, without what is noted of it or locked in it."""
    ends = segment.front_diameter, segment.rear_diameter
    core = segment.core and (segment.core.diameter, segment.core.density)
    return segment.part, segment.length, ends, segment.density, core


def _stretches(
    one: Sequence[Hashable], other: Sequence[Hashable]
) -> list[tuple[str, int, int, int, int]]:
    """What is alike and what is not, from both ends inward.

    Of rows that are alike among themselves the longest run would match across the one that was put
    between them, and tell of two changes.
    """
    shorter = min(len(one), len(other))
    first = 0
    while first < shorter and one[first] == other[first]:
        first += 1
    last = 0
    while last < shorter - first and one[-1 - last] == other[-1 - last]:
        last += 1
    a, b = len(one) - last, len(other) - last
    found = [("equal", 0, first, 0, first)] if first else []
    middle = SequenceMatcher(None, one[first:a], other[first:b], autojunk=False)
    for tag, a0, a1, b0, b1 in middle.get_opcodes():
        found.append((str(tag), first + a0, first + a1, first + b0, first + b1))
    return [*found, ("equal", a, len(one), b, len(other))] if last else found
