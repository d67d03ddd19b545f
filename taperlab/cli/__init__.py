"""Taperlab from a terminal; anything that is not a command opens the window.

Each command is a module of its name with ``parser_of`` and ``run``, loaded when it is asked for.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from taperlab.cli import plain
from taperlab.cli.asking import BAD_INPUT, Looks, Parser, Refusal, Screen, add_line, page_names
from taperlab.files.problem import FileProblem
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Several

__all__ = ["Looks", "Screen", "run"]

INTERRUPTED = 130

COMMANDS = (
    "report",
    "measure",
    "tolerance",
    "cut",
    "depth",
    "range",
    "pieces",
    "solve",
    "turnover",
    "room",
    "jobs",
    "convert",
    "picture",
    "sheet",
    "labels",
    "desktop",
)


def run(arguments: Sequence[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status.

    0; 2 for bad input; 3 where what was asked has no answer.
    """
    _be_safe_to_print_to()
    try:
        status = _dispatch(list(arguments), screen)
        # What a closed pipe will not take shows only now.
        if sys.stdout is not None:
            sys.stdout.flush()
    except (Refusal, FileProblem) as told:
        print(f"taperlab: {' '.join(str(told.sentence).split())}", file=sys.stderr)
        return told.status if isinstance(told, Refusal) else BAD_INPUT
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
            stream.reconfigure(errors=plain.ERRORS)


def _dispatch(arguments: list[str], screen: Screen) -> int:
    command = arguments[0] if arguments else ""
    try:
        if command not in COMMANDS:
            return _window(arguments, screen)
        module = importlib.import_module(f"taperlab.cli.{command}")
        status: int = module.run(arguments[1:], screen)
        return status
    except SystemExit as end:
        # --help and --version end this way.
        return int(end.code or 0)


def parser_of(pages: Sequence[str] = ()) -> Parser:
    """What the program takes that is told no command. pages: keys to name in its help."""
    from taperlab import __version__

    parser = Parser(
        "taperlab",
        description=_description(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("-V", "--version", action="version", version=f"Taperlab {__version__}")
    parser.add_argument("file", nargs="?", metavar="FILE", type=Path, help=tr("a bench to open"))
    add_line(parser)
    which = tr("which page to show: {pages}").format(pages=", ".join(pages))
    parser.add_argument("--page", metavar="NAME", help=which)
    parser.add_argument("--units", choices=["us", "metric"], help=tr("shown from now on"))
    parser.add_argument(
        "--theme", choices=["system", "light", "dark"], help=tr("colours from now on")
    )
    parser.add_argument(
        "--completion",
        choices=["bash", "zsh", "tcsh"],
        help=tr("print what completes these words in a shell, and end"),
    )
    parser.add_argument("--manual", action="store_true", help=tr("print the man page, and end"))
    return parser


def _window(arguments: list[str], screen: Screen) -> int:
    # Pages load Qt, which is not needed to tell the version, say.
    tells_pages = not {"-h", "--help", "--manual", "--completion"}.isdisjoint(arguments)
    window = parser_of(page_names(screen) if tells_pages else ())
    asked = window.parse_args(arguments)
    if asked.completion or asked.manual:
        from taperlab.cli.whole import completion, manual

        commands = {
            name: importlib.import_module(f"taperlab.cli.{name}").parser_of(screen)
            for name in COMMANDS
        }
        made = (
            completion(asked.completion, window, commands)
            if asked.completion
            else manual(window, commands)
        )
        print(made, end="")
        return 0
    file: Path | None = asked.file
    if file is not None and not file.exists():
        raise Refusal("{file} is neither a file nor a command; see taperlab --help", file=file)
    if asked.page is not None and asked.page not in screen.pages():
        raise Refusal(
            "There is no page “{page}”; the pages are {pages}",
            page=asked.page,
            pages=Several(tuple(screen.pages())),
        )
    units = System(asked.units) if asked.units else None
    return screen.open_window(file, Looks(asked.page, asked.line, units, asked.theme))


def _description() -> str:
    commands = {
        "[FILE]": tr("open the window, with FILE or the demo bench"),
        "report FILE": tr("print the figures of a line"),
        "measure STATIONS": tr("tell what a line weighs where"),
        "tolerance FILE": tr("tell what each ± does to a head"),
        "cut FILE": tr("plan to cut a head back"),
        "depth FILE": tr("tell how deep a rig fishes"),
        "range FILE": tr("grade a head over weights and rods"),
        "solve FILE": tr("change a head as little as goals for it ask"),
        "pieces FILE…": tr("tell what heads are cut from, by the stock that there is"),
        "jobs FOLDER|FILE": tr("find jobs of customers in benches"),
        "convert IN OUT": tr("between a bench and a line as CSV"),
        "picture FILE OUT": tr("draw what a page of the window shows"),
        "sheet FILE OUT": tr("write the build sheet of a line as PDF"),
        "labels FILE OUT": tr("write labels for the bags of heads as PDF"),
        "desktop": tr("put Taperlab among the programs of the desktop, or take it away"),
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
