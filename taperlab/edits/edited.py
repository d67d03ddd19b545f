"""What an edit gives back, how it says no, and several edits as one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from taperlab.model.bench import Bench, keyed
from taperlab.units.columns import Column
from taperlab.units.sentence import NOTHING, Sentence, Told


class Refused(Told, ValueError):  # noqa: N818 - an answer, not a fault
    """An edit that can't be done. ``sentence`` says why; nothing was changed."""


class Solve(StrEnum):
    """Which number a typed weight, or weight per length, moves."""

    DENSITY = "density"
    DIAMETER = "diameter"


class Ends(StrEnum):
    """Whether two ends that meet and are equally thick stay so when one gets another diameter."""

    JOINED = "joined"
    STEPPED = "stepped"


@dataclass(frozen=True, slots=True)
class Moved:
    """A number, other than the one typed, that an edit moved.

    quantity: "length", "front diameter", "rear diameter" or "density" (the mean over the segment,
    core included). segment: its row, from 0. before, after: [m] or [kg/m^3].
    """

    quantity: str
    segment: int
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Edited:
    """The bench after an edit; the very same object if the edit changes nothing.

    text: what the undo menu calls the edit. line: key of the line concerned. segments: rows to
    select afterwards; columns: in these alone, where the edit was of cells and not of whole rows.
    held: what stays as it was typed where other numbers moved for it.
    """

    bench: Bench
    text: Sentence
    moved: tuple[Moved, ...] = ()
    line: str | None = None
    segments: tuple[int, ...] = ()
    columns: tuple[Column, ...] = ()
    held: Sentence = NOTHING


Step = tuple[Callable[..., Edited], tuple[Any, ...]]
"""An edit and what it takes after the bench."""


def together(
    bench: Bench,
    text: Sentence,
    steps: Sequence[Step],
    rows: tuple[int, ...],
    columns: tuple[Column, ...] = (),
) -> Edited:
    """Do edits in order under one menu text; ``rows``, or ``columns`` of them, are to be selected.

    What they moved is told where the line keeps its rows. Raises Refused, from the first edit that
    can't be done: then none of them is.
    """
    edited = Edited(bench, text, segments=rows, columns=columns)
    moved: dict[tuple[str, int], Moved] = {}
    for edit, arguments in steps:
        done = edit(edited.bench, *arguments)
        edited = replace(edited, bench=done.bench, line=done.line or edited.line)
        for each in done.moved:
            place = each.quantity, each.segment
            first = moved.get(place, each)
            moved[place] = replace(each, before=first.before)
    if edited.bench == bench:
        return replace(edited, bench=bench)
    before, after = (keyed(each.lines, edited.line) for each in (bench, edited.bench))
    if before and after and len(before.segments) == len(after.segments):
        told = (each for each in moved.values() if each.before != each.after)
        edited = replace(edited, moved=tuple(told))
    return edited


def instead(bench: Bench, before: Bench, step: Step | None) -> Edited:
    """A step done to a bench of before in place of those done since; without one, what was before.

    For a run of edits of one value: none of them stands on the rounding, or the limits, of
    another. Raises Refused, from the step.
    """
    if step is None:
        return Edited(before, Sentence("Put back"))
    edit, arguments = step
    return edit(before, *arguments)
