"""Goals met as edits: a goal is set and what it asks of the line is done in one step."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits import goals as edits
from taperlab.edits.edited import Edited, Refused
from taperlab.model.aim import Goal
from taperlab.model.bench import Bench
from taperlab.shop.goals.buildable import Tools
from taperlab.shop.goals.study import Answer, around_of, solve
from taperlab.shop.goals.unknowns import CELL_ROWS, cell_value
from taperlab.units.finding import Impossible


def meet(bench: Bench, line: str, goal: Goal | None = None, tools: Tools | None = None) -> Edited:
    """Set a goal, and change the line so that all its goals are met, where they can be.

    Where they cannot, the goal is set and the line stays. tools: what it is rounded to. Raises
    Refused.
    """
    return _done(bench, line, goal, tools, nearest=False)


def come_near(
    bench: Bench, line: str, goal: Goal | None = None, tools: Tools | None = None
) -> Edited:
    """The same, but where not all goals are met the line comes as near as it can.

    What is given here gives way to the others.
    """
    return _done(bench, line, goal, tools, nearest=True)


def _done(
    bench: Bench, line: str, goal: Goal | None, tools: Tools | None, *, nearest: bool
) -> Edited:
    edited = edits.set_goal(bench, line, goal) if goal else edits.clear_goals(bench, line, ())
    answer = answer_for(edited.bench, line, goal if nearest else None, tools)
    if not (answer.met or nearest) or not answer.changes:
        return edited
    taken = take(edited.bench, answer)
    if taken.bench == bench:
        return replace(edited, bench=bench)
    return taken


def answer_for(
    bench: Bench, line: str, gives: Goal | None = None, tools: Tools | None = None
) -> Answer:
    """What a line's goals make of it; ``gives`` gives way where not all are met. Raises Refused."""
    try:
        return solve(bench.line(line), around_of(bench), tools, gives=gives)
    except Impossible as problem:
        raise Refused(problem.sentence) from None


def take(bench: Bench, answer: Answer) -> Edited:
    """Change a line as an answer has it."""
    return edits.take_answer(bench, answer.before.key, values_of(answer), not answer.met)


def values_of(answer: Answer) -> tuple[edits.CellValue, ...]:
    """The numbers that an answer changes."""
    return tuple(
        (row, cell, cell_value(now, cell))
        for row, (was, now) in enumerate(
            zip(answer.before.segments, answer.after.segments, strict=True)
        )
        for cell in CELL_ROWS
        if cell_value(was, cell) != cell_value(now, cell)
    )
