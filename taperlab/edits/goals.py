"""Goals of a line and what may move for them; and taking a line that meets them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from taperlab.edits.changing import changed, find_line, find_segment, sound, with_line, within
from taperlab.edits.changing import moved_between as numbers_between
from taperlab.edits.edited import Edited, Moved, Refused
from taperlab.model.aim import Cell, Goal, Hold
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.segment import Segment
from taperlab.units.kinds import DENSITY, DIAMETER
from taperlab.units.limits import CELL_LIMITS, GOAL_LIMITS
from taperlab.units.sentence import (
    OnTape,
    Quantity,
    Sentence,
    Several,
    Value,
    counted,
    of_table,
)

CellValue = tuple[int, Cell, float]
"""A row, from 0, a cell of it, and what it is to be [m] or [kg/m^3]; of a core, its coating's."""

_FIELDS = {
    Cell.LENGTH: "length",
    Cell.FRONT: "front_diameter",
    Cell.REAR: "rear_diameter",
    Cell.DENSITY: "density",
}

_TOLD = 2
"""What moved is told one by one up to so many; the rest is counted."""


def has_locks(line: Line) -> bool:
    """Whether anything in the head of a line is held."""
    return any(hold.holds for each in line.segments if each.part.in_head for hold in each.holds)


def set_goal(bench: Bench, line: str, goal: Goal) -> Edited:
    """Make a figure of a line a goal, in place of another one for the same figure."""
    whole = find_line(bench, line)
    _check_goal(bench, whole, goal)
    goals = [goal if each.of == goal.of else each for each in whole.aim.goals]
    if goal not in goals:
        goals.append(goal)
    aim = replace(whole.aim, goals=tuple(goals))
    text = Sentence("Set goal for {figure}", figure=goal.kind)
    return with_line(bench, whole, replace(whole, aim=aim), text)


def clear_goals(bench: Bench, line: str, goals: Sequence[Goal] | None = None) -> Edited:
    """Take goals off a line, or all of them; the line stays as it is."""
    whole = find_line(bench, line)
    gone = None if goals is None else {each.of for each in goals}
    kept = tuple(each for each in whole.aim.goals if gone is not None and each.of not in gone)
    count = len(whole.aim.goals) - len(kept)
    text = counted("Clear goal", "Clear {count} goals", max(1, count))
    return with_line(bench, whole, replace(whole, aim=replace(whole.aim, goals=kept)), text)


def set_columns(
    bench: Bench,
    line: str,
    lengths: bool | None = None,
    diameters: bool | None = None,
    density: bool | None = None,
) -> Edited:
    """Say which columns of a line may move for goals; None leaves one as it is."""
    whole = find_line(bench, line)
    aim = whole.aim
    after = replace(
        aim,
        lengths=aim.lengths if lengths is None else lengths,
        diameters=aim.diameters if diameters is None else diameters,
        density=aim.density if density is None else density,
    )
    text = Sentence("Change what may move")
    return with_line(bench, whole, replace(whole, aim=after), text)


def set_locks(bench: Bench, line: str, cells: Iterable[tuple[int, Cell]], locked: bool) -> Edited:
    """Lock cells, so that no goal moves them, or unlock them."""
    whole = find_line(bench, line)
    places = sorted(set(cells), key=lambda each: (each[0], list(Cell).index(each[1])))
    if not places:
        raise Refused("Select what is to be locked: a length, a diameter or a density.")
    text = Sentence("Lock") if locked else Sentence("Unlock")
    if len(places) == 1:
        row, cell = places[0]
        names: dict[str, Value] = {"cell": cell, "row": row + 1}
        text = (
            Sentence("Lock {cell} of segment {row}", **names)
            if locked
            else Sentence("Unlock {cell} of segment {row}", **names)
        )
    return _held(bench, whole, places, text, lambda hold: replace(hold, locked=locked))


def set_bounds(
    bench: Bench, line: str, row: int, cell: Cell, low: float | None, high: float | None
) -> Edited:
    """Say between what a cell may move for goals [m] or [kg/m^3]; None for as far as usual."""
    whole = find_line(bench, line)
    find_segment(whole, row)
    if low is not None and high is not None and not low <= high:
        raise Refused("The lower bound must not lie above the upper one.")
    for bound in (low, high):
        if bound is not None:
            within(bound, CELL_LIMITS[cell].kind, of_table(CELL_LIMITS[cell].name))
    text = Sentence("Bound {cell} of segment {row}", cell=cell, row=row + 1)
    return _held(bench, whole, [(row, cell)], text, lambda hold: replace(hold, low=low, high=high))


