"""The arrows between the rooms, and which of them may know Qt, pint or scipy."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from importlinter import cli

ROOT = Path(__file__).resolve().parents[2]


def test_arrows_point_down_only(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert cli.lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == 0


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
