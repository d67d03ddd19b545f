"""``taperlab picture``: what a page of the window shows."""

from __future__ import annotations

from pathlib import Path

from taperlab.cli.asking import Parser, Screen
from taperlab.units.language import tr


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    parser = Parser("taperlab picture", description=tr("Draw what a page of the window shows."))
    parser.add_argument("file", metavar="FILE", type=Path, help=tr("a bench, or a line as CSV"))
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .png or .svg"))
    parser.add_argument("--page", metavar="NAME", help=tr("else the first"))
    asked = parser.parse_args(arguments)
    screen.draw(asked.file, asked.target, asked.page)
    return 0
