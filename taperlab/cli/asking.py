"""What commands share: their parser, typed options, lines and rods by name, what cannot be done."""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, Protocol

from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.model.version import Version
from taperlab.model.water import Water, WaterKind
from taperlab.units.kinds import TEMPERATURE, WEIGHT, Kind, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import Number, Sentence, Told, Value, render, verbatim
from taperlab.units.typed import Mark

if TYPE_CHECKING:
    from taperlab.shop.cut_back.study import Study
    from taperlab.shop.labels.asking import Asked
    from taperlab.shop.labels.content import LabelContent

BAD_INPUT = 2
NO_ANSWER = 3


class Refusal(Told):
    """What was asked cannot be done. units: those that it is told in. status: the exit status."""

    status = BAD_INPUT

    def __init__(
        self, said: Sentence | str, /, *, units: System = System.US, **values: Value
    ) -> None:
        super().__init__(said, **values)
        self.sentence = verbatim(render(self.sentence, units))


class NoAnswer(Refusal):
    """What was asked was understood, and nothing answers it."""

    status = NO_ANSWER


class Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line."""

    def __init__(self, program: str, **options: Any) -> None:
        super().__init__(program, allow_abbrev=False, **options)

    def error(self, message: str) -> NoReturn:
        """Refuse what was typed, in one line."""
        # What the standard library says of options is not ours to translate.
        raise Refusal("{problem}; see {command} --help", problem=message, command=self.prog)


@dataclass(frozen=True, slots=True)
class Looks:
    """How something is to be shown; None for what was not asked for.

    page: its key. line: its name or key. theme: ``system``, ``light`` or ``dark``. scale: dots of a
    picture for each of the window's. paper: ``a4`` or ``letter``.
    """

    page: str | None = None
    line: str | None = None
    units: System | None = None
    theme: str | None = None
    scale: float = 1.0
    paper: str | None = None


@dataclass(frozen=True, slots=True)
class Screen:
    """What needs the window's room, which this one does not know; loaded when called.

    open_window: a file, or none for the demo, in a window until it is closed; gives the exit
    status. draw: a page (or none for the first) of a bench, from the first file, as the second, a
    picture. sheet: the build sheet of a bench's current line likewise as PDF. cut_sheet: the sheet
    of a cut-back as a PDF file. pages: the keys of the pages. labels: labels as a PDF file; gives
    what there was no room for on them.
    """

    open_window: Callable[[Path | None, Looks], int]
    draw: Callable[[Bench, Path, Path, Looks], None]
    sheet: Callable[[Bench, Path, Path, Looks], None]
    cut_sheet: Callable[[Study, Path, System, Looks], None]
    pages: Callable[[], Sequence[str]] = tuple
    labels: Callable[[Asked, Sequence[LabelContent], Path, System], Sequence[Sentence]] = (
        lambda *_: ()
    )


# -- options that commands share ---------------------------------------------------------------


def add_file(parser: argparse.ArgumentParser, name: str = "file", **options: Any) -> None:
    """What is read: a bench, or a line as CSV."""
    parser.add_argument(
        name,
        type=Path,
        help=tr("a bench, or a line as CSV; - reads the standard input"),
        **{"metavar": "FILE"} | options,
    )


def add_line(parser: argparse.ArgumentParser) -> None:
    """Which line of a bench is meant."""
    parser.add_argument(
        "--line", metavar="NAME", help=tr("which line of the bench; else the current")
    )


def add_units(parser: argparse.ArgumentParser) -> None:
    """Which units are shown, and taken for bare numbers."""
    parser.add_argument("--units", choices=["us", "metric"], default="us", help=tr("else us"))


def add_water(parser: argparse.ArgumentParser) -> None:
    """In which water it is."""
    parser.add_argument("--water", choices=["fresh", "sea"], default="fresh", help=tr("else fresh"))
    parser.add_argument("--temperature", metavar="T", help=tr('of the water, such as "10 degC"'))


def add_decimal(parser: argparse.ArgumentParser) -> None:
    """What the decimal mark of a CSV file is."""
    parser.add_argument(
        "--decimal",
        choices=list(MARKS),
        help=tr("the decimal mark of a CSV file, where its numbers do not tell"),
    )


def add_telling(parser: argparse.ArgumentParser) -> None:
    """How a file is read and what is found is told: units, decimal mark, for scripts."""
    add_units(parser)
    add_decimal(parser)
    parser.add_argument("--json", action="store_true", help=tr("for scripts; its units are fixed"))


def add_window(parser: argparse.ArgumentParser) -> None:
    """A grain window, typed."""
    parser.add_argument(
        "--window",
        nargs=2,
        metavar=("LOW", "HIGH"),
        help=tr("lightest and heaviest head, such as 450gr 530gr, instead of the rod’s own"),
    )


class TakesOptions(Protocol):
    """A parser, or a group of its options."""

    def add_argument(self, *names: str, **options: Any) -> Any:
        """Take one more."""


def add_rod(parser: TakesOptions) -> None:
    """A rod by name."""
    parser.add_argument("--rod", metavar="NAME", help=tr("a rod of the bench, or a starter rod"))


def print_json(told: dict[str, Any]) -> None:
    """Print what is told to scripts."""
    print(json.dumps(told, indent=2, allow_nan=False))


def add_paper(parser: argparse.ArgumentParser) -> None:
    """What paper a sheet is laid out for."""
    parser.add_argument(
        "--paper", choices=["a4", "letter"], help=tr("else letter, or a4 with --units metric")
    )


def page_names(screen: Screen) -> tuple[str, ...]:
    """The keys of the pages; none where Qt, which pages are made of, is not to be had."""
    try:
        return tuple(screen.pages())
    except ImportError:
        return ()


MARKS: dict[str, Mark] = {"comma": ",", "point": "."}


def bench_asked(asked: argparse.Namespace, file: Path) -> Bench:
    """The bench in a file, or of the line in a CSV file. Raises FileProblem."""
    from taperlab.files.opening import read_any

    return read_any(file, MARKS.get(asked.decimal))


def typed(option: str, text: str, kind: Kind, system: System) -> float:
    """What was typed for an option, in SI."""
    try:
        return parse(text, kind, system)
    except Unreadable as problem:
        raise Refusal(
            "{option}: {problem}", option=option, problem=problem.sentence, units=system
        ) from None


def typed_if_given(option: str, text: str | None, kind: Kind, system: System) -> float | None:
    """What was typed for an option, in SI; None where it was left out."""
    # An option given as nothing at all is not an option left out.
    return None if text is None else typed(option, text, kind, system)


def degrees_typed(option: str, text: str, low: float, high: float) -> float:
    """An angle that was typed in degrees, within limits in degrees, in [rad]."""
    number = text.strip().removesuffix("°").removesuffix("deg").strip()
    try:
        degrees = float(number)
    except ValueError:
        degrees = math.nan
    if not low - 1e-9 <= degrees <= high + 1e-9:
        raise Refusal(
            "{option}: found “{text}”, expected degrees from {low} to {high}",
            option=option,
            text=text,
            low=Number(low),
            high=Number(high),
        )
    return math.radians(degrees)


def window_typed(texts: list[str], system: System) -> tuple[float, float]:
    """The lightest and the heaviest head of a window that was typed [kg]."""
    low, high = (typed("--window", text, WEIGHT, system) for text in texts)
    if low > high:
        raise Refusal(
            "--window: found {first} before {second}, expected the lightest head first",
            first=texts[0],
            second=texts[1],
        )
    return low, high


def water_asked(kind: str, temperature: str | None, system: System) -> Water:
    """The water of ``--water`` and ``--temperature``: else fresh, of 10 °C."""
    kelvin = typed_if_given("--temperature", temperature, TEMPERATURE, system)
    try:
        return Water(WaterKind(kind)) if kelvin is None else Water(WaterKind(kind), kelvin)
    except ValueError:
        raise Refusal(
            "--temperature: found {text}, but fresh water below 0 °C is ice",
            text=temperature or "",
        ) from None


def line_named(name: str | None, bench: Bench, file: Path) -> Line:
    """The line of this name or key in a bench; without a name, the current one."""
    if name is None:
        line = bench.current_line
        if line is None:
            raise Refusal("{file} has no lines; expected at least one", file=file)
        return line
    for line in bench.lines:
        if name in (line.name, line.key):
            return line
    raise not_one_of("--line", name, file, [line.name for line in bench.lines])


def version_named(name: str, line: Line, bench: Bench, file: Path) -> Version:
    """The version of this name or key of a line."""
    kept = [each for each in bench.versions if each.of == line.key]
    for version in kept:
        if name in (version.name, version.key):
            return version
    raise not_one_of("--version", name, file, [each.name for each in kept])


def rod_named(name: str, bench: Bench, file: Path) -> Rod:
    """The rod of this name or key, of the bench or among the starters."""
    from taperlab.trade.starters import starter_rods

    rods = (*bench.rods, *starter_rods())
    for rod in rods:
        if name in (rod.name, rod.key):
            return rod
    names = list(dict.fromkeys(rod.name for rod in rods))
    raise not_one_of("--rod", name, file, names)


def is_bench(target: Path) -> bool:
    """Whether a file to write is to be a bench, by its name, and not a table of one line."""
    from taperlab.files.native import SUFFIX

    ending = target.suffix.casefold()
    if ending not in (SUFFIX, ".csv", ".tsv"):
        raise Refusal(
            "{file}: expected a name that ends in {ending}, .csv or .tsv",
            file=target,
            ending=SUFFIX,
        )
    return ending == SUFFIX


def not_one_of(option: str, name: str, file: Path, names: list[str]) -> Refusal:
    """A name that is not among those that are known."""
    found = Sentence("{option}: found “{name}” for {file}", option=option, name=name, file=file)
    if not names:
        return Refusal("{found}, expected none, as there are none", found=found)
    known = ", ".join(f"“{each}”" for each in names)
    return Refusal("{found}, expected one of {known}", found=found, known=known)


def remark(sentence: str) -> None:
    """Say something beside what was asked for."""
    print(f"taperlab: {sentence}.", file=sys.stderr)


def about(file: Path, sentence: Sentence, units: System) -> Refusal:
    """What is to be said of a file, its name first."""
    return Refusal("{file}: {sentence}", file=file, sentence=sentence, units=units)
