"""The order in which the Tab key goes: as the eye reads, which is as things are laid out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import cast

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QGridLayout, QLayout, QMainWindow, QScrollArea, QSplitter, QWidget


def use_reading_order(root: QWidget) -> None:
    """Let the Tab key go through all that is laid out in a widget as it is laid out there.

    Layouts go from the left and from the top, grids row by row. What is in none keeps its place
    behind them.
    """
    for one, other in pairwise(stops(root)):
        QWidget.setTabOrder(one, other)


def stops(widget: QWidget) -> Iterator[QWidget]:
    """What the Tab key stops at in a widget, as it is laid out."""
    if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.focusProxy() is None:
        yield widget
    for each in _laid_out(widget):
        if each is not None and not each.isHidden():
            yield from stops(each)


def _laid_out(widget: QWidget) -> Iterator[QWidget | None]:
    """What lies in a widget, in reading order."""
    if isinstance(widget, QMainWindow):
        yield from (widget.centralWidget(), widget.statusBar())
    elif isinstance(widget, QScrollArea):
        yield widget.widget()
    elif isinstance(widget, QSplitter):
        yield from (widget.widget(at) for at in range(widget.count()))
    elif (layout := widget.layout()) is not None:
        yield from _in_layout(layout)


def _in_layout(layout: QLayout) -> Iterator[QWidget]:
    """What lies in a layout and those in it.

    Not by the items of a layout: Qt deletes those without telling Python, which then takes what
    comes to lie at the same address for what was there.
    """
    around = layout.parentWidget()
    held: dict[int, QObject] = {}
    for each in (*layout.children(), *(around.children() if around is not None else ())):
        if isinstance(each, QWidget | QLayout) and (at := layout.indexOf(each)) >= 0:
            held[at] = each
    places = sorted(held)
    if isinstance(layout, QGridLayout):
        places.sort(key=lambda at: _row_and_column(layout, at))
    for at in places:
        one = held[at]
        if isinstance(one, QLayout):
            yield from _in_layout(one)
        elif isinstance(one, QWidget):
            yield one


def _row_and_column(layout: QGridLayout, at: int) -> tuple[int, int]:
    row, column, *_ = cast(tuple[int, int, int, int], layout.getItemPosition(at))
    return row, column
