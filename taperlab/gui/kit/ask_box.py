"""A question in amber: what does not add up, and what may be behind it."""

from __future__ import annotations

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QFrame

from taperlab.gui.kit.widgets import Remark, in_column, in_row, label
from taperlab.units.language import tr


class AskBox(QFrame):
    """The box of a question; what can be done about it stands below."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("ask")
        sign = label("?", points=14.0, weight=QFont.Weight.Bold, role="warn")
        sign.setAccessibleName(tr("A question"))
        self.question = label("", points=13.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.hint = Remark("", points=10.0)
        words = in_column(self.question, self.hint, spacing=3)
        row = in_row(sign, 6, spacing=6, of=self)
        row.addLayout(words, 1)
        row.setContentsMargins(14, 10, 14, 10)

    def ask(self, question: str, hint: str = "") -> None:
        """Ask this."""
        self.question.setText(question)
        self.hint.say(hint)
        self.setAccessibleName(question)
