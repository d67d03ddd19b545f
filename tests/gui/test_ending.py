"""The system asks the program to end, and what a start needs of a display and a home folder."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from taperlab.files import folders
from taperlab.files.native import read_bench, write_bench
from taperlab.files.preferences import Preferences, load_preferences
from taperlab.files.problem import FileProblem
from taperlab.gui.frame.display import answers_wayland, what_is_missing
from taperlab.shipped import sample

EDIT = """
import sys
from PySide6.QtWidgets import QApplication
from taperlab.edits.values import set_length
run = QApplication.exec
def begin(*_):
    window = next(each for each in QApplication.topLevelWidgets() if hasattr(each, "rack"))
    window.document.apply(set_length, window.document.line.key, 1, 3.9)
    print("ready", flush=True)
    return run()
QApplication.exec = begin
from taperlab.__main__ import main
sys.exit(main())
"""

LONGEST = 30
"""Seconds until a test gives up on a program that does not end."""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signals to send")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_the_window_in_order(tmp_path: Path, number: signal.Signals) -> None:
    path = tmp_path / "named.taperlab"
    write_bench(read_bench(sample("scandi.taperlab")), path)
    before = path.read_bytes()
    state = tmp_path / "state"
    process = subprocess.Popen(
        [sys.executable, "-c", EDIT, str(path)],
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path), "TAPERLAB_STATE": str(state)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    with process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline() == "ready\n"
        process.send_signal(number)
        try:
            status = process.wait(LONGEST)
        except subprocess.TimeoutExpired:
            process.kill()
            raise
        told = process.stderr.read()
    assert status == 128 + number
    assert "Traceback" not in told
    assert path.read_bytes() == before
    (copy,) = (state / "recovery").glob("*.taperlab")
    assert read_bench(copy).lines[0].segments[1].length == 3.9
    assert not list((state / "present").iterdir())
    assert not list((state / "claims").iterdir())


CLOSE = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
run = QApplication.exec
def begin(*_):
    window = next(each for each in QApplication.topLevelWidgets() if hasattr(each, "rack"))
    QTimer.singleShot(0, window.menus.actions["close"].trigger)
    return run()
QApplication.exec = begin
from taperlab.__main__ import main
sys.exit(main())
"""


def test_a_window_that_is_closed_ends_the_program_in_order(tmp_path: Path) -> None:
    state = tmp_path / "state"
    paths = os.pathsep.join(sys.path)
    ended = subprocess.run(
        [sys.executable, "-c", CLOSE, str(sample("scandi.taperlab"))],
        env=os.environ | {"PYTHONPATH": paths, "TAPERLAB_STATE": str(state)},
        capture_output=True,
        text=True,
        timeout=LONGEST,
    )
    assert "Traceback" not in ended.stderr
    assert ended.returncode == 0
    assert not list((state / "present").iterdir())
    assert not (state / "taperlab.log").exists() or not (state / "taperlab.log").read_text()


# -- no display -------------------------------------------------------------------------------

DEAF = {"answers_x11": lambda: False, "answers_wayland": lambda *_: False}
LISTENING = {"answers_x11": lambda: True, "answers_wayland": lambda *_: True}


@pytest.mark.parametrize(
    ("environment", "answers", "words"),
    [
        ({}, LISTENING, "there is no display to open a window on"),
        ({"DISPLAY": ""}, LISTENING, "there is no display to open a window on"),
        ({"DISPLAY": ":9"}, DEAF, "the display :9 does not answer"),
        ({"WAYLAND_DISPLAY": "wayland-9"}, DEAF, "there is no display to open a window on"),
        ({"DISPLAY": ":0"}, LISTENING, ""),
        ({"WAYLAND_DISPLAY": "wayland-0"}, LISTENING, ""),
        ({"QT_QPA_PLATFORM": "offscreen"}, DEAF, ""),
    ],
)
def test_what_keeps_a_window_from_opening(
    environment: dict[str, str], answers: dict[str, object], words: str
) -> None:
    told = str(what_is_missing(environment, "linux", loads=lambda _: True, **answers))  # type: ignore[arg-type]
    assert told.startswith(words)
    assert bool(told) == bool(words)
    assert "\n" not in told
    assert not what_is_missing(environment, "darwin", **answers)  # type: ignore[arg-type]


def test_system_libraries_that_lack_are_named() -> None:
    told = what_is_missing(
        {"DISPLAY": ":0"}, "linux", loads=lambda name: "icccm" not in name, answers_x11=lambda: True
    )
    assert "apt-get install libxcb-icccm4." in str(told)


@pytest.mark.skipif(sys.platform == "win32", reason="no such sockets there")
def test_a_wayland_server_is_asked_whether_it_is_there(tmp_path: Path) -> None:
    there = {"XDG_RUNTIME_DIR": str(tmp_path)}
    assert not answers_wayland("wayland-0", there)
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(tmp_path / "wayland-0"))
        server.listen()
        assert answers_wayland("wayland-0", there)


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is always a display")
def test_a_start_without_a_display_is_refused_in_one_sentence() -> None:
    environment = {
        name: value
        for name, value in os.environ.items()
        if name not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    done = subprocess.run(
        [sys.executable, "-m", "taperlab"],
        env=environment | {"PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("taperlab: there is no display to open a window on:")


# -- no home folder ---------------------------------------------------------------------------


@pytest.fixture
def homeless(monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", none)
    for name in ("TAPERLAB_STATE", "TAPERLAB_CONFIG", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(name, raising=False)


@pytest.mark.usefixtures("homeless")
@pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
def test_without_a_home_folder_nothing_is_remembered_and_the_reason_is_a_sentence(
    monkeypatch: pytest.MonkeyPatch, platform: str
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    for name in ("LOCALAPPDATA", "APPDATA"):
        monkeypatch.delenv(name, raising=False)
    with pytest.raises(FileProblem, match="no home folder to keep anything in; set TAPERLAB_STATE"):
        folders.state_folder()
    with pytest.raises(FileProblem, match="set TAPERLAB_CONFIG to a folder"):
        folders.config_folder()
    assert folders.log_folder() is None
    assert load_preferences() == Preferences()


@pytest.mark.usefixtures("homeless")
@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="XDG is a custom of others")
def test_folders_of_the_xdg_rules_are_enough(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    assert folders.state_folder() == tmp_path / "state" / "taperlab"
    assert folders.config_folder() == tmp_path / "config" / "taperlab"
    monkeypatch.setenv("XDG_STATE_HOME", "relative")
    with pytest.raises(FileProblem):
        folders.state_folder()


HOMELESS = """
import json, os, pathlib, sys
def none():
    raise RuntimeError("Could not determine home directory.")
pathlib.Path.home = none
for name in [each for each in os.environ if each.startswith(("XDG_", "TAPERLAB_"))]:
    del os.environ[name]
from PySide6.QtWidgets import QApplication
def look(*_):
    window = next(each for each in QApplication.topLevelWidgets() if hasattr(each, "rack"))
    print(json.dumps(window.windowTitle()))
    window.close()
    return 0
QApplication.exec = look
from taperlab.__main__ import main
sys.exit(main())
"""


def test_a_window_opens_without_a_home_folder(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", HOMELESS],
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stderr
    assert "Unsaved bench" in json.loads(done.stdout)
    assert list(tmp_path.iterdir()) == []
