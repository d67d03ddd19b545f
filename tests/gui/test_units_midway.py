"""Units switched midway: shown, taken for bare numbers, remembered."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLabel, QWidget

from taperlab.files.preferences import load_preferences
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.catalogue import PAGES, Entry
from taperlab.gui.pages.shape.columns import Col
from taperlab.gui.pages.shape.segment_looks import StartsHeading
from taperlab.units.kinds import System
from tests.gui.hands import (
    CTRL,
    FOOT,
    GRAIN,
    at_cell,
    cell,
    click,
    keys,
    settle,
    shape,
    status,
    type_into,
    wait_active,
    words_on,
)


def test_by_menu_by_key_and_by_the_button_in_the_status_line(window: Window) -> None:
    window.menus.actions["units_metric"].trigger()
    assert window.settings.system is System.METRIC
    assert window.status.units_button.text() == "Metres, millimetres, grams"
    click(window.status.units_button)
    assert window.settings.system is System.US
    assert window.menus.actions["units_us"].isChecked()
    window.setFocus()
    keys(Qt.Key.Key_U, modifier=CTRL)
    assert window.settings.system is System.METRIC
    assert window.menus.actions["units_metric"].isChecked()


def test_a_bare_number_means_the_units_shown(window: Window) -> None:
    type_into(window, 2, Col.LENGTH, "12")
    assert window.document.line.segments[2].length == pytest.approx(12 * FOOT)
    click(window.status.units_button)
    type_into(window, 2, Col.LENGTH, "4")
    assert window.document.line.segments[2].length == 4.0
    type_into(window, 2, Col.REAR_DIAMETER, "2,1")
    assert window.document.line.segments[2].rear_diameter == pytest.approx(0.0021)
    type_into(window, 2, Col.WEIGHT, "10")
    assert window.document.analysis().segments[2].mass == pytest.approx(0.010)
    # Units that are typed always win.
    type_into(window, 2, Col.WEIGHT, "150 gr")
    assert window.document.analysis().segments[2].mass == pytest.approx(150 * GRAIN)


def test_what_is_half_typed_is_read_in_the_units_it_was_typed_in(window: Window) -> None:
    at_cell(window, 2, Col.LENGTH)
    keys("12")
    click(window.status.units_button)
    assert window.document.line.segments[2].length == pytest.approx(12 * FOOT)


def test_everything_on_the_page_follows(window: Window) -> None:
    bench = window.document.bench
    window.menus.actions["units_metric"].trigger()
    head = window.document.analysis().head
    assert shape(window).readouts.weight.text() == f"{head.mass * 1000.0:.2f} g"
    assert shape(window).readouts.other_weight.text() == f"{head.mass / GRAIN:.1f} gr"
    assert shape(window).readouts.figures["balance"].value == f"{head.balance_point:.3f} m"
    assert cell(window, 2, Col.LENGTH) == f"{bench.lines[0].segments[2].length:.3f}"
    assert shape(window).plots.system is System.METRIC
    assert any("°C" in words for words in words_on(shape(window).water))
    assert " m" in shape(window).rod_card.box.itemText(1)
    assert " m · " in window.rack.model.figures(bench.lines[0])
    # Looking at it in other units is no edit.
    assert window.document.bench is bench
    assert not window.document.is_dirty


def on_screen(widget: QWidget) -> QImage:
    """What the screen shows of a widget, painted anew or not."""
    window = widget.window()
    whole = window.screen().grabWindow(window.winId()).toImage()
    return whole.copy(QRect(widget.mapTo(window, QPoint()), widget.size()))


def test_the_heading_of_where_rows_begin_is_painted_in_other_units(window: Window) -> None:
    (heading,) = window.findChildren(StartsHeading)
    wait_active(window)
    assert heading.isVisible()
    # Metric lengths are as wide as these, so that nothing is laid out anew.
    settle()
    before = on_screen(heading)
    assert before == on_screen(heading)
    window.menus.actions["units_metric"].trigger()
    settle()
    assert on_screen(heading) != before


def texts(page: QWidget) -> list[str]:
    """What the labels of a page hold, hidden or not."""
    return [each.text() for each in page.findChildren(QLabel)]


@pytest.mark.parametrize("entry", PAGES, ids=lambda entry: entry.key)
def test_a_hidden_page_takes_other_units_when_it_is_shown(
    make: Callable[..., Window], entry: Entry
) -> None:
    window = make(demo=False)
    window.file_menu.open_sample(entry.sample)
    window.show_page(entry.key)
    settle()
    window.jobs.settle()
    settle()
    page = window.pages.page(entry.key)
    window.show_page("measure" if entry.key == "shape" else "shape")
    before = texts(page)
    click(window.status.units_button)
    assert texts(page) == before
    window.show_page(entry.key)
    assert texts(page) != before


def test_the_choice_is_remembered(window: Window, make: Callable[..., Window]) -> None:
    click(window.status.units_button)
    assert load_preferences().system is System.METRIC
    assert make(load_preferences()).settings.system is System.METRIC


def test_what_a_typed_weight_moves(window: Window) -> None:
    first = window.document.line.segments[2]
    assert "density" in window.status.solve_button.text()
    click(window.status.solve_button)
    assert "diameter" in window.status.solve_button.text()
    type_into(window, 2, Col.WEIGHT, "150")
    after = window.document.line.segments[2]
    assert after.density == first.density
    assert after.rear_diameter != first.rear_diameter
    assert "iameter" in status(window)
