"""The answer: which style, by how much, and what such a head should be like."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.gui.kit.bend import Bend
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.widgets import (
    Card,
    Figure,
    Link,
    Remark,
    caption,
    in_column,
    in_row,
    label,
)
from taperlab.gui.pages.which_head.case import CANNOT_READ, WhichCase
from taperlab.gui.pages.which_head.head_scale import HeadScale
from taperlab.model.bench import keyed
from taperlab.shop.which_head.study import Advice
from taperlab.shop.which_head.words import (
    length_words,
    outcome_words,
    tip_words,
    weight_words,
)
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import capital, heading

LARGE = 27.0
"""Letters of the answer [points]."""

BUTTONS_BESIDE, IN_A_ROW, WITH_SCALE, SIDE_BY_SIDE = 480, 340, 620, 210
"""Widths from which on the buttons stand beside the answer, figures in a row, the drawing beside
them, and each of several styles that tie in a column of its own, for usual letters [px]."""


class AdviceView(QWidget):
    """One style: its length, weight and tip, drawn against the rod.

    lay: puts such a head on the bench; seen here only where several styles tie.
    """

    def __init__(self, case: WhichCase, lay: Callable[[Advice], object]) -> None:
        super().__init__()
        self._case = case
        self.advice: Advice | None = None
        self.name = label("", points=11.0, weight=QFont.Weight.DemiBold)
        self.lay = QPushButton(tr("Lay it on the bench"))
        self.lay.clicked.connect(lambda: self.advice and lay(self.advice))
        self.length = Figure(
            tr("Head length"), tr("What practice or the standard leaves on this rod, and the room")
        )
        self.weight = Figure(
            tr("Head weight"), tr("From the rod’s own grain window alone, never a guess")
        )
        self.tip = Figure(tr("Tip"), tr("The tip that practice casts with it on such a rod"))
        self.scale = HeadScale(case)
        self._head = QWidget()
        in_row(self.name, None, of=self._head)
        figures = Bend(self.length, self.weight, self.tip, least=IN_A_ROW)
        body = Bend(
            figures, self.scale, least=WITH_SCALE, across=(3, 2), down=(1, 0), spacing=(16, 6)
        )
        column = in_column(self._head, (body, 1), spacing=6, of=self)
        column.addLayout(in_row(self.lay, None))

    def show_advice(self, advice: Advice, *, is_tie: bool) -> None:
        """Show what a head of a style should be like."""
        self.advice = advice
        read = self._case.place.read
        self._head.setVisible(is_tie)
        self.lay.setVisible(is_tie)
        self.name.setText(heading(advice.style))
        self.lay.setAccessibleName(
            tr("Lay a head on the bench: {style}").format(style=heading(advice.style))
        )
        for figure, words in (
            (self.length, length_words(advice)),
            (self.weight, weight_words(advice)),
            (self.tip, tip_words(advice)),
        ):
            figure.show_value(*map(read, words))
        self.scale.show_advice(advice)


class AnswerCard(Card):
    """The style that suits in large letters, or several side by side, and the two buttons."""

    def __init__(self, case: WhichCase, show_heads: Callable[[], object]) -> None:
        super().__init__(tr("Which head"), spacing=6)
        self._case = case
        self._laid: str | None = None
        self.figure = LargeFigure(LARGE)
        self.remark = label("", points=11.0, role="soft", wrap=True)
        self.heads = QPushButton(tr("Heads that are there…"))
        self.heads.setToolTip(tr("See how each head on the bench fits, and choose one"))
        self.heads.clicked.connect(show_heads)
        self.lay = QPushButton(tr("Lay one on the bench"))
        self.lay.setDefault(True)
        self.lay.setToolTip(tr("Begin a head like this, with its weight and length as goals"))
        self.lay.clicked.connect(self._lay_the_one)
        self.views: list[AdviceView] = []
        self._views = Bend(least=SIDE_BY_SIDE, spacing=(20, 12))
        self.laid = label("", role="good", wrap=True)
        self.see = Link(
            tr("Shape it…"),
            tr("Turn to the page Shape, where the head is the current line"),
            lambda: case.place.host.show_page("shape"),
        )
        self._laid_row = QWidget()
        in_row((self.laid, 1), self.see, of=self._laid_row, spacing=10)
        self.table_problem = Remark("bad")
        titles, buttons = QWidget(), QWidget()
        said = caption(tr("For this rod and this water"))
        in_column(said, self.figure, self.remark, None, spacing=1, of=titles)
        in_column(in_row(None, self.heads, self.lay, spacing=8), None, of=buttons)
        top = Bend(titles, buttons, least=BUTTONS_BESIDE, across=(1, 0))
        self.add(self.table_problem, top, 4, self._views, self._laid_row)
        case.follow(self.refresh)
        case.watch.changed.connect(self._show_laid)
        self._show_laid()

    def refresh(self) -> None:
        """Show what suits now."""
        case, read = self._case, self._case.place.read
        found = case.found
        if found is None:
            self.figure.setText(tr("No answer"))
            self.remark.setText(read(case.problem))
        else:
            figure, remark = outcome_words(found)
            self.figure.setText(capital(read(figure)))
            self.remark.setText(read(remark))
        winners = found.winners if found is not None and case.is_advised else ()
        while len(self.views) < len(winners):
            self.views.append(AdviceView(case, self._lay))
            self._views.add(self.views[-1])
        for view, advice in zip(self.views, winners, strict=False):
            view.show_advice(advice, is_tie=len(winners) > 1)
        for at, view in enumerate(self.views):
            view.setVisible(at < len(winners))
        self.lay.setVisible(len(winners) == 1)
        self.heads.setEnabled(found is not None)
        problem = read(case.table_problem).rstrip(".")
        self.table_problem.say(f"{problem}. {read(CANNOT_READ)}" if problem else "")
        self._views.bend_below(SIDE_BY_SIDE * len(winners))

    def _lay_the_one(self) -> None:
        if self._case.is_advised and self.views[0].advice is not None:
            self._lay(self.views[0].advice)

    def _lay(self, advice: Advice) -> None:
        self._laid = self._case.lay(advice)
        self._show_laid()

    def _show_laid(self, _change: object = None) -> None:
        """Say what was laid on the bench, for as long as it lies there."""
        line = keyed(self._case.place.document.bench.lines, self._laid)
        self._laid_row.setVisible(line is not None)
        if line is not None:
            said = Sentence(
                "{name} lies on the bench, what is advised as its goals.", name=line.name
            )
            self.laid.setText(self._case.place.read(said))
