"""Preferences survive damage, one by one, and never keep the program from starting."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.edits.edited import Solve
from taperlab.files import folders
from taperlab.files.preferences import (
    RECENT_FILES,
    Preferences,
    Theme,
    change_preferences,
    load_preferences,
    preferences_file,
)
from taperlab.files.problem import FileProblem
from taperlab.units.kinds import System

CHOSEN = Preferences(
    system=System.METRIC,
    solve=Solve.DIAMETER,
    figures_move=("head weight = all lengths",),
    sink_shown=True,
    head_only=True,
    theme=Theme.DARK,
    welcome_seen=True,
    recent_files=("/a/b.taperlab",),
    window_geometry="AAH/",
    window_layout="x",
    extra={"later": 1},
)


def test_saved_preferences_come_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TAPERLAB_CONFIG", str(tmp_path / "deep" / "config"))
    assert load_preferences() == Preferences()
    change_preferences(Preferences(), CHOSEN)
    assert preferences_file().parent == tmp_path / "deep" / "config"
    assert load_preferences() == CHOSEN


@pytest.mark.parametrize("content", [b"", b"{", b"[1]", b"\xff\xfe", b"null", b"[" * 100_000])
def test_a_damaged_file_gives_the_defaults(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "preferences.json"
    path.write_bytes(content)
    assert load_preferences(path) == Preferences()
    assert load_preferences(tmp_path) == Preferences()


def test_one_bad_choice_costs_only_itself(tmp_path: Path) -> None:
    path = tmp_path / "preferences.json"
    path.write_text(
        json.dumps({"units": "cubits", "theme": "dark", "recent_files": ["a", 5], "later": [1]}),
        encoding="utf-8",
    )
    assert load_preferences(path) == Preferences(theme=Theme.DARK, extra={"later": [1]})


@given(st.binary(max_size=60), st.integers(0, 200))
def test_no_bytes_raise(tmp_path_factory: pytest.TempPathFactory, junk: bytes, at: int) -> None:
    path = tmp_path_factory.getbasetemp() / "preferences.json"
    change_preferences(Preferences(), CHOSEN, path)
    content = path.read_bytes()
    path.write_bytes(content[:at] + junk + content[at + len(junk) :])
    load_preferences(path)


def test_two_windows_keep_what_the_other_chose(tmp_path: Path) -> None:
    path = tmp_path / "preferences.json"
    one = two = load_preferences(path)
    change_preferences(one, replace(one, theme=Theme.DARK), path)
    change_preferences(two, replace(two, system=System.METRIC), path)
    assert load_preferences(path) == Preferences(theme=Theme.DARK, system=System.METRIC)
    # A choice taken back is a change too.
    dark = replace(one, theme=Theme.DARK)
    change_preferences(dark, replace(dark, theme=Theme.SYSTEM), path)
    assert load_preferences(path) == Preferences(system=System.METRIC)


def test_the_recent_files_of_two_windows_are_in_one_list(tmp_path: Path) -> None:
    path = tmp_path / "preferences.json"
    one = two = load_preferences(path)
    change_preferences(one, one.with_recent(tmp_path / "a"), path)
    change_preferences(two, two.with_recent(tmp_path / "b"), path)
    both = [str(tmp_path / "b"), str(tmp_path / "a")]
    assert list(load_preferences(path).recent_files) == both
    mine = one.with_recent(tmp_path / "a")
    change_preferences(mine, mine.without_recent(tmp_path / "a"), path)
    assert list(load_preferences(path).recent_files) == both[:1]


def test_preferences_that_cannot_be_read_now_are_not_reset(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "preferences.json"
    change_preferences(Preferences(), CHOSEN, path)
    with monkeypatch.context() as broken:

        def fail(*_: object, **__: object) -> None:
            raise PermissionError(13, "Permission denied")

        broken.setattr(Path, "open", fail)
        with pytest.raises(FileProblem):
            change_preferences(Preferences(), Preferences(theme=Theme.LIGHT), path)
    assert load_preferences(path) == CHOSEN


def test_recent_files_are_few_newest_first_and_once_each(tmp_path: Path) -> None:
    kept = Preferences()
    for i in range(RECENT_FILES + 3):
        kept = kept.with_recent(tmp_path / f"{i}.taperlab")
    kept = kept.with_recent(tmp_path / "5.taperlab")
    assert len(kept.recent_files) == RECENT_FILES
    assert kept.recent_files[0] == str(tmp_path / "5.taperlab")
    assert len(set(kept.recent_files)) == RECENT_FILES
    assert (
        str(tmp_path / "5.taperlab")
        not in kept.without_recent(tmp_path / "5.taperlab").recent_files
    )


@pytest.mark.parametrize(
    ("platform", "variables", "state", "config"),
    [
        ("linux", {}, ".local/state/taperlab", ".config/taperlab"),
        ("linux", {"XDG_STATE_HOME": "/s", "XDG_CONFIG_HOME": "/c"}, "/s/taperlab", "/c/taperlab"),
        ("linux", {"XDG_STATE_HOME": "not/absolute"}, ".local/state/taperlab", ".config/taperlab"),
        (
            "darwin",
            {},
            "Library/Application Support/Taperlab/State",
            "Library/Application Support/Taperlab",
        ),
        (
            "win32",
            {"LOCALAPPDATA": "/l", "APPDATA": "/r"},
            "/l/Taperlab/State",
            "/r/Taperlab",
        ),
        ("win32", {}, "AppData/Local/Taperlab/State", "AppData/Roaming/Taperlab"),
        ("linux", {"TAPERLAB_STATE": "/x", "TAPERLAB_CONFIG": "/y"}, "/x", "/y"),
    ],
)
@pytest.mark.skipif("sys.platform == 'win32'", reason="the paths of this table are POSIX ones")
def test_each_system_keeps_them_where_its_people_look(
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    platform: str,
    variables: dict[str, str],
    state: str,
    config: str,
) -> None:
    names = "XDG_STATE_HOME XDG_CONFIG_HOME LOCALAPPDATA APPDATA TAPERLAB_STATE TAPERLAB_CONFIG"
    for name in names.split():
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr(folders.sys, "platform", platform)
    assert folders.state_folder() == tmp_path / state
    assert folders.config_folder() == tmp_path / config
