"""``taperlab pieces``: from designs to what is cut from what."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING

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
    typed,
    typed_if_given,
)
from taperlab.units.language import tr

if TYPE_CHECKING:
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
        default="1.5",
        help=tr("how far stock may be off the design anywhere; else 1.5 gr/ft"),
    )
    parser.add_argument(
        "--most-step",
        metavar="S",
        help=tr("largest joint step between pieces, heavier over lighter; else any"),
    )
    parser.add_argument(
        "--least", metavar="LENGTH", default="6 in", help=tr("shortest piece; else 6 in")
    )
    parser.add_argument(
        "--usable",
        metavar="LENGTH",
        default="3 ft",
        help=tr("a shorter offcut is worth nothing; else 3 ft"),
    )
    parser.add_argument(
        "--overlap", metavar="LENGTH", help=tr("of lapped welds between pieces; else none")
    )
    parser.add_argument(
        "--fold", metavar="LENGTH", help=tr("line folded into each end loop; else as designed")
    )
    parser.add_argument(
        "--keep",
        choices=["weight", "length"],
        default="weight",
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
    from taperlab.units.sentence import Several

    system = System(asked.units)
    rules = _rules(asked, system)
    if not 1 <= asked.count <= _MOST_HEADS // len(asked.files):
        raise Refusal(
            "--count: found {found}, expected 1 to {most} heads in all",
            found=asked.count,
            most=_MOST_HEADS,
        )
    heads = tuple((_line(asked, file), asked.count) for file in asked.files)
    found = study_now(Question(heads, _stock(asked), rules))
    if asked.json:
        print_json(pieces_report.as_json(found))
    elif found.pieces:
        print(pieces_report.as_text(found, system), end="")
    if found.short:
        missing = Several(tuple(lacking_words(found)))
        raise NoAnswer("{file}: {missing}", file=asked.stock, missing=missing, units=system)
    return 0


def _rules(asked: argparse.Namespace, system: System) -> Rules:
    from taperlab.model.exact_units import FOOT, GRAIN
    from taperlab.model.pieces import Rules
    from taperlab.units.kinds import LENGTH, RATIO, SHORT_LENGTH, WEIGHT_PER_LENGTH, System

    # A bare number is what the help says, whatever the rest is told in.
    us = System.US if asked.tolerance == "1.5" else system
    tolerance = typed("--tolerance", asked.tolerance, WEIGHT_PER_LENGTH, us)
    step = typed_if_given("--most-step", asked.most_step, RATIO, system)
    if step is not None and step < 1.0:
        raise Refusal(
            "--most-step: found {found}, expected 1 or more: the heavier over the lighter",
            found=asked.most_step,
        )
    overlap = typed_if_given("--overlap", asked.overlap, SHORT_LENGTH, system)
    return Rules(
        tolerance if tolerance > 0.0 else 1.5 * GRAIN / FOOT,
        math.inf if step is None else step,
        typed("--least", asked.least, LENGTH, system),
        typed("--usable", asked.usable, LENGTH, system),
        overlap or 0.0,
        typed_if_given("--fold", asked.fold, SHORT_LENGTH, system),
        asked.keep == "weight",
    )


def _line(asked: argparse.Namespace, file: Path) -> Line:
    """The line of a file that is to be made of pieces."""
    from taperlab.physics.lapped import lap_problem
    from taperlab.shop.pieces.ends import prepared
    from taperlab.units.kinds import System
    from taperlab.units.sentence import Length

    bench = bench_asked(asked, file)
    line = line_named(asked.line, bench, file)
    if not line.segments:
        raise Refusal("{file}: {line} has no segments; expected one", file=file, line=line.name)
    system = System(asked.units)
    if problem := lap_problem(prepared(line, _rules(asked, system))):
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
