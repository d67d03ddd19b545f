"""A person's hands: keys, mouse and clipboard, and answers to questions that stop the program."""

from __future__ import annotations

import warnings
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Protocol

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QMimeData, QPoint, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QContextMenuEvent, QDragEnterEvent, QDropEvent, QFontMetricsF, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLabel,
    QLineEdit,
    QMenu,
    QMessageBox,
    QWidget,
)

from taperlab.gui.frame.window import Window
from taperlab.gui.kit.widgets import Elided
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.model.bench import Bench, View

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6
"""Exact by definition: NIST SP 811 (2008), app. B.8."""

ENTER, TAB, ESC = Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Escape
NONE = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier

NOISE = "This plugin does not support"
"""What the screenless platform says of every dialog and menu."""


def keys(*pressed: str | Qt.Key, modifier: Qt.KeyboardModifier = NONE) -> None:
    """Press keys wherever the focus is."""
    for one in pressed:
        target = QApplication.activePopupWidget() or QApplication.focusWidget()
        assert target is not None, "nothing has the focus"
        if isinstance(one, str):
            for letter in one:  # the first may open an editor, which takes the rest
                QTest.keyClicks(QApplication.focusWidget(), letter)
        else:
            QTest.keyClick(target, one, modifier)


def nudge(
    *pressed: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.AltModifier
) -> None:
    """Press keys again and again while a modifier is held down, wherever the focus is."""
    for one in pressed:
        QTest.keyPress(QApplication.focusWidget(), one, modifier)


def settle() -> None:
    """Let everything happen that waits for its turn, deletions too."""
    QApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def at_cell(window: Window, row: int, column: int) -> None:
    """Go to a cell of the table."""
    table = shape(window).table
    if not window.isActiveWindow():
        wait_active(window)
    table.setFocus()
    chosen = table.selectionModel()
    chosen.setCurrentIndex(table.segments.index(row, column), chosen.SelectionFlag.ClearAndSelect)


def cell(window: Window, row: int, column: int) -> str:
    """What a cell shows."""
    return str(shape(window).table.segments.index(row, column).data())


def type_into(window: Window, row: int, column: int, text: str) -> None:
    """Type into a cell and press Enter."""
    at_cell(window, row, column)
    keys(text, ENTER)


def click(widget: QWidget, where: QPoint | None = None) -> None:
    """Press and let go of the left button."""
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton, NONE, where or widget.rect().center())


def drag(
    widget: QWidget, start: QPointF, by: QPointF, steps: int = 4, *, release: bool = True
) -> None:
    """Drag with the left button held; a move in a test carries no button unless it is sent so."""
    QTest.mousePress(widget, Qt.MouseButton.LeftButton, NONE, start.toPoint())
    for step in range(1, steps + 1):
        to = start + by * (step / steps)
        held = Qt.MouseButton.LeftButton
        event = QMouseEvent(
            QEvent.Type.MouseMove,
            to,
            widget.mapToGlobal(to),
            Qt.MouseButton.NoButton,
            held,
            NONE,
        )
        QApplication.sendEvent(widget, event)
    if release:
        QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, NONE, (start + by).toPoint())


def drop(window: Window, *paths: Path) -> None:
    """Drag files onto the window and let go."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    where, copy, button = QPointF(300, 300), Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    with warnings.catch_warnings():
        # Newer bindings want a point of another kind here, which older ones do not take.
        warnings.simplefilter("ignore", DeprecationWarning)
        enter = QDragEnterEvent(where.toPoint(), copy, data, button, NONE)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(where, copy, data, button, NONE))


_waiting: list[list[str]] = []


def forget_answers() -> None:
    """Answer nothing that a later test asks."""
    _waiting.clear()


def answer(button: QMessageBox.StandardButton | Callable[[QDialog], object]) -> list[str]:
    """Answer the next question that stops the program. Gives a list that will hold its words.

    The answer is laid out before the question is put, since asking does not come back without one.
    """
    asked: list[str] = []
    _waiting.append(asked)

    def look(left: int = 200) -> None:
        if not any(each is asked for each in _waiting):
            return
        box = QApplication.activeModalWidget()
        if box is None:
            if left:
                QTimer.singleShot(5, lambda: look(left - 1))
            return
        if isinstance(box, QMessageBox):
            asked.append(f"{box.text()} {box.informativeText()}")
        else:
            asked.append(box.windowTitle())
        if isinstance(button, QMessageBox.StandardButton):
            click(box.button(button))
        else:
            button(box)

    QTimer.singleShot(0, look)
    return asked


def name_file(monkeypatch: pytest.MonkeyPatch, path: Path | None, chosen: str = "") -> None:
    """Name a file to the next file dialogs; None is Cancel."""

    def named(*_arguments: object, **_options: object) -> tuple[str, str]:
        return ("" if path is None else str(path)), chosen

    monkeypatch.setattr(QFileDialog, "getOpenFileName", named)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", named)


def open_dialog(window: Window, kind: type[QDialog]) -> QDialog:
    """The dialog of a kind that is open on a window."""
    found = [each for each in window.findChildren(kind) if each.isVisible()]
    assert len(found) == 1, found
    wait_active(found[0])
    return found[0]


def wait_active(window: QWidget) -> None:
    """Wait until a window takes the keys; Qt's own wait is content with the window below it."""
    window.activateWindow()
    for _ in range(2000):
        QApplication.processEvents()
        if window.isActiveWindow():
            return
        QTest.qWait(1)
    pytest.fail(f"{window} does not become active")


