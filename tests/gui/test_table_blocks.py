"""Copies, fills and joined ends in the tables, by keys and mouse."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from taperlab.edits.edited import Ends
from taperlab.edits.values import set_core, set_joint
from taperlab.files.preferences import load_preferences
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.gui.plots.line_plots import OUTLINE
from taperlab.model.line import ONE_EXTRUSION, Joint, JointKind
from taperlab.model.segment import Part, Segment
from taperlab.physics.section import mean_density
from taperlab.physics.water import water_state
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    SHIFT,
    TAB,
    ask_for_menu,
    at_cell,
    click,
    drag,
    keys,
    menu,
    settle,
    shape,
    status,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

DOWN, RIGHT, DELETE = Qt.Key.Key_Down, Qt.Key.Key_Right, Qt.Key.Key_Delete


def table(window: Window) -> SegmentTable:
    return shape(window).table


def segments(window: Window) -> tuple[Segment, ...]:
    line = window.document.line
    assert line is not None
    return line.segments


def thousandths(window: Window) -> list[tuple[int, int]]:
    """Front and rear diameters of the rows."""
    inches = ((each.front_diameter, each.rear_diameter) for each in segments(window))
    return [(round(front / INCH * 1000), round(rear / INCH * 1000)) for front, rear in inches]


def select(window: Window, row: int, column: Col, *, down: int = 0, right: int = 0) -> None:
    """Select cells with Shift and the arrows."""
    at_cell(window, row, column)
    keys(*[DOWN] * down, *[RIGHT] * right, modifier=SHIFT)


def copy() -> None:
    keys(Qt.Key.Key_C, modifier=CTRL)


def paste(text: str | None = None) -> None:
    if text is not None:
        QApplication.clipboard().setText(text)
    keys(Qt.Key.Key_V, modifier=CTRL)


def fill_down() -> None:
    keys(Qt.Key.Key_D, modifier=CTRL)


def undo() -> None:
    keys(Qt.Key.Key_Z, modifier=CTRL)


def chosen(window: Window) -> set[tuple[int, int]]:
    return {(each.row(), each.column()) for each in table(window).selectedIndexes()}


# -- one value, or a block, over many cells -------------------------------------------------------


def test_one_value_fills_all_selected_cells(window: Window) -> None:
    at_cell(window, 1, Col.LENGTH)
    copy()
    select(window, 1, Col.LENGTH, down=2)
    before = window.document.bench
    paste()
    assert [each.length / FOOT for each in segments(window)[1:]] == pytest.approx([17.0] * 3)
    undo()
    assert window.document.bench.lines == before.lines


def test_one_value_fills_cells_that_do_not_touch(window: Window) -> None:
    at_cell(window, 0, Col.LENGTH)
    view = table(window)
    for row in (0, 3):
        box = view.visualRect(view.segments.index(row, Col.LENGTH))
        QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, CTRL, box.center())
    box = view.visualRect(view.segments.index(0, Col.LENGTH))
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, CTRL, box.center())
    paste("9 ft")
    lengths = [each.length / FOOT for each in segments(window)]
    assert lengths == pytest.approx([9.0, 17.0, 12.0, 9.0])


def test_a_block_repeats_over_a_selection_that_it_goes_into(window: Window) -> None:
    select(window, 0, Col.LENGTH, down=3)
    paste("8 ft\n9 ft")
    lengths = [each.length / FOOT for each in segments(window)]
    assert lengths == pytest.approx([8.0, 9.0, 8.0, 9.0])


def test_a_block_that_does_not_go_into_a_selection_goes_in_once(window: Window) -> None:
    select(window, 0, Col.LENGTH, down=2)
    paste("8 ft\n9 ft")
    lengths = [each.length / FOOT for each in segments(window)]
    assert lengths == pytest.approx([8.0, 9.0, 12.0, 7.0])


def test_one_value_fills_the_selected_diameters_of_measure_as_one_step(window: Window) -> None:
    window.file_menu.open_sample("measured_head.taperlab")
    window.show_page("measure")
    stations = window.pages.page("measure").stations
    before = window.document.bench.measurements
    stations.setFocus()
    stations.go_to(2, 1)
    keys(DOWN, DOWN, modifier=SHIFT)
    paste("0.061")
    (measured,) = window.document.bench.measurements
    read = [each.readings[0] / INCH for each in measured.stations[2:5]]
    assert read == pytest.approx([0.061] * 3)
    assert len(measured.stations) == len(before[0].stations)
    undo()
    assert window.document.bench.measurements == before
    paste("no number")
    assert "Nothing was pasted" in status(window)
    assert window.document.bench.measurements == before


# -- cells stay cells -----------------------------------------------------------------------------


def fill_lengths(window: Window) -> None:
    select(window, 1, Col.LENGTH, down=2)
    fill_down()


def paste_lengths(window: Window) -> None:
    select(window, 1, Col.LENGTH, down=2)
    paste("9 ft")


def undo_lengths(window: Window) -> None:
    fill_lengths(window)
    at_cell(window, 0, Col.PART)
    undo()


def paste_diameters(window: Window) -> None:
    at_cell(window, 1, Col.FRONT_DIAMETER)
    paste("0.04\t0.08\n0.08\t0.1")


@pytest.mark.parametrize("act", [fill_lengths, paste_lengths, undo_lengths, paste_diameters])
def test_delete_takes_no_rows_out_where_cells_were_filled(
    window: Window, act: Callable[[Window], None]
) -> None:
    act(window)
    columns = {column for _, column in chosen(window)}
    assert len(chosen(window)) > 1
    assert columns < set(range(len(COLUMNS)))
    before = window.document.bench
    keys(DELETE)
    assert window.document.bench is before
    assert "be empty" in status(window)


def test_notes_that_were_filled_are_cleared_and_stay_selected(window: Window) -> None:
    at_cell(window, 0, Col.NOTE)
    keys("soft", ENTER)
    select(window, 0, Col.NOTE, down=2)
    fill_down()
    assert [each.note for each in segments(window)] == ["soft", "soft", "soft", ""]
    keys(DELETE)
    assert [each.note for each in segments(window)] == [""] * 4
    assert chosen(window) == {(row, Col.NOTE) for row in range(3)}


def test_rows_selected_as_rows_are_still_removed_after_a_fill(window: Window) -> None:
    fill_lengths(window)
    keys(Qt.Key.Key_Space, modifier=SHIFT)
    keys(DELETE)
    assert len(segments(window)) == 3


# -- copied rows ----------------------------------------------------------------------------------


def test_copied_rows_are_inserted_above_the_current_one_with_all_they_have(window: Window) -> None:
    line = window.document.line
    assert line is not None
    welded = Joint(JointKind.BUTT_WELD, mass=0.5 * GRAIN)
    window.document.apply(set_joint, line.key, 1, welded)
    window.document.apply(set_core, line.key, 1, 0.020 * INCH, 1140.0)
    head = segments(window)
    table(window).select_rows([1, 2])
    copy()
    at_cell(window, 1, Col.LENGTH)
    menu(window, "Segment")
    window.menus.actions["insert_copied"].trigger()
    assert segments(window) == (head[0], *head[1:3], *head[1:])
    assert window.document.line.joints == (
        ONE_EXTRUSION, welded, ONE_EXTRUSION, welded, ONE_EXTRUSION
    )  # fmt: skip
    assert table(window).selected_rows() == [1, 2]
    assert window.menus.actions["undo"].text() == "&Undo Insert 2 copied segments"
    undo()
    assert segments(window) == head


def test_rows_copied_in_a_spreadsheet_are_inserted_and_move_nothing(window: Window) -> None:
    head = segments(window)
    at_cell(window, 2, Col.PART)
    QApplication.clipboard().setText("belly\t10\t0.09\t0.08\t0.87\nbelly\t5\t0.08\t0.07\t0.87")
    where = table(window).visualRect(table(window).segments.index(2, Col.PART)).center()
    offered = ask_for_menu(table(window), where)
    next(each for each in offered.actions() if each.text().startswith("Insert copied")).trigger()
    offered.close()
    new = segments(window)
    assert (*new[:2], *new[4:]) == head
    assert [each.rear_diameter / INCH for each in new[2:4]] == pytest.approx([0.08, 0.07])
    undo()
    assert segments(window) == head


def test_what_is_no_row_is_not_inserted(window: Window) -> None:
    before = window.document.bench
    at_cell(window, 1, Col.PART)
    QApplication.clipboard().setText("7.5")
    keys(Qt.Key.Key_V, modifier=CTRL | SHIFT)
    assert window.document.bench is before
    assert "Nothing was pasted" in status(window)


# -- ends that meet -------------------------------------------------------------------------------

# The demo head, front and rear in thousandths: 34 34, 34 76, 76 104, 104 104.


def type_it(window: Window) -> None:
    at_cell(window, 2, Col.FRONT_DIAMETER)
    keys("80 thou", ENTER)


def paste_it(window: Window) -> None:
    at_cell(window, 2, Col.FRONT_DIAMETER)
    paste("0.08")


def drag_thicker(window: Window, by: float) -> None:
    """Drag where rows 2 and 3 meet up by some pixels."""
    settle()  # the plots are laid out
    canvas = shape(window).plots.canvas
    handle = next(each for each in canvas.grips.handles if each.key[:2] == (OUTLINE, 2))
    start = QPointF(canvas.mapFromScene(canvas.grips.point_of(handle)))
    drag(canvas.viewport(), start, QPointF(0.0, -by))


@pytest.mark.parametrize("act", [type_it, paste_it])
def test_joined_ends_take_a_diameter_up_together(
    window: Window, act: Callable[[Window], None]
) -> None:
    act(window)
    assert thousandths(window) == [(34, 34), (34, 80), (80, 104), (104, 104)]
    assert "ear diameter of segment 2" in status(window)


@pytest.mark.parametrize("act", [type_it, paste_it])
def test_stepped_ends_change_alone(window: Window, act: Callable[[Window], None]) -> None:
    box = shape(window).header.joined
    assert box.isChecked()
    click(box)
    act(window)
    assert thousandths(window) == [(34, 34), (34, 76), (80, 104), (104, 104)]
    assert "moved" not in status(window)


@pytest.mark.parametrize(("ends", "rear"), [(Ends.JOINED, 34), (Ends.STEPPED, 76)])
def test_filling_a_diameter_down_is_as_typing_it(window: Window, ends: Ends, rear: int) -> None:
    window.settings.join_ends(ends is Ends.JOINED)
    select(window, 1, Col.FRONT_DIAMETER, down=1)
    fill_down()
    assert thousandths(window) == [(34, 34), (34, rear), (34, 104), (104, 104)]


def test_a_stepped_tip_can_be_typed(window: Window) -> None:
    click(shape(window).header.joined)
    at_cell(window, 0, Col.FRONT_DIAMETER)
    keys("30 thou", TAB, "30 thou", ENTER)
    assert thousandths(window)[:2] == [(30, 30), (34, 76)]


def test_a_drag_of_stepped_ends_moves_the_end_that_is_held(window: Window) -> None:
    drag_thicker(window, 8.0)
    (_, ahead), (behind, _) = thousandths(window)[1:3]
    assert ahead == behind > 76
    click(shape(window).header.joined)
    drag_thicker(window, 8.0)
    (_, stepped), (stays, _) = thousandths(window)[1:3]
    assert stepped > stays == behind


def test_the_choice_is_remembered_and_in_the_view_menu(window: Window) -> None:
    action = window.menus.actions["ends_joined"]
    assert action in menu(window, "View").actions()
    assert action.isChecked()
    click(shape(window).header.joined)
    assert not action.isChecked()
    assert load_preferences().ends is Ends.STEPPED
    action.trigger()
    assert shape(window).header.joined.isChecked()
    assert load_preferences().ends is Ends.JOINED
    assert action.shortcut() == QKeySequence("Ctrl+Shift+J")


# -- sink tips, and level line --------------------------------------------------------------------


def sinks(window: Window, row: int) -> bool:
    water = water_state(window.document.bench.water)
    return mean_density(segments(window)[row]) > water.density


def test_a_sink_tip_typed_on_the_adding_row_sinks(window: Window) -> None:
    at_cell(window, 4, Col.PART)
    keys("sink tip", ENTER)
    new = segments(window)[4]
    assert new.part is Part.SINK_TIP
    assert sinks(window, 4)
    assert new.front_diameter == new.rear_diameter
    assert thousandths(window)[3] == (104, 104)
    assert "common practice" in status(window)


def test_a_row_inserted_and_called_sink_tip_sinks(window: Window) -> None:
    at_cell(window, 0, Col.PART)
    table(window).insert_above()
    keys("si", ENTER)
    assert segments(window)[0].part is Part.SINK_TIP
    assert sinks(window, 0)
    assert thousandths(window)[1] == (34, 34)
    assert "common practice" in status(window)


def test_a_row_that_was_worked_on_keeps_its_material_when_it_is_called_sink_tip(
    window: Window,
) -> None:
    before = segments(window)[0]
    at_cell(window, 0, Col.PART)
    keys("sink", ENTER)
    after = segments(window)[0]
    assert after.part is Part.SINK_TIP
    assert (after.density, after.front_diameter) == (before.density, before.front_diameter)


def test_a_second_sink_tip_is_like_the_one_ahead(window: Window) -> None:
    at_cell(window, 4, Col.PART)
    keys("sink tip", TAB, TAB, TAB, TAB, "3.5", ENTER, "sink tip", ENTER)
    assert [each.density for each in segments(window)[4:]] == pytest.approx([3500.0] * 2)


@pytest.mark.parametrize("solve", ["solve_density", "solve_diameter"])
def test_a_row_typed_by_grains_per_foot_and_length_is_level(window: Window, solve: str) -> None:
    window.menus.actions[solve].trigger()
    at_cell(window, 4, Col.LENGTH)
    keys("10 ft", TAB, TAB, TAB, TAB, TAB, "9", ENTER)
    new = segments(window)[4]
    assert new.front_diameter == new.rear_diameter
    analysis = window.document.analysis()
    assert analysis is not None
    assert analysis.segments[4].mass == pytest.approx(90.0 * GRAIN)
    at_cell(window, 4, Col.REAR_WEIGHT_PER_LENGTH)
    window.menus.actions["solve_diameter"].trigger()
    keys("12", ENTER)  # told otherwise
    new = segments(window)[4]
    assert new.rear_diameter > new.front_diameter
