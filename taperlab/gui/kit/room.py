"""How a page uses the room there is: its work, its side column, the two halves of the work."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QBoxLayout,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QWidget,
)

from taperlab.gui.kit.theme import px, usual
from taperlab.gui.kit.widgets import (
    GAP,
    fill_area,
    in_column,
    in_row,
    keep_room_for_bar,
    scrolling,
)
from taperlab.units.language import tr

SIDES = ((0, 240), (950, 280), (1300, 360))
"""From which width of a page on its side column is how wide, for usual letters [px]."""

STACKED = 620
"""A page less wide than this has its side column below its work, for usual letters [px]."""

MARGIN = 8
"""Seen of what is round a control that is scrolled to [px]."""

MOST_BELOW = 0.46
"""The lower half of the work takes no larger share unless a person drags it there."""

EDGES = QSize(12, 44)
"""Pixels of a small screen left to the frame and title that the system puts round a window."""


class SideColumn(QScrollArea):
    """Cards one below the other, for the right of a page, or for below its work.

    Wider than asked for only where large letters need it. leads: it stands at the left, or above:
    what it asks comes first.
    """

    def __init__(self, *cards: QWidget, leads: bool = False) -> None:
        super().__init__()
        self.leads = leads
        self._usual = px(SIDES[1][1])
        self._open = False
        self.setAccessibleName(tr("Ahead of the work") if leads else tr("Beside the work"))
        self._column = QWidget()
        self._cards = in_column(*cards, None, spacing=GAP, of=self._column)
        fill_area(self, self._column)
        keep_room_for_bar(self, keep=True)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def use_width(self, width: int) -> None:
        """Be so wide where letters allow it [px]."""
        if width != self._usual:
            self._usual = width
            self.updateGeometry()

    def lie_open(self, opened: bool) -> None:
        """Be as wide as there is room and as high as all the cards, or scroll them."""
        self._open = opened
        keep_room_for_bar(self, keep=not opened)
        across = QSizePolicy.Policy.Ignored if opened else QSizePolicy.Policy.Fixed
        self.setSizePolicy(across, QSizePolicy.Policy.Expanding)
        self._take_height()

    def _take_height(self) -> None:
        low, high = 0, (1 << 24) - 1
        if self._open:
            needs = self._cards.totalMinimumHeightForWidth(self.width())
            low = high = max(needs, self._cards.totalSizeHint().height())
        if (self.minimumHeight(), self.maximumHeight()) != (low, high):
            self.setMinimumHeight(low)
            self.setMaximumHeight(high)

    def sizeHint(self) -> QSize:
        """Room for the widest card, and for the bar that scrolls them."""
        bar = self.verticalScrollBar().sizeHint().width()
        needs = self._column.minimumSizeHint().width() + bar
        return QSize(max(self._usual, needs), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """No narrower; low, since it scrolls."""
        least = self._column.minimumSizeHint().width() if self._open else self.sizeHint().width()
        return QSize(least, px(60))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cards of another width are of another height."""
        super().resizeEvent(event)
        self._take_height()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Ask for other room where the cards need it."""
        if event.type() is QEvent.Type.LayoutRequest:
            self._take_height()
            self.updateGeometry()
        return super().eventFilter(watched, event)


class PageBody(QWidget):
    """The work of a page with its side column at the right; below, where there is little room.

    A side column that leads stands at the left, and above.

    What is higher than the page scrolls. fitted(): the room is another. work_scroll: scrolls the
    work.
    """

    fitted = Signal()

    def __init__(self, work: QWidget, side: SideColumn) -> None:
        super().__init__()
        self.side = side
        self.is_stacked = False
        content = QWidget()
        self._content = in_column((work, 1), spacing=GAP, of=content)
        self.work_scroll = scrolling(content, tr("Work"))
        self.work_scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self._row = in_row((self.work_scroll, 1), spacing=GAP, of=self)
        self._put_side(self._row)

    @property
    def room(self) -> int:
        """Width that the work has [px]."""
        return self.width() - (0 if self.is_stacked else self.side.sizeHint().width() + GAP)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the room."""
        super().resizeEvent(event)
        self.use_room()

    def use_room(self) -> None:
        """Put the side column where it has room, as wide as it may be."""
        width = usual(self.width())
        self.side.use_width(px(max(side for least, side in SIDES if width >= least)))
        stacked = width < STACKED
        if stacked != self.is_stacked:
            self.is_stacked = stacked
            self.side.lie_open(stacked)
            box: QBoxLayout = self._content if stacked else self._row
            self._put_side(box)
        self._row.invalidate()
        self._row.activate()
        self.fitted.emit()

    def _put_side(self, box: QBoxLayout) -> None:
        """Put the side column into a layout, which takes it out of the other."""
        box.insertWidget(0 if self.side.leads else box.count(), self.side)
        if self.side.leads:
            self.side.lower()  # screen readers tell first what lies lowest


class Halves(QSplitter):
    """The two halves of a page's work, with a border between them that can be dragged.

    The lower half has what it asks for, up to a share of ``most``, and the upper one all the rest,
    until a person drags the border. is_dragged: whether one did.
    """

    def __init__(self, upper: QWidget, lower: QWidget, most: float = MOST_BELOW) -> None:
        super().__init__(Qt.Orientation.Vertical)
        self._most = most
        self.is_dragged = False
        self.setHandleWidth(GAP)
        self._upper, self._lower = upper, lower
        self.addWidget(upper)
        self.addWidget(lower)
        self.setChildrenCollapsible(False)
        self.setStretchFactor(0, 1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.splitterMoved.connect(self._dragged)

    def sizeHint(self) -> QSize:
        """No more than it must have: what scrolls asks for no more."""
        return self.minimumSizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room anew."""
        super().resizeEvent(event)
        self._share()

    def event(self, event: QEvent) -> bool:
        """Share the room anew where a half asks for another height."""
        known = super().event(event)
        if event.type() is QEvent.Type.LayoutRequest:
            self._share()
        return known

    def _dragged(self) -> None:
        self.is_dragged = True

    def _share(self) -> None:
        if self.is_dragged:
            return
        room = self.height() - self.handleWidth()
        upper, lower = self._upper, self._lower
        low = min(lower.sizeHint().height(), round(room * self._most))
        low = min(low, room - upper.minimumSizeHint().height())
        low = max(low, lower.minimumSizeHint().height())
        if self.sizes() != [room - low, low]:
            self.setSizes([room - low, low])


def open_as_large(dialog: QWidget, wide: int, high: int) -> None:
    """Make a dialog so large for usual letters [px], as far as its screen has room."""
    room = dialog.screen().availableSize() - EDGES
    dialog.resize(QSize(px(wide), px(high)).boundedTo(room))


def bring_into_sight(widget: QWidget) -> None:
    """Scroll whatever a widget lies in, so that it is seen; of a table, the current cell."""
    spot = widget.rect()
    if isinstance(widget, QAbstractItemView) and widget.currentIndex().isValid():
        spot = widget.visualRect(widget.currentIndex()).translated(widget.viewport().pos())
    holder = widget.parentWidget()
    while holder is not None:
        content = holder.widget() if isinstance(holder, QScrollArea) else None
        if isinstance(holder, QScrollArea) and content is not None:
            at, room = widget.mapTo(content, spot.center()), holder.viewport().size()
            half = spot.size().boundedTo(room) / 2
            holder.ensureVisible(at.x(), at.y(), half.width() + MARGIN, half.height() + MARGIN)
        holder = holder.parentWidget()
