"""Every word in the window comes from the catalogue of the language that is read.

Exceptions: the names that people gave and those of files and units, and what Qt itself says.
"""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QAbstractListModel, QBuffer, QByteArray, QIODevice, QPoint, Qt
from PySide6.QtGui import QAction, QPainter
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QGraphicsScene,
    QGraphicsView,
    QGroupBox,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QStatusBar,
    QTabBar,
    QTextEdit,
    QToolButton,
    QWidget,
)

from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.catalogue import PAGES, Entry
from taperlab.gui.pages.pieces.page import PiecesPage
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.gui.paper.layout.reading import text_of
from taperlab.gui.paper.parts import today
from taperlab.shop.pieces.progress import Act
from taperlab.trade.starters import starter_rods, starter_stock
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, render
from tests.contracts.pseudo import CLOSE, UNITS, given, outside, reading_pseudo, words
from tests.gui.hands import NOISE, at_cell, keys, settle, type_into

pytestmark = pytest.mark.qt_log_ignore(NOISE)

OURS = {"Taperlab", "taperlab"}
ROLES = (
    Qt.ItemDataRole.DisplayRole,
    Qt.ItemDataRole.ToolTipRole,
    Qt.ItemDataRole.StatusTipRole,
    Qt.ItemDataRole.AccessibleTextRole,
    Qt.ItemDataRole.AccessibleDescriptionRole,
)


@pytest.fixture(scope="module", autouse=True)
def pseudo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with reading_pseudo(tmp_path_factory.mktemp("language")):
        yield


def said_by_qt(widget: QWidget) -> bool:
    """Whether Qt itself words a button: the usual ones of dialogs, and those that scroll tabs."""
    box = widget.parentWidget()
    if isinstance(box, QDialogButtonBox) and isinstance(widget, QAbstractButton):
        return box.standardButton(widget) != QDialogButtonBox.StandardButton.NoButton
    return isinstance(box, QTabBar)


def paints_itself(widget: QWidget) -> bool:
    """Whether a widget draws texts that nothing else of it says."""
    ours = any(
        each.__module__.startswith("taperlab.") and "paintEvent" in vars(each)
        for each in type(widget).__mro__
    )
    return (ours or isinstance(widget, QGraphicsView)) and not isinstance(widget, QAbstractItemView)


def texts_of(root: QWidget) -> Iterator[tuple[str, str]]:
    """Everything that a window and all in it say, with where it is said."""
    for widget in [root, *root.findChildren(QWidget)]:
        if said_by_qt(widget):
            continue
        where = f"{type(widget).__name__} {widget.objectName()}"
        for text in (
            widget.toolTip(),
            widget.statusTip(),
            widget.whatsThis(),
            widget.accessibleName(),
            widget.accessibleDescription(),
        ):
            yield where, text
        if widget.isWindow():
            yield where, widget.windowTitle()
        if isinstance(widget, QLabel | QAbstractButton | QLineEdit):
            yield where, widget.text()
        if isinstance(widget, QLineEdit | QPlainTextEdit | QTextEdit):
            yield where, widget.placeholderText()
        if isinstance(widget, QPlainTextEdit | QTextEdit):
            yield where, widget.toPlainText()
        if isinstance(widget, QGroupBox | QMenu):
            yield where, widget.title()
        if isinstance(widget, QStatusBar):
            yield where, widget.currentMessage()
        if isinstance(widget, QTabBar):
            for i in range(widget.count()):
                yield where, widget.tabText(i)
                yield where, widget.tabToolTip(i)
        if isinstance(widget, QComboBox):
            for i in range(widget.count()):
                yield where, widget.itemText(i)
                yield where, str(widget.itemData(i, Qt.ItemDataRole.ToolTipRole) or "")
        if isinstance(widget, QAbstractItemView) and widget.model() is not None:
            yield from ((where, text) for text in texts_of_model(widget))
    for action in root.findChildren(QAction):
        if isinstance(action.parent(), QGraphicsScene):
            continue  # of the plotting library, in a menu that is never shown
        where = f"QAction {action.objectName()}"
        for text in (action.text(), action.toolTip(), action.statusTip(), action.whatsThis()):
            yield where, text


def texts_of_model(view: QAbstractItemView) -> Iterator[str]:
    model = view.model()
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount()
    for role in ROLES:
        for way, count in (
            (Qt.Orientation.Horizontal, columns),
            (Qt.Orientation.Vertical, model.rowCount()),
        ):
            for i in range(count):
                yield str(model.headerData(i, way, role) or "")
        for row in range(model.rowCount()):
            for column in range(columns):
                yield str(model.index(row, column).data(role) or "")