def set_tie(bench: Bench, line: str, cells: Iterable[tuple[int, Cell]], tied: bool) -> Edited:
    """Tie cells of one kind, so that goals move them by one factor; or let them go."""
    whole = find_line(bench, line)
    places = sorted(set(cells), key=lambda each: (each[0], list(Cell).index(each[1])))
    kinds = {cell if cell in (Cell.LENGTH, Cell.DENSITY) else Cell.FRONT for _, cell in places}
    if tied and (len(places) < 2 or len(kinds) > 1):
        raise Refused("Select two or more lengths, diameters or densities to tie.")
    taken = {hold.tie for segment in whole.segments for hold in segment.holds}
    letter = next(name for name in map(_letters, range(10**6)) if name not in taken)
    text = Sentence("Tie") if tied else Sentence("Untie")
    return _held(bench, whole, places, text, lambda hold: replace(hold, tie=letter if tied else ""))


def take_answer(
    bench: Bench, line: str, values: Sequence[CellValue], nearest: bool = False
) -> Edited:
    """Give cells of a line what its goals ask of them; ``nearest``: or what comes nearest.

    The undo text says what moved, biggest first, each in its own unit.
    """
    whole = find_line(bench, line)
    changes: dict[int, dict[str, float]] = {}
    for row, cell, value in values:
        find_segment(whole, row)
        if not math.isfinite(value):
            raise Refused("There is no answer to take.")
        changes.setdefault(row, {})[_FIELDS[cell]] = value
    rows = tuple(
        changed(each, row, **changes[row]) if row in changes else each
        for row, each in enumerate(whole.segments)
    )
    after = replace(whole, segments=rows)
    moved = biggest_first(numbers_between(whole, after, ()))
    edited = with_line(bench, whole, after, answer_text(moved, nearest=nearest))
    return replace(edited, moved=tuple(moved) if edited.bench is not bench else ())


def biggest_first(moved: Iterable[Moved]) -> list[Moved]:
    """What moved, by how large a part of itself it moved."""
    return sorted(moved, key=lambda each: -abs(math.log(each.after / each.before)))


def answer_text(moved: Sequence[Moved], *, nearest: bool) -> Sentence:
    """What the undo menu calls the taking of an answer."""
    told: list[Value] = []
    seen: set[tuple[bool, str, str]] = set()
    for each in moved:
        kind = each.quantity in (Cell.FRONT, Cell.REAR)
        what = kind, f"{each.before:.9g}", f"{each.after:.9g}"
        # Ends that meet are one diameter, and so is a level row.
        if kind and what in seen:
            continue
        seen.add(what)
        told.append(moved_words(each))
    if not told:
        return Sentence("Meet goals")
    if len(told) > _TOLD:
        rest = counted("{count} more", "{count} more", len(told) - _TOLD)
        told = [*told[:_TOLD], rest]
    moves = Several(tuple(told))
    if nearest:
        return Sentence("Come near goals: {moved}", moved=moves)
    return Sentence("Meet goals: {moved}", moved=moves)


def moved_words(moved: Moved) -> Sentence:
    """One number that moved, and by how much: ``length of segment 2 −1 ft 5 3/4 in``."""
    by = moved.after - moved.before
    value: Value = Quantity(DIAMETER, by, signed=True)
    if moved.quantity == Cell.LENGTH:
        value = OnTape(by, signed=True)
    elif moved.quantity == Cell.DENSITY:
        value = Quantity(DENSITY, by, signed=True)
    return Sentence(
        "{quantity} of segment {row} {value}",
        quantity=Cell(moved.quantity),
        row=moved.segment + 1,
        value=value,
    )


def _letters(number: int) -> str:
    """What a tie is called: a, b and so on to z, then aa."""
    text = ""
    number += 1
    while number:
        number, place = divmod(number - 1, 26)
        text = chr(ord("a") + place) + text
    return text


def _check_goal(bench: Bench, line: Line, goal: Goal) -> None:
    sound(goal)
    if goal.line is not None:
        other = find_line(bench, goal.line)
        if not other.segments:
            raise Refused("{line} has no segments yet.", line=other.name)
        if other is line:
            raise Refused("A line cannot be its own goal.")
    if not goal.matches:
        kind = GOAL_LIMITS[goal.kind].kind
        if kind.lowest > 0.0 and goal.low <= 0.0:
            raise Refused("{what} must be above zero.", what=of_table(GOAL_LIMITS[goal.kind].name))


def _held(
    bench: Bench,
    whole: Line,
    places: Sequence[tuple[int, Cell]],
    text: Sentence,
    hold_of: Callable[[Hold], Hold],
) -> Edited:
    """The line with cells held otherwise."""
    segments = list(whole.segments)
    for row, cell in places:
        find_segment(whole, row)
        segments[row] = _with_hold(segments[row], hold_of(segments[row].hold(cell)))
    rows = tuple(dict.fromkeys(row for row, _ in places))
    return with_line(bench, whole, replace(whole, segments=tuple(segments)), text, rows)


def _with_hold(segment: Segment, hold: Hold) -> Segment:
    others = [each for each in segment.holds if each.cell is not hold.cell]
    held = [*others, hold] if hold.holds else others
    order = list(Cell)
    holds = tuple(sorted(held, key=lambda each: order.index(each.cell)))
    return segment if holds == segment.holds else replace(segment, holds=holds)
