"""What stands beside and below the segment table, and what is seen of it in a small window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtWidgets import QApplication, QWidget

from taperlab.edits.values import set_joint
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.segment_looks import StartsHeading
from taperlab.gui.pages.shape.totals import Totals
from taperlab.gui.table.editors import Bubble
from taperlab.model.line import Joint, JointKind
from tests.gui.hands import (
    CTRL,
    ENTER,
    GRAIN,
    NOISE,
    TAB,
    at_cell,
    cell,
    keys,
    settle,
    shape,
    type_into,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

VERTICAL = Qt.Orientation.Vertical
TIP, SAID = Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole


def totals(window: Window) -> Totals:
    return shape(window).totals


def heard(window: Window) -> str:
    interface = QAccessible.queryAccessibleInterface(totals(window))
    assert interface.role() == QAccessible.Role.StaticText
    return interface.text(QAccessible.Text.Name)


# -- totals ---------------------------------------------------------------------------------------


def test_the_totals_are_of_the_whole_line_and_say_what_they_include(window: Window) -> None:
    rows = sum(float(cell(window, row, Col.WEIGHT)) for row in range(4))
    text = totals(window).text()
    assert "37 feet" in text
    # Loops of 2 in. folded back and half a grain of glue each, as the sample has them.
    loops = float(text.partition("with loops ")[2].partition(" gr")[0])
    whole = float(text.partition(" grains")[0].rpartition(" ")[2])
    assert whole == pytest.approx(rows + loops, abs=0.3)
    assert loops > 1.0
    assert heard(window) == text == totals(window).toolTip()


def test_the_totals_follow_an_edit_and_the_units_and_name_joints(window: Window) -> None:
    type_into(window, 1, Col.LENGTH, "20 ft")
    assert "40 feet" in heard(window)
    line = window.document.line
    assert line is not None
    welded = Joint(JointKind.BUTT_WELD, mass=2.0 * GRAIN)
    before = window.document.analysis().fittings_mass
    window.document.apply(set_joint, line.key, 1, welded)
    assert "with loops and joints" in heard(window)
    assert window.document.analysis().fittings_mass - before == pytest.approx(2.0 * GRAIN)
    keys(Qt.Key.Key_U, modifier=CTRL)
    assert "12.192 metres" in heard(window)
    assert " grams" in heard(window)


def test_the_totals_stand_under_their_columns_however_far_the_table_is_scrolled(
    window: Window,
) -> None:
    window.resize(1024, 700)
    settle()
    table, below = shape(window).table, totals(window)
    bar = table.horizontalScrollBar()
    assert bar.maximum() > 0
    seen = []
    for scrolled in (0, bar.maximum()):
        bar.setValue(scrolled)
        for column in (Col.LENGTH, Col.WEIGHT):
            box = table.visualRect(table.segments.index(2, column))
            if not table.viewport().rect().contains(box):
                continue
            seen.append((scrolled > 0, column))
            left = below.mapFromGlobal(table.viewport().mapToGlobal(box.topLeft())).x()
            under = QRect(left, 2, box.width(), below.height() - 2)
            # Figures stand under each other: they end where those above end, but for a digit's own.
            assert ends(below, under) == pytest.approx(ends(table.viewport(), box), abs=3)
    assert {Col.LENGTH, Col.WEIGHT} == {column for _, column in seen}
    assert {scrolled for scrolled, _ in seen} == {False, True}


def ends(widget: QWidget, box: QRect) -> int:
    """How far from the left of a box its last dark dot lies [px]."""
    image = QImage(widget.size(), QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    widget.render(image)
    return max(
        x
        for x in range(box.width())
        for y in range(2, box.height() - 2)
        if image.pixelColor(box.left() + x, box.top() + y).lightness() < 110
    )


def test_the_totals_are_no_row_to_be_typed_into_or_copied(window: Window) -> None:
    assert totals(window).focusPolicy() == Qt.FocusPolicy.NoFocus
    at_cell(window, 0, Col.PART)
    keys(Qt.Key.Key_A, modifier=CTRL)
    keys(Qt.Key.Key_C, modifier=CTRL)
    assert len(QApplication.clipboard().text().splitlines()) == 4


def test_a_bench_without_lines_has_no_totals(window: Window) -> None:
    window.file_menu.new_bench()
    settle()
    for _ in window.document.bench.lines:
        window.rack.delete_current()
    assert totals(window).text() == ""
    totals(window).grab()


# -- where rows begin -----------------------------------------------------------------------------


def begins(window: Window) -> list[str]:
    return list(shape(window).table.segments.starts)


def test_each_row_says_where_it_begins(window: Window) -> None:
    assert begins(window) == ["0' 0\"", "1' 0\"", "18' 0\"", "30' 0\""]
    header = shape(window).table.verticalHeader()
    assert header.starts_width > 0
    type_into(window, 1, Col.LENGTH, "10 ft")
    assert begins(window) == ["0' 0\"", "1' 0\"", "11' 0\"", "23' 0\""]
    model = shape(window).table.segments
    assert model.headerData(2, VERTICAL, TIP) == "Begins 11 ft from the fly end"
    assert model.headerData(2, VERTICAL, SAID) == "Segment 3, from 11 feet"
    assert model.headerData(4, VERTICAL, TIP) is None
    keys(Qt.Key.Key_U, modifier=CTRL)
    assert begins(window) == ["0.000", "0.305", "3.353", "7.010"]


def test_where_rows_begin_is_repainted(window: Window) -> None:
    header = shape(window).table.verticalHeader()
    before = header.grab().toImage()
    type_into(window, 1, Col.LENGTH, "10 ft")
    at_cell(window, 0, Col.PART)
    assert header.grab().toImage() != before


def test_where_rows_begin_gives_way_to_the_columns_up_to_the_weight(window: Window) -> None:
    table = shape(window).table
    header, heading = table.verticalHeader(), table.findChild(StartsHeading)
    assert heading.isVisible()
    table.setColumnWidth(Col.PART, 600)
    window.resize(1024, 700)
    settle()
    assert header.starts_width == 0
    assert not heading.isVisible()
    table.setColumnWidth(Col.PART, 98)
    window.resize(1280, 800)
    settle()
    assert header.width() > 60


# -- in a small window ----------------------------------------------------------------------------


def test_at_1024_every_column_is_reached_by_tab_whole(window: Window) -> None:
    window.resize(1024, 700)
    settle()
    table = shape(window).table
    at_cell(window, 1, Col.PART)
    for column in Col:
        assert table.currentIndex().column() == column
        box = table.visualRect(table.currentIndex())
        assert table.viewport().rect().contains(box), COLUMNS[column].heading
        keys(TAB)


def image_of(window: Window, row: int, column: Col) -> QImage:
    table = shape(window).table
    return table.viewport().grab(table.visualRect(table.segments.index(row, column))).toImage()


def test_a_number_that_has_no_room_is_dots_and_no_other_number(window: Window) -> None:
    type_into(window, 1, Col.LENGTH, "17 ft 1 1/8 in")
    type_into(window, 2, Col.LENGTH, "12 ft 11 7/8 in")
    at_cell(window, 0, Col.PART)
    assert image_of(window, 1, Col.LENGTH) != image_of(window, 2, Col.LENGTH)
    shape(window).table.setColumnWidth(Col.LENGTH, 50)
    assert image_of(window, 1, Col.LENGTH) == image_of(window, 2, Col.LENGTH)
    assert image_of(window, 1, Col.LENGTH) != image_of(window, 1, Col.NOTE)


def test_what_is_wrong_with_a_cell_is_seen_whole_in_a_low_table(window: Window) -> None:
    window.resize(1024, 700)
    page = shape(window)
    page.splitter.setSizes([1000, 1])
    settle()
    at_cell(window, 1, Col.PART)
    keys("no part at all of any line", ENTER)
    (bubble,) = (each for each in page.table.findChildren(Bubble) if each.isVisible())
    assert page.table.viewport().rect().contains(bubble.geometry())
    assert bubble.heightForWidth(bubble.width()) <= bubble.height()
    keys(Qt.Key.Key_Escape)
