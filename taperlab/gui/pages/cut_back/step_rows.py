"""Rows of the staged cut-back: a dot on the line that joins the steps, and words beside it."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.widgets import label, set_role
from taperlab.units.language import tr

MARK = 22
"""Room for the dot [px]."""


class StepMark(QWidget):
    """The dot of a step on the line that joins them: filled when done, a ring when due."""

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self.state = "next"
        self.setFixedWidth(MARK)
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


class Marked(QWidget):
    """Anything with the dot of a step at its left."""

    def __init__(self, theme: theming.Theme, content: QWidget) -> None:
        super().__init__()
        self.mark = StepMark(theme)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(self.mark)
        row.addWidget(content, 1)


class StepWords(QWidget):
    """A step that is done or still to come, in a line or two.

    pressed(): it is to be changed.
    """

    pressed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title = label("", weight=QFont.Weight.Medium, wrap=True)
        self.detail = label("", points=8.5, role="soft", wrap=True)
        self.change = QToolButton()
        self.change.setText(tr("Change…"))
        self.change.setFont(theming.font(8.5))
        self.change.clicked.connect(self.pressed)
        self.change.setMaximumHeight(20)
        top = QHBoxLayout()
        top.setSpacing(6)
        top.addWidget(self.title, 1)
        top.addWidget(self.change)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 1, 0, 7)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(self.detail)

    def show_words(
        self, title: str, detail: str, *, can_change: bool = False, role: str = "soft"
    ) -> None:
        """Show a step; role colours its detail."""
        self.title.setText(title)
        set_role(self.detail, role)
        self.detail.setText(detail)
        self.detail.setVisible(bool(detail))
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
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)

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
        marked.mark.set_state(self._state)
        self.rows.append(row)
        self._marked.append(marked)
        self._column.addWidget(marked)
