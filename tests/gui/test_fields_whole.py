"""Every field of every page shows the whole of its value, at any window size and font."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QScrollArea,
    QStyle,
    QStyleOptionFrame,
    QWidget,
)

from taperlab.edits import cut_back as edits
from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.pages import catalogue
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutEnd
from taperlab.shipped import sample
from taperlab.units.kinds import System
from tests.gui.hands import INCH, settle

pytestmark = [
    pytest.mark.qt_log_ignore("propagateSizeHints", extend=True),
    pytest.mark.qt_log_ignore("This plugin does not support", extend=True),
]

SIZES = ((960, 600), (1024, 700), (1280, 800), (1920, 1080))


@pytest.fixture
def zoom(request: pytest.FixtureRequest) -> Iterator[int]:
    """Letters so many times as large as the system's [%]."""
    usual = QApplication.font()
    yield request.param
    QApplication.setFont(usual)


def benches(page: str) -> tuple[Bench, ...]:
    """What is looked at: the sample of a page, a build too, a cut-back with cuts at both ends."""
    own = read_bench(sample(next(each.sample for each in catalogue.PAGES if each.key == page)))
    if page == "pieces":
        return own, read_bench(sample("build.taperlab"))
    if page != "cut":
        return (own,)
    job = own.cut_backs[0].key
    both = edits.set_end(own, job, CutEnd.BOTH, 0.45).bench
    begun = replace(both, cut_backs=(replace(both.cut_backs[0], steps=()),))
    return own, edits.set_limits(
        begun, job, replace(begun.cut_backs[0].limits, shortest=(36 * 12 + 11.375) * INCH)
    ).bench


def hidden(page: QWidget) -> list[str]:
    """Fields that are seen and show less than their text, or stick out of what holds them."""
    found = []
    for field in page.findChildren(QLineEdit):
        if not field.isVisible() or not field.text():
            continue
        option = QStyleOptionFrame()
        field.initStyleOption(option)
        inside = field.style().subElementRect(QStyle.SubElement.SE_LineEditContents, option, field)
        # Qt keeps two pixels free at either side of the text.
        room = inside.width() - 4
        needs = field.fontMetrics().horizontalAdvance(field.text())
        left = field.mapTo(page, field.rect().topLeft()).x()
        out = left < 0 or left + field.width() > page.width()
        holder = field.parentWidget()
        while holder is not None and holder is not page:
            at = field.mapTo(holder, field.rect().topLeft()).x()
            out |= at < 0 or at + field.width() > holder.width()
            holder = holder.parentWidget()
        if needs > room or out:
            found.append(f"{field.accessibleName()}: {field.text()!r} {needs} in {room}, {out}")
    return found


@pytest.mark.parametrize("page", [each.key for each in catalogue.PAGES])
@pytest.mark.parametrize(
    ("zoom", "system"), [(100, System.METRIC), (140, System.US)], indirect=["zoom"]
)
def test_no_field_hides_part_of_its_value(
    make: Callable[..., Window], zoom: int, page: str, system: System
) -> None:
    window = make(Preferences(zoom=zoom, theme=Theme.LIGHT, welcome_seen=True), demo=False)
    window.use_system(system)
    for bench in benches(page):
        window.file.put_in_hand(bench, None)
        window.show_page(page)
        window.jobs.settle()
        for size in SIZES:
            window.resize(*size)
            for _ in range(3):
                settle()
            assert hidden(window.pages.page(page)) == [], (size, zoom)
            for area in window.pages.page(page).findChildren(QScrollArea):
                if area.isVisible() and area.widget() is not None:
                    assert area.widget().width() <= area.viewport().width(), (size, zoom)
        window.document.undo_stack.setClean()
