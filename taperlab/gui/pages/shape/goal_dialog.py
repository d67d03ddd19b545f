"""Asks for a goal: which figure, between what and what, and where."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.range_edit import RangeEdit
from taperlab.gui.pages.shape.goals_case import GoalsCase
from taperlab.model.aim import Goal, GoalKind
from taperlab.physics.head import head_rows
from taperlab.units.kinds import DISTANCE
from taperlab.units.language import tr
from taperlab.units.limits import GOAL_LIMITS
from taperlab.units.words import heading

_OWN = ""
"""In place of a line to match: a weight of one's own."""


class GoalDialog(FormDialog):
    """A goal for any figure; a range is as good as a number."""

    def __init__(self, place: Workplace, case: GoalsCase) -> None:
        super().__init__(tr("Add a goal"), place, accept=tr("Set goal"))
        self._case = case
        self.figure = QComboBox()
        for kind in GoalKind:
            self.figure.addItem(heading(kind), kind)
        self.figure.activated.connect(self._chosen)
        self.add_row(tr("Figure"), self.figure)
        line = place.document.line
        self.at = self.add_field(tr("At, from the fly end"), DISTANCE, None, optional=True)
        self.other = QComboBox()
        self.add_row(tr("Line"), self.other)
        self.value = RangeEdit(GOAL_LIMITS[GoalKind.WEIGHT].kind, place.settings, name=tr("Goal"))
        self.value.setPlaceholderText(tr("a value, or two with “to” between"))
        self.watch(self.value)
        self.add_row(tr("Goal"), self.value)
        self._others = [
            each for each in place.document.bench.lines if each is not line and head_rows(each)
        ]
        self.finish_layout()
        self._chosen()

    @property
    def kind(self) -> GoalKind:
        """The figure that is chosen."""
        kind: GoalKind = GoalKind(self.figure.currentData())
        return kind

    def _chosen(self, _index: int = 0) -> None:
        kind = self.kind
        runs, steps = kind is GoalKind.RUNNING, kind is GoalKind.STEP
        self.form.setRowVisible(self.at, runs)
        self.at.setEnabled(runs)
        self.form.setRowVisible(self.other, runs or steps)
        self.other.clear()
        if runs:
            self.other.addItem(tr("None: a weight of its own"), _OWN)
        for each in self._others:
            self.other.addItem(each.name, each.key)
        text = self.value.text()
        self.value.use_kind(GOAL_LIMITS[kind].kind)
        self.value.setText(text)
        self.value.read_again()

    def try_accept(self) -> None:
        """Set the goal and meet it, or say why it can't be a goal."""
        kind, other = self.kind, self.other.currentData() or None
        if kind is GoalKind.RUNNING and self.at.require() is None:
            self.problem(tr("Say how far from the fly end."))
            return
        if kind is GoalKind.STEP and other is None:
            self.problem(tr("There is no other line on the bench to loop ahead."))
            return
        at = self.at.value() if kind is GoalKind.RUNNING else None
        if kind is GoalKind.RUNNING and other is not None:
            goal = Goal(kind, at=at, line=other)
        else:
            value = self.value.require()
            if value is None or self.value.bad:
                return
            low, high = self.value.span or (value, value)
            goal = Goal(kind, low, high, at, other if kind is GoalKind.STEP else None)
        refused = self._case.take_goal(goal)
        self.problem(self.place.read(refused))
        if not refused:
            self.accept()
