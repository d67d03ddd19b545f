"""Versions of a line in the window: kept, laid over, told of, brought back, put on the bench."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QMenu

from taperlab.edits.values import set_length
from taperlab.edits.versions import keep_version
from taperlab.gui.dialogs.version import KeepDialog, VersionNoteDialog
from taperlab.gui.frame.rack_model import LINE_ROLE
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.theme import DARK, DASHES, LIGHT, Tokens
from taperlab.gui.plots.line_plots import WEIGHT_ALONG
from taperlab.gui.plots.styles import overlay_style, style_at
from taperlab.gui.state.document import Document
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line, Style, line_of
from taperlab.model.segment import Part, Segment
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    INCH,
    NOISE,
    ask_for_menu,
    click,
    keys,
    open_dialog,
    settle,
    shape,
    status,
    wait_active,
    words_on,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def head(key: str, name: str) -> Line:
    return line_of(
        key,
        name,
        (
            Segment(Part.FRONT_TAPER, 8 * FOOT, 0.04 * INCH, 0.09 * INCH, 900.0),
            Segment(Part.BELLY, 16 * FOOT, 0.09 * INCH, 0.09 * INCH, 900.0),
        ),
        Style.SCANDI,
    )


def listed(window: Window) -> list[str]:
    model = window.rack.model
    return [str(model.index(row).data()) for row in range(model.rowCount())]


def row_of(window: Window, name: str) -> QPoint:
    view, model = window.rack.view, window.rack.model
    return view.visualRect(model.index(listed(window).index(name))).center()


def choose(menu: QMenu, text: str) -> None:
    next(each for each in menu.actions() if each.text() == text).trigger()
    menu.close()
    settle()


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=lambda each: each.name)
def test_each_age_has_its_dash_and_no_style_of_a_line(qapp: QApplication, tokens: Tokens) -> None:
    bench = Bench((head("a", "Weir"), head("b", "Pool")))
    for _ in range(2 * len(DASHES)):
        bench = keep_version(bench, "a", "", "2026-03-14").bench
    bench = keep_version(bench, "b", "", "2026-03-14").bench
    document = Document(bench)
    styles = [overlay_style(document, each, tokens) for each in bench.versions]
    assert [dash for _, dash in styles[: len(DASHES)]] == list(DASHES)
    assert len(set(styles[:-1])) == 2 * len(DASHES)
    assert styles[-1] == styles[0]  # the oldest of another line
    assert not {style_at(place, tokens) for place in range(4 * len(DASHES))} & set(styles)
    # One that is kept changes no other's.
    later = keep_version(bench, "a", "", "2026-03-15").bench
    again = [overlay_style(Document(later), each, tokens) for each in bench.versions]
    assert again == styles


def test_a_version_from_keeping_to_bringing_back(make: Callable[..., Window]) -> None:
    window = make()
    window.file.put_in_hand(Bench((head("a", "Weir"), head("b", "Pool")), view=View("a")), None)
    settle()
    document, view, model = window.document, window.rack.view, window.rack.model
    first = document.bench

    # Kept by its key, under the name that is offered; it is shown under its line.
    keys(Qt.Key.Key_K, modifier=CTRL)
    dialog = open_dialog(window, KeepDialog)
    assert dialog.name.text() == "Version 1"
    assert dialog.name.hasFocus()
    dialog.note.setPlainText("as bought")
    dialog.accept_button.click()
    wait_active(window)
    (version,) = document.bench.versions
    assert (version.of, version.note, version.line) == ("a", "as bought", document.line)
    assert listed(window) == ["Weir", "Version 1", "Pool"]
    assert "Version 1" in status(window)

    # Folded away by key, and shown again by the mouse on what folds it.
    view.setFocus()
    view.setCurrentIndex(model.index(1))
    keys(Qt.Key.Key_Left)
    assert listed(window) == ["Weir", "Pool"]
    assert (
        model.index(0).data(Qt.ItemDataRole.AccessibleTextRole).endswith("1 version, folded away")
    )
    assert view.currentIndex().data() == "Weir"
    at_end = QPoint(view.viewport().width() - 12, row_of(window, "Weir").y() + 8)
    click(view.viewport(), at_end)
    assert listed(window) == ["Weir", "Version 1", "Pool"]

    # Laid over by Space: one style in list, plots and card, and words on what became of the line.
    document.apply(set_length, "a", 1, 15 * FOOT)
    view.setFocus()
    view.setCurrentIndex(model.index(1))
    keys(Qt.Key.Key_Space)
    settle()
    assert document.bench.view.version_overlays == (version.key,)
    assert document.line.key == "a"
    assert [each.name for each in shape(window).plots.drawing.laid] == ["Version 1"]
    tokens = window.theme.tokens
    style = overlay_style(document, version, tokens)
    (ink,) = shape(window).plots.panels[WEIGHT_ALONG].laid.inks
    assert (ink.colour, ink.dash) == style
    assert model.mark(version, tokens).color().name().upper() == style[0].upper()
    said = "Segment 2, belly: length 15 ft (was 16 ft)."
    assert said in words_on(shape(window).against)
    tip = model.index(1).data(Qt.ItemDataRole.ToolTipRole)
    assert tip.startswith("Version 1, version of Weir\n")
    assert said in tip
    assert "as bought" in tip
    keys(Qt.Key.Key_Left)  # one that is laid over stays where it can be taken off
    assert listed(window) == ["Weir", "Version 1", "Pool"]

    # Beside another line it says whose it is.
    document.look(line="b")
    assert [whole.name for _, whole in document.laid_over()] == ["Version 1 (Weir)"]

    # The menu: a note, another name, back to what it was, a line of its own, gone.
    choose(ask_for_menu(view, row_of(window, "Version 1")), "Note…")
    noted = open_dialog(window, VersionNoteDialog)
    noted.note.setPlainText("from the shop")
    noted.accept_button.click()
    wait_active(window)
    assert document.bench.versions[0].note == "from the shop"
    view.setFocus()
    view.setCurrentIndex(model.index(1))
    keys(Qt.Key.Key_F2)
    QApplication.focusWidget().selectAll()
    keys("Before", ENTER)
    settle()
    assert document.bench.versions[0].name == "Before"
    changed = document.bench.line("a")
    choose(ask_for_menu(view, row_of(window, "Before")), "Bring back")
    assert document.line == first.line("a")
    document.undo_stack.undo()
    assert document.bench.line("a") == changed
    document.undo_stack.redo()
    choose(ask_for_menu(view, row_of(window, "Before")), "Bring back")
    assert "already" in status(window)
    choose(ask_for_menu(view, row_of(window, "Before")), "Put on the bench")
    assert [line.name for line in document.bench.lines] == ["Weir", "Weir, Before", "Pool"]
    assert document.line.name == "Weir, Before"

    # A version whose line is gone stands below, and can be put on the bench or deleted.
    choose(ask_for_menu(view, row_of(window, "Weir")), "Delete")
    assert listed(window)[-2:] == ["Of lines that are gone", "Before"]
    menu = ask_for_menu(view, row_of(window, "Before"))
    assert "Bring back" not in [each.text() for each in menu.actions()]
    menu.close()
    choose(ask_for_menu(view, row_of(window, "Before")), "Delete")
    assert not document.bench.versions
    assert listed(window) == ["Weir, Before", "Pool"]
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.bench.lines == first.lines
    assert document.bench.versions == ()
    assert view.currentIndex().data(LINE_ROLE) is document.line
