"""An area that scrolls what it holds, or lies open where the whole page scrolls."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from taperlab.gui.kit.widgets import fill_area, keep_room_for_bar


class OpenArea(QScrollArea):
    """Scrolls up and down, or is as high as all that it holds.

    content: has its layout already; wrapped words in it take what they need. name: what screen
    readers call it.
    """

    def __init__(self, content: QWidget, name: str) -> None:
        super().__init__()
        self.content = content
        self._is_open = False
        self.setAccessibleName(name)
        fill_area(self, content)
        keep_room_for_bar(self, keep=True)
        content.installEventFilter(self)

    def lie_open(self, opened: bool) -> None:
        """Be as high as all of it, where the whole page scrolls; or scroll it here."""
        self._is_open = opened
        keep_room_for_bar(self, keep=not opened)
        self._take_height()

    def _take_height(self) -> None:
        layout, low = self.content.layout(), 0
        if self._is_open and layout is not None:  # without anything to show it is −1
            low = max(0, layout.totalMinimumHeightForWidth(self.width()))
        if self.minimumHeight() != low:
            self.setMinimumHeight(low)

    # -- Qt --------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Ask for other room where what it holds needs it."""
        if watched is self.content and event.type() is QEvent.Type.LayoutRequest:
            self._take_height()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the room that there is."""
        super().resizeEvent(event)
        self._take_height()
