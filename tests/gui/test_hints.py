"""Hints that can be found: in the status line, in menus, on the page of keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QCursor,
    QEnterEvent,
    QGuiApplication,
    QKeySequence,
    QMouseEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from taperlab.edits.figures import Figure
from taperlab.gui.dialogs.keys import KeysDialog
from taperlab.gui.dialogs.texts import TextDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.key_names import HelpGroup, native
from taperlab.gui.pages.shape.profile_plots import ProfilePlots
from taperlab.gui.pages.shape.row_dialogs import MergeDialog
from taperlab.gui.paper.keys_sheet import keys_sheet
from taperlab.gui.paper.layout.reading import text_of
from taperlab.gui.plots.grips import Handle
from taperlab.gui.plots.keys import USES
from taperlab.gui.plots.line_plots import OUTLINE
from taperlab.gui.plots.stack import PlotStack
from taperlab.shipped import sample
from taperlab.units.kinds import LENGTH, System
from taperlab.units.sentence import Sentence
from taperlab.units.show import show
from taperlab.units.words import capital
from tests.gui.hands import (
    ENTER,
    FOOT,
    INCH,
    NOISE,
    NONE,
    SHIFT,
    at_cell,
    button,
    click,
    keys,
    open_dialog,
    settle,
    shape,
    status,
    status_label,
    wait_active,
    words_on,
)

pytestmark = [
    pytest.mark.qt_log_ignore(NOISE),
    pytest.mark.qt_log_ignore("This plugin does not support", extend=True),
]


def plots_of(window: Window) -> ProfilePlots:
    return shape(window).plots


def point_to(plots: PlotStack, at: QPointF) -> None:
    """Move the mouse over the plots, without a button."""
    view, none = plots.canvas.viewport(), Qt.MouseButton.NoButton
    QCursor.setPos(view.mapToGlobal(at).toPoint())
    event = QMouseEvent(QEvent.Type.MouseMove, at, view.mapToGlobal(at), none, none, NONE)
    QApplication.sendEvent(view, event)


def place_in(plots: PlotStack, position: float) -> QPointF:
    """A point of the outline where there is no handle."""
    return plots.panels[OUTLINE].point(position, 0.0)


def ring(plots: PlotStack, index: int) -> tuple[Handle, QPointF]:
    """A handle on the outline, and where it lies."""
    found = next(h for h in plots.grips.handles if h.plot == OUTLINE and h.index == index)
    return found, plots.grips.point_of(found)


def right_click(plots: PlotStack, at: QPointF) -> QMenu:
    """The menu that the right button opens over the plots."""
    where = plots.canvas.viewport().mapToGlobal(at.toPoint())
    reason = QContextMenuEvent.Reason.Mouse
    QApplication.sendEvent(plots, QContextMenuEvent(reason, plots.mapFromGlobal(where), where))
    return open_menu()


def open_menu() -> QMenu:
    found = QApplication.activePopupWidget()
    assert isinstance(found, QMenu)
    return found


def entry(menu: QMenu, begins: str) -> object:
    """The entry of a menu that begins so."""
    texts = {each.text().replace("&", ""): each for each in menu.actions()}
    return next(action for text, action in texts.items() if text.startswith(begins))


# -- the status line -----------------------------------------------------------------------------


def test_the_status_line_says_what_can_be_done_with_what_is_pointed_at(window: Window) -> None:
    plots = plots_of(window)
    window.status.say(Sentence(""))
    point_to(plots, place_in(plots, 5 * FOOT))
    assert "Wheel: zoom" in status(window)
    assert "Double-click: see all of it" in status(window)
    point_to(plots, ring(plots, 2)[1])
    said = "Drag: move it, in steps of 1/8 in, 0.001 in, 0.10 gr/ft"
    assert status(window).startswith(said)
    for part in ("Shift: both ways at once", "Ctrl: without steps", "Esc: put it back"):
        assert part in status(window)
    QApplication.sendEvent(plots.canvas, QEvent(QEvent.Type.Leave))
    assert status(window) == ""
    window.settings.use_system(System.METRIC)
    point_to(plots, ring(plots, 2)[1])
    assert "in steps of 1 mm, 0.01 mm, 0.010 g/m" in status(window)


def test_the_list_of_lines_says_what_can_be_done_with_a_line(window: Window) -> None:
    view = window.rack.view
    window.status.say(Sentence(""))
    QTest.mouseMove(view.viewport(), view.visualRect(view.model().index(1, 0)).center())
    settle()
    assert "Press a mark: lay that line over" in status(window)


def test_a_hint_gives_way_to_what_is_said_and_never_hides_a_refusal(window: Window) -> None:
    plots = plots_of(window)
    point_to(plots, place_in(plots, 5 * FOOT))
    window.menus.actions["duplicate_line"].trigger()
    assert "Wheel" not in status(window)
    point_to(plots, ring(plots, 2)[1])
    assert status(window).startswith("Drag")
    window.say_problem(Sentence("There is no such thing."))
    point_to(plots, place_in(plots, 5 * FOOT))
    assert status(window) == "There is no such thing."
    assert status_label(window).property("role") == "bad"


def test_what_comes_below_a_mouse_that_lies_still_does_not_hide_what_an_edit_moved(
    window: Window,
) -> None:
    shown = shape(window).readouts.typed[Figure.FRONT]
    block = shown.parentWidget()
    above = QPointF(block.rect().center())
    whole = block.mapToGlobal(above)
    QCursor.setPos(whole.toPoint())
    QApplication.sendEvent(block, QEnterEvent(above, above, whole))
    assert status(window).startswith("Right-click")
    wait_active(window)
    shown.setFocus()
    keys(ENTER, "60", ENTER)
    moved = status(window)
    assert moved.startswith("Change front taper. Length of segment 2 moved from")
    QApplication.sendEvent(block, QEnterEvent(above, above, whole))  # the cards were laid out anew
    assert status(window) == moved
    QCursor.setPos(whole.toPoint() + QPoint(1, 0))
    QApplication.sendEvent(block, QEnterEvent(above, above, whole))
    assert status(window).startswith("Right-click")


def test_the_pointer_shows_which_way_a_ring_goes(window: Window) -> None:
    plots = plots_of(window)
    for index, cursor in (
        (0, Qt.CursorShape.SizeVerCursor),
        (2, Qt.CursorShape.SizeAllCursor),
    ):
        point_to(plots, ring(plots, index)[1])
        assert plots.canvas.viewport().cursor().shape() is cursor


# -- menus of the plots ------------------------------------------------------------------------


def test_a_breakpoint_is_added_where_the_right_button_asks(window: Window) -> None:
    plots, before = plots_of(window), window.document.line
    menu = right_click(plots, place_in(plots, 9.0 * FOOT))
    add = entry(menu, "Add a breakpoint at")
    place = add.text().split("\t")[0].removeprefix("Add a breakpoint at ")
    plots.point_at(None)  # the mouse is over the menu now, not over the plots
    add.trigger()
    menu.close()
    line = window.document.line
    assert len(line.segments) == len(before.segments) + 1
    added = next(each for each in line.starts if each not in before.starts)
    assert added == pytest.approx(9.0 * FOOT, abs=0.1 * FOOT)
    assert added / (INCH / 8) == pytest.approx(round(added / (INCH / 8)), abs=1e-6)
    assert place == show(added, LENGTH, System.US)
    # It is in hand for the keys, and they add and take out too.
    assert plots.grips.in_hand.position == pytest.approx(added)
    plots.setFocus()
    QTest.keyClick(plots, Qt.Key.Key_Delete)
    assert window.document.line.segments == before.segments
    plots.point_at(9.0 * FOOT)
    plots.canvas.choose_handle(None)
    QTest.keyClick(plots, Qt.Key.Key_Insert)
    assert len(window.document.line.segments) == len(before.segments) + 1


def test_a_breakpoint_that_shapes_the_line_is_taken_out_after_asking(window: Window) -> None:
    plots, before = plots_of(window), window.document.line
    menu = right_click(plots, ring(plots, 3)[1])
    entry(menu, "Take this breakpoint out").trigger()
    menu.close()
    dialog = open_dialog(window, MergeDialog)
    click(dialog.accept_button)
    assert len(window.document.line.segments) == len(before.segments) - 1
    # The ends of a line are no such place.
    menu = right_click(plots, ring(plots, 0)[1])
    assert not entry(menu, "Take this breakpoint out").isEnabled()
    menu.close()


def test_the_menu_of_the_plots_has_the_window_s_own_commands(window: Window) -> None:
    plots = plots_of(window)
    menu = right_click(plots, place_in(plots, 5 * FOOT))
    actions = window.menus.actions
    for name in ("find_weight", "zoom_all", "head_only", "show_sink", "copy_plots", "export_plots"):
        assert actions[name] in menu.actions(), name
    QGuiApplication.clipboard().clear()
    actions["copy_plots"].trigger()
    assert not QGuiApplication.clipboard().image().isNull()
    menu.close()
    settle()
    assert actions["copy_plots"].text()  # closing a menu takes nothing with it


@pytest.mark.parametrize("key", [Qt.Key.Key_Menu, Qt.Key.Key_F10])
def test_keys_open_the_menu_of_the_plots(window: Window, key: Qt.Key) -> None:
    plots = plots_of(window)
    plots.setFocus()
    QTest.keyClick(plots, Qt.Key.Key_PageDown)
    QTest.keyClick(plots, Qt.Key.Key_PageDown)
    QTest.keyClick(plots, key, SHIFT if key == Qt.Key.Key_F10 else NONE)
    menu = open_menu()
    assert entry(menu, "Take this breakpoint out").isEnabled()
    menu.close()


# -- menus of the list of lines --------------------------------------------------------------------


@pytest.mark.parametrize("key", [Qt.Key.Key_Menu, Qt.Key.Key_F10])
def test_keys_open_the_menu_of_a_line_and_it_is_not_taken_in_hand(
    window: Window, key: Qt.Key
) -> None:
    view = window.rack.view
    view.setFocus()
    QTest.keyClick(view, Qt.Key.Key_Down)
    other = window.document.bench.lines[1]
    window.document.look(overlays=())
    QTest.keyClick(view, key, SHIFT if key == Qt.Key.Key_F10 else NONE)
    menu = open_menu()
    entry(menu, "Lay over").trigger()
    menu.close()
    assert window.document.bench.view.overlays == (other.key,)
    assert window.document.line is not other
    menu = right_click_line(window, 1)
    assert entry(menu, "Lay over").isChecked()
    entry(menu, "Duplicate").trigger()
    menu.close()
    assert len(window.document.bench.lines) == 3
    assert window.document.bench.lines[2].segments == other.segments


def test_a_line_is_renamed_and_deleted_from_its_menu(window: Window) -> None:
    first, second = window.document.bench.lines
    menu = right_click_line(window, 1)
    entry(menu, "Rename").trigger()
    menu.close()
    editor = QApplication.focusWidget()
    editor.selectAll()
    keys("Tailout", Qt.Key.Key_Return)
    settle()
    assert window.document.bench.line(second.key).name == "Tailout"
    assert window.document.line is first
    menu = right_click_line(window, 1)
    entry(menu, "Delete").trigger()
    menu.close()
    assert window.document.bench.lines == (first,)


def right_click_line(window: Window, row: int) -> QMenu:
    view: QWidget = window.rack.view.viewport()
    at: QPoint = window.rack.view.visualRect(window.rack.model.index(row)).center()
    reason = QContextMenuEvent.Reason.Mouse
    QApplication.sendEvent(view, QContextMenuEvent(reason, at, view.mapToGlobal(at)))
    return open_menu()


# -- menus of the figures --------------------------------------------------------------------------


def right_click_on(widget: QWidget) -> QMenu:
    """The menu that the right button opens over a widget, or over what that lies in."""
    at, reason = widget.rect().center(), QContextMenuEvent.Reason.Mouse
    QApplication.sendEvent(widget, QContextMenuEvent(reason, at, widget.mapToGlobal(at)))
    return open_menu()


def test_a_figure_is_copied_and_explained_from_its_menu(window: Window) -> None:
    readouts = shape(window).readouts
    for widget, value, said in (
        (readouts.figures["ratio"], readouts.figures["ratio"].value, "÷ rod length"),
        (readouts.weight, readouts.weight.text(), "neither handling nor running line"),
        (readouts.gauge, readouts.weight.text(), "neither handling nor running line"),
    ):
        menu = right_click_on(widget)
        entry(menu, "Copy this figure").trigger()
        menu.close()
        assert QGuiApplication.clipboard().text() == value
        assert value in status(window)
        menu = right_click_on(widget)
        entry(menu, "How it is worked out").trigger()
        menu.close()
        dialog = open_dialog(window, TextDialog)
        assert any(said in each for each in words_on(dialog))
        dialog.close()
        settle()
    menu = right_click_on(readouts.figures["sink"])
    entry(menu, "Copy the readouts").trigger()
    menu.close()
    assert readouts.figures["sink"].value in QGuiApplication.clipboard().text()


def test_the_status_line_says_what_can_be_done_with_a_figure(window: Window) -> None:
    figure = shape(window).readouts.figures["mean"]
    settle()
    window.status.say(Sentence(""))
    QTest.mouseMove(window, QPoint(3, window.height() // 2))
    settle()
    QTest.mouseMove(figure, figure.rect().center())
    settle()
    assert "copy this figure" in status(window)
    QTest.mouseMove(window, QPoint(3, window.height() // 2))
    settle()
    assert status(window) == ""


def test_every_figure_is_reached_by_keys_and_has_its_menu(window: Window) -> None:
    page = shape(window)
    page.readouts.weight.setFocus()
    names = ["Head weight", *(figure.name for figure in page.readouts.figures.values())]
    for name in names:
        keys(Qt.Key.Key_Menu)
        menu = open_menu()
        entry(menu, "Copy this figure").trigger()
        menu.close()
        wait_active(window)
        values = {each: value for each, value, _ in page.current_readouts()}
        assert QGuiApplication.clipboard().text() == values[name], name
        if name != names[-1]:
            keys(Qt.Key.Key_Right)
    keys(*[Qt.Key.Key_Up] * len(names))
    assert QApplication.focusWidget() is page.readouts.weight or (
        page.readouts.isAncestorOf(QApplication.focusWidget())
    )


# -- the page of keys ------------------------------------------------------------------------------


def test_f1_lists_every_key_of_the_window(window: Window) -> None:
    at_cell(window, 0, 1)
    keys(Qt.Key.Key_F1)
    dialog = open_dialog(window, KeysDialog)
    listed = dialog.list.toPlainText().replace("\u00a0", " ")
    for name, action in window.menus.actions.items():
        for shortcut in action.shortcuts():
            if shortcut[0].key() < Qt.Key.Key_Back:  # no key of a multimedia board
                assert native(shortcut) in listed, name
    for use in USES:
        assert use.help.does in listed
        assert all(native(key) in listed for key in use.keys)
    rows = [*plots_of(window).ring_help, *window.rack.view.help]
    assert all(capital(row.does) in listed for row in rows)
    for row in shape(window).table.key_help:
        assert row.how in listed
        assert row.does in listed
    # A key of this page alone.
    assert "Show the head only, or the whole line" in listed
    dialog.close()


def test_the_page_of_keys_is_searched_copied_and_printed(window: Window) -> None:
    keys(Qt.Key.Key_F1)
    dialog = open_dialog(window, KeysDialog)
    keys("undo")
    keys(Qt.Key.Key_Return)
    assert dialog.isVisible()
    assert "Ctrl+Z" in dialog.list.toPlainText()
    assert "Ctrl+S" not in dialog.list.toPlainText().split()
    click(button(dialog, "Copy"))
    copied = QGuiApplication.clipboard().text()
    assert "Undo" in copied
    assert "Save" not in copied
    printed: list[list[HelpGroup]] = []
    dialog.print_asked.disconnect()
    dialog.print_asked.connect(printed.append)
    dialog.search.clear()
    click(button(dialog, "Print…"))
    text = text_of(keys_sheet(printed[0]), System.US)
    assert text.startswith("Keys and mouse")
    assert "See all of it" in text
    dialog.search.setFocus()
    keys("no such key at all")
    assert dialog.found() == []
    assert "Nothing" in dialog.list.toPlainText()
    dialog.close()


def test_the_page_of_keys_tells_of_the_plots_of_the_page_that_is_shown(window: Window) -> None:
    window.file_menu.open_path(sample("measured_head.taperlab"))
    window.show_page("measure")
    window.jobs.settle()
    groups = {group.title: group for group in window.menus.key_help()}
    does = {row.does: row.how for row in groups["Keys on the plots"].rows}
    assert does["Fix a breakpoint where the crosshair is"] == native(QKeySequence("Ins"))
    # Space has another use here than on other plots.
    assert "Choose the same breakpoint on the other plot" not in does
    mouse = {row.how: row.does for row in groups["The mouse on the plots"].rows}
    assert mouse["Double-click"] == "hold a breakpoint there, or the one that is there"
    drag = groups["The mouse on a ring of the plots"].rows[0]
    assert drag.does == "move it, in steps of 1/8 in"  # the tape of this measurement
    window.show_page("cut")
    assert "Keys on the plots" not in {group.title for group in window.menus.key_help()}


def test_the_page_of_keys_names_undo_without_its_step_and_only_keys_that_keyboards_have(
    window: Window,
) -> None:
    window.menus.actions["duplicate_line"].trigger()
    (edit,) = (group for group in window.menus.key_help() if group.title == "Edit")
    does = {row.does: row.how for row in edit.rows}
    assert "Undo" in does
    rare = {f"F{number}" for number in range(13, 36)}
    assert not rare & {key for how in does.values() for key in how.split(", ")}