class Studied(Protocol):
    """A page that shows what is worked out beside the window."""

    @property
    def is_settled(self) -> bool: ...


def settled(page: Studied) -> None:
    """Wait until a page shows what the bench holds now."""
    for _ in range(10_000):
        QApplication.processEvents()
        if page.is_settled:
            QApplication.processEvents()
            return
        QTest.qWait(1)
    pytest.fail(f"{page} does not come to rest")


def retype(field: QLineEdit, *pressed: str | Qt.Key) -> None:
    """Go to a field and type over what is in it."""
    field.setFocus()
    field.selectAll()
    keys(*pressed)


def field(root: QWidget, name: str) -> QLineEdit:
    """The field of that name, as a screen reader finds it."""
    (found,) = (each for each in root.findChildren(QLineEdit) if each.accessibleName() == name)
    return found


def button(root: QWidget, text: str) -> QAbstractButton:
    """The button that says so."""
    return next(each for each in root.findChildren(QAbstractButton) if each.text() == text)


def choose(box: QComboBox, index: int) -> None:
    """Open a list and choose from it, as one step, by keys."""
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    shown = box.view()
    assert shown.isVisible()
    QTest.keyClick(shown, Qt.Key.Key_Home)
    for _ in range(index):
        QTest.keyClick(shown, Qt.Key.Key_Down)
    QTest.keyClick(shown, ENTER)
    wait_active(box.window())
    assert box.currentIndex() == index


def problem(dialog: QDialog) -> QLabel:
    """Where a dialog says what is wrong."""
    found = dialog.findChild(QLabel, "problem")
    assert isinstance(found, QLabel)
    return found


def ask_for_menu(view: QAbstractScrollArea, where: QPoint) -> QMenu:
    """The menu that the right button opens there."""
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, where, view.viewport().mapToGlobal(where)
    )
    QApplication.sendEvent(view.viewport(), event)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    return menu


def menu(window: Window, title: str) -> QMenu:
    """The menu with a title, its underlined letter left out."""
    menus = window.menuBar().findChildren(QMenu)
    return next(each for each in menus if each.title().replace("&", "") == title)


def status(window: Window) -> str:
    """What the status line says."""
    return status_label(window).text()


def status_label(window: Window) -> QLabel:
    """The label of the status line, whose role colours it."""
    found = window.findChild(QLabel, "status")
    assert isinstance(found, QLabel)
    return found


def shape(window: Window) -> ShapePage:
    """The Shape page."""
    page = window.pages.page("shape")
    assert isinstance(page, ShapePage)
    return page


def banners(window: Window) -> list[str]:
    """The sentences across the top of the window."""
    return [
        each.accessibleName()
        for each in window.banners.findChildren(QWidget)
        if each.objectName() == "card" and not each.isHidden()
    ]


def words_on(widget: QWidget) -> list[str]:
    """The texts of the labels that are seen."""
    return [each.text() for each in widget.findChildren(QLabel) if each.isVisible()]


def without_view(bench: Bench) -> Bench:
    """A bench but for what was being looked at, which is no undo step."""
    return replace(bench, view=View())


def needed(widget: QWidget) -> float:
    """Width that the longest line of a widget's text takes."""
    text = widget.text().replace("&", "")
    metrics = QFontMetricsF(widget.font())
    return max((metrics.horizontalAdvance(line) for line in text.splitlines()), default=0.0)


def clipped(root: QWidget) -> list[str]:
    """Texts that are seen and have less room than they take."""
    found = []
    for each in root.findChildren(QWidget):
        if not isinstance(each, (QLabel, QAbstractButton)) or not each.isVisible():
            continue
        if not each.text().strip():
            continue
        room = float(each.contentsRect().width())
        if isinstance(each, Elided):
            short = each.toolTip() != each.text() or room < 60.0
        elif isinstance(each, QLabel) and each.wordWrap():
            longest = max(each.text().split(), key=len)
            short = QFontMetricsF(each.font()).horizontalAdvance(longest) > room + 0.5
            short |= each.heightForWidth(each.width()) > each.height() + 1
        else:
            short = needed(each) > room + 0.5
        if short:
            found.append(f"{type(each).__name__} {each.text()!r}: {needed(each):.0f} in {room:.0f}")
    return found
