"""Goals of the current line: set, met, or explained; the card and the figures look at this."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from taperlab.edits import goals as edits
from taperlab.edits.edited import Refused, Step
from taperlab.edits.figures import Figure
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.preview import Preview
from taperlab.gui.state.watch import Watch
from taperlab.model.aim import Cell, Goal, GoalKind
from taperlab.model.line import Line
from taperlab.units.finding import Impossible
from taperlab.units.sentence import NOTHING, Sentence

# What searches is loaded once a goal is asked for: a start has no time for it.
if TYPE_CHECKING:
    from taperlab.shop.goals.buildable import Tools
    from taperlab.shop.goals.study import Answer
    from taperlab.shop.goals.why import Lock, Why

LANE = "goals"


class GoalsCase(QObject):
    """Follows the current line and its goals.

    standing: what its goals are as the line is, or None without any. proposal: an answer that
    waits to be taken or put back; why: why it does not meet all goals, once that is known, or None
    where nothing but its steps is in the way; is_known: whether that is known.
    changed(): any of it is another now. bound_asked(int, Cell): the person wants to say between
    what a number of a row may move.
    """

    changed = Signal()
    bound_asked = Signal(int, object)

    def __init__(
        self, place: Workplace, watch: Watch, preview: Preview, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.place, self.preview = place, preview
        self.standing: Answer | None = None
        self.proposal: Answer | None = None
        self.why: Why | None = None
        self.is_known = False
        self._gives: Goal | None = None
        watch.follow(self._refresh)

    # -- what there is ------------------------------------------------------------------------

    @property
    def line(self) -> Line | None:
        """The current line."""
        return self.place.document.line

    @property
    def tools(self) -> Tools | None:
        """What answers are rounded to; None for not at all."""
        from taperlab.shop.goals.buildable import TOOLS

        settings = self.place.settings
        return TOOLS[settings.system] if settings.preferences.builds_to_steps else None

    @property
    def is_told(self) -> bool:
        """Whether the line has goals or locks, so that a figure that is typed is a goal."""
        line = self.line
        return line is not None and (bool(line.aim.goals) or edits.has_locks(line))

    def goal_for(self, figure: Figure) -> Goal | None:
        """The goal that the line has for a figure."""
        line = self.line
        kind = GoalKind(str(figure))
        goals = line.aim.goals if line else ()
        return next((each for each in goals if each.kind is kind), None)

    # -- what a person does -------------------------------------------------------------------

    def supposed(self, goal: Goal) -> Step | None:
        """The edit that is looked at while a goal is typed."""
        from taperlab.shop.goals.meet import come_near

        line = self.line
        return None if line is None else (come_near, (line.key, goal))

    def take_goal(self, goal: Goal) -> Sentence:
        """Set a goal and meet it; where that cannot be, show the nearest and why."""
        from taperlab.shop.goals.meet import meet

        line = self.line
        if line is None:
            return NOTHING
        outcome = self.place.do(meet, line.key, goal, self.tools, initiator=self)
        if outcome:
            self._gives = goal
            self.settle()
        return outcome.refused

    def settle(self) -> None:
        """Where goals are not met as the line is, show what comes nearest, and find out why."""
        if self.standing is not None and not self.standing.met:
            self.propose(self._gives)
        else:
            self.changed.emit()

    def propose(self, gives: Goal | None = None) -> None:
        """Show what the goals ask of the line, to be taken or put back."""
        from taperlab.shop.goals.meet import answer_for, take
        from taperlab.shop.goals.study import around_of
        from taperlab.shop.goals.why import explain

        line, bench = self.line, self.place.document.bench
        if line is None or not line.aim.goals:
            return
        self._gives = gives
        try:
            self.proposal = answer_for(bench, line.key, gives, self.tools)
        except Refused as no:
            self.place.host.say_problem(no.sentence)
            return
        answer = self.proposal
        self.why, self.is_known = None, False
        self.preview.look_at(lambda: (take, (answer,)))
        if not answer.met:
            self.place.jobs.run(LANE, explain, line, around_of(bench), done=self._explained)
        self.changed.emit()

    def accept(self) -> None:
        """Take the answer that is shown, as one step."""
        from taperlab.shop.goals.meet import take

        answer = self.proposal
        if answer is not None:
            self.drop()
            self.place.do(take, answer, initiator=self)

    def drop(self) -> None:
        """Put the line back as it is; its goals stay."""
        if self.proposal is None:
            return
        self.proposal, self.why = None, None
        self.place.jobs.cancel(LANE)
        self.preview.drop()
        self.changed.emit()

    def unlock(self, lock: Lock) -> None:
        """Open a lock that is in the way, and look again."""
        line, gives = self.line, self._gives
        if line is None:
            return
        if lock.cells:
            outcome = self.place.do(edits.set_locks, line.key, lock.cells, False, initiator=self)
        else:
            name = {Cell.LENGTH: "lengths", Cell.FRONT: "diameters", Cell.DENSITY: "density"}
            columns = {name[lock.columns[0]]: True}
            outcome = self.place.do(edits.set_columns, line.key, initiator=self, **columns)
        if outcome:
            self.propose(gives)

    def look_again(self) -> None:
        """Show what the goals ask of the line now, the same goal giving way as before."""
        self.propose(self._gives)

    def clear(self, goal: Goal) -> None:
        """Take a goal off the line."""
        line = self.line
        if line is not None:
            self.place.do(edits.clear_goals, line.key, (goal,), initiator=self)

    def free(self, **columns: bool) -> None:
        """Let whole columns move, or lock them; what is shown follows."""
        line, shown, gives = self.line, self.proposal is not None, self._gives
        if line is not None:
            self.place.do(edits.set_columns, line.key, initiator=self, **columns)
            if shown:
                self.propose(gives)

    def round_to_steps(self, rounds: bool) -> None:
        """Round answers to what can be built, or not, from now on."""
        self.place.settings.remember(builds_to_steps=rounds)
        if self.proposal is not None:
            self.propose(self._gives)

    # -- keeping up ---------------------------------------------------------------------------

    def _refresh(self) -> None:
        line, bench = self.line, self.place.document.bench
        proposal = self.proposal
        if proposal is not None and line is not proposal.before:
            self.proposal, self.why = None, None
            self.place.jobs.cancel(LANE)
        elif proposal is not None and self.preview.whole is None:
            from taperlab.shop.goals.meet import take

            self.preview.look_at(lambda: (take, (proposal,)))
        self.standing = None
        if line is not None and line.aim.goals and self.place.document.rig is None:
            from taperlab.shop.goals.study import answer_of, around_of

            try:
                self.standing = answer_of(line, line, around_of(bench))
            except Impossible:
                self.standing = None
        self.changed.emit()

    def _explained(self, why: Why | None) -> None:
        if self.proposal is not None:
            self.why, self.is_known = why, True
            self.changed.emit()
