"""The order in which the Tab key goes: as the eye reads, which is as things are laid out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLayout, QMainWindow, QScrollArea, QSplitter, QWidget


def use_reading_order(root: QWidget) -> None:
    """Let the Tab key go through all that is laid out in a widget as it is laid out there.

    Layouts go from the left and from the top, grids row by row. What is in none keeps its place
    behind them.
    """
    for one, other in pairwise(_stops(root)):
        QWidget.setTabOrder(one, other)


def _stops(widget: QWidget) -> Iterator[QWidget]:
    if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.focusProxy() is None:
        yield widget
    for each in _laid_out(widget):
        if each is not None and not each.isHidden():
            yield from _stops(each)


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
    places = list(range(layout.count()))
    if isinstance(layout, QGridLayout):
        places.sort(key=lambda at: _row_and_column(layout, at))
    for item in map(layout.itemAt, places):
        if item is None:
            continue
        inner, widget = item.layout(), item.widget()
        if inner is not None:
            yield from _in_layout(inner)
        elif widget is not None:
            yield widget


def _row_and_column(layout: QGridLayout, at: int) -> tuple[int, int]:
    row, column, *_ = cast(tuple[int, int, int, int], layout.getItemPosition(at))
    return row, column
