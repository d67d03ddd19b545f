"""Goals on the page Shape: typed on the large figures, dragged, explained, unlocked, undone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QPushButton, QWidget

from taperlab.edits import goals as edits
from taperlab.edits.figures import Figure
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.typed_figure import PIXELS_A_STEP
from taperlab.gui.pages.shape.bound_dialog import BoundDialog
from taperlab.gui.pages.shape.columns import Col
from taperlab.model.aim import Cell, GoalKind
from tests.gui.hands import (
    ENTER,
    ESC,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    drag,
    keys,
    open_dialog,
    retype,
    shape,
    status,
    wait_active,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

CONTROL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


def line(window: Window):
    return window.document.line


def mass(window: Window) -> float:
    return window.document.analysis().head.mass


def type_figure(window: Window, which: Figure, *pressed: str | Qt.Key) -> None:
    shown = shape(window).readouts.typed[which]
    where = QPoint(8, shown.height() // 2)
    QTest.mouseClick(shown, Qt.MouseButton.LeftButton, pos=where)
    QTest.mouseDClick(shown, Qt.MouseButton.LeftButton, pos=where)
    assert shown.field is not None
    keys(*pressed)


def lock(window: Window, row: int, column: Col) -> None:
    """Go to a cell and press the key."""
    table = shape(window).table
    table.setFocus()
    table.go_to(row, column)
    QTest.keyClick(table, Qt.Key.Key_L, CONTROL_SHIFT)


def texts(widget: QWidget) -> str:
    QApplication.processEvents()
    return "\n".join(each.text() for each in widget.findChildren(QLabel) if each.isVisible())


def press(widget: QWidget, text: str) -> None:
    found = next(
        each
        for each in widget.findChildren(QPushButton)
        if each.isVisible() and each.text().startswith(text)
    )
    QTest.mouseClick(found, Qt.MouseButton.LeftButton)


def settle(window: Window) -> None:
    window.jobs.settle()


def test_a_weight_typed_on_a_line_with_a_lock_is_a_goal(window: Window) -> None:
    lock(window, 3, Col.FRONT_DIAMETER)
    before = line(window).segments
    assert before[3].hold(Cell.FRONT).locked
    type_figure(window, Figure.WEIGHT, "540 gr", ENTER)
    assert mass(window) == pytest.approx(540.0 * GRAIN, abs=0.5 * GRAIN)
    after = line(window).segments
    assert after[3].front_diameter == before[3].front_diameter
    # An end that meets it is as thick, and so it stays too.
    assert after[2].rear_diameter == before[2].rear_diameter
    (goal,) = line(window).aim.goals
    assert goal.kind is GoalKind.WEIGHT
    assert str(window.document.undo_text).startswith("Meet goals: ")
    assert status(window).startswith("Meet goals: ")
    assert window.document.undo_stack.count() == 2  # the lock, and the goal with its answer
    window.document.undo_stack.undo()
    assert line(window).segments == before
    assert not line(window).aim.goals


def test_the_answer_is_one_that_can_be_built(window: Window) -> None:
    lock(window, 3, Col.FRONT_DIAMETER)
    type_figure(window, Figure.WEIGHT, "500 gr", ENTER)
    for each in line(window).segments:
        for value, step in (
            (each.length, INCH / 8.0),
            (each.front_diameter, INCH / 1000.0),
            (each.rear_diameter, INCH / 1000.0),
        ):
            assert value / step == pytest.approx(round(value / step), abs=1e-6)


@pytest.mark.parametrize("typed", ["480..500 gr", "480 to 500", "480 gr to 500 gr"])
def test_a_range_is_as_good_as_a_number(window: Window, typed: str) -> None:
    type_figure(window, Figure.WEIGHT, typed, ENTER)
    (goal,) = line(window).aim.goals
    assert goal.low == pytest.approx(480.0 * GRAIN)
    assert goal.high == pytest.approx(500.0 * GRAIN)
    assert 479.5 * GRAIN <= mass(window) <= 500.5 * GRAIN
    # It stands in the field when that is opened again.
    shown = shape(window).readouts.weight
    shown.setFocus()
    keys(ENTER)
    assert shown.field.text() == "480.0 gr to 500.0 gr"
    keys(ESC)


def test_a_range_the_wrong_way_round_is_refused_where_it_is_typed(window: Window) -> None:
    type_figure(window, Figure.WEIGHT, "500 to 480", ENTER)
    assert "type the lower one first" in shape(window).readouts.problem.text()
    keys(ESC)
    assert not line(window).aim.goals


def test_what_would_be_is_drawn_while_a_goal_is_typed(window: Window, qtbot) -> None:
    page = shape(window)
    before = window.document.bench
    type_figure(window, Figure.LENGTH, "35 to 36")
    qtbot.waitUntil(lambda: page.preview.whole is not None)
    assert page.preview.is_answer
    # The line as it would be is drawn solid, the line as it is dashed.
    assert page.plots.drawing.analysis is page.preview.analysis
    assert page.plots.drawing.ghost is window.document.analysis()
    assert 35.0 * FOOT - INCH <= page.preview.analysis.head.length <= 36.0 * FOOT + INCH
    keys(ESC)
    assert page.preview.whole is None
    assert window.document.bench is before


def cannot(window: Window) -> None:
    """600 gr at 23 ft: the belly is locked."""
    lock(window, 3, Col.FRONT_DIAMETER)
    type_figure(window, Figure.LENGTH, "30 ft", ENTER)
    type_figure(window, Figure.LENGTH, "23 ft", ENTER)
    type_figure(window, Figure.WEIGHT, "600 gr", ENTER)
    settle(window)


def test_600_gr_at_23_ft_is_explained(window: Window) -> None:
    cannot(window)
    page = shape(window)
    segments = line(window).segments
    case, said = page.goals, texts(page.goals_card)
    assert case.proposal is not None
    assert case.why is not None
    # The goal keeps its text, and the nearest is drawn, the length kept.
    assert "600.0 gr" in said
    assert "23 ft" in said
    assert page.preview.analysis.head.length == pytest.approx(23.0 * FOOT, abs=INCH / 16)
    nearest = page.preview.analysis.head.mass
    assert nearest < 599.0 * GRAIN
    assert "600.0 gr: out of reach of what may move" in said
    assert case.why.proved
    assert "By itself\nHead weight at most " in said
    assert "In the way" in said
    assert "mpossible" not in said
    assert line(window).segments == segments
    press(page.goals_card, "Put back")
    assert case.proposal is None
    assert page.preview.whole is None
    assert {goal.kind for goal in line(window).aim.goals} == {GoalKind.LENGTH, GoalKind.WEIGHT}


def test_what_is_at_its_limit_is_given_a_bound_from_the_explanation(window: Window) -> None:
    """Of 37 ft no length goes further than a quarter unless it is told to: 25 ft is too short."""
    type_figure(window, Figure.LENGTH, "36 to 38 ft", ENTER)
    type_figure(window, Figure.LENGTH, "26 ft", ENTER)
    settle(window)
    page = shape(window)
    assert "at its least" in texts(page.goals_card)
    nearest = page.preview.analysis.head.length
    link = page.goals_card.why.bound_links[0]
    assert link.text() == "Bound…"
    link.click()
    dialog = open_dialog(window, BoundDialog)
    row = page.table.currentIndex().row()
    length = line(window).segments[row].length
    retype(dialog.low, f"{0.4 * length / FOOT:.2f} ft")
    QTest.keyClick(dialog.low, ENTER)
    settle(window)
    assert line(window).segments[row].hold(Cell.LENGTH).low == pytest.approx(0.4 * length, rel=1e-2)
    assert page.goals.proposal is not None
    assert page.preview.analysis.head.length < nearest - INCH


def test_escape_puts_the_line_back_and_leaves_the_goals(window: Window) -> None:
    cannot(window)
    QApplication.processEvents()
    page = shape(window)
    keys(ESC)
    assert page.goals.proposal is None
    assert page.preview.whole is None
    assert len(line(window).aim.goals) == 2
    press(page.goals_card, "Meet goals")
    assert page.goals.proposal is not None


def test_the_nearest_is_taken_by_enter(window: Window) -> None:
    cannot(window)
    QApplication.processEvents()
    page = shape(window)
    count = window.document.undo_stack.count()
    assert page.goals_card.take_button.hasFocus()
    near = page.preview.analysis.head.mass
    keys(ENTER)
    assert page.goals.proposal is None
    assert mass(window) == pytest.approx(near)
    assert window.document.undo_stack.count() == count + 1
    assert str(window.document.undo_text).startswith("Come near goals: ")


def locked_at_31_ft(window: Window) -> None:
    document = window.document
    document.apply(edits.set_locks, "line-1", [(0, cell) for cell in Cell], True)
    document.apply(edits.set_locks, "line-1", [(3, Cell.FRONT), (3, Cell.REAR)], True)
    type_figure(window, Figure.LENGTH, "31 ft", ENTER)
    type_figure(window, Figure.WEIGHT, "520 gr", ENTER)
    settle(window)


def test_unlocking_from_the_explanation_meets_the_goals(window: Window) -> None:
    locked_at_31_ft(window)
    page = shape(window)
    said = texts(page.goals_card)
    assert "31 ft and 520.0 gr: not with these locks" in said
    first, *_ = page.goals_card.why.unlock_buttons
    assert first.accessibleName() == "Unlock 4 belly, ⌀ 0.104 in"
    assert first.isVisible()
    first.setFocus()
    assert first.hasFocus()
    keys(Qt.Key.Key_Space)
    assert not line(window).segments[3].holds
    assert page.goals.proposal is not None
    assert page.goals.proposal.met
    press(page.goals_card, "Keep it")
    assert mass(window) == pytest.approx(520.0 * GRAIN, abs=0.5 * GRAIN)
    assert page.goals.standing.met
    undo = window.document.undo_stack
    undo.undo()
    undo.undo()
    assert line(window).segments[3].hold(Cell.FRONT).locked


def test_a_goal_follows_a_drag_and_is_one_step(window: Window) -> None:
    lock(window, 3, Col.FRONT_DIAMETER)
    type_figure(window, Figure.WEIGHT, "490 gr", ENTER)
    count, before = window.document.undo_stack.count(), line(window)
    shown = shape(window).readouts.weight
    start = QPointF(8.0, shown.height() / 2.0)
    drag(shown, start, start + QPointF(6.5 * PIXELS_A_STEP, 0.0))
    (goal,) = line(window).aim.goals
    grains = goal.low / GRAIN
    assert grains > 490.5
    assert mass(window) == pytest.approx(goal.low, abs=0.5 * GRAIN)
    assert window.document.undo_stack.count() == count + 1
    # Once it is let go the line can be built.
    for each in line(window).segments:
        assert each.length / (INCH / 8.0) == pytest.approx(round(each.length / (INCH / 8.0)))
    window.document.undo_stack.undo()
    assert line(window) == before


def test_cells_rows_and_columns_are_locked_by_key_and_menu(window: Window) -> None:
    table = shape(window).table
    lock(window, 1, Col.LENGTH)
    assert [hold.cell for hold in line(window).segments[1].holds] == [Cell.LENGTH]
    assert table.segments.cell(1, Col.LENGTH).locked
    assert "locked" in table.segments.spoken(1, Col.LENGTH)
    lock(window, 1, Col.LENGTH)
    assert not line(window).segments[1].holds
    table.lock_rows()
    assert {hold.cell for hold in line(window).segments[1].holds} == set(Cell)
    table.go_to(2, Col.LENGTH)
    table.lock_columns()
    assert not line(window).aim.lengths
    shown = [action.text().replace("&", "") for action in table.context_menu().actions()]
    names = {text.partition("\t")[0] for text in shown}
    assert {"Lock or unlock for goals", "Lock or unlock whole segments"} <= names


def test_a_padlock_lies_in_its_cell(window: Window) -> None:
    table = shape(window).table
    lock(window, 3, Col.FRONT_DIAMETER)
    where = table.visualRect(table.segments.index(3, Col.FRONT_DIAMETER))
    beside = QRect(where.left() - 6, where.top(), 6, where.height())
    inside = QRect(where.left(), where.top(), where.width() // 2, where.height())

    def drawn() -> list[QImage]:
        table.go_to(0, Col.LENGTH)
        table.clearFocus()
        whole = table.viewport().grab().toImage()
        return [whole.copy(each) for each in (beside, inside)]

    locked = drawn()
    lock(window, 3, Col.FRONT_DIAMETER)
    free = drawn()
    assert locked[0] == free[0]
    assert locked[1] != free[1]


def test_what_only_the_steps_of_the_tools_are_in_the_way_of_is_said(window: Window) -> None:
    """Of all numbers the belly's diameter alone may move, and one step of it is 5 gr."""
    cells = [(row, cell) for row in range(3) for cell in Cell]
    cells += [(3, Cell.LENGTH), (3, Cell.DENSITY)]
    cells.remove((2, Cell.REAR))
    window.document.apply(edits.set_locks, "line-1", cells, True)
    type_figure(window, Figure.WEIGHT, "482.2 gr", ENTER)
    settle(window)
    said = texts(shape(window).goals_card)
    assert "Only between the steps of tape and micrometer" in said
    assert "Take 4" in "".join(each.text() for each in shape(window).findChildren(QPushButton))


