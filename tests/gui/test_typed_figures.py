"""The head's figures are typed, nudged and scrubbed where they are shown large."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from taperlab.edits.figures import Figure
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.typed_figure import PIXELS_A_STEP, TypedFigure
from taperlab.gui.pages.shape.may_move import MayMove
from taperlab.units.kinds import System
from tests.gui.hands import (
    ENTER,
    ESC,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    SHIFT,
    choose,
    drag,
    keys,
    nudge,
    shape,
    status,
    wait_active,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

ALT = Qt.KeyboardModifier.AltModifier
UP, DOWN = Qt.Key.Key_Up, Qt.Key.Key_Down


def figure(window: Window, which: Figure) -> TypedFigure:
    return shape(window).readouts.typed[which]


def head(window: Window):
    return window.document.analysis().head


def double_click(label: QLabel) -> None:
    where = QPoint(8, label.height() // 2)
    QTest.mouseClick(label, Qt.MouseButton.LeftButton, pos=where)
    QTest.mouseDClick(label, Qt.MouseButton.LeftButton, pos=where)


def type_figure(window: Window, which: Figure, *pressed: str | Qt.Key) -> None:
    shown = figure(window, which)
    double_click(shown)
    assert shown.field is not None
    assert shown.field.hasFocus()
    keys(*pressed)


def test_a_typed_weight_tells_by_how_much_the_diameters_of_the_head_moved(window: Window) -> None:
    before = window.document.line.segments
    type_figure(window, Figure.WEIGHT, "500 gr", ENTER)
    after = window.document.line.segments
    factors = {
        round(new.front_diameter / old.front_diameter, 9)
        for new, old in zip(after, before, strict=True)
    }
    assert len(factors) == 1
    by = 100.0 * (factors.pop() - 1.0)
    assert (
        status(window) == f"Change head weight. Diameters of segments 1 to 4 moved by +{by:.1f} %"
    )


def test_an_empty_line_shows_what_would_move_but_offers_no_choice(window: Window) -> None:
    window.rack.add_line()
    box = shape(window).findChild(MayMove).box
    assert box.currentText() == "All diameters"
    assert not box.isEnabled()
    window.document.undo_stack.undo()
    assert box.isEnabled()


# -- typing -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("which", "typed", "reads", "found"),
    [
        (Figure.WEIGHT, "500 gr", "500 gr", lambda head, _: head.mass / GRAIN - 500.0),
        (Figure.WEIGHT, "33 g", "509 gr", lambda head, _: head.mass - 0.033),
        (Figure.LENGTH, "34'6", "34 ft 6 in", lambda head, _: head.length - 34.5 * FOOT),
        (Figure.FRONT, "61", "61 %", lambda head, _: head.front_taper_mass_share - 0.61),
        (Figure.BALANCE, "25 ft", "25 ft", lambda head, _: head.balance_point - 25.0 * FOOT),
        (Figure.RATIO, "2.6", "2.60 ×", lambda head, rod: head.length / rod - 2.6),
    ],
)
def test_a_figure_is_typed_where_it_is_shown(
    window: Window, which: Figure, typed: str, reads: str, found: Callable[..., float]
) -> None:
    document, before = window.document, window.document.bench
    type_figure(window, which, typed, ENTER)
    shown = figure(window, which)
    assert shown.field is None
    assert shown.text() == reads
    assert found(head(window), document.rod.length) == pytest.approx(0.0, abs=1e-9)
    assert document.undo_stack.count() == 1
    assert str(document.undo_text) == f"Change {which}"
    assert " moved " in status(window)
    document.undo_stack.undo()
    assert document.bench.lines == before.lines


def test_the_length_of_the_head_is_shown_large_too(window: Window) -> None:
    assert figure(window, Figure.LENGTH).text() == "37 ft"
    assert ("Head length", "37 ft", "11.278 m") in shape(window).readouts.as_rows()


@pytest.mark.parametrize("key", [ENTER, Qt.Key.Key_Enter, Qt.Key.Key_F2])
def test_keys_open_the_field_with_the_figure_in_it(window: Window, key: Qt.Key) -> None:
    shown = figure(window, Figure.LENGTH)
    shown.setFocus()
    keys(key)
    assert shown.field.text() == "37 ft"
    assert shown.field.selectedText() == "37 ft"
    keys(ENTER)
    assert shown.field is None
    assert shown.hasFocus()
    assert not window.document.undo_stack.count()


def test_a_digit_begins_another_figure(window: Window) -> None:
    figure(window, Figure.WEIGHT).setFocus()
    keys("455", ENTER)
    assert figure(window, Figure.WEIGHT).text() == "455 gr"


def test_escape_leaves_no_trace(window: Window) -> None:
    before = window.document.bench
    type_figure(window, Figure.WEIGHT, "900", ESC)
    assert figure(window, Figure.WEIGHT).field is None
    assert window.document.bench is before
    assert not window.document.undo_stack.count()
    assert window.isVisible()


def test_text_that_cannot_be_read_turns_red_and_says_why(window: Window) -> None:
    page, before = shape(window), window.document.bench
    type_figure(window, Figure.LENGTH, "12 kg", ENTER)
    field = figure(window, Figure.LENGTH).field
    assert field.bad
    assert field.text() == "12 kg"
    assert page.readouts.problem.isVisible()
    assert "12 kg" in page.readouts.problem.text()
    assert field.accessibleDescription() == page.readouts.problem.text()
    assert window.document.bench is before
    keys("12")
    assert not field.bad
    assert not page.readouts.problem.isVisible()
    keys(" m", ENTER)
    assert head(window).length == pytest.approx(12.0)


def test_what_cannot_be_had_says_the_nearest_and_what_limits_it(window: Window) -> None:
    page, before = shape(window), window.document.bench
    type_figure(window, Figure.FRONT, "99.99", ENTER)
    field = figure(window, Figure.FRONT).field
    assert field.bad
    said = page.readouts.problem.text()
    assert said.startswith("By the length of segment 2, the front taper can be 99.")
    assert said.endswith(" at most: beyond it, segment 2 is longer than any spool of line.")
    assert status(window) == said
    assert window.document.bench is before
    keys(ESC)
    assert not page.readouts.problem.isVisible()


def test_going_elsewhere_takes_what_was_typed(window: Window) -> None:
    type_figure(window, Figure.WEIGHT, "455")
    shape(window).table.setFocus()
    assert figure(window, Figure.WEIGHT).field is None
    assert head(window).mass == pytest.approx(455.0 * GRAIN)
    type_figure(window, Figure.WEIGHT, "470")
    window.commit()
    assert head(window).mass == pytest.approx(470.0 * GRAIN)


def test_another_line_in_hand_forgets_what_was_typed(window: Window) -> None:
    document = window.document
    lines = document.bench.lines
    type_figure(window, Figure.WEIGHT, "900")
    document.look(line=lines[1].key)
    assert figure(window, Figure.WEIGHT).field is None
    assert document.bench.lines == lines


def test_loops_count_as_they_do_in_the_readout(window: Window) -> None:
    document = window.document
    line = document.line
    assert line.front_loop.fold or line.front_loop.mass
    type_figure(window, Figure.WEIGHT, "505", ENTER)
    assert head(window).mass == pytest.approx(505.0 * GRAIN, rel=1e-12)
    assert document.line.front_loop == line.front_loop


def test_without_a_rod_there_is_no_ratio_to_type(window: Window) -> None:
    window.document.load(replace(window.document.bench, rod=None), None)
    shown = figure(window, Figure.RATIO)
    double_click(shown)
    assert shown.field is None
    assert shown.focusPolicy() == Qt.FocusPolicy.NoFocus


def test_a_screen_reader_hears_what_can_be_typed(window: Window) -> None:
    for which, shown in shape(window).readouts.typed.items():
        said = QAccessible.queryAccessibleInterface(shown)
        assert said.role() is QAccessible.Role.SpinBox
        assert said.text(QAccessible.Text.Name).casefold() == which
        assert said.text(QAccessible.Text.Value) == shown.text()
        assert "Enter" in shown.accessibleDescription()
        assert "Double-click" in shown.toolTip()
    double_click(figure(window, Figure.BALANCE))
    assert figure(window, Figure.BALANCE).field.accessibleName() == "Balance point"


def test_the_list_of_keys_tells_of_figures_and_of_nudges(window: Window) -> None:
    groups = {group.title: group for group in window.menus.key_help()}
    said = {row.how: row.does for row in groups["The large figures"].rows}
    assert said["Double-click"] == "Type another"
    for title in ("The large figures", "Keys in the table"):
        listed = {row.how: row.does for row in groups[title].rows}
        assert listed["Alt+Up, Alt+Down"].startswith("Nudge the number")
        assert listed["Alt+Shift+Up, Alt+Shift+Down"] == "Nudge the number by more"
    window.show_page("cut")
    assert "The large figures" not in {group.title for group in window.menus.key_help()}


def test_a_nudge_in_the_field_takes_what_is_typed_and_goes_on_from_there(window: Window) -> None:
    length = figure(window, Figure.LENGTH)
    double_click(length)
    assert "Alt and Up or Down" in length.field.toolTip()
    keys("36 ft")
    nudge(UP)
    assert length.field is None
    assert length.hasFocus()
    assert length.value == pytest.approx(36.0 * FOOT + INCH / 8.0)
    double_click(length)
    keys("no length")
    nudge(UP)
    assert length.field is not None  # it waits to be mended
    assert length.value == pytest.approx(36.0 * FOOT + INCH / 8.0)
    keys(ESC)


# -- what may move ------------------------------------------------------------------------------


def offered(may_move: MayMove) -> dict[str, bool]:
    model = may_move.box.model()
    return {model.item(i).text(): model.item(i).isEnabled() for i in range(model.rowCount())}


def test_what_moves_is_seen_before_anything_does(window: Window) -> None:
    may_move = shape(window).readouts.may_move
    assert may_move.box.isVisible()
    assert (may_move.asks.text(), may_move.box.currentText()) == (
        "Head weight by",
        "All diameters",
    )
    figure(window, Figure.FRONT).setFocus()
    assert may_move.asks.text() == "Front taper by"
    assert may_move.box.currentText() == "Length of segment 2, front taper"
    parts = ("tip", "front taper", "front taper", "belly")
    rows = {f"Length of segment {i}, {part}": True for i, part in enumerate(parts, 1)}
    assert offered(may_move) == {
        "All diameters": False,
        "All lengths": False,
        "All densities": False,
        **rows,
        "As little as possible: a goal": True,
    }
    assert may_move.box.model().item(0).toolTip() == (
        "All diameters alike leave the shares as they are."
    )


def test_a_choice_that_moves_nothing_cannot_be_chosen(window: Window) -> None:
    box = shape(window).readouts.may_move.box
    figure(window, Figure.LENGTH).setFocus()
    assert box.currentText() == "All lengths"
    box.setFocus()
    keys(UP)
    assert box.currentText() == "All lengths"


def test_what_is_chosen_moves_and_is_remembered(
    window: Window, make: Callable[..., Window]
) -> None:
    before = window.document.line.segments
    box = shape(window).readouts.may_move.box
    figure(window, Figure.WEIGHT).setFocus()
    choose(box, 6)
    assert box.currentText() == "Length of segment 4, belly"
    type_figure(window, Figure.WEIGHT, "500", ENTER)
    after = window.document.line.segments
    assert after[:3] == before[:3]
    assert after[3] == replace(before[3], length=after[3].length)
    assert head(window).mass == pytest.approx(500.0 * GRAIN)
    other = make(replace(window.settings.preferences, theme=Theme.LIGHT))
    wait_active(other)
    assert shape(other).readouts.may_move.box.currentText() == "Length of segment 4, belly"
    other.document.look(line=other.document.bench.lines[1].key)
    belly = [i for i, each in enumerate(other.document.line.segments) if each.part == "belly"]
    assert (
        shape(other).readouts.may_move.box.currentText()
        == f"Length of segment {belly[0] + 1}, belly"
    )


# -- nudging ------------------------------------------------------------------------------------


def test_a_run_of_nudges_is_one_step(window: Window) -> None:
    document, before = window.document, window.document.bench
    start = head(window).mass
    shown = figure(window, Figure.WEIGHT)
    shown.setFocus()
    nudge(UP, UP, UP, DOWN)
    nudge(UP, modifier=ALT | SHIFT)
    assert head(window).mass == pytest.approx(start + 12.0 * GRAIN, rel=1e-12)
    assert document.undo_stack.count() == 1
    QTest.keyRelease(shown, Qt.Key.Key_Alt)
    nudge(UP)
    assert document.undo_stack.count() == 2
    document.undo_stack.undo()
    document.undo_stack.undo()
    assert document.bench.lines == before.lines


@pytest.mark.parametrize(
    ("system", "step"), [(System.US, INCH / 8.0), (System.METRIC, 0.005)], ids=["us", "metric"]
)
def test_a_length_is_nudged_by_the_tape(
    make: Callable[..., Window], system: System, step: float
) -> None:
    window = make(Preferences(system=system, theme=Theme.LIGHT, welcome_seen=True))
    start = head(window).length
    figure(window, Figure.LENGTH).setFocus()
    nudge(UP, UP)
    assert head(window).length == pytest.approx(start + 2.0 * step, rel=1e-12)


def test_nudged_back_there_is_no_step(window: Window) -> None:
    before = window.document.bench
    figure(window, Figure.BALANCE).setFocus()
    nudge(UP, UP, DOWN, DOWN)
    assert window.document.bench == before
    assert not window.document.undo_stack.count()


def test_a_figure_is_scrubbed_sideways_as_one_step(window: Window) -> None:
    document, start = window.document, head(window).mass
    shown = figure(window, Figure.WEIGHT)
    drag(shown, QPointF(20, 20), QPointF(6.0 * PIXELS_A_STEP, 0), steps=9)
    assert head(window).mass == pytest.approx(start + 6.0 * GRAIN, rel=1e-12)
    assert shown.text() == f"{start / GRAIN + 6.0:.0f} gr"
    assert document.undo_stack.count() == 1
    drag(shown, QPointF(20, 20), QPointF(-2.0 * PIXELS_A_STEP, 0))
    assert document.undo_stack.count() == 2


def test_a_press_that_hardly_moves_scrubs_nothing(window: Window) -> None:
    before = window.document.bench
    drag(figure(window, Figure.WEIGHT), QPointF(20, 20), QPointF(3, 0))
    assert window.document.bench is before


def test_escape_calls_a_scrub_off(window: Window) -> None:
    document, before = window.document, window.document.bench
    shown = figure(window, Figure.LENGTH)
    drag(shown, QPointF(10, 10), QPointF(4.0 * PIXELS_A_STEP, 0), release=False)
    assert document.bench != before
    keys(ESC)
    assert document.bench == before
    assert not document.undo_stack.count()
    QTest.mouseRelease(shown, Qt.MouseButton.LeftButton, pos=QPoint(30, 10))
    assert document.bench == before


def test_a_nudge_past_a_limit_is_refused_and_the_next_goes_on(window: Window) -> None:
    document = window.document
    type_figure(window, Figure.WEIGHT, "1 gr", ENTER)
    before = document.bench
    figure(window, Figure.WEIGHT).setFocus()
    nudge(DOWN, DOWN)
    assert document.bench is before
    assert status(window).endswith(".")
    nudge(UP)
    assert head(window).mass == pytest.approx(2.0 * GRAIN)
    assert QApplication.focusWidget() is figure(window, Figure.WEIGHT)
