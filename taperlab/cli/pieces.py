"""``taperlab pieces``: from designs to what is cut from what."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from taperlab.cli.asking import (
    MARKS,
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_file,
    add_telling,
    bench_asked,
    line_named,
    print_json,
    typed_if_given,
)
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.model.bench import Bench
    from taperlab.model.line import Line
    from taperlab.model.pieces import Rules
    from taperlab.model.stock import Stock
    from taperlab.units.kinds import System

_MOST_HEADS = 200


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab pieces",
        description=tr("Tell what heads are cut from, and what the scale should read on the way."),
        epilog=tr("What is not asked is as the bench says that its pieces are made."),
    )
    add_file(parser, "files", nargs="+")
    parser.add_argument(
        "--stock", required=True, type=Path, metavar="STOCK", help=tr("a bench, or stock as CSV")
    )
    parser.add_argument(
        "--line", metavar="NAME", help=tr("which line of the bench; else the current")
    )
    parser.add_argument(
        "--count", metavar="N", type=int, default=1, help=tr("how many of each head; else 1")
    )
    parser.add_argument(
        "--tolerance",
        metavar="GR_PER_FT",
        help=tr("how far stock may be off the design anywhere; else 1.5 gr/ft"),
    )
    parser.add_argument(
        "--most-step",
        metavar="S",
        help=tr("largest joint step between pieces, heavier over lighter; else any"),
    )
    parser.add_argument("--least", metavar="LENGTH", help=tr("shortest piece; else 6 in"))
    parser.add_argument(
        "--usable",
        metavar="LENGTH",
        help=tr("a shorter offcut is worth nothing; else 3 ft"),
    )
    parser.add_argument(
        "--overlap", metavar="LENGTH", help=tr("of lapped welds between pieces; else none")
    )
    parser.add_argument(
        "--fold", metavar="LENGTH", help=tr("line folded into each end loop; else as designed")
    )
    parser.add_argument(
        "--spare",
        metavar="LENGTH",
        help=tr("what each piece is cut longer, to be trimmed; else none"),
    )
    parser.add_argument(
        "--keep",
        choices=["weight", "length"],
        help=tr("what of a piece is kept where stock is not like the design; else weight"),
    )
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)

    from taperlab.files import pieces_report
    from taperlab.shop.pieces.asking import Question
    from taperlab.shop.pieces.study import study_now
    from taperlab.shop.pieces.words import lacking_words
    from taperlab.units.kinds import System
    from taperlab.units.sentence import one_after_another

    system = System(asked.units)
    if not 1 <= asked.count <= _MOST_HEADS // len(asked.files):
        raise Refusal(
            "--count: found {found}, expected 1 to {most} heads in all",
            found=asked.count,
            most=_MOST_HEADS,
        )
    benches = [bench_asked(asked, file) for file in asked.files]
    rules = _rules(asked, benches[0].pieces.rules, system)
    pairs = zip(benches, asked.files, strict=True)
    lines = [(_line(asked, bench, file, rules), file) for bench, file in pairs]
    found = study_now(Question(_told_apart(lines, asked.count), _stock(asked), rules))
    if asked.json:
        print_json(pieces_report.as_json(found))
    elif found.pieces:
        print(pieces_report.as_text(found, system), end="")
    if found.short:
        missing = one_after_another(lacking_words(found))
        raise NoAnswer("{file}: {missing}", file=asked.stock, missing=missing, units=system)
    return 0


def _rules(asked: argparse.Namespace, rules: Rules, system: System) -> Rules:
    """Those of a bench, and what is asked otherwise."""
    from taperlab.units.kinds import LENGTH, RATIO, SHORT_LENGTH, WEIGHT_PER_LENGTH, System

    step = typed_if_given("--most-step", asked.most_step, RATIO, system)
    if step is not None and step < 1.0:
        raise Refusal(
            "--most-step: found {found}, expected 1 or more: the heavier over the lighter",
            found=asked.most_step,
        )
    asks: dict[str, Any] = {
        # Its unit is fixed, whatever is shown.
        "tolerance": typed_if_given("--tolerance", asked.tolerance, WEIGHT_PER_LENGTH, System.US),
        "largest_step": step,
        "shortest": typed_if_given("--least", asked.least, LENGTH, system),
        "usable": typed_if_given("--usable", asked.usable, LENGTH, system),
        "overlap": typed_if_given("--overlap", asked.overlap, SHORT_LENGTH, system),
        "fold": typed_if_given("--fold", asked.fold, SHORT_LENGTH, system),
        "spare": typed_if_given("--spare", asked.spare, SHORT_LENGTH, system),
        "keeps_weight": None if asked.keep is None else asked.keep == "weight",
    }
    return replace(rules, **{name: value for name, value in asks.items() if value is not None})


def _line(asked: argparse.Namespace, bench: Bench, file: Path, rules: Rules) -> Line:
    """The line of a file that is to be made of pieces."""
    from taperlab.physics.lapped import lap_problem
    from taperlab.shop.pieces.ends import prepared
    from taperlab.units.kinds import System
    from taperlab.units.sentence import Length

    line = line_named(asked.line, bench, file)
    if not line.segments:
        raise Refusal("{file}: {line} has no segments; expected one", file=file, line=line.name)
    system = System(asked.units)
    if problem := lap_problem(prepared(line, rules)):
        raise Refusal(
            "{file}: segment {row} of {line} is too short for the laps at its ends: expected "
            "{needed} at least",
            file=file,
            row=problem.row + 1,
            line=line.name,
            needed=Length(problem.needed),
            units=system,
        )
    return line


def _told_apart(lines: list[tuple[Line, Path]], count: int) -> tuple[tuple[Line, int], ...]:
    """Each line with how many are made of it, no two of one name.

    One that is named twice is made twice as often; others of one name are called by their files.
    """
    made: list[tuple[Line, Path, int]] = []
    for line, file in lines:
        at = next((i for i, each in enumerate(made) if each[0] == line), None)
        if at is None:
            made.append((line, file, count))
        else:
            made[at] = (*made[at][:2], made[at][2] + count)
    names = [line.name for line, _, _ in made]
    return tuple(
        (line if names.count(line.name) == 1 else replace(line, name=f"{line.name}, {file}"), many)
        for line, file, many in made
    )


def _stock(asked: argparse.Namespace) -> tuple[Stock, ...]:
    """What there is, from a bench or a table."""
    from taperlab.files import native
    from taperlab.files.disk import called, read_bytes
    from taperlab.files.opening import is_native
    from taperlab.files.shelf import read_shelf

    content = read_bytes(asked.stock)
    if not is_native(content):
        return read_shelf(asked.stock, MARKS.get(asked.decimal))
    stock = native.parse_bench(content, called(asked.stock)).stock
    if not stock:
        raise Refusal("{file} holds no stock; expected some", file=asked.stock)
    return stock
