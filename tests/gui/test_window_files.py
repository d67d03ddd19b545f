"""The window and files: save, open, ask before leaving, drop, tables, pictures, the clipboard."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog, QMessageBox

from taperlab.edits import lines as line_edits
from taperlab.edits.values import set_length
from taperlab.files.native import read_bench, write_bench
from taperlab.files.preferences import load_preferences
from taperlab.gui.dialogs.table_import import TableImportDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.columns import Col
from taperlab.shipped import sample
from tests.gui.hands import (
    CTRL,
    FOOT,
    NOISE,
    SHIFT,
    answer,
    at_cell,
    banners,
    click,
    drop,
    keys,
    menu,
    name_file,
    open_dialog,
    problem,
    settle,
    shape,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

Buttons = QMessageBox.StandardButton


def edit(window: Window, feet: float = 12.5) -> None:
    window.document.apply(set_length, window.document.line.key, 1, feet * FOOT)
    assert window.document.is_dirty


# -- saving and opening ---------------------------------------------------------------------------


def test_save_asks_for_a_file_once_and_reopening_gives_the_same(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit(window)
    assert "Unsaved bench" in window.windowTitle()
    assert window.isWindowModified()
    name_file(monkeypatch, tmp_path / "mill pool")  # no ending
    window.setFocus()
    keys(Qt.Key.Key_S, modifier=CTRL)
    path = tmp_path / "mill pool.taperlab"
    assert path.exists()
    assert not window.isWindowModified()
    assert window.windowTitle().startswith("mill pool.taperlab")
    edit(window, 13.0)
    name_file(monkeypatch, None)
    window.menus.actions["save"].trigger()  # asks no more
    saved = window.document.bench
    window.file_menu.open_demo()
    assert window.document.path is None
    assert window.file_menu.open_path(path)
    assert window.document.bench == saved
    assert not window.document.is_dirty
    assert not window.document.undo_stack.canUndo()


def test_save_as_and_cancel(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = tmp_path / "first.taperlab", tmp_path / "second.taperlab"
    edit(window)
    name_file(monkeypatch, first)
    assert window.file_menu.save()
    edit(window, 13.0)
    name_file(monkeypatch, None)
    assert not window.file_menu.save_as()
    assert window.document.path == first
    name_file(monkeypatch, second)
    window.setFocus()
    keys(Qt.Key.Key_S, modifier=CTRL | SHIFT)
    assert window.document.path == second
    assert read_bench(first) != read_bench(second) == window.document.bench


def test_saving_takes_what_is_being_typed(window: Window, tmp_path: Path) -> None:
    assert window.file.save(tmp_path / "a.taperlab")
    at_cell(window, 1, Col.LENGTH)
    keys("12.5")
    window.menus.actions["save"].trigger()
    kept = read_bench(tmp_path / "a.taperlab").current_line.segments[1].length
    assert kept == pytest.approx(12.5 * FOOT)


def test_a_file_that_cannot_be_written_says_so_and_loses_nothing(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit(window)
    bench = window.document.bench
    name_file(monkeypatch, tmp_path / "no such folder" / "x.taperlab")
    assert not window.file_menu.save()
    assert window.document.bench is bench
    assert window.document.is_dirty
    assert any("no such folder" in each for each in banners(window))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b'{"format": "taperlab bench", "version": 999}', ""),
        (b"", "is empty"),
        (b'{"format": 3}', ""),
        (b'{"lines": [', ""),
        (b"\xff\xfe\x00\x01", ""),
        (b"[1, 2", ""),
    ],
)
def test_a_file_that_cannot_be_read_leaves_the_bench_in_hand(
    window: Window, tmp_path: Path, content: bytes, words: str
) -> None:
    bench = window.document.bench
    path = tmp_path / "torn.taperlab"
    path.write_bytes(content)
    assert not window.file_menu.open_path(path)
    assert window.document.bench is bench
    told = banners(window)
    assert len(told) == 1
    assert "torn.taperlab" in told[0]
    assert words in told[0]
    assert "Traceback" not in told[0]
    assert told[0].endswith(".")


def test_a_file_of_a_newer_format_is_refused_in_a_sentence(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "newer.taperlab"
    write_bench(window.document.bench, path)
    text = path.read_text(encoding="utf-8")
    head, _, rest = text.partition('"version": ')
    digits = rest[: len(rest) - len(rest.lstrip("0123456789"))]
    path.write_text(f'{head}"version": {int(digits) + 1}{rest[len(digits) :]}', encoding="utf-8")
    bench = window.document.bench
    assert not window.file_menu.open_path(path)
    assert window.document.bench is bench
    assert "newer" in banners(window)[0].removeprefix(str(path))


def test_a_missing_file_is_taken_off_the_recent_ones(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "gone.taperlab"
    assert window.file.save(path)
    assert str(path) in window.settings.preferences.recent_files
    path.unlink()
    assert not window.file_menu.open_path(path)
    assert "is not there" in banners(window)[0]
    assert window.settings.preferences.recent_files == ()
    assert not menu(window, "Open recent").isEnabled()


def test_recent_files_are_offered_newest_first_and_open(window: Window, tmp_path: Path) -> None:
    paths = [tmp_path / f"{i}.taperlab" for i in range(3)]
    for path in paths:
        assert window.file.save(path)
    entries = menu(window, "Open recent").actions()
    assert [entry.text() for entry in entries] == ["2.taperlab", "1.taperlab", "0.taperlab"]
    entries[1].trigger()
    assert window.document.path == paths[1]
    assert menu(window, "Open recent").actions()[0].text() == "1.taperlab"
    assert load_preferences().recent_files[0] == str(paths[1])


@pytest.mark.parametrize("name", ["scandi", "skagit", "long_belly", "single_hand"])
def test_every_sample_opens(window: Window, name: str) -> None:
    window.file_menu.open_sample(f"{name}.taperlab")
    assert window.document.path is None
    assert shape(window).readouts.weight.text().endswith(" gr")
    window.grab()


# -- before leaving -----------------------------------------------------------------------------


def test_closing_with_unsaved_edits_asks(window: Window, tmp_path: Path) -> None:
    edit(window)
    asked = answer(Buttons.Cancel)
    assert not window.close()
    assert "Save the changes to Unsaved bench?" in asked[0]
    assert window.isVisible()
    assert window.document.is_dirty
    answer(Buttons.Discard)
    assert window.close()


def test_closing_can_save(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "a.taperlab"
    assert window.file.save(path)
    edit(window)
    answer(Buttons.Save)
    assert window.close()
    assert read_bench(path).current_line.segments[1].length == pytest.approx(12.5 * FOOT)


def test_closing_stays_when_the_save_is_called_off(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    edit(window)
    name_file(monkeypatch, None)
    answer(Buttons.Save)
    assert not window.close()
    assert window.document.is_dirty


def test_closing_without_edits_asks_nothing(window: Window) -> None:
    assert window.close()


def test_a_text_being_typed_counts_as_an_edit(window: Window) -> None:
    at_cell(window, 1, Col.LENGTH)
    keys("12.5")
    asked = answer(Buttons.Discard)
    assert window.close()
    assert asked


@pytest.mark.parametrize("way", ["new", "open", "sample", "drop"])
def test_putting_another_bench_in_hand_asks_too(window: Window, tmp_path: Path, way: str) -> None:
    other = tmp_path / "other.taperlab"
    write_bench(read_bench(sample("skagit.taperlab")), other)
    edit(window)
    bench = window.document.bench
    acts: dict[str, Callable[[], object]] = {
        "new": window.menus.actions["new"].trigger,
        "open": lambda: window.file_menu.open_path(other),
        "sample": lambda: window.file_menu.open_sample("skagit.taperlab"),
        "drop": lambda: drop(window, other),
    }
    asked = answer(Buttons.Cancel)
    acts[way]()
    assert asked
    assert window.document.bench is bench
    answer(Buttons.Discard)
    acts[way]()
    assert window.document.bench is not bench
    assert not window.document.is_dirty


# -- dropping and reading in -------------------------------------------------------------------


def test_a_bench_dropped_on_the_window_opens(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "dropped.taperlab"
    write_bench(read_bench(sample("skagit.taperlab")), path)
    drop(window, path)
    assert window.document.path == path
    assert window.document.bench == read_bench(path)


PLAIN = (
    "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],note\n"
    "front taper,10,0.040,0.090,0.86,\n"
    "belly,20,0.090,0.095,0.86,thick\n"
)


def test_a_table_dropped_on_the_window_becomes_a_line_and_one_step(
    window: Window, tmp_path: Path
) -> None:
    before = window.document.bench
    path = tmp_path / "Weir pool.csv"
    path.write_text(PLAIN, encoding="utf-8")
    drop(window, path)
    assert len(window.document.bench.lines) == len(before.lines) + 1
    assert window.document.line.name == "Weir pool"
    assert window.document.line.segments[1].note == "thick"
    window.menus.actions["undo"].trigger()
    assert window.document.bench.lines == before.lines


def test_two_files_dropped_at_once(window: Window, tmp_path: Path) -> None:
    before = len(window.document.bench.lines)
    for name in ("a.csv", "b.tsv"):
        text = PLAIN.replace(",", "\t") if name.endswith("tsv") else PLAIN
        (tmp_path / name).write_text(text, encoding="utf-8")
    drop(window, tmp_path / "a.csv", tmp_path / "b.tsv")
    assert [line.name for line in window.document.bench.lines[before:]] == ["a", "b"]


def test_a_table_with_a_bad_row_says_which(window: Window, tmp_path: Path) -> None:
    bench = window.document.bench
    path = tmp_path / "bad.csv"
    path.write_text(PLAIN.replace("belly,20", "belly,long"), encoding="utf-8")
    drop(window, path)
    assert window.document.bench is bench
    told = banners(window)[0]
    assert "bad.csv" in told
    assert "row 3" in told
    assert "length" in told
    assert "long" in told


UNCLEAR = (
    "what,how long,thick front,thick rear,heavy\nbelly,20,0.09,0.095,0.86\ntip,1,0.05,0.05,0.9\n"
)


def test_an_unclear_table_is_previewed_and_decided_on(window: Window, tmp_path: Path) -> None:
    before = window.document.bench
    path = tmp_path / "unclear.csv"
    path.write_text(UNCLEAR, encoding="utf-8")
    drop(window, path)
    dialog = open_dialog(window, TableImportDialog)
    assert window.document.bench is before
    assert not dialog.accept_button.isEnabled()
    assert problem(dialog).text()
    wanted = (
        ("part", None),
        ("length", "ft"),
        ("front diameter", "in"),
        ("rear diameter", "in"),
        ("density", "g/cm³"),
    )
    for meaning_box, unit_box, (meaning, unit) in zip(
        dialog.meanings, dialog.units, wanted, strict=True
    ):
        meaning_box.setCurrentIndex(meaning_box.findText(meaning))
        if unit:
            unit_box.setCurrentIndex(unit_box.findText(unit))
    assert dialog.accept_button.isEnabled(), problem(dialog).text()
    click(dialog.accept_button)
    settle()
    line = window.document.line
    assert line.name == "unclear"
    assert [one.length for one in line.segments] == pytest.approx([20 * FOOT, FOOT])
    assert line.segments[0].density == pytest.approx(860.0)
    window.menus.actions["undo"].trigger()
    assert window.document.bench.lines == before.lines


def test_a_preview_called_off_changes_nothing(window: Window, tmp_path: Path) -> None:
    before = window.document.bench
    path = tmp_path / "unclear.csv"
    path.write_text(UNCLEAR, encoding="utf-8")
    assert window.file_menu.import_path(path)
    open_dialog(window, TableImportDialog).reject()
    settle()
    assert window.document.bench is before


def test_a_line_written_as_a_table_comes_back(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out.csv"
    name_file(monkeypatch, path)
    window.menus.actions["export"].trigger()
    text = path.read_text(encoding="utf-8")
    assert text.startswith("part,length [")
    first = window.document.line
    name_file(monkeypatch, path)
    window.menus.actions["import"].trigger()
    again = window.document.line
    assert again is not first
    assert len(again.segments) == len(first.segments)
    for one, other in zip(first.segments, again.segments, strict=True):
        assert other.part is one.part
        assert other.length == pytest.approx(one.length, rel=1e-3)
        assert other.front_diameter == pytest.approx(one.front_diameter, rel=1e-3)


# -- pictures and the clipboard ----------------------------------------------------------------


def test_plots_saved_as_png_and_svg(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_file(monkeypatch, tmp_path / "plots.png")
    window.menus.actions["export_plots"].trigger()
    image = QImage(str(tmp_path / "plots.png"))
    assert image.width() > 800
    colours = {image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, 400, 7)}
    assert len(colours) > 10
    name_file(monkeypatch, tmp_path / "plots", "SVG drawing (*.svg)")
    window.menus.actions["export_plots"].trigger()
    root = ElementTree.parse(tmp_path / "plots.svg").getroot()
    assert root.tag.endswith("svg")
    assert window.document.line.name in "".join(root.itertext())


def test_a_picture_that_cannot_be_written_says_so(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_file(monkeypatch, tmp_path / "no such folder" / "plots.png")
    window.menus.actions["export_plots"].trigger()
    assert "no such folder" in banners(window)[0]


def test_readouts_copied_as_text_and_as_a_table(window: Window) -> None:
    readouts = shape(window).readouts
    window.menus.actions["copy_readouts"].trigger()
    text = QApplication.clipboard().text()
    assert f"Line: {window.document.line.name}" in text
    assert f"Head weight: {readouts.weight.text()}" in text
    assert f"Ratio: {readouts.figures['ratio'].value}" in text
    window.menus.actions["copy_readouts_table"].trigger()
    rows = [line.split("\t") for line in QApplication.clipboard().text().splitlines()]
    assert {len(row) for row in rows} == {3}
    assert ["Head weight", readouts.weight.text(), readouts.in_window.text()] in rows
    window.menus.actions["copy_plots"].trigger()
    assert not QApplication.clipboard().image().isNull()


def test_every_command_of_the_menus_can_be_chosen_on_an_empty_bench(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None may raise, whatever is there to act on."""
    name_file(monkeypatch, None)
    for line in window.document.bench.lines:
        window.rack.pick(line)
        window.rack.delete_current()
    assert window.document.line is None
    modal = {"print", "preview", "close"}
    for name, action in window.menus.actions.items():
        if name in modal or not action.isEnabled():
            continue
        answer(lambda box: box.reject())
        action.trigger()
        for dialog in window.findChildren(QDialog):
            dialog.reject()
        settle()
        window.document.undo_stack.setClean()
    assert window.isVisible()


