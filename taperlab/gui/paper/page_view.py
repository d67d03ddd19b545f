"""One page of a sheet on the screen, at a scale that is told, and small pictures of all pages."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QIcon,
    QPageLayout,
    QPainter,
    QPaintEvent,
    QPixmap,
    QScreen,
    QWheelEvent,
)
from PySide6.QtWidgets import QListView, QListWidget, QListWidgetItem, QScrollArea, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Theme
from taperlab.gui.paper.layout.marks import Words, paint
from taperlab.gui.paper.layout.pages import Page, printed
from taperlab.units.language import tr

AROUND = 16
"""Round the page [px]."""

THUMB = 108
"""As wide as a small picture of a page [px]."""

BELIEVED = (40.0, 500.0)
"""A screen that tells of fewer or more dots per inch than these does not know its size."""


def true_scale(screen: QScreen | None) -> tuple[float, bool]:
    """How many pixels a point takes at its true size, and whether the screen tells that."""
    if screen is None:
        return 96.0 / 72.0, False
    wide = screen.physicalSize().width()
    dots = screen.geometry().width() / wide * 25.4 if wide > 0.0 else 0.0
    if BELIEVED[0] <= dots <= BELIEVED[1]:
        return dots / 72.0, True
    return screen.logicalDotsPerInchX() / 72.0, False


def paint_page(painter: QPainter, page: Page, layout: QPageLayout) -> None:
    """Draw a page, paper and all, with a painter that counts in points."""
    size = layout.fullRect(QPageLayout.Unit.Point)
    painter.fillRect(QRectF(0.0, 0.0, size.width(), size.height()), QColor("#FFFFFF"))
    room = printed(layout)
    painter.save()
    painter.translate(room.topLeft())
    paint(painter, page.marks)
    painter.restore()


def page_words(page: Page) -> str:
    """What is read on a page, for a screen reader."""
    return "\n".join(each.text for each in page.marks if isinstance(each, Words))


class _Paper(QWidget):
    """The page itself."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.page: Page | None = None
        self.page_layout: QPageLayout | None = None
        self.scale = 1.0
        theme.changed.connect(self.update)

    def paper_size(self) -> QSize:
        """The paper at its scale [px]."""
        if self.page_layout is None:
            return QSize(1, 1)
        paper = self.page_layout.fullRect(QPageLayout.Unit.Point)
        return QSize(round(paper.width() * self.scale), round(paper.height() * self.scale))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the page in the middle, with an edge that is seen on any ground."""
        if self.page is None or self.page_layout is None:
            return
        painter = QPainter(self)
        size = self.paper_size()
        left, top = (self.width() - size.width()) / 2.0, (self.height() - size.height()) / 2.0
        edge = QRectF(left - 0.5, top - 0.5, size.width() + 1.0, size.height() + 1.0)
        painter.setPen(theming.pen(self._theme.tokens.field))
        painter.drawRect(edge)
        painter.translate(left, top)
        painter.scale(self.scale, self.scale)
        paint_page(painter, self.page, self.page_layout)


class PageView(QScrollArea):
    """A page that is scrolled where it is larger than its room.

    zoomed(float): someone turned the wheel with Ctrl; up or down by so much.
    """

    zoomed = Signal(float)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.paper = _Paper(theme)
        self.setWidget(self.paper)
        self.setWidgetResizable(True)
        self.setAccessibleName(tr("Page"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def show_page(self, page: Page, layout: QPageLayout, scale: float) -> None:
        """Show a page; scale: pixels for each point."""
        before = self.paper.page
        self.paper.page, self.paper.page_layout, self.paper.scale = page, layout, scale
        size = self.paper.paper_size()
        self.paper.setMinimumSize(size.width() + 2 * AROUND, size.height() + 2 * AROUND)
        self.setAccessibleDescription(page_words(page))
        self.paper.update()
        if before is not page:
            self.verticalScrollBar().setValue(0)

    def room(self) -> QSize:
        """What a page may take without being scrolled [px]."""
        frame = 2 * self.frameWidth() + 2 * AROUND
        return QSize(max(self.width() - frame, 50), max(self.height() - frame, 50))

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll; with Ctrl, enlarge or make smaller."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoomed.emit(1.1 if event.angleDelta().y() > 0 else 1.0 / 1.1)
            event.accept()
            return
        super().wheelEvent(event)


class Thumbnails(QListWidget):
    """Small pictures of all pages, one of which is chosen."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName(tr("Pages"))
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setFlow(QListView.Flow.TopToBottom)
        self.setWrapping(False)
        self.setMovement(QListView.Movement.Static)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setSpacing(6)
        wide = theming.px(THUMB)
        self.setFixedWidth(wide + theming.px(46))

    def show_pages(self, pages: Sequence[Page], layout: QPageLayout) -> None:
        """Show pages; the one chosen before stays chosen, if there still is one of its number."""
        chosen = min(max(self.currentRow(), 0), len(pages) - 1)
        self.blockSignals(True)
        self.clear()
        paper = layout.fullRect(QPageLayout.Unit.Point)
        wide = theming.px(THUMB)
        high = round(wide * paper.height() / paper.width())
        self.setIconSize(QSize(wide, high))
        ratio = self.devicePixelRatioF()
        for number, page in enumerate(pages, start=1):
            picture = QPixmap(QSize(wide, high) * ratio)
            picture.setDevicePixelRatio(ratio)
            painter = QPainter(picture)
            painter.scale(wide / paper.width(), wide / paper.width())
            paint_page(painter, page, layout)
            painter.setPen(QColor("#808080"))
            painter.drawRect(QRectF(0.5, 0.5, paper.width() - 1.0, paper.height() - 1.0))
            painter.end()
            icon = QIcon(picture)
            icon.addPixmap(picture, QIcon.Mode.Selected)  # else it is tinted
            item = QListWidgetItem(icon, str(number))
            name = tr("Page {page} of {pages}").format(page=number, pages=len(pages))
            item.setData(Qt.ItemDataRole.AccessibleTextRole, name)
            item.setTextAlignment(Qt.AlignmentFlag.AlignHCenter)
            self.addItem(item)
        self.blockSignals(False)
        self.setCurrentRow(chosen)
