"""``taperlab solve``: the smallest change of a head that meets goals."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_file,
    add_line,
    add_rod,
    add_telling,
    bench_asked,
    is_bench,
    line_named,
    not_one_of,
    print_json,
    rod_named,
    typed,
)
from taperlab.units.language import tr

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Sequence

    from taperlab.model.aim import Cell, Goal
    from taperlab.model.bench import Bench
    from taperlab.model.line import Line
    from taperlab.shop.goals.buildable import Tools
    from taperlab.units.kinds import System


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab solve",
        description=tr("Change a head as little as goals for its figures ask."),
    )
    add_file(parser)
    add_line(parser)
    parser.add_argument(
        "--goal",
        nargs="+",
        action="append",
        metavar=("NAME", "VALUE"),
        default=[],
        help=tr(
            "weight, length, front-taper, balance, ratio, tip, thickest or sink with a value, or "
            "two for a range; running with a distance and a value or a line; joint-step with a tip "
            "line and a value; again for more. Else the goals kept in the bench"
        ),
    )
    parser.add_argument(
        "--lock",
        action="append",
        metavar="WHAT",
        default=[],
        help=tr("lengths, diameters, a row such as 3, or a cell such as 3.length, 2.front"),
    )
    parser.add_argument(
        "--free",
        action="append",
        metavar="WHAT",
        default=[],
        help=tr("density, or what the bench keeps locked"),
    )
    parser.add_argument(
        "--bound",
        nargs=3,
        action="append",
        metavar=("CELL", "LOW", "HIGH"),
        default=[],
        help=tr("between what a cell may move"),
    )
    parser.add_argument(
        "--tie",
        nargs="+",
        action="append",
        metavar="CELL",
        default=[],
        help=tr("cells that move by one factor"),
    )
    parser.add_argument(
        "--buildable",
        action="store_true",
        help=tr("rounded to what can be built: 1/8 in and 0.001 in, or 1 mm and 0.01 mm"),
    )
    parser.add_argument("--tape", metavar="STEP", help=tr("the tape’s step, with --buildable"))
    parser.add_argument(
        "--micrometer", metavar="STEP", help=tr("the micrometer’s step, with --buildable")
    )
    add_rod(parser)
    parser.add_argument(
        "--out",
        metavar="OUT",
        type=Path,
        help=tr("where to write the line: a bench, .csv or .tsv; only when all goals are met"),
    )
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.files import goals_report
    from taperlab.shop.goals.study import around_of, solve
    from taperlab.shop.goals.why import explain
    from taperlab.shop.steps import finish
    from taperlab.units.finding import Impossible
    from taperlab.units.kinds import System

    system = System(asked.units)
    as_bench = is_bench(asked.out) if asked.out else False
    tools = _tools(asked, system)
    bench = bench_asked(asked, asked.file)
    line = line_named(asked.line, bench, asked.file)
    bench = _with_aim(asked, bench, line, system)
    line = bench.line(line.key)
    if not line.aim.goals:
        raise Refusal("--goal: expected one or more, such as --goal weight 540gr")
    around = around_of(bench)
    if asked.rod:
        around = replace(around, rod_length=rod_named(asked.rod, bench, asked.file).length)
    try:
        # As in the window, what was asked for last gives way first.
        answer = solve(line, around, tools, gives=line.aim.goals[-1])
        why = None if answer.met else finish(explain(line, around))
    except Impossible as problem:
        raise Refusal(
            "{file}: {why}", file=asked.file, why=problem.sentence, units=system
        ) from None
    if asked.json:
        print_json(goals_report.as_json(answer, why, bench))
    else:
        print(goals_report.as_text(answer, bench, system), end="")
    if not answer.met:
        said = goals_report.not_met(answer, why, bench)
        raise NoAnswer("{file}: {why}", file=asked.file, why=said, units=system)
    if asked.out:
        _write(asked.out, bench.with_line(answer.after), answer.after, system, as_bench=as_bench)
    return 0


def _write(out: Path, bench: Bench, line: Line, system: System, *, as_bench: bool) -> None:
    from taperlab.files.delimited import write_line
    from taperlab.files.native import write_bench

    if as_bench:
        write_bench(bench, out)
    else:
        write_line(line, out, system)


def _tools(asked: argparse.Namespace, system: System) -> Tools | None:
    from taperlab.shop.goals.buildable import TOOLS
    from taperlab.units.kinds import FINE_LENGTH, SHORT_LENGTH

    if not asked.buildable:
        if asked.tape or asked.micrometer:
            raise Refusal("--tape and --micrometer go with --buildable")
        return None
    usual = TOOLS[system]
    found = {
        "length": typed("--tape", asked.tape, SHORT_LENGTH, system) if asked.tape else usual.length,
        "diameter": typed("--micrometer", asked.micrometer, FINE_LENGTH, system)
        if asked.micrometer
        else usual.diameter,
    }
    for option, step in zip(("--tape", "--micrometer"), found.values(), strict=True):
        if step <= 0.0:
            raise Refusal("{option}: found nothing to round to, expected a step", option=option)
    return replace(usual, **found)


# -- what was asked -----------------------------------------------------------------------------


def _with_aim(asked: argparse.Namespace, bench: Bench, line: Line, system: System) -> Bench:
    """The bench with the line's goals, locks, bounds and ties as they were asked for."""
    from taperlab.edits import goals
    from taperlab.edits.edited import Refused

    def do(edit: Callable[..., object], option: str, *arguments: object, **named: object) -> None:
        nonlocal bench
        try:
            bench = edit(bench, line.key, *arguments, **named).bench  # type: ignore[attr-defined]
        except Refused as no:
            raise Refusal("{option}: {why}", option=option, why=no.sentence, units=system) from None

    if asked.goal:
        do(goals.clear_goals, "--goal")
    for words in asked.goal:
        do(goals.set_goal, "--goal", _goal(words, bench, line, asked, system))
    for option, texts, locked in (("--free", asked.free, False), ("--lock", asked.lock, True)):
        for text in texts:
            if text in ("lengths", "diameters", "density"):
                do(goals.set_columns, option, **{text: not locked})
            else:
                do(goals.set_locks, option, _cells(option, text, line), locked)
    for text, low, high in asked.bound:
        ((row, cell),) = _cells("--bound", text, line, one=True)
        ends = (_bound(each, cell, line, row, system) for each in (low, high))
        do(goals.set_bounds, "--bound", row, cell, *ends)
    for texts in asked.tie:
        cells = [place for text in texts for place in _cells("--tie", text, line, one=True)]
        do(goals.set_tie, "--tie", cells, True)
    return bench


