"""``taperlab sheet``: the build sheet of a line."""

from __future__ import annotations

from pathlib import Path

from taperlab.cli.asking import Parser, Screen
from taperlab.units.language import tr


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    parser = Parser("taperlab sheet", description=tr("Write the build sheet of a line as PDF."))
    parser.add_argument("file", metavar="FILE", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .pdf"))
    asked = parser.parse_args(arguments)
    screen.sheet(asked.file, asked.target)
    return 0
