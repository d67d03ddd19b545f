"""Putting a file in the place of another in one step, as each system does it."""

from __future__ import annotations

import contextlib
import os
import sys
import time
from pathlib import Path

WINDOWS = sys.platform == "win32"

PATIENCE = (0.02, 0.05, 0.1, 0.2, 0.4)
"""Seconds between tries where Windows has the target open for a moment, as virus scanners do."""


def put_in_place(temporary: Path, target: Path) -> None:
    """Have a file take the place of another, which is whole at every moment. Raises OSError."""
    if WINDOWS:
        for pause in PATIENCE:
            with contextlib.suppress(PermissionError):
                temporary.replace(target)
                return
            time.sleep(pause)
    temporary.replace(target)


def settle_folder(folder: Path) -> None:
    """Have the new name itself on the disk, where a folder can be synced."""
    if WINDOWS:
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
