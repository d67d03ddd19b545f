"""What goals make of a line: as text to read, and for scripts."""

from __future__ import annotations

from typing import Any

from taperlab.files.report import aligned, figure, plain, segment_rows
from taperlab.files.report import as_json as report_json
from taperlab.model.aim import Cell, Goal, GoalKind
from taperlab.model.bench import Bench
from taperlab.shop.analyse import analyse_line
from taperlab.shop.goals.study import Answer, Outcome
from taperlab.shop.goals.unknowns import Place, cell_value
from taperlab.shop.goals.why import Why
from taperlab.shop.goals.words import (
    change_words,
    goal_name,
    names_of,
    outcome_words,
    wanted_words,
    why_sentence,
)
from taperlab.shop.on_rod import fit_to_rod
from taperlab.shop.wording import with_level
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, Kind, System
from taperlab.units.language import tr
from taperlab.units.limits import GOAL_LIMITS
from taperlab.units.sentence import Sentence, render

SCHEMA = 1

GOAL_NAMES = {
    "weight": GoalKind.WEIGHT,
    "length": GoalKind.LENGTH,
    "front-taper": GoalKind.FRONT,
    "balance": GoalKind.BALANCE,
    "ratio": GoalKind.RATIO,
    "tip": GoalKind.TIP,
    "thickest": GoalKind.THICKEST,
    "thickest-diameter": GoalKind.DIAMETER,
    "joint-step": GoalKind.STEP,
    "running": GoalKind.RUNNING,
    "sink": GoalKind.SINK,
}
"""What goals are called on the command line; they never change."""

CELL_NAMES = {
    "length": Cell.LENGTH,
    "front": Cell.FRONT,
    "rear": Cell.REAR,
    "density": Cell.DENSITY,
}
"""What cells of a row are called there, behind its number and a point."""

COLUMN_NAMES = {
    "lengths": (Cell.LENGTH,),
    "diameters": (Cell.FRONT, Cell.REAR),
    "density": (Cell.DENSITY,),
}
"""What whole columns are called there."""

_UNITS = {
    GoalKind.WEIGHT: "gr",
    GoalKind.RUNNING: "gr",
    GoalKind.LENGTH: "ft",
    GoalKind.BALANCE: "ft",
    GoalKind.TIP: "gr/ft",
    GoalKind.THICKEST: "gr/ft",
    GoalKind.DIAMETER: "in",
    GoalKind.SINK: "in/s",
}
_CELL_UNITS: dict[Cell, tuple[str, Kind]] = {
    Cell.LENGTH: ("ft", LENGTH),
    Cell.FRONT: ("in", DIAMETER),
    Cell.REAR: ("in", DIAMETER),
    Cell.DENSITY: ("g/cm³", DENSITY),
}


def cell_name(place: Place) -> str:
    """``3.length``: rows count from 1 at the fly end."""
    row, cell = place
    return f"{row + 1}.{next(name for name, each in CELL_NAMES.items() if each is cell)}"


def goal_key(goal: Goal) -> str:
    """What a goal is called for scripts."""
    return next(name for name, kind in GOAL_NAMES.items() if kind is goal.kind)


def in_the_way(why: Why) -> list[str]:
    """Goals that quarrel, locks that would help if they were open, dimensions at their end."""
    names = [goal_key(aim.goal) for aim in why.quarrel]
    for opened in why.locks:
        names += [cell_name(place) for place in opened.lock.cells]
        columns = opened.lock.columns
        names += [name for name, cells in COLUMN_NAMES.items() if cells == columns]
    names += [cell_name(limit.cells[0]) for limit in why.limits]
    return list(dict.fromkeys(names))


def as_json(answer: Answer, why: Why | None, bench: Bench) -> dict[str, Any]:
    """For scripts; names, units and meaning never change; more may be added."""
    analysis = analyse_line(answer.after, bench.water)
    report = report_json(analysis, None)
    rows = [
        {
            **told,
            "front_diameter_in": figure(segment.front_diameter, "in", DIAMETER),
            "rear_diameter_in": figure(segment.rear_diameter, "in", DIAMETER),
            "density_g_cm3": figure(segment.density, "g/cm³", DENSITY),
        }
        for told, segment in zip(report["segments"], answer.after.segments, strict=True)
    ]
    found: dict[str, Any] = {
        "schema": SCHEMA,
        "met": answer.met,
        "buildable": answer.built,
        "goals": [_goal_json(each) for each in answer.outcomes],
        "line": {**report["line"], "head": report["head"], "segments": rows},
        "moved": [
            _moved_json(answer, place) for change in answer.changes for place in change.cells
        ],
        "in_the_way": in_the_way(why) if why else [],
    }
    if why:
        found["why"] = {
            "conflict": [goal_key(aim.goal) for aim in why.quarrel],
            "proved": why.proved,
            "alone": [
                {
                    "name": goal_key(each.aim.goal),
                    "could_be": _goal_figure(each.aim.goal, each.value),
                    "unit": _UNITS.get(each.aim.goal.kind, ""),
                }
                for each in why.alone
            ],
        }
    return found


def _goal_figure(goal: Goal, value: float | None) -> float | None:
    unit = _UNITS.get(goal.kind)
    return figure(value, unit, GOAL_LIMITS[goal.kind].kind) if unit else plain(value)


def _goal_json(outcome: Outcome) -> dict[str, Any]:
    goal, aim = outcome.aim.goal, outcome.aim
    found: dict[str, Any] = {
        "name": goal_key(goal),
        "wanted": [_goal_figure(goal, aim.low), _goal_figure(goal, aim.high)],
        "reached": _goal_figure(goal, outcome.reached),
        "was": _goal_figure(goal, outcome.was),
        "met": outcome.met,
        "unit": _UNITS.get(goal.kind, ""),
    }
    if goal.at is not None:
        found["at_ft"] = figure(goal.at, "ft", LENGTH)
    return found


def _moved_json(answer: Answer, place: Place) -> dict[str, Any]:
    row, cell = place
    unit, kind = _CELL_UNITS[cell]
    was, now = (
        figure(cell_value(line.segments[row], cell), unit, kind)
        for line in (answer.before, answer.after)
    )
    return {"cell": cell_name(place), "from": was, "to": now, "unit": unit}


def as_text(answer: Answer, bench: Bench, system: System) -> str:
    """For reading, ending in a line break."""
    names = names_of(bench.lines)
    goals = [
        (
            render(goal_name(each.aim.goal, names), system),
            render(wanted_words(each.aim, names), system),
            render(outcome_words(each), system),
        )
        for each in answer.outcomes
    ]
    blocks = [answer.after.name, aligned(goals, right_from=9)]
    moved = [render(change_words(answer.before, each), system) for each in answer.changes]
    if moved:
        blocks.append(
            "\n".join([tr("What moved, biggest first:"), *(f"  {each}" for each in moved)])
        )
    else:
        blocks.append(tr("Nothing has to move."))
    analysis = analyse_line(answer.after, bench.water)
    blocks.append(aligned(segment_rows(analysis, system), right_from=2))
    fit = fit_to_rod(analysis, bench.chosen_rod)
    blocks += [render(with_level(each), system) for each in (fit.findings if fit else ())]
    return "\n\n".join(blocks) + "\n"


def not_met(answer: Answer, why: Why | None, bench: Bench) -> Sentence:
    """Why goals are not met, in one sentence without a full stop."""
    if why is None:
        # The search met them, and what can be built does not.
        return Sentence("met only between the steps of tape and micrometer")
    return why_sentence(answer.before, why, names_of(bench.lines))
