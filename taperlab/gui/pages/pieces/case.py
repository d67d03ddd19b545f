"""What is made of which stock: the heads that are asked for, the answer, and what can be done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QKeySequence

from taperlab.edits import stock as stock_edits
from taperlab.edits.builds import begin_builds
from taperlab.edits.pieces import set_rules, want_heads
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import native
from taperlab.gui.state.document import Outcome
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import keyed
from taperlab.model.line import Line
from taperlab.model.pieces import Rules
from taperlab.model.stock import Stock
from taperlab.physics.lapped import lap_problem
from taperlab.shop.pieces.asking import Question, heads_wanted, question_of
from taperlab.shop.pieces.ends import prepared
from taperlab.shop.pieces.material import per_length
from taperlab.shop.pieces.to_weigh import doubt_words
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, Length, Sentence

if TYPE_CHECKING:
    from taperlab.shop.pieces.outcome import PiecesStudy, Place
    from taperlab.shop.steps import Steps

LANE = "pieces"


class Halt:
    """Whether a study is to end with the best it has: read beside the window, set in it."""

    def __init__(self) -> None:
        self.asked = False

    def __call__(self) -> bool:
        """Whether it is."""
        return self.asked


HARDER = 4
"""So many times as hard is looked each time that somebody wants a better plan."""


def _study(question: Question, stop: Callable[[], bool], harder: int) -> Steps[PiecesStudy]:
    # Loaded with the first question: the solver behind it takes a while.
    from taperlab.shop.pieces.study import study

    return study(question, stop, harder)


class PiecesCase(QObject):
    """Follows lines and stock of the bench, and works out in a job what is cut from what.

    changed(): the answer, what is asked, or the bench is another. problem: why there is no answer.
    was_stopped: whether the answer is the best that there was when it was stopped.
    """

    changed = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place = place
        self.study: PiecesStudy | None = None
        self.problem = NOTHING
        self.was_stopped = False
        self._question: Question | None = None
        self._halt = Halt()
        self._harder = 1
        # Of each stock that was weighed here, by key and name: what was told before, one after the
        # other, and what it came out at last [kg/m].
        self._weighed: dict[tuple[str, str], tuple[float, ...]] = {}
        watch.follow(self.refresh)

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def stock(self) -> tuple[Stock, ...]:
        """What lies on the shelf."""
        return self.place.document.bench.stock

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call this now, and whenever something is another."""
        self.changed.connect(refresh)
        self.place.theme.changed.connect(refresh)
        refresh()

    # -- what is weighed -------------------------------------------------------------------------

    def weigh(self, stock: Stock, length: float, mass: float) -> Sentence:
        """Believe what so much of a stock weighed [m, kg]; why not."""
        before, known = per_length(stock), self._weighed.get((stock.key, stock.name), ())
        outcome = self.do(stock_edits.weigh_stock, stock.key, length, mass, self.rules.scale)
        after = keyed(self.stock, stock.key)
        if outcome and after is not None:
            if known[-1:] != (before,):  # it was taken back, or believed otherwise since
                is_label = stock.mass_error is None and stock.labelled is not None
                known = (stock.labelled if is_label and stock.labelled else before,)
            self._weighed[stock.key, stock.name] = (*known, per_length(after))
            self.changed.emit()
        return outcome.refused

    def doubt(self, stock: Stock) -> Sentence:
        """What to say of a weight far from the label, or from what was believed before.

        One that comes out twice alike is believed; so is one that is as it was before a slip.
        """
        told: tuple[float, ...] = () if stock.labelled is None else (stock.labelled,)
        if self._is_weighed(stock):
            told = self._weighed[stock.key, stock.name][:-1]
        keys = native(QKeySequence(QKeySequence.StandardKey.Undo))
        return NOTHING if stock.mass_error is None else doubt_words(per_length(stock), told, keys)

    @property
    def doubts(self) -> tuple[tuple[Stock, Sentence], ...]:
        """All stock that was weighed here and is doubted, with what to say of it."""
        told = ((each, self.doubt(each)) for each in self.stock if self._is_weighed(each))
        return tuple((each, said) for each, said in told if said)

    def _is_weighed(self, stock: Stock) -> bool:
        """Whether it is believed as it was weighed here."""
        known = self._weighed.get((stock.key, stock.name), ())
        return known[-1:] == (per_length(stock),)

    # -- what is asked ---------------------------------------------------------------------------

    @property
    def rules(self) -> Rules:
        """What pieces keep to."""
        return self.place.document.bench.pieces.rules

    def count(self, line: Line) -> int:
        """How many heads of a line are made: one of the line in hand until somebody says so."""
        document = self.place.document
        heads = heads_wanted(document.bench, document.line)
        return next((count for each, count in heads if each is line), 0)

    def set_count(self, line: Line, count: int) -> Sentence:
        """Make so many heads of a line; why not."""
        in_hand = self.place.document.line
        beside = in_hand.key if in_hand is not None and in_hand.segments else None
        return self.do(want_heads, line.key, count, beside).refused

    def set_rules(self, **changed: Any) -> Sentence:
        """Keep to other rules; why not."""
        return self.do(set_rules, replace(self.rules, **changed)).refused

    def refresh(self) -> None:
        """Work it out for the bench as it is now."""
        asked = self._asked()
        if asked != self._question:
            self._question = asked
            self._halt.asked = True
            if asked is None:
                self.study = None
                self.place.jobs.cancel(LANE)
            else:
                self._harder = 1
                self._look()
        self.changed.emit()

    def _look(self) -> None:
        self._halt = Halt()
        self.was_stopped = False
        asked = self._question
        self.place.jobs.run(LANE, _study, asked, self._halt, self._harder, done=self._take)

    def _asked(self) -> Question | None:
        """What is to be worked out; None, and the reason, where nothing can be."""
        bench = self.place.document.bench
        in_hand = self.place.document.line
        heads = heads_wanted(bench, in_hand)
        self.problem = NOTHING
        if not bench.stock:
            self.problem = Sentence("There is no stock on this bench yet: add some first.")
        elif not heads:
            self.problem = Sentence("Say how many heads are to be made.")
        for line, _ in heads:
            if not line.segments:
                self.problem = Sentence("{line} has no segments yet.", line=line.name)
            elif found := lap_problem(prepared(line, self.rules)):
                self.problem = Sentence(
                    "Segment {row} of {line} is too short for the laps at its ends: it needs "
                    "{needed} at least.",
                    row=found.row + 1,
                    line=line.name,
                    needed=Length(found.needed),
                )
        return None if self.problem else question_of(bench, in_hand)

    def _take(self, found: PiecesStudy) -> None:
        before = self.study
        if before is not None and before.question is found.question and not found.proved:
            # Looked for longer, a plan must not get worse: the same search takes another way.
            found = min(found, before, key=lambda each: each.merit)
        self.study = found
        self.was_stopped = self._halt.asked
        self.changed.emit()

    # -- the answer ------------------------------------------------------------------------------

    @property
    def is_late(self) -> bool:
        """Whether the answer shown is of what was asked before, or there is none yet."""
        asked = self._question
        return asked is not None and (self.study is None or self.study.question is not asked)

    def stop(self) -> None:
        """End the work with the best plan found so far."""
        self._halt.asked = True

    @property
    def can_look_longer(self) -> bool:
        """Whether a better plan may be found."""
        return self.study is not None and not self.is_late and not self.study.proved

    def look_longer(self) -> None:
        """Look for a better plan, several times as hard as the last time."""
        if self.can_look_longer:
            # What was stopped was not looked for as long as it was to be.
            self._harder *= 1 if self.was_stopped else HARDER
            self._look()
            self.changed.emit()

    # -- what can be done ------------------------------------------------------------------------

    def do(self, edit: Callable[..., Any], *args: Any, **options: Any) -> Outcome:
        """Do an edit as one step."""
        return self.place.do(edit, *args, **options)

    @property
    def can_cut(self) -> bool:
        """Whether there is a plan of the shelf as it is, with a head that has all its pieces."""
        return self.study is not None and not self.is_late and any(self.study.builds)

    def cut_it(self) -> bool:
        """Take what the plan cuts for whole heads off the shelf and begin to build them."""
        from taperlab.shop.pieces.freezing import cuts_of, frozen

        found = self.study
        if found is None or not self.can_cut:
            return False
        return bool(self.do(begin_builds, frozen(found), cuts_of(found)))

    def tie(self, place: Place, stock: str) -> Sentence:
        """Have rows of a head cut from a stock or a kind; "" leaves it open. Why not."""
        found = self.study
        if found is None:
            return NOTHING
        named = " ".join(stock.split())
        known = {name for each in self.stock for name in (each.name, each.kind, each.key)}
        if named and named not in known:
            return Sentence("There is no stock named {stock}, nor of that kind.", stock=named)
        head, first, last = place
        key, rows = found.heads[head].line.key, range(first, last + 1)
        return self.do(stock_edits.tie_segments, key, rows, named).refused