def _bound(text: str, cell: Cell, line: Line, row: int, system: System) -> float:
    from taperlab.units.limits import CELL_LIMITS

    return typed("--bound", text, CELL_LIMITS[cell].kind, system)


def _cells(option: str, text: str, line: Line, *, one: bool = False) -> list[tuple[int, Cell]]:
    """The cells that are named: ``3.length``, or a whole row, ``3``."""
    from taperlab.files.goals_report import CELL_NAMES

    number, _, name = text.partition(".")
    known = name in CELL_NAMES or (not name and not one and text == number)
    if not (number.isascii() and number.isdigit() and known):
        raise Refusal(
            "{option}: found “{text}”, expected a cell such as 3.length, 2.front or 4.density",
            option=option,
            text=text,
        )
    row = int(number) - 1
    if not 0 <= row < len(line.segments):
        raise Refusal(
            "{option}: found row {row}, expected 1 to {count} of {line}",
            option=option,
            row=number,
            count=len(line.segments),
            line=line.name,
        )
    cells = [CELL_NAMES[name]] if name else list(CELL_NAMES.values())
    return [(row, cell) for cell in cells]


def _goal(
    words: Sequence[str], bench: Bench, line: Line, asked: argparse.Namespace, system: System
) -> Goal:
    from taperlab.files.goals_report import GOAL_NAMES
    from taperlab.model.aim import Goal, GoalKind
    from taperlab.units.kinds import DISTANCE
    from taperlab.units.limits import GOAL_LIMITS

    name, *values = words
    if name not in GOAL_NAMES:
        raise not_one_of("--goal", name, asked.file, list(GOAL_NAMES))
    kind, at, other = GOAL_NAMES[name], None, None
    if kind is GoalKind.STEP and values:
        other = _line_named(values.pop(0), bench, asked)
    if kind is GoalKind.RUNNING and values:
        at = typed("--goal running", values.pop(0), DISTANCE, system)
        lines = {key for each in bench.lines for key in (each.name, each.key)}
        if len(values) == 1 and values[0] in lines:
            return Goal(kind, at=at, line=_line_named(values[0], bench, asked))
    if not 1 <= len(values) <= 2:
        raise Refusal(
            "--goal {name}: expected one value, or two for a range: {found} found",
            name=name,
            found=len(values),
        )
    if kind is GoalKind.THICKEST and _is_length(values[0], system):
        kind = GoalKind.DIAMETER
    ends = [typed(f"--goal {name}", each, GOAL_LIMITS[kind].kind, system) for each in values]
    low, high = ends[0], ends[-1]
    if low > high:
        raise Refusal(
            "--goal {name}: found {first} before {second}, expected the lower one first",
            name=name,
            first=values[0],
            second=values[1],
        )
    return Goal(kind, low, high, at, other)


def _is_length(text: str, system: System) -> bool:
    """Whether the thickest is told as a diameter, and not as a weight per length."""
    from taperlab.units.kinds import DIAMETER
    from taperlab.units.parse import Unreadable, parse

    try:
        parse(text, DIAMETER, system)
    except Unreadable:
        return False
    return True


def _line_named(name: str, bench: Bench, asked: argparse.Namespace) -> str:
    for each in bench.lines:
        if name in (each.name, each.key):
            return each.key
    raise not_one_of("--goal", name, asked.file, [each.name for each in bench.lines])
