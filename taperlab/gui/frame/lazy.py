"""A page that is built when it is first shown, so that the window opens without waiting for it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget


class LazyPage(QWidget):
    """Stands in the window for a page until that is wanted."""

    def __init__(self, make: Callable[[], QWidget]) -> None:
        super().__init__()
        self.setObjectName("page")
        self._make = make
        self._page: QWidget | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)

    @property
    def page(self) -> QWidget:
        """The page; it is built now if it was not yet."""
        if self._page is None:
            self._page = self._make()
            self.layout().addWidget(self._page)
            # A widget added to one that is shown waits for the event loop otherwise.
            self._page.show()
            self.setFocusProxy(self._page)
        return self._page

    @property
    def is_built(self) -> bool:
        """Whether the page has been wanted yet."""
        return self._page is not None

    def showEvent(self, event: QShowEvent) -> None:
        """Build the page."""
        _ = self.page
        super().showEvent(event)

    def commit(self) -> None:
        """Take over what is being typed on the page."""
        if self._page is not None:
            self._page.commit()

    def table_in_hand(self) -> QWidget | None:
        """The table that the Edit menu acts on."""
        find = getattr(self._page, "table_in_hand", None)
        return find() if find is not None else None
