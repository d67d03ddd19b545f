"""A shop's own table of reasons, beside its preferences; else the one that comes with us."""

from __future__ import annotations

from pathlib import Path

from taperlab.files import disk
from taperlab.files.folders import config_folder
from taperlab.files.problem import FileProblem
from taperlab.shipped import resource
from taperlab.trade.reasons import TABLE, BadReasons, Reasons, reasons_of, shipped_reasons


def reasons_file() -> Path:
    """Where a shop's own table lies. Raises FileProblem where there is no folder for it."""
    return config_folder() / TABLE[-1]


def load_reasons(path: Path | None = None) -> Reasons:
    """The shop's own reasons, or those that come with the program.

    Raises FileProblem, which says file, row and column, where its own can't be used.
    """
    where = reasons_file() if path is None else path
    if not where.exists():
        return shipped_reasons()
    text = disk.read_bytes(where).decode("utf-8", "replace")
    try:
        return reasons_of(text)
    except BadReasons as problem:
        raise FileProblem("{file}, {problem}", file=where, problem=problem.sentence) from None


def own_reasons_file(path: Path | None = None) -> Path:
    """The shop's own table, to be opened and edited: a copy of ours where it has none yet.

    Raises FileProblem.
    """
    where = reasons_file() if path is None else path
    if not where.exists():
        disk.make_folder(where.parent, private=True)
        disk.write_text(where, resource(*TABLE).read_text(encoding="utf-8"))
    return where
