"""Where the data that come with the program lie: beside the package, or inside an installed one."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    installed = _PACKAGE / name
    return installed if installed.is_dir() else _PACKAGE.parent / name


def resource(*parts: str) -> Path:
    """Path of a shipped resource, for example ``resource("tables", "single_hand.toml")``."""
    return _folder("resources").joinpath(*parts)


def sample(*parts: str) -> Path:
    """Path of a sample bench or line."""
    return _folder("samples").joinpath(*parts)
