"""Files and folders that are for their owner alone.

The one module that knows how each system says so. On Windows nothing is done: what lies in a
person's profile is closed to others by the lists that it inherits from there.
"""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path

HAS_MODES = sys.platform != "win32"

FOLDER, FILE = 0o700, 0o600


def close_to_others(path: Path) -> None:
    """Take every right from all but the owner, if that is us; nothing where it cannot be done."""
    if not HAS_MODES:
        return
    with contextlib.suppress(OSError):
        found = path.stat()
        if found.st_uid == os.getuid() and found.st_mode & 0o077:
            path.chmod(found.st_mode & 0o700)
