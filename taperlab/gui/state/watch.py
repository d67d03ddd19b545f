"""A page's own ear to the document: while the page sleeps it hears nothing, then catches up."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from taperlab.gui.state.document import Change, Document, Reason


class Watch(QObject):
    """Passes on what changes while awake; on waking, all that changed meanwhile as one change.

    changed(Change): as the document's; the reason of what was missed is WAKE, or LOAD where
    another bench was put in hand meanwhile.
    """

    changed = Signal(object)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._seen = document.bench
        self._awake = False
        self._reason = Reason.WAKE
        document.changed.connect(self._document_changed)

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
