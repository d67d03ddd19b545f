"""The tab Cutting plan: bars of stock with their cuts, how good the plan is, and Cut it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.gui.kit.deliberate import Deliberate
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import (
    Card,
    Link,
    Remark,
    in_column,
    in_row,
    label,
    scrolling,
    set_role,
)
from taperlab.gui.pages.pieces.bars_view import BarRow, BarsView
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.shop.pieces.words import gap_words
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, OnTape, Sentence, counted


class PlanTab(QWidget):
    """What is cut from which stock, what is left, and what is not opened.

    begun(): heads were cut, and are built from now on.
    """

    begun = Signal()

    def __init__(self, case: PiecesCase) -> None:
        super().__init__()
        self.case = case
        self.bars = BarsView(case, tr("Cutting plan"))
        self.problem = Remark("soft")
        self.verdict = label("", wrap=True)
        self.key = label(
            tr("Numbered: cut. Hatched: left. Dashed: not opened."), points=SMALL, role="soft"
        )
        self.cut = QPushButton(tr("Cut it"))
        self.cut.setDefault(True)
        self.cut.setToolTip(tr("Take what is cut off the stock, and put back what is left"))
        self.again = Link(
            tr("Look longer"),
            tr("Look for a better plan, several times as hard as before"),
            case.look_longer,
        )
        self.cut.clicked.connect(self._cut_it)
        Deliberate(self, self.cut)
        self.plan = Card(tr("Cutting plan"))
        self.plan.body.setContentsMargins(1, 6, 1, 1)
        self.plan.body.setSpacing(2)
        self.key.setContentsMargins(13, 0, 13, 0)
        self.area = scrolling(self.bars, tr("Bars of the plan"))
        foot = QWidget()
        row = in_row((self.verdict, 1), self.again, self.cut, spacing=10, of=foot)
        row.setContentsMargins(13, 6, 13, 8)
        self.again.setSizePolicy(self.cut.sizePolicy())
        self.left_out = Remark("warn")
        self.left_out.setContentsMargins(13, 0, 13, 0)
        self.plan.add(self.key, (self.area, 1), self.left_out, foot)
        row.setAlignment(self.cut, Qt.AlignmentFlag.AlignVCenter)
        self.empty = Card(tr("Nothing to cut yet"))
        self.empty.add(self.problem)
        in_column(self.empty, (self.plan, 1), of=self)
        case.follow(self.refresh)

    def _cut_it(self) -> None:
        if self.case.cut_it():
            self.begun.emit()

    def refresh(self) -> None:
        """Show what is known now."""
        found, read = self.case.study, self.case.place.read
        self.problem.say(read(self.case.problem))
        self.plan.setVisible(found is not None)
        self.empty.setVisible(bool(self.case.problem))
        rows: list[BarRow] = []
        verdict = NOTHING
        if found is not None:
            touched = set()
            for each in found.plan:
                touched.add(each.stock.key)
                cuts = tuple(
                    (p.begin, p.begin + p.cut, found.numbered(i))
                    for i, p in ((i, found.pieces[i]) for i in each.pieces)
                )
                rows.append(
                    BarRow(each.stock, cuts, Sentence("{left} left", left=OnTape(each.left)))
                )
            for stock in found.question.stock:
                if stock.key not in touched:
                    rows.append(BarRow(stock, (), Sentence("not opened")))
            verdict = gap_words(found)
            if found.proved:
                verdict = Sentence("Least loss, proved. {said}", said=verdict)
            elif self.case.was_stopped:
                verdict = Sentence("Stopped. {said}", said=verdict)
            if found.short:
                verdict = Sentence(
                    "Stock is short: not every piece can be cut; see the remarks. {said}",
                    said=verdict if self.case.was_stopped else gap_words(found),
                )
            if not found.pieces:
                verdict = Sentence("Nothing can be cut: see the remarks.")
        self.bars.show_bars(rows)
        self.verdict.setText(read(verdict))
        set_role(self.verdict, "soft" if self.case.is_late else "")
        self.again.setVisible(self.case.can_look_longer)
        self._show_button()

    def _show_button(self) -> None:
        """Say on the button how many heads are cut where some are short of stock."""
        found, read = self.case.study, self.case.place.read
        self.cut.setEnabled(self.case.can_cut)
        self.cut.setText(tr("Cut it"))
        left_out = NOTHING
        if found is not None:
            from taperlab.shop.pieces.freezing import short_words, whole_heads

            left_out = short_words(found)
            whole = len(whole_heads(found))
            if left_out and whole:
                only = counted("Cut the one whole head", "Cut the {count} whole heads", whole)
                self.cut.setText(read(only))
        self.left_out.say(read(left_out))
