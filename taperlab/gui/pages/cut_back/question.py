"""What a person may do about weighings that disagree."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.kit.widgets import label
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.shop.cut_back.disagreement import Disagreement
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence


class Question(QWidget):
    """A button for each reading that can be dropped, and one for a person who is sure.

    None of them writes a reading: that is changed where it was typed.
    """

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self.case = case
        self.words = label(
            tr("Weigh again, and change the reading that was wrong. Or say what to do without it:"),
            wrap=True,
        )
        self.drops = [QPushButton() for _ in range(3)]
        self.trust = QPushButton(tr("The reading is right: go on with it"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 10)
        column.setSpacing(3)
        column.addWidget(self.words)
        for i, button in enumerate(self.drops):
            button.clicked.connect(lambda _checked=False, i=i: self._drop(i))
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self.trust.clicked.connect(self._trust)
        column.addWidget(self.trust, 0, Qt.AlignmentFlag.AlignLeft)
        self._asked: Disagreement | None = None

    def show_question(self, asked: Disagreement | None) -> None:
        """Offer what can be done about it; nothing where nothing is asked."""
        self._asked = asked
        self.setVisible(asked is not None)
        if asked is None:
            return
        for i, button in enumerate(self.drops):
            button.setVisible(i < len(asked.readings))
            if i < len(asked.readings):
                button.setText(self._read(asked.readings[i].drop_words))
        self.trust.setVisible(asked.can_trust)

    def _read(self, sentence: Sentence) -> str:
        return self.case.place.read(sentence)

    def _drop(self, index: int) -> None:
        if self._asked is not None and self.case.is_settled:
            reading = self._asked.readings[index]
            self.case.do(edits.drop_reading, reading.what, reading.step or 0)

    def _trust(self) -> None:
        if self._asked is not None and self.case.is_settled:
            self.case.do(edits.trust_readings, self._asked.step)
