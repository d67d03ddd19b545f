"""``taperlab sheet``: the build sheet of a line or a rig."""

from __future__ import annotations

from pathlib import Path

from taperlab.cli.asking import (
    Looks,
    Parser,
    Screen,
    add_decimal,
    add_file,
    add_line,
    add_paper,
    add_units,
    bench_asked,
)
from taperlab.cli.rigs import add_rig_options, shown
from taperlab.units.kinds import System
from taperlab.units.language import tr


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    what = tr("Write the build sheet of a line or a rig as PDF.")
    parser = Parser("taperlab sheet", description=what)
    add_file(parser)
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .pdf"))
    add_line(parser)
    add_rig_options(parser)
    add_paper(parser)
    add_units(parser)
    add_decimal(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    bench = bench_asked(asked, asked.file)
    bench = shown(asked, bench, asked.file)
    looks = Looks(units=System(asked.units), paper=asked.paper)
    screen.sheet(bench, asked.file, asked.target, looks)
    return 0