def test_a_click_on_the_name_of_a_figure_leads_to_it(window: Window) -> None:
    readouts = shape(window).readouts
    name = readouts.figures["front"].findChildren(QLabel)[0]
    assert name.text() == "Front taper"
    QTest.mouseClick(name, Qt.MouseButton.LeftButton)
    assert readouts.typed[Figure.FRONT].hasFocus()
    keys("6", "0", ENTER)
    assert readouts.figures["front"].value == "60 %"


def test_what_may_move_is_seen_and_switched(window: Window) -> None:
    lock(window, 3, Col.FRONT_DIAMETER)
    card = shape(window).goals_card
    assert card.lengths.isVisible()
    assert card.lengths.isChecked()
    assert not card.density.isChecked()
    assert "Locked: 4 belly (front diameter)." in texts(card)
    QTest.mouseClick(card.lengths, Qt.MouseButton.LeftButton, pos=QPoint(8, 8))
    assert not line(window).aim.lengths
    lengths = [each.length for each in line(window).segments]
    type_figure(window, Figure.WEIGHT, "485 gr", ENTER)
    settle(window)
    assert [each.length for each in line(window).segments] == lengths


def test_a_goal_is_cleared(window: Window) -> None:
    type_figure(window, Figure.WEIGHT, "480 to 500", ENTER)
    card = shape(window).goals_card
    button = next(
        each
        for each in card.findChildren(QWidget)
        if each.accessibleName().startswith("Clear the goal")
    )
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert not line(window).aim.goals
    assert "Type a range over a large figure" in texts(card)


