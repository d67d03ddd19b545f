"""What a sheet says, and what a PDF says when it is read back."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.reading import text_of
from taperlab.units.kinds import System


def printed(sheet: object, system: System = System.US) -> str:
    """Everything that a sheet says, a line for each text."""
    assert isinstance(sheet, Sheet)
    return text_of(sheet, system)


def read_back(path: Path) -> str:
    """The text of a PDF, words apart by one space."""
    tool = shutil.which("pdftotext")
    if tool is None:
        pytest.skip("pdftotext reads the PDF back; it is not installed")
    found = subprocess.run(
        [tool, "-layout", str(path), "-"], capture_output=True, text=True, check=True
    )
    return " ".join(found.stdout.split())
