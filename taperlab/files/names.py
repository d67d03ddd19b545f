"""Names of things as names of files."""

from __future__ import annotations

import unicodedata

_NOT_IN_NAMES = '/\\:*?"<>|'
"""What Windows, macOS or Linux does not take in a file's name."""


def file_name(name: str, otherwise: str) -> str:
    """A name that a file can have on any system; ``otherwise`` where nothing is left of it."""
    kept = "".join(
        "-" if each in _NOT_IN_NAMES or not each.isprintable() else each for each in name
    )
    return kept.strip(" .") or otherwise


def same_file(name: str) -> str:
    """What two names have in common that some system takes for one file."""
    return unicodedata.normalize("NFC", name).casefold()
