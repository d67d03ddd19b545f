"""The program as it is started: by its entry, in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from taperlab.files.native import read_bench, write_bench
from taperlab.shipped import sample

LOOK = """
import gc, json, sys
from PySide6.QtWidgets import QApplication
def look(*_):
    QApplication.processEvents()
    window = next(each for each in QApplication.topLevelWidgets() if hasattr(each, "rack"))
    window.grab()
    print(json.dumps({
        "title": window.windowTitle(),
        "weight": window.pages.page("shape").readouts.weight.text(),
        "banners": [each.accessibleName() for each in window.banners.children()
                    if hasattr(each, "buttons")],
        "garbage": gc.isenabled(),
        "loaded": [each for each in ("pint", "scipy", "PIL", "matplotlib") if each in sys.modules],
        "hook": sys.excepthook is not sys.__excepthook__,
    }))
    window.close()
    return 0
QApplication.exec = look
from taperlab.__main__ import main
sys.exit(main())
"""


def start(folder: Path, *arguments: str) -> dict[str, object]:
    done = subprocess.run(
        [sys.executable, "-c", LOOK, *arguments],
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
        cwd=folder,
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    return json.loads(done.stdout.splitlines()[-1])


def test_first_start_shows_a_worked_head_and_a_welcome(tmp_path: Path) -> None:
    found = start(tmp_path)
    assert "Unsaved bench" in found["title"]
    assert found["weight"].endswith(" gr")
    assert any("Welcome" in each for each in found["banners"])


def test_what_costs_time_to_load_is_not_loaded_and_errors_are_caught(tmp_path: Path) -> None:
    found = start(tmp_path)
    assert found["loaded"] == []
    assert found["garbage"]
    assert found["hook"]


def test_a_file_named_on_the_command_line_opens(tmp_path: Path) -> None:
    path = tmp_path / "named.taperlab"
    write_bench(read_bench(sample("skagit.taperlab")), path)
    found = start(tmp_path, str(path))
    assert "named.taperlab" in found["title"]


def test_a_state_folder_that_cannot_be_had_is_said_once_and_work_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "in the way").touch()
    monkeypatch.setenv("TAPERLAB_STATE", str(tmp_path / "in the way"))
    found = start(tmp_path)
    said = [each for each in found["banners"] if "cannot be kept against a crash" in each]
    assert len(said) == 1
    assert "in the way" in said[0]
    assert found["weight"].endswith(" gr")


@pytest.mark.parametrize("content", [b"", b"{", b"\x00\x01"])
def test_a_file_that_cannot_be_opened_still_starts_and_says_so(
    tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "torn.taperlab"
    path.write_bytes(content)
    found = start(tmp_path, str(path))
    assert "Unsaved bench" in found["title"]
    assert any("torn.taperlab" in each for each in found["banners"])


WITHOUT_QT = """
import sys
import taperlab.gui.frame.before_qt
before = set(sys.modules)
print(*(each for each in before if each.startswith("PySide6")))
from taperlab.gui.frame import start
import taperlab.gui.pages.shape.page
rooms = ("taperlab.gui", "taperlab.cli")
ours = (each for each in sys.modules if each.startswith("taperlab."))
print(*sorted(each for each in ours if each not in before and not each.startswith(rooms)))
"""


def test_what_needs_no_qt_is_imported_before_it() -> None:
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_QT], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == [], "before_qt.py knows nothing of these, or too much"
