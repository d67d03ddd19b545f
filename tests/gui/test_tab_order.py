"""The Tab key goes through every page as the eye does."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QApplication, QFrame, QTableView, QWidget

from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.room import SideColumn
from taperlab.gui.kit.widgets import Card
from taperlab.gui.pages.catalogue import PAGES, Entry
from taperlab.shipped import sample
from tests.gui.hands import (
    CTRL,
    ENTER,
    NOISE,
    NONE,
    SHIFT,
    TAB,
    keys,
    settle,
    shape,
    wait_active,
)

BACKTAB = Qt.Key.Key_Backtab

pytestmark = pytest.mark.qt_log_ignore(NOISE)

each_page = pytest.mark.parametrize("entry", PAGES, ids=[entry.key for entry in PAGES])


def opened(make: Callable[..., Window], entry: Entry, size: QSize) -> Window:
    window = make(Preferences(theme=Theme.LIGHT, welcome_seen=True), demo=False)
    window.file.put_in_hand(read_bench(sample(entry.sample)), None)
    window.show_page(entry.key)
    window.resize(size)
    window.jobs.settle()
    settle()
    wait_active(window)
    return window


def walked(window: Window, *, back: bool = False) -> list[QWidget]:
    """All that the Tab key stops at, from the list of pages until it is there again."""
    window.page_list.setFocus()
    found: list[QWidget] = []
    for _ in range(120):
        now = QApplication.focusWidget()
        if found and now is found[0]:
            return found
        found.append(now)
        held = CTRL if isinstance(now, QTableView) else NONE
        keys(BACKTAB if back else TAB, modifier=held | SHIFT if back else held)
        settle()
    pytest.fail("the Tab key does not come round")


def holder(widget: QWidget, kind: type[QWidget]) -> QWidget | None:
    """The innermost one of a kind that a widget lies in."""
    above = widget.parentWidget()
    while above is not None and not isinstance(above, kind):
        above = above.parentWidget()
    return above


def column(window: Window, widget: QWidget) -> int:
    """Left, work, beside it, below all."""
    if window.status.isAncestorOf(widget):
        return 3
    if not window.pages.isAncestorOf(widget):
        return 0
    side = holder(widget, SideColumn)
    return 2 if side is not None and not side.leads else 1


def place(widget: QWidget) -> QRect:
    """Where it lies in its column, wherever that is scrolled to."""
    return QRect(widget.mapTo(widget.window(), QPoint()), widget.size())


def follows(one: QRect, other: QRect) -> bool:
    """Whether the eye comes to one first: it is higher, or in one row and further left."""
    shared = min(one.bottom(), other.bottom()) - max(one.top(), other.top())
    if shared > 0.5 * min(one.height(), other.height()):
        return one.left() < other.left()
    return one.top() < other.top()


def parted(card: QWidget, one: QWidget, other: QWidget) -> bool:
    """Whether an upright rule of the card divides it into columns, and one lies further left."""
    rules = [place(each) for each in card.findChildren(QFrame, "rule") if each.isVisible()]
    return any(
        rule.height() > rule.width() and place(one).right() < rule.left() < place(other).left()
        for rule in rules
    )


@each_page
@pytest.mark.parametrize("size", [QSize(1280, 2600), QSize(800, 3600)], ids=["beside", "below"])
def test_the_tab_key_goes_as_the_eye_reads(
    make: Callable[..., Window], entry: Entry, size: QSize
) -> None:
    window = opened(make, entry, size)
    stops = walked(window)
    assert len(stops) > 10
    columns = [column(window, each) for each in stops]
    assert columns == sorted(columns), [str(each.accessibleName()) for each in stops]
    wrong = []
    for one, other in pairwise(stops):
        if column(window, one) != column(window, other):
            continue
        cards = [holder(each, Card) or each for each in (one, other)]
        boxes = (one, other) if cards[0] is cards[1] else cards
        if not (follows(*map(place, boxes)) or parted(cards[0], one, other)):
            wrong.append((one.accessibleName(), other.accessibleName()))
    assert wrong == []


@each_page
def test_shift_and_tab_go_the_same_way_back(make: Callable[..., Window], entry: Entry) -> None:
    window = opened(make, entry, QSize(1280, 800))
    there, back = walked(window), walked(window, back=True)
    assert back == [there[0], *reversed(there[1:])]
    assert there[-2:] == [window.status.solve_button, window.status.units_button]


def test_tab_in_the_field_of_a_figure_takes_it_and_goes_on_from_there(window: Window) -> None:
    readouts = shape(window).readouts
    length, ratio = (readouts.typed[each] for each in list(readouts.typed)[1:3])
    length.setFocus()
    keys(ENTER)
    assert length.field is not None
    keys("36 ft", TAB)
    settle()
    assert length.text() == "36 ft"
    assert ratio.hasFocus()


PAGES_THAT_GO = """
import random
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget
from taperlab.gui.kit.reading_order import use_reading_order

app, chance = QApplication([]), random.Random(1)
root = QWidget()
column = QVBoxLayout(root)
for _ in range(600):
    page = QWidget()
    rows = QVBoxLayout(page)
    for _ in range(chance.randint(1, 8)):
        if chance.random() < 0.5:
            rows.addStretch(1)
        else:
            row = QHBoxLayout()
            row.addStretch(1)
            row.addWidget(QLineEdit())
            rows.addLayout(row)
    column.addWidget(page)
    use_reading_order(root)
    if column.count() > 5:
        gone = root.children()[1]
        gone.setParent(None)
        gone.deleteLater()
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
"""


def test_what_was_laid_out_and_is_gone_is_not_taken_for_what_is_there() -> None:
    # In a process of its own: where this goes wrong it takes the process with it.
    ended = subprocess.run(
        [sys.executable, "-c", PAGES_THAT_GO],
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert ended.returncode == 0, ended.stderr
