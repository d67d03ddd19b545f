"""Keys in the tables do what they do in any spreadsheet, and what is typed stays in the table."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from taperlab.edits import rows as row_edits
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.pages.measure.page import MeasurePage
from taperlab.gui.pages.shape.columns import Col
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.model.segment import Part, Segment
from tests.gui.hands import (
    CTRL,
    ENTER,
    ESC,
    FOOT,
    NOISE,
    SHIFT,
    TAB,
    at_cell,
    cell,
    keys,
    retype,
    shape,
    status,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

F2, BACKTAB = Qt.Key.Key_F2, Qt.Key.Key_Backtab


def table(window: Window) -> SegmentTable:
    return shape(window).table


def where(window: Window) -> tuple[int, int]:
    index = table(window).currentIndex()
    return index.row(), index.column()


def segments(window: Window) -> tuple[Segment, ...]:
    line = window.document.line
    assert line is not None
    return line.segments


# -- Enter after Tab ------------------------------------------------------------------------------


def test_enter_after_tabs_goes_below_the_cell_where_they_began(window: Window) -> None:
    at_cell(window, 1, Col.LENGTH)
    keys("9 ft", TAB, "40 thou", TAB, "70 thou", ENTER)
    assert where(window) == (2, Col.LENGTH)
    keys("8 ft", TAB, "70 thou", ENTER)
    assert where(window) == (3, Col.LENGTH)
    assert [one.length / FOOT for one in segments(window)[1:3]] == pytest.approx([9.0, 8.0])


def test_tabs_back_belong_to_the_run_and_shift_enter_goes_above_its_beginning(
    window: Window,
) -> None:
    at_cell(window, 2, Col.LENGTH)
    keys(TAB, TAB)
    keys(BACKTAB, modifier=SHIFT)
    keys(ENTER, modifier=SHIFT)
    assert where(window) == (1, Col.LENGTH)


def test_who_goes_elsewhere_has_ended_the_run_of_tabs(window: Window) -> None:
    at_cell(window, 0, Col.LENGTH)
    keys(TAB, TAB, Qt.Key.Key_Down, ENTER)
    assert where(window) == (2, Col.REAR_DIAMETER)
    keys(TAB, ENTER, ENTER)  # the second Enter follows no Tab
    assert where(window) == (4, Col.REAR_DIAMETER)


def test_rows_are_typed_one_below_the_other_on_the_adding_row(window: Window) -> None:
    count = len(segments(window))
    at_cell(window, count, Col.PART)
    for length in ("11 ft", "12 ft"):
        keys("belly", TAB, length, TAB, "90 thou", ENTER)
    assert where(window) == (count + 2, Col.PART)
    assert [one.length / FOOT for one in segments(window)[count:]] == pytest.approx([11.0, 12.0])


def test_enter_after_tab_goes_below_in_the_tables_of_measure_too(sampled: Window) -> None:
    page = measure(sampled)
    page.stations.setFocus()
    page.stations.go_to(2, 1)
    keys(TAB)
    page.stations.go_to(2, 0)
    keys(TAB, ENTER)
    index = page.stations.currentIndex()
    assert (index.row(), index.column()) == (3, 0)


def measure(window: Window) -> MeasurePage:
    page = window.pages.page("measure")
    assert isinstance(page, MeasurePage)
    return page


@pytest.fixture
def sampled(window: Window) -> Window:
    window.file_menu.open_sample("measured_head.taperlab")
    window.show_page("measure")
    return window


# -- text that was refused ------------------------------------------------------------------------


def test_typing_over_refused_text_replaces_it(window: Window) -> None:
    at_cell(window, 2, Col.LENGTH)
    keys("12 x", ENTER)
    assert table(window).open_editor().bad
    keys("14 ft", ENTER)
    assert segments(window)[2].length == pytest.approx(14.0 * FOOT)
    assert table(window).open_editor() is None


def test_f2_keeps_refused_text_to_be_mended(window: Window) -> None:
    at_cell(window, 2, Col.LENGTH)
    keys("14 x", ENTER, F2, Qt.Key.Key_Backspace, "ft", ENTER)
    assert segments(window)[2].length == pytest.approx(14.0 * FOOT)


def test_a_double_click_keeps_refused_text_to_be_mended(window: Window) -> None:
    at_cell(window, 2, Col.LENGTH)
    keys("14 x", ENTER)
    editor = table(window).open_editor()
    QTest.mouseDClick(editor, Qt.MouseButton.LeftButton, pos=editor.rect().center())
    assert not editor.hasSelectedText()
    keys(Qt.Key.Key_End, Qt.Key.Key_Backspace, "ft", ENTER)
    assert segments(window)[2].length == pytest.approx(14.0 * FOOT)


def test_a_part_typed_over_a_refused_one_is_completed(window: Window) -> None:
    at_cell(window, 3, Col.PART)
    keys("bell x", ENTER, "be", ENTER)
    assert segments(window)[3].part is Part.BELLY
    assert table(window).open_editor() is None


# -- what is typed stays in the table -------------------------------------------------------------


def delete_a_row(window: Window) -> None:
    table(window).selectRow(1)
    keys(Qt.Key.Key_Delete)


def delete_all_rows(window: Window) -> None:
    keys(Qt.Key.Key_A, modifier=CTRL)
    keys(Qt.Key.Key_Delete)


def add_a_row(_window: Window) -> None:
    keys(ENTER, modifier=CTRL)


def undo_a_row(window: Window) -> None:
    delete_a_row(window)
    keys(Qt.Key.Key_Z, modifier=CTRL)


def undo_a_line(window: Window) -> None:
    """Undo shows another line than the one in hand."""
    line = window.document.line
    assert line is not None
    window.document.apply(row_edits.insert_default, line.key, 0)
    other = next(each for each in window.document.bench.lines if each is not window.document.line)
    window.document.look(line=other.key)
    keys(Qt.Key.Key_Z, modifier=CTRL)


def line_added_elsewhere(window: Window) -> None:
    window.rack.duplicate_current()


def paste_a_row(window: Window) -> None:
    at_cell(window, 4, Col.PART)
    QApplication.clipboard().setText("belly\t10\t0.09\t0.09")
    keys(Qt.Key.Key_V, modifier=CTRL)


def refuse_a_paste(_window: Window) -> None:
    QApplication.clipboard().setText("no length")
    keys(Qt.Key.Key_V, modifier=CTRL)


def press_an_arrow(_window: Window) -> None:
    keys(Qt.Key.Key_Down)


@pytest.mark.parametrize("column", [Col.PART, Col.LENGTH, Col.NOTE])
@pytest.mark.parametrize(
    "after",
    [
        add_a_row,
        delete_a_row,
        delete_all_rows,
        undo_a_row,
        undo_a_line,
        line_added_elsewhere,
        paste_a_row,
        refuse_a_paste,
        press_an_arrow,
    ],
)
def test_what_is_typed_goes_into_the_table(
    window: Window, after: Callable[[Window], None], column: Col
) -> None:
    at_cell(window, 1, column)
    after(window)
    table(window).setFocus()
    page, before = window.pages.current, window.document.bench
    keys("s3rkb5")
    editor = table(window).open_editor()
    assert editor is not None
    assert editor.text().startswith("s3rkb5")
    assert QApplication.focusWidget() is editor
    assert window.pages.current is page
    assert window.document.bench is before
    keys(ESC)


@pytest.mark.parametrize("column", list(Col))
def test_what_is_typed_on_the_adding_row_stays_there(window: Window, column: Col) -> None:
    at_cell(window, len(segments(window)), column)
    keys("sr5")
    editor = table(window).open_editor()
    assert editor is not None
    assert editor.text().startswith("sr5")
    keys(ESC)
    assert where(window) == (len(segments(window)), column)


def test_a_letter_on_a_figure_that_is_worked_out_moves_nothing(sampled: Window) -> None:
    stations = measure(sampled).stations
    stations.setFocus()
    stations.go_to(2, 3)
    shown = stations.grid.cell(6, 3).text
    keys(shown[:1], shown[:1])
    index = stations.currentIndex()
    assert (index.row(), index.column()) == (2, 3)


# -- doing again ----------------------------------------------------------------------------------


@pytest.mark.parametrize("again", [(Qt.Key.Key_Y, CTRL), (Qt.Key.Key_Z, CTRL | SHIFT)])
def test_both_keys_do_a_step_again(window: Window, again: tuple[Qt.Key, Qt.KeyboardModifier]):
    at_cell(window, 1, Col.LENGTH)
    keys("9 ft", ENTER)
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert segments(window)[1].length != pytest.approx(9.0 * FOOT)
    keys(again[0], modifier=again[1])
    assert segments(window)[1].length == pytest.approx(9.0 * FOOT)
    assert status(window).startswith("Redone")


def test_in_a_cell_that_is_typed_into_the_typing_is_done_again(window: Window) -> None:
    at_cell(window, 1, Col.LENGTH)
    keys("9 ft", ENTER)
    keys(Qt.Key.Key_Z, modifier=CTRL)
    at_cell(window, 2, Col.LENGTH)
    keys("88")
    keys(Qt.Key.Key_Z, modifier=CTRL)
    keys(Qt.Key.Key_Y, modifier=CTRL)
    assert table(window).open_editor().text() == "88"
    assert window.document.undo_stack.canRedo()
    assert cell(window, 1, Col.LENGTH) == "17' 0\""
    keys(ESC)


def test_in_a_field_with_nothing_to_do_again_it_is_the_window_s(sampled: Window) -> None:
    field = measure(sampled).line_card.length
    assert isinstance(field, QuantityEdit)
    retype(field, "31 ft", ENTER)
    keys(Qt.Key.Key_Z, modifier=CTRL)
    keys(Qt.Key.Key_Y, modifier=CTRL)
    (measured,) = sampled.document.bench.measurements
    assert measured.length == pytest.approx(31.0 * FOOT)
