"""Taperlab from a terminal; anything that is not a command opens the window."""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NoReturn

from taperlab.files.opening import read_any
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutEnd, Target, TargetKind
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.model.water import Water, WaterKind
from taperlab.units.finding import Impossible
from taperlab.units.kinds import ROD_LENGTH, TEMPERATURE, WEIGHT, Kind, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import (
    Sentence,
    Several,
    Told,
    Value,
    Weight,
    counted,
    render,
    verbatim,
)

BAD_INPUT = 2
INTERRUPTED = 130


class Refusal(Told):
    """What was asked cannot be done. units: those that it is told in."""

    def __init__(
        self, said: Sentence | str, /, *, units: System = System.US, **values: Value
    ) -> None:
        super().__init__(said, **values)
        self.sentence = verbatim(render(self.sentence, units))


class _Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line."""

    def __init__(self, program: str, **options: Any) -> None:
        super().__init__(program, allow_abbrev=False, **options)

    def error(self, message: str) -> NoReturn:
        # What the standard library says of options is not ours to translate.
        raise Refusal("{problem}; see {command} --help", problem=message, command=self.prog)


@dataclass(frozen=True, slots=True)
class Screen:
    """What needs the window's room, which this one does not know; loaded when called.

    open_window: a bench, or none for the demo, in a window until it is closed; gives the exit
    status. draw: a page (or none for the first) of a file's window as a picture file. sheet: the
    build sheet of a file as a PDF file.
    """

    open_window: Callable[[Path | None], int]
    draw: Callable[[Path, Path, str | None], None]
    sheet: Callable[[Path, Path], None]


def run(arguments: Sequence[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status: 0, or 2 for bad input."""
    _be_safe_to_print_to()
    try:
        status = _dispatch(list(arguments), screen)
        # What a closed pipe will not take shows only now.
        if sys.stdout is not None:
            sys.stdout.flush()
    except (Refusal, FileProblem) as told:
        print(f"taperlab: {' '.join(str(told.sentence).split())}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        # The reader has had enough. Python would complain once more on its way out.
        with contextlib.suppress(OSError, io.UnsupportedOperation):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        return INTERRUPTED
    return status


def _be_safe_to_print_to() -> None:
    """Show a stand-in for what a console cannot show, rather than fail on it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _dispatch(arguments: list[str], screen: Screen) -> int:
    commands: dict[str, Callable[[list[str], Screen], int]] = {
        "report": _report,
        "cut": _cut,
        "convert": _convert,
        "picture": _picture,
        "sheet": _sheet,
    }
    command = commands.get(arguments[0]) if arguments else None
    try:
        if command is None:
            return _window(arguments, screen)
        return command(arguments[1:], screen)
    except SystemExit as end:
        # --help and --version end this way.
        return int(end.code or 0)


def _window(arguments: list[str], screen: Screen) -> int:
    from taperlab import __version__

    parser = _Parser(
        "taperlab",
        description=_description(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"Taperlab {__version__}")
    parser.add_argument("file", nargs="?", metavar="FILE", type=Path, help=tr("a bench to open"))
    file: Path | None = parser.parse_args(arguments).file
    if file is not None and not file.exists():
        raise Refusal("{file} is neither a file nor a command; see taperlab --help", file=file)
    return screen.open_window(file)


def _description() -> str:
    commands = {
        "[FILE]": tr("open the window, with FILE or the demo bench"),
        "report FILE": tr("print the figures of a line"),
        "cut FILE": tr("plan to cut a head back to a weight"),
        "convert IN OUT": tr("between a bench and a line as CSV"),
        "picture FILE OUT": tr("draw what a page of the window shows"),
        "sheet FILE OUT": tr("write the build sheet of a line as PDF"),
    }
    return "\n".join(
        (
            tr("Design, weigh and cut fly lines so that they fit the rod."),
            "",
            *(f"  taperlab {words:16} {what}" for words, what in commands.items()),
            "",
            tr(
                "taperlab COMMAND --help tells more. A file that is named like a command\n"
                "is opened as ./report, say."
            ),
        )
    )


def _report(arguments: list[str], screen: Screen) -> int:
    parser = _Parser("taperlab report", description=tr("Print the figures of a line."))
    parser.add_argument("file", metavar="FILE", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument(
        "--line", metavar="NAME", help=tr("which line of the bench; else the current")
    )
    rod = parser.add_mutually_exclusive_group()
    rod.add_argument("--rod", metavar="NAME", help=tr("a rod of the bench, or a starter rod"))
    rod.add_argument("--rod-length", metavar="LENGTH", help=tr('such as "13 ft 6 in" or "4.11 m"'))
    parser.add_argument(
        "--window",
        nargs=2,
        metavar=("LOW", "HIGH"),
        help=tr("lightest and heaviest head, such as 450gr 530gr, instead of the rod's own"),
    )
    parser.add_argument("--water", choices=["fresh", "sea"], default="fresh", help=tr("else fresh"))
    parser.add_argument("--temperature", metavar="T", help=tr('of the water, such as "10 degC"'))
    parser.add_argument("--units", choices=["us", "metric"], default="us", help=tr("else us"))
    parser.add_argument("--json", action="store_true", help=tr("for scripts; its units are fixed"))
    asked = parser.parse_args(arguments)

    from taperlab.files import report
    from taperlab.shop.analyse import analyse_line, fit_to_rod

    system = System(asked.units)
    length = _typed_if_given("--rod-length", asked.rod_length, ROD_LENGTH, system)
    window = asked.window and tuple(
        _typed("--window", text, WEIGHT, system) for text in asked.window
    )
    if window and window[0] > window[1]:
        raise Refusal(
            "--window: found {first} before {second}, expected the lightest head first",
            first=asked.window[0],
            second=asked.window[1],
        )
    kelvin = _typed_if_given("--temperature", asked.temperature, TEMPERATURE, system)
    kind = WaterKind(asked.water)
    try:
        water = Water(kind) if kelvin is None else Water(kind, kelvin)
    except ValueError:
        raise Refusal(
            "--temperature: found {text}, but fresh water below 0 °C is ice", text=asked.temperature
        ) from None

    bench = read_any(asked.file)
    line = _line_named(asked.line, bench, asked.file)
    analysis = analyse_line(line, water)
    rod_named = None
    if length is None:
        rod_named = _rod_named(asked.rod, bench, asked.file) if asked.rod else bench.chosen_rod
    rod_fit = fit_to_rod(analysis, rod_named, length, window)
    if asked.json:
        print(json.dumps(report.as_json(analysis, rod_fit), indent=2, allow_nan=False))
    else:
        print(report.as_text(analysis, rod_fit, system), end="")
    return 0


def _cut(arguments: list[str], screen: Screen) -> int:
    asked = _cut_parser().parse_args(arguments)

    from taperlab.edits.cut_back import cut_back_of, new_cut_back
    from taperlab.edits.edited import Refused
    from taperlab.files import cut_report
    from taperlab.physics.head import head_of
    from taperlab.physics.profile import Profile
    from taperlab.shop.cut_back.goal import NoPlan
    from taperlab.shop.cut_back.staged import staged_cut
    from taperlab.shop.cut_back.start import usual_instruments

    system = System(asked.units)
    target = Target(TargetKind.WEIGHT, _typed("--to", asked.to, WEIGHT, system))
    reading = _typed_if_given("--scale", asked.scale, WEIGHT, system)
    bench = read_any(asked.file)
    line = _line_named(asked.line, bench, asked.file)
    logged = cut_back_of(bench, line)
    if logged is not None and logged.steps:
        begun = counted(
            "{file}: {line} has a cut in its log already: go on with it in the window.",
            "{file}: {line} has {count} cuts in its log already: go on with it in the window.",
            len(logged.steps),
            file=asked.file,
            line=line.name,
        )
        raise Refusal(begun, units=system)
    if reading is not None:
        line = _scaled_to_reading(line, reading, asked.file, system)
    try:
        job = new_cut_back(line, target, usual_instruments(system))
    except Refused as refused:
        raise _about(asked.file, refused.sentence, system) from None
    # The stages are for a head that is weighed before the first cut and, for all that is known
    # here, reads what it should.
    first = Profile.of(head_of(line)).total_mass
    job = replace(job, end=CutEnd(asked.end), first_reading=first)
    staged = staged_cut(line, job, bench.chosen_rod)
    plan = staged if isinstance(staged, NoPlan) else staged.whole
    if isinstance(staged, NoPlan) or isinstance(plan, NoPlan):
        assert isinstance(plan, NoPlan)
        raise _about(asked.file, plan.sentence, system)
    weighed = reading is not None
    if asked.json:
        found = cut_report.as_json(job, plan, staged, weighed=weighed)
        print(json.dumps(found, indent=2, allow_nan=False))
    else:
        text = cut_report.as_text(line.name, job, plan, staged, system, weighed=weighed)
        print(text, end="")
    return 0


def _cut_parser() -> _Parser:
    parser = _Parser(
        "taperlab cut",
        description=tr(
            "Plan to cut the head of a line back to a weight, in stages with a weighing after "
            "each. The ratio is to the bench's chosen rod; new loops are like those that are on "
            "the head."
        ),
    )
    parser.add_argument("file", metavar="FILE", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument("--to", metavar="WEIGHT", required=True, help=tr("such as 480gr or 31.1g"))
    parser.add_argument(
        "--from",
        dest="end",
        choices=["rear", "front"],
        default="rear",
        help=tr("the rod end or the fly end; else rear"),
    )
    parser.add_argument(
        "--scale", metavar="WEIGHT", help=tr("what the whole line reads on the scale")
    )
    parser.add_argument(
        "--line", metavar="NAME", help=tr("which line of the bench; else the current")
    )
    parser.add_argument("--units", choices=["us", "metric"], default="us", help=tr("else us"))
    parser.add_argument("--json", action="store_true", help=tr("for scripts; its units are fixed"))
    return parser


def _scaled_to_reading(line: Line, reading: float, file: Path, system: System) -> Line:
    """The line as heavy as the scale says that it is, all of it."""
    from taperlab.physics.trim import scaled_to

    try:
        return scaled_to(line, reading)
    except Impossible as error:
        raise Refusal(
            "{file}: --scale: {line} can't weigh {reading}. {why}",
            file=file,
            line=line.name,
            reading=Weight(reading),
            why=error.sentence,
            units=system,
        ) from None


def _about(file: Path, sentence: Sentence, units: System) -> Refusal:
    return Refusal("{file}: {sentence}", file=file, sentence=sentence, units=units)


def _convert(arguments: list[str], screen: Screen) -> int:
    parser = _Parser(
        "taperlab convert",
        description=tr(
            "Turn a line as CSV into a bench, or a line of a bench into CSV. "
            "CSV holds segments alone: no loops, joints, cores, rods or water."
        ),
    )
    parser.add_argument("source", metavar="IN", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument(
        "target", metavar="OUT", type=Path, help=tr("ends in .taperlab, .csv or .tsv")
    )
    parser.add_argument(
        "--line", metavar="NAME", help=tr("which line of the bench; else the current")
    )
    parser.add_argument("--units", choices=["us", "metric"], default="us", help=tr("else us"))
    asked = parser.parse_args(arguments)

    from taperlab.files.delimited import what_is_lost, write_line
    from taperlab.files.native import SUFFIX, write_bench

    ending = asked.target.suffix.casefold()
    if ending not in (SUFFIX, ".csv", ".tsv"):
        raise Refusal(
            "{file}: expected a name that ends in {ending}, .csv or .tsv",
            file=asked.target,
            ending=SUFFIX,
        )
    bench = read_any(asked.source)
    if ending == SUFFIX:
        if asked.line is not None:
            raise Refusal("--line: a bench keeps all lines; expected only with .csv or .tsv")
        write_bench(bench, asked.target)
        return 0
    line = _line_named(asked.line, bench, asked.source)
    write_line(line, asked.target, System(asked.units))
    others = len(bench.lines) - 1
    if others and asked.line is None:
        _remark(tr("wrote the current line, {line}; --line names another").format(line=line.name))
    if lost := what_is_lost(line):
        less = Sentence(
            "{file} is without {lost}, which CSV cannot hold",
            file=asked.target,
            lost=Several(lost),
        )
        _remark(render(less, System(asked.units)))
    return 0


def _picture(arguments: list[str], screen: Screen) -> int:
    parser = _Parser("taperlab picture", description=tr("Draw what a page of the window shows."))
    parser.add_argument("file", metavar="FILE", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .png or .svg"))
    parser.add_argument("--page", metavar="NAME", help=tr("else the first"))
    asked = parser.parse_args(arguments)
    screen.draw(asked.file, asked.target, asked.page)
    return 0


def _sheet(arguments: list[str], screen: Screen) -> int:
    parser = _Parser("taperlab sheet", description=tr("Write the build sheet of a line as PDF."))
    parser.add_argument("file", metavar="FILE", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .pdf"))
    asked = parser.parse_args(arguments)
    screen.sheet(asked.file, asked.target)
    return 0


def _typed(option: str, text: str, kind: Kind, system: System) -> float:
    try:
        return parse(text, kind, system)
    except Unreadable as problem:
        raise Refusal(
            "{option}: {problem}", option=option, problem=problem.sentence, units=system
        ) from None


def _typed_if_given(option: str, text: str | None, kind: Kind, system: System) -> float | None:
    # An option given as nothing at all is not an option left out.
    return None if text is None else _typed(option, text, kind, system)


def _line_named(name: str | None, bench: Bench, file: Path) -> Line:
    if name is None:
        line = bench.current_line
        if line is None:
            raise Refusal("{file} has no lines; expected at least one", file=file)
        return line
    for line in bench.lines:
        if name in (line.name, line.key):
            return line
    raise _not_one_of("--line", name, file, [line.name for line in bench.lines])


def _rod_named(name: str, bench: Bench, file: Path) -> Rod:
    from taperlab.trade.starters import starter_rods

    rods = (*bench.rods, *starter_rods())
    for rod in rods:
        if name in (rod.name, rod.key):
            return rod
    names = list(dict.fromkeys(rod.name for rod in rods))
    raise _not_one_of("--rod", name, file, names)


def _not_one_of(option: str, name: str, file: Path, names: list[str]) -> Refusal:
    found = Sentence('{option}: found "{name}" for {file}', option=option, name=name, file=file)
    if not names:
        return Refusal("{found}, expected none, as there are none", found=found)
    known = ", ".join(f'"{each}"' for each in names)
    return Refusal("{found}, expected one of {known}", found=found, known=known)


def _remark(sentence: str) -> None:
    print(f"taperlab: {sentence}.", file=sys.stderr)
