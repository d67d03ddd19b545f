"""The cards at the right: the depth of the deepest tip, the head, and how it is fished."""

from __future__ import annotations

import math
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from taperlab.edits.rigs import set_swing
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.fold import Fold
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import NONE, Card, Link, caption, choice, in_column, in_row, label
from taperlab.gui.pages.tips.case import LANE, TipsCase
from taperlab.gui.state.document import Reason
from taperlab.model.rig import FlyKind, Leader
from taperlab.model.swing import Swing
from taperlab.shop.tips.study import TipsStudy
from taperlab.shop.tips.words import fished_words
from taperlab.shop.water.words import NOT_COUNTED, depth_in_short, why_words
from taperlab.trade.flies import flies
from taperlab.units.kinds import CURRENT, DEPTH, LENGTH
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence
from taperlab.units.words import heading

FIGURE = 30.0
UNIT = 15.0
"""Sizes of the large figure and of its unit [points]."""


class DeepestCard(Card):
    """The one large figure: how deep the deepest tip that does not hinge fishes, in words.

    swing: how it is fished.
    """

    def __init__(self, case: TipsCase) -> None:
        super().__init__(tr("Deepest that does not hinge"))
        self._case = case
        self.figure = LargeFigure(FIGURE, least=13.0)
        self.unit = label("", points=UNIT)
        self.name = label("", points=9.5, weight=QFont.Weight.DemiBold, wrap=True)
        self.swing = SwingFold(case)
        self.busy = label(tr("Working out depths…"), role="accent")
        self.busy.hide()
        row = in_row((self.figure, 100), self.unit, None, spacing=6)
        row.setAlignment(self.unit, Qt.AlignmentFlag.AlignBottom)
        self.add(caption(tr("Deepest that does not hinge")), row, self.name, self.busy, self.swing)
        case.place.jobs.busy.connect(self._busy)
        case.follow(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the depth."""
        study, read = self._case.study, self._case.place.read
        best = study.best if study is not None else None
        if study is None or best is None:
            self.figure.setText(NONE)
            self.unit.setText("")
            self.name.setText(read(_none_words(study)) if self._case.question else "")
            return
        words = depth_in_short(best.water, unit=False)
        has_unit = math.isfinite(best.water.band.high)
        self.figure.setText(read(words if has_unit else depth_in_short(best.water)))
        self.unit.setText(DEPTH.shown(self._case.system).unit if has_unit else "")
        self.figure.setMaximumWidth(self.figure.sizeHint().width() + 2)
        self.figure.setAccessibleName(
            tr("Depth of {tip}: {depth}").format(
                tip=best.line.name, depth=read(depth_in_short(best.water))
            )
        )
        self.name.setText(best.line.name)
        why = why_words(best.water) or NOTHING
        tip = "\n".join(filter(None, (read(why), read(NOT_COUNTED))))
        for each in (self, self.figure):
            each.setToolTip(tip)

    def _busy(self, lane: str, busy: bool) -> None:
        if lane == LANE:
            self.busy.setVisible(busy)


def _none_words(study: TipsStudy | None) -> Sentence:
    if study is None:
        return NOTHING
    if not study.rows:
        return Sentence("There is no tip on this bench yet.")
    return Sentence("Every tip here hinges, floats or lies on the bottom.")


class HeadCard(Card):
    """Choose the head that the tips are looped to."""

    def __init__(self, case: TipsCase) -> None:
        super().__init__(tr("Head"))
        self._case = case
        self.box = Choice()
        self.box.setAccessibleName(tr("Head"))
        self.box.setToolTip(tr("The head that the tips are looped to"))
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.box.activated.connect(self._chosen)
        self.add(caption(tr("Head")), self.box)
        case.watch.follow(self.refresh)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show the heads of the bench and the one in hand."""
        heads, question = self._case.heads, self._case.question
        names = [head.name for head in heads] or [tr("No head on the bench")]
        if names != [self.box.itemText(i) for i in range(self.box.count())]:
            self.box.clear()
            self.box.addItems(names)
        self.box.setEnabled(bool(heads))
        if question is not None and question.head in heads:
            self.box.setCurrentIndex(heads.index(question.head))

    def _chosen(self, index: int) -> None:
        self._case.choose_head(self._case.heads[index])


class SwingFold(QWidget):
    """How rigs are fished: current, leader and fly; one line until it is opened."""

    def __init__(self, case: TipsCase) -> None:
        super().__init__()
        self._case = case
        settings = case.place.settings
        self.speed = QuantityEdit(CURRENT, settings, name=tr("Current"))
        self.leader = QuantityEdit(LENGTH, settings, name=tr("Leader"), optional=True)
        self.leader.setPlaceholderText(tr("none"))
        self.leader.set_help(tr("Length of the leader; empty for none"))
        self.fly = choice(FlyKind, FlyKind.USUAL, tr("Fly"))
        self.fly.removeItem(list(FlyKind).index(FlyKind.OWN))
        self.fly.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.problem = label("", role="bad", wrap=True)
        self.problem.hide()
        content = QWidget()
        grid = QGridLayout()
        grid.setContentsMargins(0, 4, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(6)
        for i, (name, field) in enumerate(
            ((tr("Current"), self.speed), (tr("Leader"), self.leader), (tr("Fly"), self.fly))
        ):
            grid.addWidget(label(name), i, 0)
            grid.addWidget(field, i, 1)
        grid.setColumnStretch(1, 1)
        self.elsewhere = Link(
            tr("Angle, river and drift"), tr("Open the page Water, where these are changed")
        )
        in_column(grid, self.problem, self.elsewhere, of=content)
        self.words = label("", role="soft", wrap=True)
        self.fold = Fold(tr("Fish it otherwise"), content)
        in_column(self.words, self.fold, spacing=2, of=self)
        self._speed = Kept(self.speed, lambda speed: self._set(speed=speed))
        self._leader = Kept(self.leader, self._set_leader)
        for field in (self.speed, self.leader):
            field.sentence_changed.connect(self._say)
        self.fly.activated.connect(self._fly_chosen)
        case.watch.changed.connect(lambda change: self._show(anew=change.reason is Reason.LOAD))
        case.watch.units_changed.connect(self._show)
        self._show()

    @property
    def _swing(self) -> Swing:
        return self._case.place.document.bench.swing

    def commit(self) -> None:
        """Take over what is being typed."""
        self._speed.commit()
        self._leader.commit()

    def _show(self, *, anew: bool = False) -> None:
        swing = self._swing
        self._speed.show(swing.speed, anew=anew)
        self._leader.show(swing.leader.length if swing.leader else None, anew=anew)
        kind = swing.fly.kind if swing.fly else FlyKind.USUAL
        at = self.fly.findData(kind)
        if kind is FlyKind.OWN and at < 0:
            self.fly.addItem(heading(FlyKind.OWN), FlyKind.OWN)
            at = self.fly.count() - 1
        self.fly.setCurrentIndex(at)
        self.words.setText(
            self._case.place.read(fished_words(swing.speed, swing.angle, swing.leader, swing.fly))
        )

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _set(self, **changes: object) -> bool:
        new = replace(self._swing, **changes)  # type: ignore[arg-type]
        return bool(self._case.place.do(set_swing, new, initiator=self))

    def _set_leader(self, length: float | None) -> bool:
        if length is None:
            return self._set(leader=None)
        old = self._swing.leader
        return self._set(leader=replace(old, length=length) if old else Leader(length))

    def _fly_chosen(self, index: int) -> None:
        kind = self.fly.itemData(index)
        if kind is not FlyKind.OWN:
            self._set(fly=flies()[kind].fly)
