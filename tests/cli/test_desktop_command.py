"""Among the programs of the desktop: what is written below the data folder, and removed again."""

from __future__ import annotations

import configparser
import shlex
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from taperlab.cli import Screen, run
from taperlab.files import desktop_entry
from taperlab.files.native import SUFFIX
from taperlab.shipped import resource

Capture = pytest.CaptureFixture[str]

pytestmark = pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="no such desktop")


def nothing(*_: object) -> int:
    raise AssertionError("nothing here is shown")


SCREEN = Screen(nothing, nothing, nothing, nothing)


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("PATH", "")  # whoever reads the desktop's folders is not asked to here
    return tmp_path / "data"


def files(folder: Path) -> set[Path]:
    return {path for path in folder.rglob("*") if path.is_file()}


def test_install_tells_what_it_wrote_and_remove_takes_all_of_it_away(
    capsys: Capture, data: Path
) -> None:
    assert run(["desktop", "--install"], SCREEN) == 0
    told = capsys.readouterr().out.splitlines()
    assert {line.removeprefix("wrote ") for line in told} == {str(each) for each in files(data)}
    assert len(files(data)) == 4
    other = data / "applications" / "other.desktop"
    other.write_text("")
    assert run(["desktop", "--remove"], SCREEN) == 0
    assert capsys.readouterr().out.count("removed ") == 4
    assert files(data) == {other}
    assert run(["desktop", "--remove"], SCREEN) == 0
    assert "nothing to remove" in capsys.readouterr().out


def test_entry_kind_and_icons_fit_together(data: Path) -> None:
    desktop_entry.install(data, '"/opt/a b/taperlab"')
    entry = configparser.ConfigParser(interpolation=None)
    entry.optionxform = str  # type: ignore[assignment,method-assign]
    entry.read(data / "applications" / "taperlab.desktop", encoding="utf-8")
    told = entry["Desktop Entry"]
    assert told["Type"] == "Application"
    assert told["Exec"] == '"/opt/a b/taperlab" %f'
    kind = ElementTree.parse(data / "mime" / "packages" / "taperlab.xml").getroot()
    (mime,) = kind
    assert told["MimeType"].split(";")[0] == mime.get("type")
    space = "{http://www.freedesktop.org/standards/shared-mime-info}"
    glob, icon = mime.find(f"{space}glob"), mime.find(f"{space}icon")
    assert glob is not None
    assert glob.get("pattern") == f"*{SUFFIX}"
    assert icon is not None
    icons = {path.stem for path in files(data) if path.suffix == ".svg"}
    assert {told["Icon"], icon.get("name")} == icons


def test_the_program_is_named_so_that_the_entry_starts_it(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    script = tmp_path / "a b" / "taperlab"
    script.parent.mkdir()
    script.write_text("")
    monkeypatch.setattr(sys, "argv", [str(script), "desktop", "--install"])
    assert shlex.split(desktop_entry.this_program()) == [str(script)]
    monkeypatch.setattr(sys, "argv", ["-c"])
    monkeypatch.setattr(sys, "executable", str(tmp_path / "python"))
    assert shlex.split(desktop_entry.this_program()) == [str(tmp_path / "python"), "-m", "taperlab"]


def test_a_data_folder_that_cannot_be_written_is_told(
    capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "data").write_text("a file where the folder would be")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert run(["desktop", "--install"], SCREEN) == 2
    assert "could not be made" in capsys.readouterr().err


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_other_systems_are_told_that_it_is_not_for_them(
    capsys: Capture, data: Path, monkeypatch: pytest.MonkeyPatch, platform: str
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    assert run(["desktop", "--install"], SCREEN) == 2
    assert "freedesktop.org" in capsys.readouterr().err
    assert not data.exists()


def test_the_icons_are_drawings() -> None:
    for name in ("taperlab.svg", "taperlab-bench.svg"):
        drawing = ElementTree.parse(resource("icons", name)).getroot()
        assert drawing.get("viewBox") == "0 0 64 64"
