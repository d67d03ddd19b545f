"""``taperlab convert``: between a bench and a line as CSV."""

from __future__ import annotations

from pathlib import Path

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
    add_units(parser)
    add_decimal(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.files.delimited import what_is_lost, write_line
    from taperlab.files.native import write_bench

    as_bench = is_bench(asked.target)
    bench = bench_asked(asked, asked.source)
    if as_bench:
        if asked.line is not None:
            raise Refusal("--line: a bench keeps all lines; expected only with .csv or .tsv")
        write_bench(bench, asked.target)
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
