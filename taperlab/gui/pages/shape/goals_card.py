"""The goals of the current line: what is wanted and reached, what may move, what is to move."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QApplication,
    QBoxLayout,
    QCheckBox,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QWidget,
)

from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.typed_figure import TypedFigure
from taperlab.gui.kit.widgets import (
    Card,
    Remark,
    caption,
    in_column,
    in_row,
    label,
    show_only_if,
    tool_button,
)
from taperlab.gui.pages.shape.goals_case import GoalsCase
from taperlab.gui.pages.shape.why_panel import WhyPanel
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, counted
from taperlab.units.words import capital

if TYPE_CHECKING:
    from taperlab.shop.goals.study import Answer, Outcome

MOST_MOVED = 6
"""Dimensions that are told one by one."""


class GoalsCard(Card):
    """Goals, what may move for them, and an answer that waits to be taken.

    add_asked is called when the person wants a goal for a figure that is not shown large.
    """

    def __init__(self, case: GoalsCase, add_asked: Callable[[], object]) -> None:
        super().__init__(tr("Goals"))
        self._case, self._place = case, case.place
        self._area: QScrollArea | None = None
        self._waited = False
        tip = tr("A goal for the fly end, the thickest place, a joint step, a running weight, …")
        self.add_button = tool_button(tr("Add…"), tr("Add a goal"), tip, add_asked)
        self.about = label("", points=SMALL, role="soft", wrap=True)
        self._rows = QWidget()
        self._row_box = in_column(spacing=6, of=self._rows)
        self.lengths = self._switch(tr("Lengths"), "lengths")
        self.diameters = self._switch(tr("Diameters"), "diameters")
        self.density = self._switch(tr("Density"), "density")
        self.locked = label("", points=SMALL, role="soft", wrap=True)
        self.rounds = QCheckBox(tr("Round to what can be built"))
        self.rounds.setToolTip(
            tr("To 1/8 in and 0.001 in, or 1 mm and 0.01 mm, with the weight within half a grain")
        )
        self.rounds.clicked.connect(case.round_to_steps)
        self.meet_button = QPushButton(tr("Meet goals"))
        self.meet_button.clicked.connect(self._meet)
        self.why = WhyPanel(case)
        self._moved = QWidget()
        self._moved_box = in_column(spacing=3, of=self._moved)
        self.take_button = QPushButton(tr("Keep it"))
        self.take_button.clicked.connect(case.accept)
        self.drop_button = QPushButton(tr("Put back"))
        self.drop_button.clicked.connect(case.drop)
        buttons = in_row(self.take_button, self.drop_button, None, spacing=8)
        self._answer = QWidget()
        self.caution = Remark("warn", points=SMALL)
        in_column(
            self.why.head, self.caution, buttons, self.why, self._moved, spacing=8, of=self._answer
        )
        self._may = QWidget()
        may = in_column(
            caption(tr("What may move")),
            in_column(self.lengths, self.diameters, self.density, spacing=2),
            self.locked,
            self.rounds,
            spacing=4,
            of=self._may,
        )
        may.setContentsMargins(0, 4, 0, 0)
        head = in_row(caption(tr("Goals")), None, self.add_button)
        self.add(head, self.about, self._rows, self.meet_button, self._answer, self._may)
        case.changed.connect(self.refresh)
        case.place.settings.units_changed.connect(self.refresh)
        self.refresh()

    def show_in(self, area: QScrollArea) -> None:
        """Be seen in what scrolls once there is an answer that waits."""
        self._area = area

    def _switch(self, text: str, column: str) -> QCheckBox:
        box = QCheckBox(text)
        box.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        box.clicked.connect(lambda on: self._case.free(**{column: on}))
        return box

    def _meet(self, _checked: bool = False) -> None:
        line = self._case.line
        if line is not None and line.aim.goals:
            # What was asked for last gives way first, as when it was typed.
            self._case.propose(line.aim.goals[-1])

    # -- shown --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the goals of the current line, and the answer that waits."""
        case, line, read = self._case, self._case.line, self._place.read
        had_keys = self._has_keys()
        is_rig = self._place.document.rig is not None
        show_only_if(self, line is not None and bool(line.segments) and not is_rig)
        if line is None:
            return
        shown = case.proposal or case.standing
        self._show_goals(shown)
        told = case.is_told
        none = tr(
            "Type a range over a large figure, two numbers with “to” between, or lock a cell, and "
            "the figure is a goal."
        )
        self.about.setText("" if line.aim.goals else none)
        self.about.setVisible(not line.aim.goals)
        self._may.setVisible(told)
        for box, on in (
            (self.lengths, line.aim.lengths),
            (self.diameters, line.aim.diameters),
            (self.density, line.aim.density),
        ):
            box.setChecked(on)
        if told:
            from taperlab.shop.goals.words import locked_words, may_move_words

            self._may.setToolTip(read(may_move_words(line)))
            locked = read(locked_words(line))
            self.locked.setText(locked)
            self.locked.setVisible(bool(locked))
        self.rounds.setChecked(self._place.settings.preferences.builds_to_steps)
        waits = case.proposal is not None
        missed = case.standing is not None and not case.standing.met
        self.meet_button.setVisible(missed and not waits)
        self._answer.setVisible(waits)
        if case.proposal is not None:
            self._show_answer(case.proposal)
        if waits and not self._waited:
            QTimer.singleShot(0, self, self._come_into_sight)
        self._waited = waits
        if had_keys and not self._has_keys():
            # What had the keys is made anew: they go to what comes next.
            (self.take_button if waits else self.add_button).setFocus()

    def _come_into_sight(self) -> None:
        """Be scrolled to; after typing, the keys are here, so that Enter takes the answer."""
        if self._case.proposal is None:
            return
        if self._area is not None:
            self._area.verticalScrollBar().setValue(self.y())
        if isinstance(QApplication.focusWidget(), TypedFigure) and self.take_button.isEnabled():
            self.take_button.setFocus()

    def _has_keys(self) -> bool:
        now = QApplication.focusWidget()
        return now is not None and self.isAncestorOf(now)

    def _show_goals(self, answer: Answer | None) -> None:
        _empty(self._row_box)
        for outcome in answer.outcomes if answer else ():
            self._row_box.addWidget(self._goal_row(outcome, waits=self._case.proposal is not None))
        self._rows.setVisible(answer is not None)

    def _goal_row(self, outcome: Outcome, *, waits: bool) -> QWidget:
        from taperlab.shop.goals.words import goal_name, names_of, outcome_words, wanted_words

        read, names = self._place.read, names_of(self._place.document.bench.lines)
        goal = outcome.aim.goal
        name = capital(read(goal_name(goal, names)))
        wanted = read(wanted_words(outcome.aim, names))
        sign = "✓" if outcome.met else "◇"
        came = read(outcome_words(outcome)) if waits else self._standing(outcome)
        row = QWidget()
        row.setAccessibleName(
            tr("{name}: {value}, {remark}").format(name=name, value=wanted, remark=came)
        )
        gone = tr("Clear the goal for {figure}").format(figure=read(goal_name(goal, names)))
        clear = tool_button("✕", gone, gone, partial(self._case.clear, goal))
        value = label(wanted, points=11.0, weight=QFont.Weight.DemiBold, wrap=True)
        about = label(
            f"{sign} {came}", points=SMALL, role="good" if outcome.met else "bad", wrap=True
        )
        top = in_row((caption(name), 1), clear)
        in_column(top, value, about, spacing=1, of=row)
        return row

    def _standing(self, outcome: Outcome) -> str:
        from taperlab.shop.goals.words import figure

        now = figure(outcome.aim.goal.kind, outcome.reached).text(self._place.system)
        said = tr("met, is {value}") if outcome.met else tr("is {value}")
        return said.format(value=now)

    def _show_answer(self, answer: Answer) -> None:
        from taperlab.shop.goals.words import cells_words, change_by

        read = self._place.read
        self.why.show_answer(answer, self._case.why, self._case.is_known)
        _empty(self._moved_box)
        changes = answer.changes
        if changes:
            self._moved_box.addWidget(caption(tr("What moves, biggest first")))
        for change in changes[:MOST_MOVED]:
            what = label(capital(read(cells_words(answer.before, change.cells))), wrap=True)
            by = label(change_by(change).text(self._place.system), role="accent")
            by.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
            line = QWidget()
            in_row((what, 1), by, spacing=8, of=line)
            self._moved_box.addWidget(line)
        rest = len(changes) - MOST_MOVED
        if rest > 0:
            more = counted("and {count} more", "and {count} more", rest)
            self._moved_box.addWidget(label(read(more), points=SMALL, role="soft"))
        self._moved.setVisible(bool(changes))
        fit = self._case.preview.fit
        self.caution.say(" ".join(read(each.sentence) for each in (fit.findings if fit else ())))
        take = tr("Keep it") if answer.met else self._take_words(answer)
        self.take_button.setText(take)
        self.take_button.setEnabled(bool(changes))
        self.take_button.setDefault(answer.met)

    def _take_words(self, answer: Answer) -> str:
        from taperlab.shop.goals.words import figure

        missed, *others = (each for each in answer.outcomes if not each.met)
        if others:
            return tr("Take the nearest")
        value = figure(missed.aim.goal.kind, missed.reached)
        return self._place.read(Sentence("Take {value}", value=value))


def _empty(box: QBoxLayout) -> None:
    """Take all out of a layout."""
    while box.count():
        item = box.takeAt(0)
        widget = item.widget() if item is not None else None
        if widget is not None:
            widget.hide()
            widget.deleteLater()
