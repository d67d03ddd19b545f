"""The page Which head: seven questions at the left; what suits, and the arithmetic, beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import PageBody, SideColumn
from taperlab.gui.kit.theme import usual
from taperlab.gui.kit.widgets import GAP, in_column, in_row
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.which_head.answer import AnswerCard
from taperlab.gui.pages.which_head.cards import MindCard, PointsCard, RuledOutCard
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.gui.pages.which_head.heads_dialog import HeadsDialog
from taperlab.gui.pages.which_head.questions import QuestionsCard
from taperlab.shop.which_head.words import (
    length_words,
    outcome_words,
    tip_words,
    weight_words,
)
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import heading

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

WITH_HINTS = 660
"""Height from which on the hints below the questions are seen, for usual letters [px]."""


class WhichHeadPage(Page):
    """Questions, the answer, what speaks for each style, what is ruled out."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.case = WhichCase(place, self.watch, self)
        self.questions = QuestionsCard(self.case)
        self.answer = AnswerCard(self.case, self.show_heads)
        self.points = PointsCard(self.case)
        self.ruled_out = RuledOutCard(self.case)
        self.mind = MindCard(self.case)
        work = QWidget()
        cards = (self.answer, self.points, self.ruled_out, self.mind)
        in_column(*cards, None, spacing=GAP, of=work)
        in_row(PageBody(work, SideColumn(self.questions, leads=True)), of=self)

    def show_heads(self) -> None:
        """Show how the heads that are there fit."""
        self.commit()
        HeadsDialog(self.case).open()

    # -- what the window asks ------------------------------------------------------------------

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.questions.commit()

    def has_readouts(self) -> bool:
        """Once something is advised."""
        return self.case.is_advised

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """What suits, and what each such head should be like."""
        found, read = self.case.found, self.place.read
        if found is None or not self.case.is_advised:
            return []
        figure, remark = outcome_words(found)
        rows = [(tr("Which head"), read(figure), read(remark))]
        for advice in found.winners:
            for name, (value, beside) in (
                (heading(advice.style), length_words(advice)),
                (tr("Head weight"), weight_words(advice)),
                (tr("Tip"), tip_words(advice)),
            ):
                rows.append((name, read(value), read(beside)))
        return rows

    def sheet(self) -> Sheet | Sentence:
        """What suits and why, on paper."""
        return self.case.sheet()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave hints to the tooltips where there is little height."""
        super().resizeEvent(event)
        self.questions.show_hints(usual(self.height()) >= WITH_HINTS)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up, also with a table of reasons that was edited meanwhile."""
        super().showEvent(event)
        self.case.read_table()

    def event(self, event: QEvent) -> bool:
        """Read the reasons again on coming back from whatever edited them."""
        if event.type() is QEvent.Type.WindowActivate:
            self.case.read_table()
        return super().event(event)
