"""What the bench would be with what is typed so far: looked at, never kept."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from taperlab.edits.edited import Step
from taperlab.gui.state.document import Document
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.on_rod import RodFit
from taperlab.shop.whole import Whole, in_hand
from taperlab.units.sentence import Told

PAUSE = 180
"""How long nothing is typed before what is typed so far is looked at [ms]."""

Asked = Callable[[], Step | None]
"""The edit that what is typed so far would be, or None; raises Told where it can't be read."""


class Preview(QObject):
    """What is looked at as it would be; ``whole`` is None where nothing would be other.

    is_answer: what is looked at is an answer to goals, which is drawn as the line, and the line as
    it is behind it. changed(): it is another one, or none, now. The edit that is looked at is the
    one that would be done; what it gives goes nowhere but here, and is gone at once when the bench
    is another.
    """

    changed = Signal()

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.whole: Whole | None = None
        self.is_answer = False
        self._document = document
        self._asked: Asked | None = None
        self._answers = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE)
        self._pause.timeout.connect(self._look)
        document.changed.connect(self.drop)

    @property
    def analysis(self) -> LineAnalysis | None:
        """Its figures."""
        return self.whole.analysis if self.whole else None

    @property
    def fit(self) -> RodFit | None:
        """How it would fit the chosen rod."""
        whole, document = self.whole, self._document
        if whole is None or whole.head is None:
            return None
        return whole.on_rod(document.rod, document.bench)

    def ask(self, asked: Asked, *, answer: bool = False) -> None:
        """Look at this once nothing more is typed for a moment; whether it answers goals."""
        self._asked, self._answers = asked, answer
        self._pause.start()

    def look_at(self, asked: Asked) -> None:
        """Look at an answer to goals at once, until it is dropped or the bench is another."""
        self._pause.stop()
        self._asked, self._answers = asked, True
        self._look()

    def drop(self) -> None:
        """Look at nothing: what was typed is done, or called off."""
        self._pause.stop()
        self._asked = None
        self._show(None)

    def _look(self) -> None:
        self._show(self._would_be())

    def _would_be(self) -> Whole | None:
        bench = self._document.bench
        try:
            step = self._asked() if self._asked else None
            if step is None:
                return None
            edit, arguments = step
            after = edit(bench, *arguments).bench
        except Told:
            return None
        line = after.current_line
        if line is None or line == bench.current_line:
            return None
        return in_hand(after)

    def _show(self, whole: Whole | None) -> None:
        if whole is not self.whole:
            self.whole = whole
            self.is_answer = self._answers and whole is not None
            self.changed.emit()
