"""The pages of the window, each built when it is first shown."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QByteArray, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QStackedWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.reading_order import stops
from taperlab.gui.pages.catalogue import Entry
from taperlab.gui.pages.page import Page
from taperlab.units.language import tr


class PageStack(QStackedWidget):
    """Shows the page that the bench is looked at on.

    turned(str): the page with this key is shown now.
    """

    turned = Signal(str)

    def __init__(self, place: Workplace, entries: Sequence[Entry]) -> None:
        super().__init__()
        self._place = place
        self._entries = {entry.key: entry for entry in entries}
        self._built: dict[str, Page] = {}
        self._layouts: dict[str, str] = {}
        self._key = ""
        place.document.changed.connect(self._follow)

    @property
    def key(self) -> str:
        """Key of the page that is shown; empty while none has been."""
        return self._key

    @property
    def current(self) -> Page:
        """The page that is shown."""
        return self.page(self._key or next(iter(self._entries)))

    def page(self, key: str) -> Page:
        """A page; it is built now if it was not yet. Raises KeyError."""
        if key not in self._built:
            entry = self._entries[key]
            page = self._built[key] = entry.make(self._place)
            page.setAccessibleName(tr(entry.name).replace("&", ""))
            self.addWidget(page)
            if page.splitter is not None and key in self._layouts:
                page.splitter.restoreState(QByteArray.fromBase64(self._layouts[key].encode()))
                page.splitter.is_dragged = True
        return self._built[key]

    def commit(self) -> None:
        """Take over what is being typed on the page that is shown; the others sleep."""
        if self._key:
            self.page(self._key).commit()

    def layouts(self) -> dict[str, str]:
        """How each page's splitter was dragged, encoded, by the page's key."""
        now = {
            key: bytes(page.splitter.saveState().toBase64().data()).decode("ascii")
            for key, page in self._built.items()
            if page.splitter is not None and page.splitter.is_dragged
        }
        return self._layouts | now

    def use_layouts(self, layouts: dict[str, str]) -> None:
        """Lay pages out as they were left, once they are built."""
        self._layouts = dict(layouts)

    def take_keys(self) -> None:
        """Put the keys where the work of the page that is shown is done."""
        page = self.current
        if page.take_keys():
            return
        table = page.current_table()
        if table is not None and table.isVisibleTo(page):
            table.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return
        # Not along Qt's own chain of focus: it leads through all of the window, and PySide may
        # delete what it has met on the way.
        for target in stops(page):
            if target is not page and target.isVisibleTo(page) and target.isEnabled():
                target.setFocus(Qt.FocusReason.ShortcutFocusReason)
                return

    def showEvent(self, event: QShowEvent) -> None:
        """Have a page to show."""
        self._follow()
        super().showEvent(event)

    def _follow(self) -> None:
        key = self._place.document.bench.view.page
        key = key if key in self._entries else next(iter(self._entries))
        if key != self._key:
            page = self.page(key)
            self._key = key
            self.setCurrentWidget(page)
            self.turned.emit(key)
