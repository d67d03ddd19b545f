"""Reading a file: at once where it is small, else beside the window, with a way out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from taperlab.files.problem import FileProblem
from taperlab.gui.dialogs.working import work_beside
from taperlab.gui.kit.host import Workplace
from taperlab.shop.steps import Steps, finish
from taperlab.units.language import tr

SMALL = 40_000
"""Bytes of a file that is read within a few frames: a bench of a dozen lines."""

Read = TypeVar("Read")


def is_small(path: Path) -> bool:
    """Whether a file is read at once. One that is not there is quickly said to be missing."""
    try:
        return path.stat().st_size <= SMALL
    except (OSError, ValueError):
        return True


def read_beside(
    steps: Steps[Read],
    at_once: bool,
    name: str,
    place: Workplace,
    done: Callable[[Read | FileProblem], object],
    called_off: Callable[[], object] | None = None,
) -> bool:
    """Have a file read and ``done`` told what it holds, or why it cannot be read.

    At once, or else beside the window: then a dialog shows how far it is, and calls it off, which
    ``called_off`` is told. Gives what ``done`` gives; True while the file is still being read.
    """
    told = _telling(steps)
    if at_once:
        return bool(done(finish(told)))
    work_beside(told, tr("Reading {file}…").format(file=name), place, done, called_off)
    return True


def _telling(steps: Steps[Read]) -> Steps[Read | FileProblem]:
    try:
        return (yield from steps)
    except FileProblem as problem:
        return problem
