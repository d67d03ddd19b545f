"""The person's own folders for what the program remembers, by the custom of each system."""

from __future__ import annotations

import os
import sys
from pathlib import Path

NAME = "Taperlab"


def state_folder() -> Path:
    """Where recovery copies and claims lie. ``TAPERLAB_STATE`` names another folder."""
    if named := os.environ.get("TAPERLAB_STATE"):
        return Path(named)
    if sys.platform == "win32":
        return _from("LOCALAPPDATA", Path.home() / "AppData" / "Local") / NAME / "State"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / NAME / "State"
    return _from("XDG_STATE_HOME", Path.home() / ".local" / "state") / NAME.lower()


def config_folder() -> Path:
    """Where the person's preferences lie. ``TAPERLAB_CONFIG`` names another folder."""
    if named := os.environ.get("TAPERLAB_CONFIG"):
        return Path(named)
    if sys.platform == "win32":
        return _from("APPDATA", Path.home() / "AppData" / "Roaming") / NAME
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / NAME
    return _from("XDG_CONFIG_HOME", Path.home() / ".config") / NAME.lower()


def _from(variable: str, otherwise: Path) -> Path:
    """The folder a variable names; the XDG rules say to ignore one that is not absolute."""
    named = Path(os.environ.get(variable, ""))
    return named if named.is_absolute() else otherwise
