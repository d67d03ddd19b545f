"""The Range page by keys and mouse: made, switched, edited by hand, followed, printed, written."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog
from pytestqt.qtbot import QtBot

from taperlab.cli import Screen, run
from taperlab.files.native import write_bench
from taperlab.gui.dialogs.rename import RenameDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.range.members import LENGTH_AT, LETTER, ROD_AT, WEIGHT_AT
from taperlab.gui.pages.range.page import RangePage
from taperlab.gui.pages.range.plots import DIFFERENCE, Badges
from taperlab.gui.paper.export import write_pdf
from taperlab.gui.paper.layout.pages import page_layout
from taperlab.gui.plots.line_plots import WEIGHT_ALONG
from taperlab.model.range import LengthRule, ThicknessRule
from taperlab.shop.range.study import study_now
from taperlab.units.kinds import System
from tests.cli.test_command_line import no_drawing, no_sheet, no_window
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    TAB,
    button,
    click,
    keys,
    open_dialog,
    retype,
    settled,
    status,
    type_into,
    without_view,
)
from tests.gui.reading import read_back

pytestmark = pytest.mark.qt_log_ignore(NOISE)

SIX = (400.0, 430.0, 460.0, 500.0, 550.0, 610.0)
RODS = (12.0, 12.5, 13.0, 13.5, 14.0, 15.0)


def range_page(window: Window) -> RangePage:
    window.show_page("range")
    page = window.pages.page("range")
    assert isinstance(page, RangePage)
    settled(page.case)
    return page


@pytest.fixture
def page(window: Window) -> RangePage:
    """Six members of the demo head, typed into the card at the right."""
    page = range_page(window)
    retype(page.asked.weights, "400, 430 460 500,550, 610")
    retype(page.asked.rods, "12' 12'6 13' 13'6 14' 15'")
    click(page.asked.button)
    settled(page.case)
    return page


def cell(page: RangePage, row: int, column: int) -> str:
    return page.table.grid.cell(row, column).text


def press(page: RangePage, row: int, column: int) -> None:
    index = page.table.grid.index(row, column)
    place = page.table.visualRect(index).center()
    QTest.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=place)


def edit_by_hand(page: RangePage, row: int, length: str) -> None:
    """Give the last segment of a member another length, typed into its segments."""
    press(page, row, WEIGHT_AT)
    click(page.by_hand)
    last = page.segment_table.grid.count - 1
    page.segment_table.go_to(last, 1)
    keys(length, ENTER)
    settled(page.case)


# -- made, followed, edited by hand, printed -------------------------------------------------------


def test_six_members_are_made_and_weigh_what_was_typed(page: RangePage) -> None:
    study = page.case.study
    assert study is not None
    assert [each.mass / GRAIN for each in study.members] == pytest.approx(SIX, abs=0.05)
    assert [each.rod / FOOT for each in study.members] == pytest.approx(RODS)
    assert [cell(page, row, WEIGHT_AT) for row in range(6)] == [
        *("400.0", "430.0", "460.0", "500.0", "550.0", "610.0"),
    ]
    assert cell(page, 6, WEIGHT_AT) == "Add…"
    # The demo head is 37 ft on a rod of 13 ft; lengths follow the rod.
    for each, rod in zip(study.members, RODS, strict=True):
        assert each.length / FOOT == pytest.approx(37.0 * rod / 13.0, rel=0.01)
    assert page.asked.weights.text() == "400, 430, 460, 500, 550, 610"
    assert page.asked.rods.text() == "12', 12' 6\", 13', 13' 6\", 14', 15'"
    assert not page.asked.button.isVisible()


def test_one_edited_by_hand_stops_following_and_says_so_and_the_others_follow(
    page: RangePage, window: Window
) -> None:
    edit_by_hand(page, 4, "8 ft 6 in")
    assert page.own.text() == "E was edited by hand and no longer follows the parent."
    keys(Qt.Key.Key_Z, modifier=CTRL)
    settled(page.case)
    assert not page.case.range.members[4].own
    keys(Qt.Key.Key_Y, modifier=CTRL)
    settled(page.case)
    click(page.back)
    before = page.case.study
    assert before is not None
    assert [each.by_hand for each in before.members] == [False] * 4 + [True, False]
    assert "edited by hand" in page.table.grid.spoken(4, LETTER)
    assert any("E was edited by hand" in label.text() for label in page.remarks.labels)
    # Now the parent is edited on the page Shape: its belly is made longer.
    window.show_page("shape")
    type_into(window, 3, 1, "9 ft")
    range_page(window)
    after = page.case.study
    assert after is not None
    for old, new in zip(before.members, after.members, strict=True):
        if new.by_hand:
            assert new.line.segments == old.line.segments
            assert new.mass == old.mass
        else:
            assert new.length > old.length * 1.02
            assert new.mass == pytest.approx(old.mass, abs=0.5 * GRAIN)
    # It follows again when it is told to.
    press(page, 4, WEIGHT_AT)
    click(page.follow)
    settled(page.case)
    again = page.case.study
    assert again is not None
    assert not again.members[4].by_hand
    assert again.members[4].mass == pytest.approx(550 * GRAIN, abs=0.5 * GRAIN)


def test_members_are_printed_as_they_are_built(page: RangePage, tmp_path: Path) -> None:
    edit_by_hand(page, 4, "8 ft 6 in")
    sheet = page.sheet()
    target = tmp_path / "range.pdf"
    write_pdf(sheet, target, page_layout(System.US), System.US)
    words = read_back(target)
    study = page.case.study
    assert study is not None
    for each in study.members:
        assert f"{each.mass / GRAIN:.1f} gr" in words
        assert f"{each.letter}, " in words
    assert "E, edited by hand, segments from the fly end" in words
    assert "8 ft 6 in" in words
    assert "an overloaded rod can break" in words
    assert "keeps the ratio, 2.85" in words
    assert "Blades" in words or "blade" in words


def test_print_sends_the_table_to_a_printer(
    page: RangePage, window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "printed.pdf"

    def accept(dialog: QPrintDialog) -> QDialog.DialogCode:
        printer: QPrinter = dialog.printer()
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(target))
        names.append(printer.docName())
        return QDialog.DialogCode.Accepted

    names: list[str] = []
    monkeypatch.setattr(QPrintDialog, "exec", accept)
    click(page.make.print_button)
    # Not that of the line: its own sheet is printed to a file of that name.
    assert names == [page.case.range.name]
    assert "400.0 gr" in read_back(target)
    assert "Sent the sheet" in status(window)


def test_weights_are_suggested_in_the_units_that_are_shown(window: Window) -> None:
    page = range_page(window)
    field = page.asked.weights
    for system in (System.METRIC, System.US):
        page.place.settings.use_system(system)
        suggested = field.placeholderText()
        retype(field, suggested)
        asked = [each / GRAIN for each in field.values() or ()]
        assert len(asked) == 3
        assert all(450.0 < each < 560.0 for each in asked), (system, asked)
        field.clear()


# -- two doors -------------------------------------------------------------------------------------


def test_the_window_and_the_command_line_tell_the_same_members(
    page: RangePage, window: Window, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit_by_hand(page, 2, "8 ft")
    file = tmp_path / "bench.taperlab"
    write_bench(window.document.bench, file)
    screen = Screen(no_window, no_drawing, no_sheet, no_sheet)
    name = page.case.range.name
    assert run(["range", str(file), "--range", name, "--json"], screen) == 0
    told = json.loads(capsys.readouterr().out)["members"]
    study = page.case.study
    assert study is not None
    assert len(told) == len(study.members) == 6
    for one, other in zip(told, study.members, strict=True):
        assert one["weight_gr"] == pytest.approx(other.mass / GRAIN, rel=1e-9)
        assert one["length_ft"] == pytest.approx(other.length / FOOT, rel=1e-9)
        assert one["balance_point_ft"] == pytest.approx(other.balance_point / FOOT, rel=1e-9)
        assert one["thickest_in"] == pytest.approx(other.thickest / INCH, rel=1e-9)
        assert one["by_hand"] == other.by_hand
    # And as it was typed there, without the bench's own range.
    arguments = ["range", str(file), "--weights", "400, 430, 460, 500, 550, 610", "--json"]
    arguments.append("--buildable")
    assert run([*arguments, "--rods", "12' 12'6 13' 13'6 14' 15'"], screen) == 0
    plain = json.loads(capsys.readouterr().out)["members"]
    for i in (0, 1, 3, 4, 5):
        assert plain[i]["segments"] == told[i]["segments"]


# -- typing ----------------------------------------------------------------------------------------


def test_weights_and_rods_are_typed_into_the_table(page: RangePage) -> None:
    press(page, 1, WEIGHT_AT)
    keys("440", ENTER)
    settled(page.case)
    assert page.case.range.members[1].mass == pytest.approx(440 * GRAIN)
    press(page, 1, ROD_AT)
    keys("13'", ENTER)
    settled(page.case)
    assert page.case.range.members[1].rod == pytest.approx(13 * FOOT)
    assert cell(page, 1, ROD_AT) == "13' 0\""
    assert page.asked.weights.text() == "400, 440, 460, 500, 550, 610"
    # One more, in the row that adds.
    page.table.setFocus()
    page.table.go_to(6, WEIGHT_AT)
    keys("640", ENTER)
    settled(page.case)
    assert len(page.case.range.members) == 7
    assert page.title.text() == "7 members"
    # And out again.
    press(page, 6, LENGTH_AT)
    keys(Qt.Key.Key_Delete)
    settled(page.case)
    assert len(page.case.range.members) == 6


@pytest.mark.parametrize(
    ("text", "part"), [("abc", "abc"), ("50000", "heavier than any fly line"), ("0", "is zero")]
)
def test_a_cell_that_cannot_be_used_says_why_and_keeps_the_old_value(
    page: RangePage, text: str, part: str
) -> None:
    before = page.case.range
    press(page, 0, WEIGHT_AT)
    keys(text, ENTER)
    editor = page.table.open_editor()
    assert editor is not None
    assert part in editor.sentence
    keys(Qt.Key.Key_Escape)
    assert page.case.range == before


def test_a_list_that_cannot_be_read_says_why_below_and_changes_nothing(page: RangePage) -> None:
    before = page.case.range
    retype(page.asked.weights, "400, nonsense", ENTER)
    assert "nonsense" in page.asked.weights.problem.text()
    assert page.case.range == before
    retype(page.asked.weights, "from 400 to 500 by 50", ENTER)
    assert "3 weights and 6 rods" in page.asked.weights.problem.text()
    retype(page.asked.rods, "13'")
    keys(TAB)
    settled(page.case)
    assert page.asked.weights.problem.text() == ""
    study = page.case.study
    assert study is not None
    assert [each.mass / GRAIN for each in study.members] == pytest.approx([400, 450, 500], abs=0.5)
    assert [each.rod / FOOT for each in study.members] == pytest.approx([13.0] * 3)


def test_undo_in_a_field_is_the_window_s_once_the_bench_has_its_list(page: RangePage) -> None:
    retype(page.asked.rods, "13'", ENTER)
    settled(page.case)
    before = page.case.range
    retype(page.asked.weights, "from 400 to 500 by 50", ENTER)
    settled(page.case)
    assert page.asked.weights.hasFocus()
    assert page.asked.weights.text() == "400, 450, 500"
    keys(Qt.Key.Key_Z, modifier=CTRL)
    settled(page.case)
    assert page.case.range == before
    assert page.asked.weights.text() == "400, 430, 460, 500, 550, 610"
    # While something is typed it is the field's.
    keys("7")
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert page.case.range == before
    assert page.asked.weights.text() == "400, 430, 460, 500, 550, 610"


def test_the_parent_s_rod_is_another_than_the_one_chosen(page: RangePage) -> None:
    retype(page.asked.own_rod, "14 ft", ENTER)
    settled(page.case)
    study = page.case.study
    assert study is not None
    assert study.members[4].length / FOOT == pytest.approx(37.0, rel=0.01)
    assert study.parent.ratio == pytest.approx(37.0 / 14.0)


def test_segments_typed_by_hand_keep_ends_that_meet_together(page: RangePage) -> None:
    press(page, 0, WEIGHT_AT)
    click(page.by_hand)
    table = page.segment_table
    table.go_to(2, 3)
    keys(".1", ENTER)
    settled(page.case)
    own = page.case.member.line.segments
    assert own[2].rear_diameter == own[3].front_diameter == pytest.approx(0.1 * INCH)
    table.go_to(0, 1)
    keys("never", ENTER)
    editor = table.open_editor()
    assert editor is not None
    assert "never" in editor.sentence
    keys(Qt.Key.Key_Escape)


# -- switches --------------------------------------------------------------------------------------


def test_the_switches_are_turned_by_keys_and_say_what_they_keep(page: RangePage) -> None:
    rules = page.rules
    rules.lengths[LengthRule.ROD].setFocus()
    keys(Qt.Key.Key_Up)
    settled(page.case)
    assert page.case.range.length is LengthRule.SAME
    study = page.case.study
    assert study is not None
    assert all(each.length == pytest.approx(37 * FOOT, abs=0.002) for each in study.members)
    click(rules.thicknesses[ThicknessRule.SHAPE], QPoint(8, 8))
    settled(page.case)
    assert page.case.range.thickness is ThicknessRule.SHAPE
    click(rules.lengths[LengthRule.WEIGHT], QPoint(8, 8))
    settled(page.case)
    assert not rules.thicknesses[ThicknessRule.SHAPE].isEnabled()
    said = {rule: rules.lengths[rule].accessibleDescription() for rule in LengthRule}
    assert said[LengthRule.ROD].startswith("keeps the ratio, 2.85")
    assert "every diameter" in said[LengthRule.WEIGHT]


def test_rounding_is_switched_off_and_on_and_says_to_what(page: RangePage) -> None:
    assert page.rules.rounds.isChecked()
    assert page.rules.rounds.accessibleDescription() == "Rounded to 1/8 in and 0.001 in."
    for each in page.case.study.members:
        assert each.thickest / INCH * 1000.0 == pytest.approx(round(each.thickest / INCH * 1000.0))
    click(page.rules.rounds, QPoint(8, 8))
    settled(page.case)
    assert not page.case.range.is_rounded
    plain = page.case.study.members
    assert [each.mass / GRAIN for each in plain] == pytest.approx(SIX, rel=1e-12)
    click(page.rules.rounds, QPoint(8, 8))
    settled(page.case)
    assert page.case.range.is_rounded


# -- drawn -----------------------------------------------------------------------------------------


def test_curves_are_laid_over_with_letters_that_keep_apart(page: RangePage, qtbot: QtBot) -> None:
    above, below = page.plots.chart.plots
    assert (above.key, below.key) == (WEIGHT_ALONG, DIFFERENCE)
    (badges,) = (ink for ink in above.own if isinstance(ink, Badges))
    assert badges.letters == ("A", "B", "C", "D", "E", "F")
    assert len({(ink.colour, ink.dash) for ink in below.own}) == 6
    for masses in ("400 430 460 500 550 610", "from 400 to 630 by 10"):
        retype(page.asked.rods, "13'")
        retype(page.asked.weights, masses, ENTER)
        settled(page.case)
        names = page.plots.panels[WEIGHT_ALONG].over.names
        rooms = [name.where for name in names]
        for i, one in enumerate(rooms):
            assert not any(one.intersects(other) for other in rooms[:i])
    study = page.case.study
    assert study is not None
    # What is below is the member's less the parent's, at the same place.
    first, last = below.own[0], below.own[-1]
    assert abs(float(first.y[0])) < 1e-9
    assert float(last.y.max()) < max(each.thickest_linear_density for each in study.members)


def test_the_member_looked_at_is_drawn_stronger(page: RangePage) -> None:
    press(page, 3, LENGTH_AT)
    strong = [ink for ink in page.plots.chart.plots[1].own if ink.width > 1.0]
    assert [ink.colour for ink in strong] == [page.case.style(3)[0]]


# -- laid on the bench, saved, written ------------------------------------------------------------


def test_all_members_are_put_on_the_bench_as_lines(page: RangePage, window: Window) -> None:
    before = window.document.bench
    click(page.make.lay)
    after = window.document.bench
    added = after.lines[len(before.lines) :]
    assert len(added) == 6
    assert [line.name[-2:] for line in added] == [" A", " B", " C", " D", " E", " F"]
    assert window.document.line is not None
    assert window.document.line.key == before.lines[0].key
    assert "6 members" in status(window)
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert without_view(window.document.bench) == without_view(before)


def test_the_table_is_saved_as_csv_and_copied(
    page: RangePage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "members"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    click(page.make.csv)
    with (tmp_path / "members.csv").open(encoding="utf-8", newline="") as stream:
        heading, *rows = csv.reader(stream)
    assert heading[1] == "weight [gr]"
    assert [float(row[1]) for row in rows] == pytest.approx(SIX, abs=0.5)
    click(page.copy_button)
    lines = QApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[:2] == ["member", "weight [gr]"]
    assert len(lines) == 7


def test_a_folder_of_sheets_is_written_beside_the_window(
    page: RangePage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "sheets"
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(folder))
    retype(page.asked.rods, "13'")
    retype(page.asked.weights, "450, 480", ENTER)
    settled(page.case)
    shares: list[float] = []
    page.place.jobs.progress.connect(lambda lane, share: shares.append(share))
    click(page.make.sheets)
    assert page.make.is_writing
    page.place.jobs.settle()
    assert not page.make.is_writing
    name = page.case.range.name
    assert {path.name for path in folder.iterdir()} == {
        *(f"{name}{rest}" for rest in (".csv", ".pdf", " A.pdf", " B.pdf")),
    }
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)
    assert "3 sheets in" in page.make.said.text()
    assert "450.0 gr" in read_back(folder / f"{name} A.pdf")


def test_writing_sheets_can_be_cancelled(page: RangePage, tmp_path: Path) -> None:
    page.make.write_sheets(tmp_path / "sheets")
    assert page.make.is_writing
    click(page.make.cancel)
    assert not page.make.is_writing
    page.place.jobs.settle()
    assert "Stopped" in page.make.said.text()
    assert page.make.sheets.isEnabled()
    assert len(list(tmp_path.glob("sheets/*.pdf"))) < 7


def test_a_folder_that_cannot_be_made_is_told_of(page: RangePage, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    page.make.write_sheets(tmp_path / "file" / "sheets")
    page.place.jobs.settle()
    assert "could not be made" in page.make.said.text()


# -- several ranges, none, and what can't be graded ---------------------------------------------


def test_another_range_is_begun_chosen_and_deleted(page: RangePage, window: Window) -> None:
    click(page.asked.new)
    assert page.asked.is_new
    assert page.asked.weights.text() == ""
    retype(page.asked.weights, "480", ENTER)
    settled(page.case)
    assert len(window.document.bench.ranges) == 2
    assert page.title.text() == "1 member"
    page.asked.range_box.setFocus()
    keys(Qt.Key.Key_Up)
    settled(page.case)
    assert page.title.text() == "6 members"
    click(page.asked.delete)
    settled(page.case)
    assert page.title.text() == "1 member"
    click(page.asked.delete)
    settled(page.case)
    assert window.document.bench.ranges == ()
    assert page.case.study is None
    assert not page.listed.isVisible()
    assert page.asked.button.isVisible()


def test_a_range_is_renamed_and_the_name_taken_back(page: RangePage, window: Window) -> None:
    (before,) = window.document.bench.ranges
    click(page.asked.rename)
    dialog = open_dialog(window, RenameDialog)
    assert isinstance(dialog, RenameDialog)
    retype(dialog.name, "Alder, six weights", ENTER)
    (after,) = window.document.bench.ranges
    assert after.name == "Alder, six weights"
    assert page.asked.range_box.currentText() == "Alder, six weights"
    window.document.undo_stack.undo()
    assert window.document.bench.ranges == (before,)


def test_a_bench_without_a_head_makes_no_range(window: Window) -> None:
    window.file_menu.new_bench()
    page = range_page(window)
    assert not page.asked.button.isEnabled()
    assert "A range is one head" in page.plots.chart.empty
    assert "no range on this bench" in str(page.sheet())


def test_what_cannot_be_made_says_why_in_its_row_and_beside(page: RangePage) -> None:
    retype(page.asked.rods, "13'")
    retype(page.asked.weights, "50, 480", ENTER)
    settled(page.case)
    grid = page.table.grid
    assert grid.cell(0, len(grid.headings) - 1).text == "can’t be made"
    assert "With its fly end held" in grid.cell(0, LENGTH_AT).tip
    assert any("can’t be made" in label.text() for label in page.remarks.labels)


def test_columns_that_have_no_room_are_named(make: Callable[..., Window]) -> None:
    window = make()
    window.file_menu.open_sample("range.taperlab")
    window.resize(1024, 700)
    page = range_page(window)
    assert "Balance" in page.less.text()
    window.resize(1920, 1080)
    QApplication.processEvents()
    assert page.less.text() == ""


def test_the_sample_tells_of_one_edited_by_hand(window: Window) -> None:
    window.file_menu.open_sample("range.taperlab")
    page = range_page(window)
    study = page.case.study
    assert study is not None
    assert [each.by_hand for each in study.members] == [False] * 4 + [True, False]
    again = study_now(study.question)
    assert [each.mass for each in again.members] == [each.mass for each in study.members]
    assert button(page, "Follow the parent again") is page.follow
    assert not page.follow.isVisible()
    page.table.setFocus()
    page.table.go_to(4, WEIGHT_AT)
    assert page.follow.isVisible()


def test_units_are_followed(page: RangePage) -> None:
    page.place.settings.use_system(System.METRIC)
    assert cell(page, 0, WEIGHT_AT) == "25.92"
    assert page.asked.weights.text().startswith("25.92, 27.86")
    press(page, 0, WEIGHT_AT)
    keys("26.5", ENTER)
    settled(page.case)
    assert page.case.range.members[0].mass == pytest.approx(0.0265)
    page.place.settings.use_system(System.US)
