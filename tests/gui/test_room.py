"""Every page has room for all its controls in any window, and uses what room there is."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, QSize, Qt, QTimer
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractScrollArea,
    QApplication,
    QFrame,
    QScrollArea,
    QScrollBar,
    QSplitterHandle,
    QTableView,
    QWidget,
)
from pytestqt.qtbot import QtBot

from taperlab.edits.rows import insert_default
from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.open_area import OpenArea
from taperlab.gui.kit.room import PageBody, SideColumn
from taperlab.gui.kit.widgets import in_column
from taperlab.gui.pages import catalogue
from taperlab.shipped import sample
from tests.gui.hands import CTRL, NOISE, NONE, TAB, clipped, drag, keys, settle, shape, wait_active

pytestmark = pytest.mark.qt_log_ignore(NOISE)

PAGES = {entry.key: entry.sample for entry in catalogue.PAGES}

SIZES = [
    QSize(910, 512),  # a screen of 1366×768 at one and a half times its size
    QSize(960, 540),  # 1920×1080 at twice its size
    QSize(1024, 700),
    QSize(1280, 800),
    QSize(1920, 1080),
]


@pytest.fixture(autouse=True)
def letters_put_back() -> Iterator[None]:
    usual = QApplication.font()
    yield
    QApplication.setFont(usual)


def opened(make: Callable[..., Window], page: str, zoom: int = 100) -> Window:
    """A window on a page, on the page's sample."""
    window = make(Preferences(theme=Theme.LIGHT, zoom=zoom, welcome_seen=True), demo=False)
    window.file.put_in_hand(read_bench(sample(PAGES[page])), None)
    window.show_page(page)
    window.jobs.settle()
    settle()
    return window


def outside(window: Window) -> list[str]:
    """What is seen and sticks out of what holds it, where no bar scrolls to it."""
    found = []
    for each in window.findChildren(QWidget):
        inner = isinstance(each, (QScrollBar, QSplitterHandle)) or each.window() is not window
        if inner or not each.isVisible() or each.width() * each.height() == 0:
            continue
        box, holder = each.rect(), each.parentWidget()
        here = QRect(each.mapTo(holder, QPoint()), box.size())
        area = holder.parentWidget()
        scrolls = isinstance(area, QAbstractScrollArea) and holder is area.viewport()
        if scrolls and isinstance(area, QScrollArea):
            fits = here.width() <= holder.width()
        else:
            fits = scrolls or holder.rect().contains(here)
        if not fits:
            name = each.accessibleName() or getattr(each, "text", str)()
            found.append(f"{type(each).__name__} {name!r}: {here} in {holder.rect()}")
    return found


@pytest.mark.parametrize("page", list(PAGES))
@pytest.mark.parametrize("zoom", [100, 140])
def test_no_control_and_no_text_is_cut_off_at_any_size(
    make: Callable[..., Window], qtbot: QtBot, page: str, zoom: int
) -> None:
    window = opened(make, page, zoom)
    for size in SIZES:
        window.resize(size)
        settle()
        # Cards within cards find their heights in several turns of the event loop.
        qtbot.waitUntil(lambda: not (outside(window) or clipped(window)), timeout=1500)
        assert window.size() == size


