"""The person's own folders for what the program remembers, by the custom of each system."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

from taperlab.files.problem import FileProblem

NAME = "Taperlab"


def home() -> Path | None:
    """The person's home folder; None for an account that has none."""
    try:
        return Path.home()
    except RuntimeError:
        return None


def state_folder() -> Path:
    """Where recovery copies and claims lie. ``TAPERLAB_STATE`` names another folder.

    Raises FileProblem where there is no folder to remember anything in.
    """
    return _own_folder("TAPERLAB_STATE", _STATE, "State")


def config_folder() -> Path:
    """Where the person's preferences lie. ``TAPERLAB_CONFIG`` names another folder.

    Raises FileProblem as :func:`state_folder` does.
    """
    return _own_folder("TAPERLAB_CONFIG", _CONFIG, "")


def data_folder() -> Path:
    """Where a desktop looks for what this account has installed. Raises FileProblem."""
    named = Path(os.environ.get("XDG_DATA_HOME", ""))
    if named.is_absolute():
        return named
    if (found := home()) is None:
        raise FileProblem(
            "This account has no home folder to keep anything in; set {variable} to a folder.",
            variable="XDG_DATA_HOME",
        )
    return found / ".local" / "share"


def log_folder() -> Path | None:
    """Where the log lies; None where there is no folder to remember anything in."""
    try:
        return state_folder()
    except FileProblem:
        return None


_APPLICATION_SUPPORT = ("", ("Library", "Application Support"))
_STATE = {
    "win32": ("LOCALAPPDATA", ("AppData", "Local")),
    "darwin": _APPLICATION_SUPPORT,
    "": ("XDG_STATE_HOME", (".local", "state")),
}
_CONFIG = {
    "win32": ("APPDATA", ("AppData", "Roaming")),
    "darwin": _APPLICATION_SUPPORT,
    "": ("XDG_CONFIG_HOME", (".config",)),
}
"""Of each system, the variable that names a folder, and where it lies else below the home."""


def _own_folder(ours: str, customs: Mapping[str, tuple[str, tuple[str, ...]]], inside: str) -> Path:
    if named := os.environ.get(ours):
        return Path(named)
    known = sys.platform if sys.platform in customs else ""
    variable, otherwise = customs[known]
    # The XDG rules say to ignore a folder that is not absolute.
    folder = Path(os.environ.get(variable, "") if variable else "")
    if not folder.is_absolute():
        if (found := home()) is None:
            raise FileProblem(
                "This account has no home folder to keep anything in; set {variable} to a folder.",
                variable=ours,
            )
        folder = found.joinpath(*otherwise)
    return folder / NAME / inside if known else folder / NAME.lower()
