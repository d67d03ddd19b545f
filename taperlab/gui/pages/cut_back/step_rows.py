"""Rows of the staged cut-back: a dot on the line that joins the steps, and words beside it."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent
from PySide6.QtWidgets import QToolButton, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.widgets import Remark, in_column, in_row, label, set_role
from taperlab.units.language import tr

MARK = 26
"""Room for the dot [px]."""


class Marked(QWidget):
    """A step beside its dot on the line that joins them: filled when done, a ring when due."""

    def __init__(self, theme: theming.Theme, content: QWidget) -> None:
        super().__init__()
        self._theme = theme
        self.state = "next"
        in_row(content, of=self).setContentsMargins(MARK, 0, 0, 0)
        theme.changed.connect(self.update)

    def set_state(self, state: str) -> None:
        """done, now or next."""
        self.state = state
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the line and the dot."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        x, y = 6.0, 10.0
        painter.setPen(theming.pen(tokens.rule, 1.0))
        painter.drawLine(int(x), 0, int(x), self.height())
        now = self.state == "now"
        colour = QColor(tokens.accent if self.state != "next" else tokens.soft)
        painter.setPen(theming.pen(colour.name(), 2.0 if now else 1.2))
        painter.setBrush(colour if self.state == "done" else QColor(tokens.card))
        radius = 5.0 if now else 3.5
        painter.drawEllipse(QRectF(x - radius, y - radius, 2 * radius, 2 * radius))


class StepWords(QWidget):
    """A step that is done or still to come, in a line or two.

    pressed(): it is to be changed.
    """

    pressed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title = label("", weight=QFont.Weight.Medium, wrap=True)
        self.detail = Remark("soft", points=8.5)
        self.change = QToolButton()
        self.change.setText(tr("Change…"))
        self.change.setFont(theming.font(8.5))
        self.change.clicked.connect(self.pressed)
        self.change.setMaximumHeight(20)
        top = in_row((self.title, 1), self.change, spacing=6)
        in_column(top, self.detail, of=self).setContentsMargins(0, 1, 0, 7)

    def show_words(
        self, title: str, detail: str, *, can_change: bool = False, role: str = "soft"
    ) -> None:
        """Show a step; role colours its detail."""
        self.title.setText(title)
        set_role(self.detail, role)
        self.detail.say(detail)
        self.change.setVisible(can_change)
        self.change.setAccessibleName(f"{self.change.text()} {title}")
        self.setAccessibleName(f"{title}. {detail}")


class StepRows(QWidget):
    """Steps one below the other, as many as there are.

    change_step(int): one of them, from 0, is to be changed.
    """

    change_step = Signal(int)

    def __init__(self, theme: theming.Theme, state: str) -> None:
        super().__init__()
        self._theme, self._state = theme, state
        self.rows: list[StepWords] = []
        self._marked: list[Marked] = []
        self._column = in_column(of=self)

    def show_count(self, count: int) -> list[StepWords]:
        """Show so many rows, and give them to be filled."""
        while len(self.rows) < count:
            self._add()
        for i, marked in enumerate(self._marked):
            marked.setVisible(i < count)
        self.setVisible(count > 0)
        return self.rows[:count]

    def _add(self) -> None:
        row, number = StepWords(), len(self.rows)
        row.pressed.connect(lambda: self.change_step.emit(number))
        marked = Marked(self._theme, row)
        marked.set_state(self._state)
        self.rows.append(row)
        self._marked.append(marked)
        self._column.addWidget(marked)
