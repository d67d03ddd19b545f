"""What is looked for: words, a weight, days, how far a job has come."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QLineEdit, QWidget

from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.range_edit import RangeEdit
from taperlab.gui.kit.text_fields import DayField
from taperlab.gui.kit.theme import px, usual
from taperlab.gui.kit.widgets import Remark, in_column, in_row
from taperlab.gui.pages.jobs.case import JobsCase
from taperlab.model.job import JobState
from taperlab.shop.jobs.listing import Wanted
from taperlab.units.days import parse_day_span
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import heading

IN_A_ROW = 640
"""From which width on all fields stand in one row, for usual letters [px]."""


class SearchBar(QWidget):
    """Fields side by side; each letter of the words looks anew. Esc in them empties all."""

    def __init__(self, case: JobsCase) -> None:
        super().__init__()
        self._case = case
        self._days: tuple[date | None, date | None] = (None, None)
        self._is_clearing = False
        self.words = QLineEdit()
        self.words.setAccessibleName(tr("Look for"))
        self.words.setPlaceholderText(tr("Customer, ticket, rod, head, notes"))
        self.words.setToolTip(
            tr("Each word stands somewhere in customer, ticket, rod, head or notes")
        )
        self.words.setClearButtonEnabled(True)
        self.weight = RangeEdit(
            WEIGHT, case.place.settings, name=tr("Weight of the head"), optional=True
        )
        self.weight.set_help(tr("The head’s weight, or from one to another: 480 to 520 gr"))
        self.weight.keep_width(px(112))
        self.days = DayField(
            tr("Days"),
            tr("When it was in work: 2026, 2026-05, 2026-05-04, or 2026-03 to 2026-05"),
            parse_day_span,
        )
        self.days.setPlaceholderText(tr("Year, month, day"))
        self.days.setMinimumWidth(px(120))
        self.state = Choice()
        self.state.setAccessibleName(tr("State"))
        self.state.setToolTip(tr("How far a job has come"))
        self.state.addItem(tr("Any state"), None)
        for each in JobState:
            self.state.addItem(heading(each), each)
        self.problem = Remark("bad", points=8.5)
        rest = in_row(self.weight, (self.days, 1), self.state, spacing=8)
        self._row = in_row((self.words, 1), rest, spacing=8)
        in_column(self._row, self.problem, spacing=3, of=self)
        self.words.textChanged.connect(self._look)
        self.weight.value_changed.connect(self._look)
        self.weight.sentence_changed.connect(self.problem.say)
        self.days.day_typed.connect(self._days_typed)
        self.days.problem.connect(self._say)
        self.state.activated.connect(self._look)
        self.words.installEventFilter(self)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show what is looked for, where that was dropped."""
        metric = self._case.system is System.METRIC
        self.weight.setPlaceholderText(tr("31 to 34 g") if metric else tr("480 to 520 gr"))
        if self._case.wanted == Wanted() and self._wanted() != Wanted():
            self.clear()

    def clear(self) -> None:
        """Look for nothing in particular."""
        self._is_clearing = True  # a field whose signals are blocked would keep its clear button
        self.words.clear()
        self.weight.setText("")
        self.weight.read_again()
        self._days = (None, None)
        self.days.show_day(None, anew=True)
        self.state.setCurrentIndex(0)
        self._is_clearing = False
        self.problem.say("")
        self._look()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand the words above the rest where there is little room."""
        super().resizeEvent(event)
        beside, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._row.setDirection(beside if usual(self.width()) >= IN_A_ROW else below)

    def commit(self) -> None:
        """Take over what is being typed."""
        self.days.commit()

    def _wanted(self) -> Wanted:
        value, span = self.weight.value(), self.weight.span
        low, high = span if span is not None else (value, value)
        state = self.state.currentData()
        return Wanted(
            words=" ".join(self.words.text().split()),
            lightest=low,
            heaviest=high,
            since=self._days[0],
            until=self._days[1],
            state=JobState(state) if state else None,
        )

    def _look(self) -> None:
        if self._is_clearing:
            return
        self._case.look_for(self._wanted())

    def _days_typed(self, days: tuple[date | None, date | None] | None) -> None:
        self._days = days or (None, None)
        self._look()

    def _say(self, sentence: Sentence) -> None:
        self.problem.say(self._case.place.read(sentence))

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        """Esc in the words empties all."""
        if (
            watched is self.words
            and isinstance(event, QKeyEvent)
            and event.type() is QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Escape
            and self._wanted() != Wanted()
        ):
            self.clear()
            return True
        return super().eventFilter(watched, event)  # type: ignore[arg-type]