def in_sight(widget: QWidget) -> bool:
    """Whether a widget is seen, whole or as much of it as its area has room for."""
    seen = widget.visibleRegion().boundingRect()
    if isinstance(widget, QAbstractItemView):  # the cell or row that the keys go to
        cell = widget.visualRect(widget.currentIndex())
        return widget.viewport().visibleRegion().contains(cell.center())
    area = widget.parentWidget()
    while area is not None and not isinstance(area, QScrollArea):
        area = area.parentWidget()
    if area is None:
        return not seen.isEmpty()
    return seen.height() >= min(widget.height(), area.viewport().height() // 2)


@pytest.mark.parametrize("page", list(PAGES))
def test_the_tab_key_scrolls_to_every_control_of_a_small_window_with_large_letters(
    make: Callable[..., Window], qtbot: QtBot, page: str
) -> None:
    window = opened(make, page, 140)
    window.resize(910, 512)
    settle()
    # What waits until nothing moves any more would come between two presses of the key.
    waiting = window.pages.current.findChildren(QTimer)
    qtbot.waitUntil(lambda: not any(each.isSingleShot() and each.isActive() for each in waiting))
    body = next(each for each in window.pages.current.findChildren(PageBody) if each.isVisible())
    assert body.is_stacked
    wait_active(window)
    window.page_list.setFocus()
    visited: list[QWidget] = []
    for _ in range(90):
        now = QApplication.focusWidget()
        if visited and now is visited[0]:
            break
        visited.append(now)
        assert in_sight(now), now
        control = CTRL if isinstance(now, QTableView) else NONE
        keys(TAB, modifier=control)
        settle()
    side = body.findChildren(SideColumn)[0]
    for each in window.pages.current.findChildren(QWidget):
        policy = each.focusPolicy() & Qt.FocusPolicy.TabFocus
        if policy and each.isVisible() and each.isEnabled() and not each.focusProxy():
            assert each in visited, each
    assert any(side.isAncestorOf(each) for each in visited)


def fits(table: QTableView) -> bool:
    """Whether all rows are seen, and hardly more."""
    rows, seen = table.verticalHeader().length(), table.viewport().height()
    return rows <= seen < rows + table.rowHeight(0)


def shown_columns(table: QTableView) -> list[str]:
    """Headings of the columns that are seen whole."""
    header, model = table.horizontalHeader(), table.model()
    return [
        str(model.headerData(i, Qt.Orientation.Horizontal))
        for i in range(model.columnCount())
        if not header.isSectionHidden(i)
        and header.sectionViewportPosition(i) + header.sectionSize(i) <= table.viewport().width()
    ]


def test_all_columns_of_measured_tables_are_seen_in_a_small_window(
    make: Callable[..., Window], qtbot: QtBot
) -> None:
    window = opened(make, "measure")
    window.resize(1024, 700)
    page = window.pages.current
    for table in (page.stations, page.sections):
        qtbot.waitUntil(lambda table=table: len(shown_columns(table)) == 4)
        header = table.horizontalHeader()
        for i, heading in enumerate(shown_columns(table)):
            room = header.sectionSize(i) - 2 * 4  # what Qt keeps free of a heading
            assert header.fontMetrics().horizontalAdvance(heading) <= room, heading


def test_the_plots_have_all_the_height_that_the_table_does_not_need(
    make: Callable[..., Window], qtbot: QtBot
) -> None:
    window = opened(make, "shape")
    page = shape(window)
    for size in (QSize(1024, 700), QSize(1280, 800), QSize(1920, 1080)):
        window.resize(size)
        settle()
        qtbot.waitUntil(lambda: fits(page.table), timeout=1500)
        # With its heading and its totals the table still is the smaller of the two.
        upper, lower = page.splitter.sizes()
        assert upper > 1.2 * lower, size


def test_a_border_that_was_dragged_stays(window: Window) -> None:
    page = shape(window)
    handle = page.splitter.handle(1)
    before = page.splitter.sizes()
    drag(handle, QPointF(handle.rect().center()), QPointF(0.0, -60.0))
    dragged = page.splitter.sizes()
    assert dragged[0] < before[0] - 40
    window.document.apply(insert_default, window.document.line.key, 1)
    settle()
    assert page.splitter.sizes() == dragged
    assert set(window.pages.layouts()) == {"shape"}


@pytest.mark.parametrize(("width", "left", "side"), [(1280, 192, 280), (1920, 232, 360)])
def test_columns_beside_the_work_are_as_wide_as_the_window_allows(
    make: Callable[..., Window], width: int, left: int, side: int
) -> None:
    for page in PAGES:
        window = opened(make, page)
        window.resize(width, 900)
        settle()
        body = next(each for each in window.pages.current.findChildren(PageBody))
        assert (window.rack.width(), body.side.width()) == (left, side)
        assert not body.is_stacked


def test_a_window_may_be_as_small_as_the_screen(window: Window) -> None:
    least, screen = window.minimumSize(), window.screen().availableSize()
    assert least.width() <= 640
    assert least.height() <= 400
    for _ in range(8):
        window.menus.actions["larger"].trigger()
    settle()
    assert window.minimumSize().width() > least.width()
    assert window.minimumSize().width() <= screen.width()
    assert window.minimumSize().height() <= screen.height()


@pytest.mark.parametrize("area", [SideColumn, OpenArea])
def test_what_scrolls_keeps_room_for_its_bar(
    qtbot: QtBot, area: Callable[..., QScrollArea]
) -> None:
    """Nothing moves aside where the bar comes, as one more line is said, and goes again."""
    content = QWidget()
    in_column(inner := QWidget(), None, of=content)
    inner.setFixedHeight(100)
    made = SideColumn(content) if area is SideColumn else OpenArea(content, "Work")
    made.setFrameShape(QFrame.Shape.NoFrame)  # as in the style
    qtbot.addWidget(made)
    made.resize(400, 300)
    made.show()
    settle()
    bar, width = made.verticalScrollBar(), made.viewport().width()
    assert bar.maximum() == 0
    assert not bar.isEnabled()  # which the style draws nothing of
    inner.setFixedHeight(500)
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    assert bar.isEnabled()
    assert made.viewport().width() == width
    # Where the whole page scrolls it has no bar, and no room for one.
    made.lie_open(True)
    made.resize(400, 900)
    settle()
    qtbot.waitUntil(lambda: not bar.isVisible())


@pytest.mark.parametrize("size", [QSize(1024, 700), QSize(1180, 760), QSize(1280, 800)])
def test_the_table_of_pieces_needs_no_bar_across(make: Callable[..., Window], size: QSize) -> None:
    window = opened(make, "pieces")
    window.resize(size)
    settle()
    table = window.pages.page("pieces").current_table()
    assert table.isVisible()
    assert table.horizontalScrollBar().maximum() == 0
