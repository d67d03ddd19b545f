"""All commands as one parser, for what is made from it: completion in a shell, the man page."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from taperlab import __version__
from taperlab.cli.asking import Parser, Refusal
from taperlab.units.language import tr

# -- completion -------------------------------------------------------------------------------


def completion(shell: str, window: Parser, commands: Mapping[str, Parser]) -> str:
    """What a shell reads to complete the words of the command line. Raises Refusal.

    window: the parser of a call without a command. commands: those of the commands, by name.
    """
    try:
        import shtab
    except ImportError:
        raise Refusal(
            "--completion needs the package shtab: install taperlab with the extra completion"
        ) from None
    whole = argparse.ArgumentParser("taperlab", add_help=False)
    for action in window._actions:
        # FILE ahead of the commands would have a shell offer none of them.
        if action.option_strings:
            whole._add_action(action)
    below = whole.add_subparsers(parser_class=argparse.ArgumentParser)
    for name, command in commands.items():
        below.add_parser(name, parents=[command], add_help=False, help=command.description)
    for parser in (whole, *below.choices.values()):
        for action in parser._actions:
            if action.type is Path:
                action.complete = shtab.FILE  # type: ignore[attr-defined]
    made: str = shtab.complete(whole, shell)
    return made


# -- the man page -----------------------------------------------------------------------------


def manual(window: Parser, commands: Mapping[str, Parser]) -> str:
    """The man page, in the words of ``--help``; as for :func:`completion`."""
    parts = [
        f'.TH TAPERLAB 1 "" "Taperlab {__version__}"',
        ".SH " + tr("NAME"),
        r"taperlab \- " + _roff(tr("Design, weigh and cut fly lines so that they fit the rod.")),
        ".SH " + tr("SYNOPSIS"),
        *_synopsis(window),
        ".SH " + tr("OPTIONS"),
        *_options(window),
        ".SH " + tr("COMMANDS"),
    ]
    for name, parser in commands.items():
        parts += [f".SS {name}", _roff(parser.description or ""), ".PP", *_synopsis(parser)]
        parts += _options(parser)
    parts += [
        ".SH " + tr("EXIT STATUS"),
        *_entry("0", tr("What was asked is done.")),
        *_entry("2", tr("Something asked or read is wrong; one line says what.")),
        *_entry("3", tr("What was asked was understood, and has no answer.")),
        ".SH " + tr("ENVIRONMENT"),
        *_entry("TAPERLAB_STATE", tr("the folder of recovery copies and of the log")),
        *_entry("TAPERLAB_CONFIG", tr("the folder of the preferences")),
        *_entry("LANGUAGE", tr("the language that is read, where there is a catalogue of it")),
    ]
    return "\n".join(parts) + "\n"


def _synopsis(parser: argparse.ArgumentParser) -> Iterator[str]:
    usage = " ".join(parser.format_usage().split())
    yield _roff(re.sub(r"^\S+\s+(?=taperlab)", "", usage))


def _options(parser: argparse.ArgumentParser) -> Iterator[str]:
    formatter = argparse.HelpFormatter(parser.prog)
    for action in parser._actions:
        yield from _entry(
            formatter._format_action_invocation(action), (action.help or "") % vars(action)
        )


def _entry(term: str, what: str) -> Iterator[str]:
    yield ".TP"
    yield rf"\fB{_roff(term)}\fR"
    yield _roff(what)


def _roff(text: str) -> str:
    """A text as roff takes it: no line of it a request, no hyphen that could be a dash."""
    safe = text.replace("\\", r"\e").replace("-", r"\-")
    return rf"\&{safe}" if safe[:1] in ".'" else safe
