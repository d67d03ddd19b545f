"""A page's own ear to bench and units: while it sleeps it hears nothing, then catches up."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from taperlab.gui.state.document import Change, Document, Reason
from taperlab.gui.state.settings import Settings


class Watch(QObject):
    """Passes on what changes while awake; on waking, all that changed meanwhile as one change.

    changed(Change): as the document's; the reason of what was missed is WAKE, or LOAD where
    another bench was put up meanwhile. units_changed(): other units are shown.
    """

    changed = Signal(object)
    units_changed = Signal()

    def __init__(
        self, document: Document, settings: Settings, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.settings = document, settings
        self._seen, self._system = document.bench, settings.system
        self._awake = False
        self._reason = Reason.WAKE
        document.changed.connect(self._document_changed)
        settings.units_changed.connect(self._units_changed)

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this now, and whenever the bench or the units are others."""
        self.changed.connect(refresh)
        self.units_changed.connect(refresh)
        refresh()

    def wake(self) -> None:
        """Pass changes on from now, and what was missed at once."""
        if self._awake:
            return
        self._awake = True
        bench = self.document.bench
        if bench is not self._seen:
            missed = Change(self._seen, bench, self._reason)
            self._seen, self._reason = bench, Reason.WAKE
            self.changed.emit(missed)
        self._units_changed()

    def sleep(self) -> None:
        """Pass nothing on until woken."""
        self._awake = False

    def _document_changed(self, change: Change) -> None:
        if change.after is self._seen:
            return  # the change that turned to this page was caught up with when it woke
        if self._awake:
            self._seen = change.after
            self.changed.emit(change)
        elif change.reason is Reason.LOAD:
            self._reason = Reason.LOAD

    def _units_changed(self) -> None:
        if self._awake and self._system is not self.settings.system:
            self._system = self.settings.system
            self.units_changed.emit()