def painted(widget: QWidget) -> list[str]:
    """The texts that a widget draws."""
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    generator.setOutputDevice(buffer)
    generator.setSize(widget.size())
    painter = QPainter(generator)
    QWidget.render(widget, painter, QPoint())
    painter.end()
    root = ElementTree.fromstring(content.data().decode())
    return ["".join(each.itertext()).strip() for each in root.iter() if each.tag.endswith("}text")]


def plain(text: str) -> str:
    """A text as it is read: without marks of formatting and of keys, on one line."""
    text = html.unescape(re.sub(r"</?[a-z][^<>]*>", " ", text))
    text = re.sub(
        r"\t.*| \((?:(?:Ctrl|Shift|Alt)\+)*(?:\w+|[-+])\)$", "", text
    )  # keys, as Qt names them
    return " ".join(text.replace("&&", "\0").replace("&", "").replace("\0", "&").split())


def escaped(window: QWidget, known: set[str]) -> set[str]:
    """What a window says that comes from no catalogue."""
    fine = known | UNITS | OURS
    found = set()

    def check(where: str, text: str) -> None:
        left = [word for word in words(outside(text)) if word not in fine]
        if left:
            found.add(f"{where}: {' '.join(left)}  in  {text[:120]}")

    said = {plain(each.text()) for each in window.findChildren(QAbstractButton) if said_by_qt(each)}
    for where, text in texts_of(window):
        read = plain(text)
        said.add(read)
        check(where, read)
    for widget in filter(paints_itself, window.findChildren(QWidget)):
        if widget.isVisible():
            for text in painted(widget):
                check(f"painted by {type(widget).__name__}", plain(text))
    # What is drawn in several lines, or shortened, is a piece of what a widget says.
    everything = "\n".join(said)
    for text in painted(window):
        if not all(piece.strip() in everything for piece in plain(text).split("…")):
            check("painted", plain(text))
    return found


def names(window: Window) -> set[str]:
    known = given(window.document.bench) | given(starter_rods()) | given(starter_stock())
    return known | set(words(outside(window.windowTitle()).partition(" — ")[0]))


@pytest.fixture
def window(make: Callable[..., Window], request: pytest.FixtureRequest) -> Window:
    system = getattr(request, "param", System.US)
    made = make(Preferences(theme=Theme.LIGHT, welcome_seen=True, system=system), demo=False)
    made.resize(1280, 800)
    return made


def show(window: Window, entry: Entry) -> None:
    """A page at work, on the sample that shows it."""
    window.file_menu.open_sample(entry.sample)
    window.turn_to(entry.key)
    settle()
    window.jobs.settle()
    settle()


@pytest.mark.parametrize("window", System, ids=str, indirect=True)
@pytest.mark.parametrize("entry", PAGES, ids=lambda entry: entry.key)
def test_a_page_and_what_it_prints(window: Window, entry: Entry) -> None:
    show(window, entry)
    assert escaped(window, names(window)) == set()
    sheet = window.pages.current.sheet()
    text = (
        render(sheet, System.US)
        if isinstance(sheet, Sentence)
        else text_of(sheet, window.settings.system)
    )
    fine = names(window) | UNITS | OURS | set(words(today()))
    assert [each for each in text.splitlines() if set(words(outside(each))) - fine] == []


def test_the_window_with_nothing_in_hand_and_its_welcome(window: Window) -> None:
    window.menus.actions["welcome"].trigger()
    settle()
    assert escaped(window, names(window)) == set()


def test_what_is_said_of_edits(window: Window) -> None:
    window.file_menu.open_sample("skagit.taperlab")
    settle()
    found = set()
    for row, column, text in ((0, 1, "11 ft"), (1, 1, "nonsense"), (1, 2, "9 ft"), (0, 5, "0.9")):
        type_into(window, row, column, text)
        settle()
        found |= escaped(window, names(window) | {"nonsense"})
        keys(Qt.Key.Key_Escape)
    for command in ("insert_below", "duplicate_rows", "move_up", "delete_rows", "reverse_line"):
        window.menus.actions[command].trigger()
        settle()
        found |= escaped(window, names(window))
    for command in ("undo", "undo", "redo"):
        window.menus.actions[command].trigger()
        settle()
        found |= escaped(window, names(window))
    assert found == set()


