"""``taperlab picture``: what a page of the window shows."""

from __future__ import annotations

from pathlib import Path

from taperlab.cli.asking import (
    Looks,
    Parser,
    Refusal,
    Screen,
    add_decimal,
    add_file,
    add_line,
    add_units,
    bench_asked,
    page_names,
)
from taperlab.cli.rigs import add_rig_options, shown
from taperlab.units.kinds import System
from taperlab.units.language import tr

LARGEST_SCALE = 8.0
"""A picture of it is 10,240 dots wide, enough for a poster."""


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser("taperlab picture", description=tr("Draw what a page of the window shows."))
    add_file(parser)
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .png or .svg"))
    pages = page_names(screen)
    parser.add_argument(
        "--page",
        metavar="NAME",
        choices=pages or None,
        help=tr("one of {pages}; else the first").format(pages=", ".join(pages)),
    )
    add_line(parser)
    add_rig_options(parser)
    parser.add_argument(
        "--theme", choices=["light", "dark"], default="light", help=tr("else light")
    )
    parser.add_argument(
        "--scale",
        metavar="TIMES",
        type=float,
        default=1.0,
        help=tr("how many times as fine a PNG is as the window, such as 2"),
    )
    add_units(parser)
    add_decimal(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    if not 0.5 <= asked.scale <= LARGEST_SCALE:
        raise Refusal(
            "--scale: found {scale}, expected a number from 0.5 to {largest}",
            scale=str(asked.scale),
            largest=f"{LARGEST_SCALE:g}",
        )
    bench = bench_asked(asked, asked.file)
    bench = shown(asked, bench, asked.file)
    looks = Looks(page=asked.page, units=System(asked.units), theme=asked.theme, scale=asked.scale)
    screen.draw(bench, asked.file, asked.target, looks)
    return 0
