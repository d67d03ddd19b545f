"""``taperlab convert``: between a bench and a line as CSV."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    Parser,
    Refusal,
    Screen,
    add_decimal,
    add_file,
    add_line,
    add_units,
    bench_asked,
    is_bench,
    line_named,
    remark,
)
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Several, render

if TYPE_CHECKING:
    from taperlab.model.bench import Bench


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab convert",
        description=tr(
            "Turn a line as CSV into a bench, or a line of a bench into CSV. "
            "CSV holds segments alone: no loops, joints, cores, rods or water."
        ),
    )
    add_file(parser, "source", metavar="IN")
    parser.add_argument(
        "target", metavar="OUT", type=Path, help=tr("ends in .taperlab, .csv or .tsv")
    )
    add_line(parser)
    parser.add_argument(
        "--without-personal-data",
        action="store_true",
        help=tr("leave out what jobs say of people, all notes, and what is not known here"),
    )
    parser.add_argument(
        "--keep-notes",
        nargs="+",
        metavar="WHAT",
        choices=["bench", "lines", "rods", "versions", "others"],
        default=[],
        help=tr("with --without-personal-data: these notes stay"),
    )
    add_units(parser)
    add_decimal(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.edits.jobs import rename_photographs
    from taperlab.files.delimited import what_is_lost, write_line
    from taperlab.files.native import write_bench
    from taperlab.files.photographs import names_from

    as_bench = is_bench(asked.target)
    bench = bench_asked(asked, asked.source)
    if asked.without_personal_data:
        bench = _without_personal_data(bench, asked)
    elif asked.keep_notes:
        raise Refusal("--keep-notes: expected only with --without-personal-data")
    if as_bench:
        if asked.line is not None:
            raise Refusal("--line: a bench keeps all lines; expected only with .csv or .tsv")
        names = names_from(bench, asked.source, asked.target)
        write_bench(rename_photographs(bench, names).bench, asked.target)
        return 0
    line = line_named(asked.line, bench, asked.source)
    write_line(line, asked.target, System(asked.units))
    others = len(bench.lines) - 1
    if others and asked.line is None:
        remark(tr("wrote the current line, {line}; --line names another").format(line=line.name))
    if lost := what_is_lost(line):
        less = Sentence(
            "{file} is without {lost}, which CSV cannot hold",
            file=asked.target,
            lost=Several(lost),
        )
        remark(render(less, System(asked.units)))
    return 0


def _without_personal_data(bench: Bench, asked: argparse.Namespace) -> Bench:
    """The bench as it may be given away; what was left out, and what is still named, is told."""
    from taperlab.files.disk import is_one_file
    from taperlab.shop.personal import Notes, names_somebody, without_personal_data

    source, target = asked.source, asked.target
    if is_one_file(source, target):
        raise Refusal("{file} is the bench itself; expected another name", file=target)
    left_out = without_personal_data(bench, [Notes[each.upper()] for each in asked.keep_notes])
    for each in (*left_out.said, *left_out.still):
        remark(render(each, System(asked.units)).rstrip("."))
    if names_somebody(bench, target.stem):
        remark(tr("{file} names somebody by its own name").format(file=target.name))
    return left_out.bench