OPENING = (
    *(
        "bench_note",
        "give_away",
        "describe_line",
        "find_weight",
        "insert_stock",
        "keep_stock",
        "split_here",
    ),
    *(
        "begin_line",
        "bound_cell",
        "edit_core",
        "edit_joint",
        "edit_rods",
        "edit_water",
        "methods",
        "cautions",
        "about",
    ),
)
"""Commands that open a dialog of ours."""


def dialogs(window: Window) -> list[QDialog]:
    return [each for each in window.findChildren(QDialog) if each.isVisible()]


@pytest.mark.parametrize("command", OPENING)
def test_a_dialog(window: Window, command: str) -> None:
    window.file_menu.open_sample("skagit.taperlab")
    at_cell(window, 1, 1)
    window.menus.actions[command].trigger()
    settle()
    (dialog,) = dialogs(window)
    assert escaped(dialog, names(window)) == set()
    dialog.reject()


def test_the_preview_of_a_table_that_is_read_in(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_text("what,length,front\nbelly,20,0.09\nknot,x,0.09\n", encoding="utf-8")
    window.file_menu.import_path(path)
    settle()
    (dialog,) = dialogs(window)
    theirs = set(words("what length front belly knot table csv"))
    assert escaped(dialog, names(window) | theirs) == set()
    dialog.reject()


@pytest.mark.parametrize(
    "entry",
    [each for each in PAGES[1:] if each.key not in ("air", "pieces", "jobs")],
    ids=lambda entry: entry.key,
)
def test_dialogs_that_a_page_opens(window: Window, entry: Entry) -> None:
    show(window, entry)
    page = window.pages.current
    opened, found = 0, set()
    presses = [
        (each.text(), each.click)
        for each in page.findChildren(QAbstractButton)
        if each.isVisible() and not (isinstance(each, QToolButton) and each.menu())
    ]
    chosen = [(each.text(), each.trigger) for each in page.findChildren(QAction)]
    for text, press in (*presses, *chosen):
        # Qt's own dialogs for printing and for files hold the program until they are answered.
        own = any(each in text for each in ("rint", "CSV", "Sheets"))
        if text.rstrip(CLOSE).endswith("…") and not own:
            press()
            settle()
            for dialog in dialogs(window):
                opened += 1
                found |= escaped(dialog, names(window))
                dialog.reject()
            settle()
    assert opened
    assert found == set()


def test_goals_that_are_met_and_that_are_not(window: Window) -> None:
    window.file_menu.open_sample("goals.taperlab")
    settle()
    page = window.pages.current
    assert isinstance(page, ShapePage)
    for key in [line.key for line in window.document.bench.lines]:
        window.document.look(line=key)
        page.goals.propose()
        window.jobs.settle()
        settle()
        assert escaped(window, names(window)) == set()
    assert page.goals.why is not None


def test_a_head_that_is_built(window: Window) -> None:
    """Each step of a build, a reading that is odd, and the bench view."""
    window.file_menu.open_sample("build.taperlab")
    window.turn_to("pieces")
    settle()
    page = window.pages.current
    assert isinstance(page, PiecesPage)
    flow, found, acts = page.flow, set(), []
    for _ in range(12):
        settle()
        acts.append(flow.act)
        found |= escaped(window, names(window))
        progress = flow.progress
        assert progress is not None
        point = progress.point(flow.after)
        if flow.act in (Act.TRIM, Act.TRIM_REAR) and flow.trim is not None:
            flow.keep_balance(on=True)
            found |= escaped(window, names(window))
            flow.trim_off(flow.trim.length)
        elif flow.act is Act.ASK:
            flow.weigh_again()
            found |= escaped(window, names(window))
            assert point is not None
            flow.read(point.mass)
        elif flow.act is Act.MAKE_LOOPS:
            flow.make_loops()
        elif flow.act is Act.PUT_ON_BENCH or point is None:
            break
        else:
            odd = Act.ASK not in acts
            flow.read(point.mass + 5.0 * point.reach if odd else point.mass)
    assert {Act.TRIM, Act.JOIN, Act.ASK, Act.MAKE_LOOPS, Act.WEIGH_LAST} <= set(acts)
    page.open_bench_view()
    settle()
    (view,) = dialogs(window)
    found |= escaped(view, names(window))
    view.reject()
    assert found == set()