def test_saving_over_a_file_that_changed_meanwhile_asks_first(
    make: Callable[..., Window], tmp_path: Path
) -> None:
    path = tmp_path / "shared.taperlab"
    first = make()
    assert first.file.save(path)
    theirs = path.read_bytes().replace(b"Scandi", b"Skandi", 1)
    path.write_bytes(theirs)
    first.rack.duplicate_current()
    asked = answer(QMessageBox.StandardButton.Cancel)
    assert not first.file_menu.save()
    assert "has changed on disk" in asked[0]
    assert path.read_bytes() == theirs
    answer(QMessageBox.StandardButton.Save)
    assert first.file_menu.save()
    assert path.read_bytes() != theirs
    assert not first.document.is_dirty
    # What this window wrote itself is no change.
    first.rack.duplicate_current()
    assert first.file_menu.save()


def test_a_name_gets_its_ending_and_a_file_that_has_it_by_then_is_kept(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "head 2.5.csv"
    kept.write_text("mine", encoding="utf-8")
    name_file(monkeypatch, tmp_path / "head 2.5")
    asked = answer(QMessageBox.StandardButton.No)
    window.file_menu.choose_and_export()
    assert "head 2.5.csv" in asked[0]
    assert kept.read_text(encoding="utf-8") == "mine"
    answer(QMessageBox.StandardButton.Yes)
    window.file_menu.choose_and_export()
    assert kept.read_text(encoding="utf-8").startswith("part,")


def test_names_are_offered_that_a_file_can_have(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered = []
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *given: (offered.append(given[2]), ("", ""))[1]
    )
    line = window.document.line
    window.document.apply(line_edits.rename_line, line.key, "13/14: weir?")
    window.file_menu.choose_and_export()
    window.file_menu.choose_and_export_plots()
    assert [Path(each).name for each in offered] == ["13-14- weir-.csv", "13-14- weir-.png"]


def test_a_file_is_looked_for_where_the_last_one_was(
    window: Window, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked: list[Path] = []

    def answer(_parent: object, _title: str, start: str, *_: object) -> tuple[str, str]:
        asked.append(Path(start))
        return str(tmp_path / "tip.csv"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", answer)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", answer)
    assert window.document.path is None
    window.menus.actions["export"].trigger()
    window.menus.actions["import"].trigger()
    window.menus.actions["export"].trigger()
    assert asked[1] == tmp_path
    assert asked[2].parent == tmp_path


def test_a_start_looks_for_files_where_the_last_bench_was(
    make: Callable[..., Window], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "named.taperlab"
    write_bench(read_bench(sample("scandi.taperlab")), path)
    make().file_menu.open_path(path)
    window, asked = make(load_preferences()), []
    monkeypatch.setattr(
        QFileDialog, "getOpenFileName", lambda *all: asked.append(all[2]) or ("", "")
    )
    window.menus.actions["open"].trigger()
    assert asked == [str(tmp_path)]


def test_a_table_of_stock_that_is_opened_goes_to_the_shelf(window: Window, tmp_path: Path) -> None:
    """With semicolons and decimal commas, as one step; one that is wrong says where."""
    file = tmp_path / "shelf.csv"
    text = "name;kind;length [m];front diameter [mm];label [g/m]\nSpule;level;30,5;2,02;3,050\n"
    file.write_text(text, encoding="utf-8")
    before = window.document.bench.stock
    assert window.open_file(file)
    (added,) = window.document.bench.stock[len(before) :]
    assert added.length == pytest.approx(30.5)
    assert added.labelled == pytest.approx(3.05e-3)
    assert window.pages.current is window.pages.page("pieces")
    window.document.undo_stack.undo()
    assert window.document.bench.stock == before
    file.write_text(text.replace("2,02", "2,02 g"), encoding="utf-8")
    assert not window.open_file(file)
    assert "row 2, column “front diameter [mm]”" in banners(window)[-1]
    assert window.document.bench.stock == before
