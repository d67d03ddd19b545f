"""The arrows between the rooms, and which of them may know Qt, pint or scipy."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


LINT = """
import sys
from importlinter import cli
sys.exit(cli.lint_imports(config_filename="pyproject.toml", no_cache=True))
"""


def test_arrows_point_down_only() -> None:
    # In a process of its own: the linter silences every logger that was there before it.
    done = subprocess.run(
        [sys.executable, "-c", LINT], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


WITHOUT_QT = """
import sys
class Wall:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("PySide6", "shiboken6", "pyqtgraph"):
            raise ImportError(name + " is not here")
sys.meta_path.insert(0, Wall())
import importlib, pkgutil, taperlab
for module in pkgutil.walk_packages(taperlab.__path__, "taperlab."):
    if not module.name.startswith("taperlab.gui"):
        importlib.import_module(module.name)
loaded = {name.split(".")[0] for name in sys.modules}
print(sorted(loaded & {"PySide6", "shiboken6", "pyqtgraph", "scipy", "pint"}))
"""


def test_everything_but_the_window_loads_where_qt_is_not_installed() -> None:
    """Neither scipy nor pint may be loaded by an import alone: both cost too much at start."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", WITHOUT_QT],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"
