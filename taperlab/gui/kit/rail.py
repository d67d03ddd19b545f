"""The steps at the left: done or in question, now, to come."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QVBoxLayout, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.widgets import Link, Remark, in_column, in_row, label, set_role
from taperlab.shop.rail import Row, State
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import one_after_another

MARK = 24
"""Room for the sign of a step [px]."""


class StepMark(QWidget):
    """The sign of a step: a tick when done, a ring when due, hollow when still to come.

    A question mark where a weighing of it is in question.
    """

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self.state = State.LATER
        self.setFixedWidth(MARK)
        self.setMinimumHeight(theming.px(20))
        theme.changed.connect(self.update)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the sign."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        centre, radius = QPointF(8.0, 10.0), 7.0
        done, now = self.state is State.DONE, self.state is State.NOW
        asked = self.state is State.ASKED
        colour = tokens.soft
        if done or now or asked:
            colour = tokens.accent if now else tokens.warn if asked else tokens.ink
        painter.setPen(theming.pen(colour, 4.0 if now else 1.3))
        painter.setBrush(QColor(tokens.ink if done else tokens.card))
        inset = 1.5 if now else 0.0
        painter.drawEllipse(centre, radius - inset, radius - inset)
        if asked:
            painter.setFont(theming.font(theming.SMALL, weight=QFont.Weight.DemiBold))
            box = QRectF(centre.x() - radius, centre.y() - radius, 2.0 * radius, 2.0 * radius)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, "?")
        if done:
            painter.setPen(theming.pen(tokens.card, 1.6))
            painter.drawPolyline(
                QPolygonF(
                    [centre + QPointF(*each) for each in ((-3.2, 0.2), (-0.8, 2.6), (3.4, -2.4))]
                )
            )


class RailRow(QWidget):
    """A step in a line or two; where it is done it may be changed.

    change(object): this row's step is to be changed.
    """

    change = Signal(object)

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self.row: Row | None = None
        self._mark = StepMark(theme)
        self.title = label("", wrap=True)
        self.detail = Remark("soft", points=8.5)
        self.doubts = Remark("warn", points=8.5)
        self.button = Link(tr("Change…"), tr("Put right what was logged"), self._pressed)
        self.button.setFont(theming.font(8.5))
        words = in_column(
            self.title, self.detail, self.doubts, in_row(self.button, None), spacing=1
        )
        in_row(self._mark, words, spacing=2, of=self)

    def show_row(self, row: Row, read: Callable[[Sentence], str]) -> None:
        """Show a step."""
        self.row = row
        self._mark.state = row.state
        self._mark.update()
        set_role(self.title, "soft" if row.state is State.LATER else "")
        self.stress()
        title, detail = read(row.title), read(row.detail)
        self.title.setText(title)
        self.detail.say(detail)
        self.doubts.say(one_after_another(read(each) for each in row.doubts))
        first = row.is_first and row.state in (State.DONE, State.ASKED)
        self.button.setVisible(first or row.step is not None)
        self.button.setAccessibleName(f"{self.button.text()} {title}")
        state = {
            State.DONE: tr("done"),
            State.ASKED: tr("in question"),
            State.NOW: tr("now"),
            State.LATER: tr("to come"),
        }[row.state]
        self.setAccessibleName(f"{title}, {state}. {detail}")

    def stress(self) -> None:
        """Write the step that is due in heavier letters."""
        now = self.row is not None and self.row.state is State.NOW
        weight = QFont.Weight.DemiBold if now else QFont.Weight.Normal
        self.title.setFont(theming.font(9.0, weight=weight))

    def _pressed(self) -> None:
        if self.row is not None:
            self.change.emit(self.row)


class Rail(QWidget):
    """Every step of the cut-back, one below the other.

    change_step(int): one of the log, from 0, is to be changed. change_first(): the weighing before
    the first cut is.
    """

    change_step = Signal(int)
    change_first = Signal()

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self.rows: list[RailRow] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(7)
        self._column.addStretch(1)
        # Another theme puts back the letters of before.
        theme.changed.connect(self._stress)

    def show_rows(self, rows: tuple[Row, ...], read: Callable[[Sentence], str]) -> None:
        """Show so many steps."""
        while len(self.rows) < len(rows):
            made = RailRow(self._theme)
            made.change.connect(self._change)
            self._column.insertWidget(len(self.rows), made)
            self.rows.append(made)
        for i, widget in enumerate(self.rows):
            widget.setVisible(i < len(rows))
            if i < len(rows):
                widget.show_row(rows[i], read)

    @property
    def now(self) -> RailRow | None:
        """The row of the step that is due."""
        shown = (each for each in self.rows if not each.isHidden())
        return next((each for each in shown if each.row and each.row.state is State.NOW), None)

    def _stress(self) -> None:
        for each in self.rows:
            each.stress()

    def _change(self, row: Row) -> None:
        if row.step is not None:
            self.change_step.emit(row.step)
        else:
            self.change_first.emit()