def test_as_little_as_possible_can_be_chosen_for_a_figure(window: Window) -> None:
    box = shape(window).readouts.may_move.box
    shape(window).readouts.weight.setFocus()
    at = box.findText("As little as possible: a goal")
    box.setCurrentIndex(at)
    box.activated.emit(at)
    type_figure(window, Figure.WEIGHT, "500 gr", ENTER)
    assert [goal.kind for goal in line(window).aim.goals] == [GoalKind.WEIGHT]


def test_any_other_figure_is_a_goal_by_the_dialog(window: Window) -> None:
    card = shape(window).goals_card
    QTest.mouseClick(card.add_button, Qt.MouseButton.LeftButton)
    dialog = next(each for each in window.findChildren(QDialog) if each.isVisible())
    dialog.figure.setCurrentIndex(dialog.figure.findData(GoalKind.RUNNING))
    dialog.figure.activated.emit(0)
    wait_active(dialog)
    retype(dialog.at, "20 ft")
    retype(dialog.value, "130 to 140 gr", ENTER)
    (goal,) = line(window).aim.goals
    assert goal.at == pytest.approx(20.0 * FOOT)
    assert "Running weight at 20 ft" in texts(card)


def test_a_new_line_from_a_goal(window: Window) -> None:
    window.menus.actions["begin_line"].trigger()
    dialog = next(each for each in window.findChildren(QDialog) if each.isVisible())
    wait_active(dialog)
    retype(dialog.weight, "500 gr")
    retype(dialog.length, "36 ft")
    assert "A Scandi head" in texts(dialog)
    keys(ENTER)
    assert line(window).name == "New head"
    assert mass(window) == pytest.approx(500.0 * GRAIN, abs=0.5 * GRAIN)
    assert window.document.analysis().head.length == pytest.approx(36.0 * FOOT)
    assert len(line(window).aim.goals) == 2
    window.document.undo_stack.undo()
    assert line(window).key == "line-1"
