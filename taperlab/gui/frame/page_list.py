"""The list of the pages at the left, in groups under small headings."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRect, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QMouseEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.pages.catalogue import Entry
from taperlab.gui.table.grid_model import Index
from taperlab.units.language import tr

ROW, HEADING = 28, 23
"""Heights of a page and of a heading, for usual letters [px]."""

LEAST_ROWS = 4
"""No fewer are ever seen."""

GROUP_GAP = 5
"""Ahead of every heading but the first [px]."""

KEY = Qt.ItemDataRole.UserRole
GROUP = Qt.ItemDataRole.UserRole + 1
"""The heading that is painted above a page: that of its group, above the first of it.

It is no row of its own, so that neither keys nor a screen reader stop at it.
"""


class PageList(QListWidget):
    """All pages, never folded; they scroll only where large letters in a low window need it.

    asked(str): a page, by its key, is to be shown.
    """

    asked = Signal(str)

    def __init__(self, entries: Sequence[Entry], theme: theming.Theme) -> None:
        super().__init__()
        self.setObjectName("pages")
        self.setAccessibleName(tr("Pages"))
        self.setMouseTracking(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._delegate = PageDelegate(theme, self)
        self.setItemDelegate(self._delegate)
        above = ""
        for entry in entries:
            item = QListWidgetItem(tr(entry.name).replace("&", ""))
            item.setToolTip(tr(entry.tip))
            item.setData(KEY, entry.key)
            item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, tr(entry.group))
            if entry.group != above:
                item.setData(GROUP, tr(entry.group))
            above = entry.group
            self.addItem(item)
        self._take_room()
        self.currentItemChanged.connect(self._chosen)
        theme.changed.connect(self._take_room)

    @property
    def _whole(self) -> int:
        """Height of all pages [px]."""
        return sum(self.sizeHintForRow(row) for row in range(self.count())) + 2

    def sizeHint(self) -> QSize:
        """As high as all pages."""
        return QSize(super().sizeHint().width(), self._whole)

    def minimumSizeHint(self) -> QSize:
        """Room for a few."""
        least = min(self._whole, theming.px(LEAST_ROWS * ROW))
        return QSize(super().minimumSizeHint().width(), least)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page that is shown in sight."""
        super().resizeEvent(event)
        self.scrollTo(self.currentIndex())

    def _take_room(self) -> None:
        self.setMaximumHeight(self._whole)
        self.updateGeometry()
        self.scheduleDelayedItemsLayout()
        self.viewport().update()

    def show_page(self, key: str) -> None:
        """Mark a page as the one that is shown."""
        for row in range(self.count()):
            if self.item(row).data(KEY) == key and self.currentRow() != row:
                with QSignalBlocker(self):  # it is shown already: nobody asks for it
                    self.setCurrentRow(row)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on a heading is for nobody."""
        if self._on_page(event.position().toPoint()):
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """A drag over a heading chooses nothing either."""
        if self._on_page(event.position().toPoint()) or not event.buttons():
            super().mouseMoveEvent(event)

    def _on_page(self, point: QPoint) -> bool:
        index = self.indexAt(point)
        return index.isValid() and page_part(self.visualRect(index), index).contains(point)

    def _chosen(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.asked.emit(item.data(KEY))


def heading_height(index: Index) -> int:
    """Room for the heading above a page, none where it has none [px]."""
    if not index.data(GROUP):
        return 0
    return theming.px(HEADING) + (theming.px(GROUP_GAP) if index.row() else 0)


def page_part(box: QRect, index: Index) -> QRect:
    """Where the page itself stands in its row's box."""
    return box.adjusted(0, heading_height(index), 0, 0)


class PageDelegate(QStyledItemDelegate):
    """Paints a page, and the heading of its group above the first of it.

    The page that is shown has a wash, a bar and a bolder name: never colour alone.
    """

    def __init__(self, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """A row, and its heading."""
        return QSize(theming.px(100), theming.px(ROW) + heading_height(index))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw heading and page."""
        t, state = self._theme.tokens, option.state
        box = page_part(option.rect, index)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        heading = index.data(GROUP)
        if heading:
            high = theming.px(HEADING)
            above = QRect(option.rect.left() + 8, box.top() - high, box.width() - 8, high)
            painter.setFont(theming.font(theming.SMALL))
            painter.setPen(QColor(t.soft))
            painter.drawText(above, Qt.AlignmentFlag.AlignVCenter, heading)
        box = box.adjusted(1, 1, -1, -1)
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        if chosen or state & QStyle.StateFlag.State_MouseOver:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(t.accent_wash if chosen else t.hover))
            painter.drawRoundedRect(box, 6, 6)
        if chosen:
            painter.setBrush(QColor(t.accent))
            painter.drawRoundedRect(
                QRect(box.left() + 4, box.top() + 6, 3, box.height() - 12), 1, 1
            )
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theming.pen(t.accent, 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box, 6, 6)
        weight = QFont.Weight.DemiBold if chosen else QFont.Weight.Medium
        painter.setFont(theming.font(9.5, weight=weight))
        painter.setPen(QColor(t.ink))
        room = box.adjusted(13, 0, -6, 0)
        end = Qt.TextElideMode.ElideRight
        name = painter.fontMetrics().elidedText(index.data(), end, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, name)
        painter.restore()
