"""Why goals are not met: what each could be alone, what is in the way, and how to open it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import Link, caption, in_column, in_row, label
from taperlab.gui.pages.shape.goals_case import GoalsCase
from taperlab.units.language import tr
from taperlab.units.words import capital

if TYPE_CHECKING:
    from taperlab.shop.goals.study import Answer
    from taperlab.shop.goals.why import AtLimit, Opened, Why

MOST_LOCKS, MOST_LIMITS = 3, 3
"""Told one by one, those first that help most."""


class WhyPanel(QWidget):
    """Shown with an answer that does not meet all goals; it says what is known so far.

    head: what stands above the buttons: which goals, and what is drawn.
    """

    def __init__(self, case: GoalsCase) -> None:
        super().__init__()
        self._case, self._place = case, case.place
        self.title = label("", points=10.0, weight=QFont.Weight.DemiBold, role="bad", wrap=True)
        self.nearest = label("", wrap=True)
        self._more = QWidget()
        self._box = in_column(spacing=4, of=self._more)
        self.unlock_buttons: list[QPushButton] = []
        self.bound_links: list[Link] = []
        self.head = QWidget()
        in_column(self.title, self.nearest, spacing=4, of=self.head)
        in_column(self._more, of=self)

    def show_answer(self, answer: Answer, why: Why | None, known: bool) -> None:
        """Show an answer, and why it falls short; nothing where it does not.

        known: whether it is known why, which may be for nothing but the steps of the tools.
        """
        from taperlab.shop.goals.words import (
            alone_words,
            limit_words,
            names_of,
            nearest_words,
            quarrel_title,
        )

        read = self._place.read
        self.head.setVisible(not answer.met)
        self.setVisible(not answer.met)
        if answer.met:
            return
        title = read(quarrel_title(why)) if why else tr("Not all goals are met")
        if why is None and known and answer.built:
            title = tr("Only between the steps of tape and micrometer")
        self.title.setText(f"◇ {title}")
        self.nearest.setText(read(nearest_words(answer)))
        while self._box.count():
            item = self._box.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.unlock_buttons, self.bound_links = [], []
        self._more.setVisible(why is not None)
        if why is None:
            return
        names = names_of(self._place.document.bench.lines)
        alone = tr("If one gave way") if len(why.quarrel) > 1 else tr("By itself")
        self._box.addWidget(caption(alone))
        for each in why.alone:
            said = read(alone_words(each, why.quarrel, names))
            self._box.addWidget(label(capital(said), wrap=True))
        if why.locks or why.limits:
            self._box.addWidget(caption(tr("In the way")))
        for opened in why.locks[:MOST_LOCKS]:
            self._box.addWidget(self._lock(answer, why, opened))
        for limit in why.limits[:MOST_LIMITS]:
            self._box.addWidget(
                self._limit(capital(read(limit_words(answer.before, limit))), limit)
            )

    def _lock(self, answer: Answer, why: Why, opened: Opened) -> QWidget:
        from taperlab.shop.goals.words import lock_words, opened_words

        read = self._place.read
        what = read(lock_words(answer.before, opened.lock))
        button = QPushButton(tr("Unlock"))
        button.setAccessibleName(tr("Unlock {cells}").format(cells=what))
        button.clicked.connect(partial(self._unlock, opened))
        self.unlock_buttons.append(button)
        row = QWidget()
        name = label(tr("Locked: {cells}").format(cells=what), wrap=True)
        gives = label(
            capital(read(opened_words(opened, why.quarrel))), points=SMALL, role="soft", wrap=True
        )
        in_column(in_row((name, 1), button, spacing=8), gives, spacing=1, of=row)
        return row

    def _limit(self, said: str, limit: AtLimit) -> QWidget:
        tip = tr("Say between what goals may move it")
        name = tr("Bound for {cells}").format(cells=said)
        link = Link(tr("Bound…"), tip, partial(self._bound, limit), name)
        self.bound_links.append(link)
        row = QWidget()
        in_row((label(said, points=SMALL, role="soft", wrap=True), 1), link, spacing=8, of=row)
        return row

    def _bound(self, limit: AtLimit, _checked: bool = False) -> None:
        self._case.bound_asked.emit(*limit.cells[0])

    def _unlock(self, opened: Opened, _checked: bool = False) -> None:
        self._case.unlock(opened.lock)
