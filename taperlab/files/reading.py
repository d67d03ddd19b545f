"""The one way to read a file: its bytes, or a sentence that says why not."""

from __future__ import annotations

from pathlib import Path

from taperlab.files.problem import FileProblem

LARGEST = 50_000_000
"""Bytes. A bench of a thousand lines is a tenth of it; beyond it a file is surely another thing."""


def read_bytes(path: Path) -> bytes:
    """All bytes of a file. Raises FileProblem."""
    try:
        if path.is_dir():
            raise FileProblem("{file} is a folder; expected a file.", file=path)
        with path.open("rb") as stream:
            content = stream.read(LARGEST + 1)
    except FileNotFoundError:
        raise FileProblem(
            "{file} is not there; check the name and the folder.", file=path
        ) from None
    except PermissionError:
        raise FileProblem(
            "{file} may not be read: you have no permission for it.", file=path
        ) from None
    except (OSError, ValueError) as error:
        raise FileProblem(
            "{file} could not be read: {system}.", file=path, system=reason(error)
        ) from None
    if len(content) > LARGEST:
        raise FileProblem("{file} is larger than any bench or line can be.", file=path)
    return content


def reason(error: Exception) -> str:
    """The system's own words for an error, without its number and path."""
    words = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return words.rstrip(".")
