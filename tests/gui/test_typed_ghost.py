"""What is typed so far shows as a ghost; cells are nudged by key and scrubbed by their grip."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from taperlab.edits.figures import Figure
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.columns import Col
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.gui.plots.ink import Ghost
from taperlab.gui.plots.line_plots import OUTLINE, RUNNING, WEIGHT_ALONG
from taperlab.gui.table.editors import PartMenu
from taperlab.gui.table.scrub import PIXELS_A_STEP, ScrubGrip
from taperlab.units.kinds import System
from tests.gui.hands import (
    CTRL,
    ENTER,
    ESC,
    FOOT,
    INCH,
    NOISE,
    SHIFT,
    at_cell,
    cell,
    click,
    drag,
    keys,
    nudge,
    shape,
    status,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

ALT = Qt.KeyboardModifier.AltModifier
UP, DOWN = Qt.Key.Key_Up, Qt.Key.Key_Down


def ghosts(page: ShapePage) -> dict[str, Ghost]:
    """The ghosts on the sheets that are painted, by the plot."""
    return {
        key: ink
        for key, panel in page.plots.panels.items()
        for ink in panel.own.inks
        if isinstance(ink, Ghost)
    }


def typed_so_far(qtbot: QtBot, page: ShapePage, text: str) -> None:
    """Type, and wait until it is looked at."""
    with qtbot.waitSignal(page.preview.changed):
        keys(text)


# -- the ghost ----------------------------------------------------------------------------------


def test_what_is_typed_into_a_cell_is_drawn_before_it_is_done(window: Window, qtbot: QtBot) -> None:
    page, document = shape(window), window.document
    before, text = document.bench, page.plots.strip.words
    at_cell(window, 2, Col.LENGTH)
    typed_so_far(qtbot, page, "14 ft")
    assert document.bench is before
    assert not document.undo_stack.count()
    assert set(ghosts(page)) == {OUTLINE, WEIGHT_ALONG, RUNNING}
    would_be = page.preview.analysis
    assert would_be.length == pytest.approx(39.0 * FOOT)
    assert ghosts(page)[RUNNING].y[-1] == pytest.approx(would_be.mass)
    assert ghosts(page)[OUTLINE].x[-1] == pytest.approx(39.0 * FOOT)
    assert page.readouts.in_window.text() == f"would be {would_be.head.mass / 64.79891e-6:.0f} gr"
    assert page.readouts.figures["length"].remark == "then 39 ft"
    assert page.readouts.weight.text() == "480 gr"
    assert page.plots.strip.words == text
    keys(ENTER)
    assert document.line == would_be.line
    assert not ghosts(page)
    assert page.preview.analysis is None
    assert page.readouts.figures["length"].value == "39 ft"
    assert page.readouts.figures["length"].remark == "11.887 m"


def test_escape_leaves_no_trace_of_a_ghost(window: Window, qtbot: QtBot) -> None:
    page, before = shape(window), window.document.bench
    shown = [(each.value, each.remark) for each in page.readouts.figures.values()]
    said = page.readouts.in_window.text()
    at_cell(window, 3, Col.REAR_DIAMETER)
    typed_so_far(qtbot, page, "0.110")
    assert ghosts(page)
    keys(ESC)
    assert not ghosts(page)
    assert window.document.bench is before
    assert not window.document.undo_stack.count()
    assert [(each.value, each.remark) for each in page.readouts.figures.values()] == shown
    assert page.readouts.in_window.text() == said


def test_nothing_is_looked_at_after_escape(window: Window) -> None:
    page = shape(window)
    at_cell(window, 3, Col.LENGTH)
    keys("9")
    pause = page.preview.findChild(QTimer)
    assert pause.isActive()
    keys(ESC)
    assert not pause.isActive()
    assert not ghosts(page)


@pytest.mark.parametrize("text", ["12 k", "-3", "1e9", "7' 0\""])
def test_what_cannot_be_done_or_changes_nothing_has_no_ghost(
    window: Window, qtbot: QtBot, text: str
) -> None:
    page = shape(window)
    at_cell(window, 3, Col.LENGTH)
    typed_so_far(qtbot, page, "8")
    assert ghosts(page)
    with qtbot.waitSignal(page.preview.changed):
        page.table.open_editor().selectAll()
        keys(text)
    assert not ghosts(page)
    assert page.readouts.in_window.text().startswith("inside the grain window")


def test_a_figure_that_is_typed_has_a_ghost_and_a_refused_one_none(
    window: Window, qtbot: QtBot
) -> None:
    page, before = shape(window), window.document.bench
    label = page.readouts.typed[Figure.WEIGHT]
    label.setFocus()
    keys(Qt.Key.Key_F2)
    typed_so_far(qtbot, page, "520")
    assert ghosts(page)[RUNNING].y[-1] == pytest.approx(520.0 * 64.79891e-6)
    assert page.readouts.in_window.text() == "would be 520 gr"
    assert window.document.bench is before
    with qtbot.waitSignal(page.preview.changed):
        keys("0000")
    assert not ghosts(page)
    label.field.selectAll()
    typed_so_far(qtbot, page, "510")
    would_be = page.preview.analysis
    keys(ENTER)
    assert window.document.line == would_be.line
    assert not ghosts(page)


def test_a_new_row_has_a_ghost(window: Window, qtbot: QtBot) -> None:
    page, before = shape(window), window.document.bench
    at_cell(window, 4, Col.LENGTH)
    typed_so_far(qtbot, page, "2 ft")
    assert len(page.preview.analysis.segments) == 5
    assert window.document.bench is before
    keys(ESC)
    assert not ghosts(page)


def test_half_a_number_shrinks_no_plot(window: Window, qtbot: QtBot) -> None:
    """A ghost makes room for itself, but only so far."""
    page = shape(window)
    panel = page.plots.panels[OUTLINE]
    before = panel.x_range
    at_cell(window, 3, Col.LENGTH)
    typed_so_far(qtbot, page, "900")
    assert panel.x_range[1] < 1.3 * before[1]
    keys(ESC)
    assert panel.x_range == before


# -- nudging a cell -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("system", "column", "step"),
    [
        (System.US, Col.LENGTH, INCH / 8.0),
        (System.US, Col.FRONT_DIAMETER, INCH / 1000.0),
        (System.US, Col.DENSITY, 5.0),
        (System.METRIC, Col.LENGTH, 0.005),
        (System.METRIC, Col.REAR_DIAMETER, 0.00001),
    ],
)
def test_alt_and_an_arrow_nudge_the_cell_as_one_step(
    make: Callable[..., Window], system: System, column: Col, step: float
) -> None:
    window = make(Preferences(system=system, theme=Theme.LIGHT, welcome_seen=True))
    document, before = window.document, window.document.bench
    name = {
        Col.LENGTH: "length",
        Col.FRONT_DIAMETER: "front_diameter",
        Col.REAR_DIAMETER: "rear_diameter",
        Col.DENSITY: "density",
    }[column]
    start = getattr(document.line.segments[2], name)
    at_cell(window, 2, column)
    nudge(UP, UP, UP, DOWN)
    assert getattr(document.line.segments[2], name) == pytest.approx(start + 2 * step, rel=1e-12)
    assert document.undo_stack.count() == 1
    index = shape(window).table.currentIndex()
    assert (index.row(), index.column()) == (2, column)
    nudge(DOWN, modifier=ALT | SHIFT)
    assert getattr(document.line.segments[2], name) < start
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.bench.lines == before.lines


def test_nudged_up_and_down_again_there_is_no_step(window: Window) -> None:
    document, before = window.document, window.document.bench
    for column in (Col.LENGTH, Col.REAR_DIAMETER, Col.WEIGHT, Col.SINK_RATE):
        at_cell(window, 3, column)
        nudge(UP, UP, DOWN, DOWN)
        assert document.bench == before
        assert not document.undo_stack.count()


def test_another_cell_or_an_undo_begins_another_run(window: Window) -> None:
    document, before = window.document, window.document.bench
    at_cell(window, 2, Col.LENGTH)
    nudge(UP)
    at_cell(window, 3, Col.LENGTH)
    nudge(UP)
    assert document.undo_stack.count() == 2
    document.undo_stack.undo()
    at_cell(window, 3, Col.LENGTH)
    nudge(UP, UP)
    assert document.undo_stack.count() == 2
    document.undo_stack.undo()
    document.undo_stack.undo()
    assert document.bench.lines == before.lines


def test_alt_down_still_opens_the_list_of_parts(window: Window) -> None:
    at_cell(window, 2, Col.PART)
    keys(DOWN, modifier=ALT)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, PartMenu)
    menu.close()
    assert not window.document.undo_stack.count()


def test_a_nudge_says_what_it_moved(window: Window) -> None:
    at_cell(window, 2, Col.WEIGHT)
    nudge(UP)
    assert "ensity of segment 3 moved" in status(window)


# -- scrubbing a cell ---------------------------------------------------------------------------


def hover(window: Window, row: int, column: int) -> ScrubGrip:
    """Point at a cell, with no button held."""
    table = shape(window).table
    at = QPointF(table.visualRect(table.segments.index(row, column)).center())
    view, none = table.viewport(), Qt.MouseButton.NoButton
    event = QMouseEvent(
        QEvent.Type.MouseMove, at, view.mapToGlobal(at), none, none, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(view, event)
    return table.grip


def test_the_grip_of_the_current_cell_scrubs_as_one_step(window: Window) -> None:
    document, before = window.document, window.document.bench
    at_cell(window, 3, Col.LENGTH)
    assert not shape(window).table.grip.isVisible()
    grip = hover(window, 3, Col.LENGTH)
    assert grip.isVisible()
    start = document.line.segments[3].length
    drag(grip, QPointF(5, 8), QPointF(8.0 * PIXELS_A_STEP, 0), steps=7)
    assert document.line.segments[3].length == pytest.approx(start + INCH)
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.bench.lines == before.lines


def test_escape_calls_a_scrub_of_a_cell_off(window: Window) -> None:
    document, before = window.document, window.document.bench
    at_cell(window, 3, Col.DENSITY)
    grip = hover(window, 3, Col.DENSITY)
    drag(grip, QPointF(5, 8), QPointF(4.0 * PIXELS_A_STEP, 0), release=False)
    assert document.bench != before
    keys(ESC)
    assert document.bench == before
    assert not document.undo_stack.count()
    QTest.mouseRelease(grip, Qt.MouseButton.LeftButton, pos=QPoint(30, 8))


def test_there_is_no_grip_where_there_is_no_number_to_scrub(window: Window) -> None:
    at_cell(window, 3, Col.LENGTH)
    assert not hover(window, 2, Col.LENGTH).isVisible()
    at_cell(window, 3, Col.PART)
    assert not hover(window, 3, Col.PART).isVisible()
    at_cell(window, 4, Col.LENGTH)
    assert not hover(window, 4, Col.LENGTH).isVisible()
    at_cell(window, 3, Col.LENGTH)
    keys("9")
    assert not hover(window, 3, Col.LENGTH).isVisible()
    keys(ESC)


def test_the_mouse_selects_cells_as_ever(window: Window) -> None:
    table, before = shape(window).table, window.document.bench
    at_cell(window, 1, Col.LENGTH)
    hover(window, 1, Col.LENGTH)
    first = QPointF(table.visualRect(table.segments.index(1, Col.LENGTH)).center())
    last = QPointF(table.visualRect(table.segments.index(3, Col.REAR_DIAMETER)).center())
    drag(table.viewport(), first, last - first)
    assert table.selected_rows() == [1, 2, 3]
    assert table.selected_columns() == [Col.LENGTH, Col.FRONT_DIAMETER, Col.REAR_DIAMETER]
    where = table.visualRect(table.segments.index(2, Col.DENSITY)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, CTRL, where)
    assert Col.DENSITY in table.selected_columns()
    click(table.viewport(), where)
    assert table.selected_columns() == [Col.DENSITY]
    assert window.document.bench is before
    assert cell(window, 2, Col.DENSITY) == "0.870"
