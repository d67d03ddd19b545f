"""Photographs of jobs: named by path from the bench's file, so that both may move together."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath, PureWindowsPath

from taperlab.model.bench import Bench

LARGEST = 80_000_000
"""Bytes of a photograph that is looked at."""

ENDINGS = ("jpg", "jpeg", "png", "webp", "heic", "heif", "avif", "tif", "tiff", "bmp", "gif")
"""Of files that may be photographs, also those that telephones write and Qt alone cannot show."""


def kept_as(photograph: Path, bench: Path | None) -> str:
    """How a bench names a photograph: from its own folder where it lies below that, else in full.

    bench: its file; None where it has none yet.
    """
    whole = _settled(photograph)
    if bench is not None:
        try:
            return whole.relative_to(_settled(bench).parent).as_posix()
        except ValueError:
            pass
    return whole.as_posix()


def found_at(kept: str, bench: Path | None) -> Path | None:
    """Where a photograph lies that a bench names so; None where that can't be known.

    A path that leads out of the bench's folder is taken as it stands only where it is whole: what a
    file from elsewhere names must not reach further than it says. Nor is another computer asked,
    which a path that begins with two slashes names: it would learn who asks.
    """
    if "\0" in kept or not kept.strip() or kept.replace("\\", "/").startswith("//"):
        return None
    path = Path(kept)
    if path.is_absolute():
        return path
    foreign = PureWindowsPath(kept)  # parts at either slash
    is_whole = PurePosixPath(kept).is_absolute() or foreign.is_absolute() or path.drive
    if bench is None or is_whole or ".." in foreign.parts:
        return None
    return bench.absolute().parent / path


def names_from(bench: Bench, before: Path | None, after: Path) -> dict[str, str]:
    """What photographs are called once a bench lies in another file, by what they are called."""
    found = {}
    for job in bench.jobs:
        for kept in job.photographs:
            path = found_at(kept, before)
            if path is not None and (name := kept_as(path, after)) != kept:
                found[kept] = name
    return found


def may_be_one(path: Path) -> bool:
    """Whether a file may be a photograph, by its name and kind: one that may be opened as such."""
    return path.suffix.casefold().removeprefix(".") in ENDINGS and path.is_file()


def _settled(path: Path) -> Path:
    # Without following links: whoever links a folder means the folder by that name.
    return Path(os.path.normpath(path.absolute()))
