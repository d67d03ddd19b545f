"""``taperlab desktop``: among the programs of the desktop, and the one that opens its files."""

from __future__ import annotations

import sys

from taperlab.cli.asking import Parser, Refusal, Screen
from taperlab.units.language import tr


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab desktop",
        description=tr(
            "Put Taperlab among the programs of a Linux desktop, with its icon and its kind of "
            "file, for this account alone; or take all of it away again."
        ),
    )
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--install", action="store_true", help=tr("put it there"))
    what.add_argument("--remove", action="store_true", help=tr("take it away"))
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    if sys.platform in ("win32", "darwin"):
        raise Refusal("taperlab desktop is for desktops that keep to the rules of freedesktop.org")
    from taperlab.files import desktop_entry
    from taperlab.files.folders import data_folder

    folder = data_folder()
    if asked.install:
        for path in desktop_entry.install(folder):
            print(tr("wrote {file}").format(file=path))
    else:
        removed = desktop_entry.remove(folder)
        for path in removed:
            print(tr("removed {file}").format(file=path))
        if not removed:
            print(tr("There was nothing to remove in {folder}.").format(folder=folder))
    desktop_entry.tell_the_desktop(folder)
    return 0
