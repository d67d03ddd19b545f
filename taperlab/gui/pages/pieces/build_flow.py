"""Where the building of a head stands: which head, what is due, and what was typed for it.

Tab and bench view share this, so that they always show the same step.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits import builds as edits
from taperlab.edits.edited import Edited
from taperlab.edits.stock import weigh_stock
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.state.document import Outcome
from taperlab.model.bench import keyed
from taperlab.model.build import HeadBuild
from taperlab.shop.pieces.as_made import line_as_built
from taperlab.shop.pieces.build_words import words_of
from taperlab.shop.pieces.progress import Act, Progress, batches_told, progress_of
from taperlab.shop.pieces.trimming import Trim
from taperlab.shop.rail import StepWords
from taperlab.units.sentence import Sentence

Field = tuple[str, str, str]
"""What a typed value belongs to: the build, the step, the field."""


class BuildFlow(QObject):
    """The head that is built, and what a person can do about it.

    changed(): another head, another step, another answer. held(): another value was typed.
    went_on(): a step was done, and the keys belong where the next one is typed.
    """

    changed = Signal()
    held = Signal()
    went_on = Signal()

    def __init__(self, case: PiecesCase, parent: QObject) -> None:
        super().__init__(parent)
        self.case = case
        self.progress: Progress | None = None
        self.again: int | None = None
        self._chosen = ""
        self._typed: dict[Field, float] = {}
        self._unweighed: set[str] = set()
        self._balance: set[tuple[str, int]] = set()
        self._seen: tuple[object, ...] = ()
        case.changed.connect(self.refresh)
        self.refresh()

    # -- which head ------------------------------------------------------------------------------

    @property
    def builds(self) -> tuple[HeadBuild, ...]:
        """All heads that are built, or were."""
        return self.case.place.document.bench.builds

    @property
    def log(self) -> HeadBuild | None:
        """The head that is looked at: the one chosen, else the first that is not finished."""
        builds = self.builds
        chosen = keyed(builds, self._chosen)
        waits = (each for each in builds if not each.is_finished)
        return chosen or next(waits, None) or next(iter(builds), None)

    @property
    def is_in_work(self) -> bool:
        """Whether a head is begun and not finished."""
        return any(not each.is_finished for each in self.builds)

    def choose(self, key: str) -> None:
        """Look at another head."""
        if key != self._chosen:
            self._chosen, self.again, self._seen = key, None, ()
            self.refresh()

    def forget(self) -> None:
        """Another bench was put up: what was chosen and typed was of the one before."""
        self._chosen, self.again, self._seen = "", None, ()
        for each in (self._typed, self._unweighed, self._balance):
            each.clear()
        self.refresh()

    def refresh(self) -> None:
        """Work out how far the head is, where anything of it is another."""
        self._forget_gone()
        document, log = self.case.place.document, self.log
        weighing = frozenset(self._unweighed)
        seen = (log, self.builds, document.bench.stock, document.rod, weighing, self.case.system)
        same = len(seen) == len(self._seen) and all(
            mine is theirs or mine == theirs for mine, theirs in zip(seen, self._seen, strict=True)
        )
        if same:
            return
        self._seen = seen
        if log is None:
            self.progress = None
        else:
            weighs = log.key not in self._unweighed
            self.progress = progress_of(
                log, document.bench.stock, document.rod, weighs_stock=weighs
            )
        if self.again is not None and (log is None or not self._was_read(log, self.again)):
            self.again = None
        self.changed.emit()

    def _forget_gone(self) -> None:
        """Forget what was typed for builds that are gone: another one may get the key of one."""
        keys = {each.key for each in self.builds}
        self._typed = {field: value for field, value in self._typed.items() if field[0] in keys}
        self._unweighed &= keys
        self._balance = {place for place in self._balance if place[0] in keys}

    def _was_read(self, log: HeadBuild, after: int) -> bool:
        if after > len(log.pieces):
            return log.last_reading is not None
        return 2 <= after <= len(log.joints) + 1

    # -- what is due -----------------------------------------------------------------------------

    @property
    def act(self) -> Act:
        """What is due; a joint where a reading is taken again."""
        if self.progress is None:
            return Act.DONE
        return Act.JOIN if self.again is not None else self.progress.due.act

    @property
    def after(self) -> int:
        """How many pieces are joined once the scale is read."""
        if self.progress is None:
            return 0
        return self.again if self.again is not None else self.progress.due.after

    @property
    def keeps_balance(self) -> bool:
        """Whether the trim that is due keeps the balance, and not the weight."""
        progress = self.progress
        return (
            progress is not None
            and progress.balanced is not None
            and not progress.balanced.stop
            and (progress.log.key, progress.due.index) in self._balance
        )

    @property
    def trim(self) -> Trim | None:
        """The trim that is due."""
        progress = self.progress
        if progress is None:
            return None
        return progress.balanced if self.keeps_balance else progress.trim

    @property
    def words(self) -> StepWords | None:
        """What is said of the step that is due."""
        if self.progress is None:
            return None
        return words_of(self.progress, balance=self.keeps_balance)

    # -- what is typed ---------------------------------------------------------------------------

    @property
    def step(self) -> tuple[str, str]:
        """The build and its step that is due: what is typed for one is not the next one's."""
        progress = self.progress
        if progress is None:
            return "", ""
        due = progress.due
        place = due.stock.key if due.stock is not None else str(self.after or due.index)
        return progress.log.key, f"{self.act} {place}"

    def _field(self, name: str) -> Field:
        return *self.step, name

    def typed(self, name: str) -> float | None:
        """What stands in a field of this step and not in the log."""
        return self._typed.get(self._field(name))

    def hold(self, name: str, value: float | None) -> None:
        """Hold what is typed, for the tab and the bench view alike, however long it takes."""
        field = self._field(name)
        if value is None:
            self._typed.pop(field, None)
        else:
            self._typed[field] = value
        self.held.emit()

    def _forget(self) -> None:
        self._typed = {
            field: value for field, value in self._typed.items() if field[:2] != self.step
        }

    # -- doing it --------------------------------------------------------------------------------

    def weigh_stock(self, length: float, mass: float) -> Outcome | None:
        """So much of the spool that is due weighs so much [m, kg]."""
        progress = self.progress
        if progress is None or progress.due.stock is None:
            return None
        scale = progress.log.rules.scale
        return self._done(weigh_stock, progress.due.stock.key, length, mass, scale)

    def skip_stock(self) -> None:
        """Go on without weighing spools."""
        if self.progress is not None:
            self._unweighed.add(self.progress.log.key)
            self.refresh()
            self.went_on.emit()

    def weigh_piece(self, index: int, mass: float | None) -> Sentence:
        """A piece weighs so much as it was cut [kg]; why not."""
        log = self.log
        assert log is not None
        return self.case.do(edits.weigh_piece, log.key, index, mass).refused

    def weigh_tube(self, mass: float | None) -> Sentence:
        """The tube of one weld weighs so much [kg]; why not."""
        log = self.log
        assert log is not None
        return self.case.do(edits.weigh_tube, log.key, mass).refused

    def cut(self) -> Outcome | None:
        """The pieces are cut."""
        return self._do(edits.pieces_are_cut)

    def trim_off(self, length: float) -> Outcome | None:
        """So much came off what is to be trimmed [m]."""
        progress = self.progress
        if progress is None:
            return None
        if progress.due.act is Act.TRIM_REAR:
            return self._do(edits.trim_rear, length)
        return self._do(edits.trim_piece, progress.due.index, length)

    def read(self, mass: float | None) -> Outcome | None:
        """The scale reads so much [kg]; None where it was not weighed."""
        log, after = self.log, self.after
        if log is None:
            return None
        if after > len(log.pieces):
            return self._do(edits.weigh_finished, mass)
        if self.again is not None and mass is not None:
            return self._do(edits.weigh_joint, after - 1, mass)
        return self._do(edits.make_joint, mass)

    def weigh_again(self, after: int | None = None) -> None:
        """Read the scale once more: what is in question, or after so many pieces."""
        progress = self.progress
        if progress is not None:
            self.again = after if after is not None else progress.due.after
            self.changed.emit()
            self.went_on.emit()

    def trust(self) -> Outcome | None:
        """The reading that is in question is right."""
        progress = self.progress
        if progress is None or progress.due.act is not Act.ASK:
            return None
        if progress.asked_piece is not None:
            return self._do(edits.trust_piece, progress.asked_piece.index)
        if progress.due.after > len(progress.pieces):
            return self._do(edits.trust_finished)
        return self._do(edits.trust_joint, progress.due.after - 1)

    def make_loops(self) -> Outcome | None:
        """The loops are on."""
        return self._do(edits.make_loops)

    def keep_balance(self, on: bool) -> None:
        """Have the trim that is due keep the balance, or the weight again."""
        progress = self.progress
        if progress is not None:
            place = progress.log.key, progress.due.index
            (self._balance.add if on else self._balance.discard)(place)
            self._typed.pop(self._field("trim"), None)
            self.changed.emit()

    def put_on_bench(self) -> bool:
        """Put the built head on the bench."""
        progress = self.progress
        if progress is None:
            return False
        read = self.case.place.read
        name = read(Sentence("{head}, built", head=progress.log.name))
        line, note = line_as_built(progress), ""
        if progress.log.last_reading is None:
            note = read(Sentence("Built; the finished head was not weighed."))
        return bool(self._do(edits.finish_build, line, name, note))

    def tell_stock(self) -> Outcome | None:
        """Have the stock believe what this head told of it."""
        progress = self.progress
        return self._do(edits.tell_shelf, batches_told(progress)) if progress else None

    def give_up(self) -> Outcome | None:
        """Stop building: pieces that are not joined go back in stock."""
        return self._do(edits.give_up_build)

    def delete(self) -> Outcome | None:
        """Forget a build and its log; a built head stays on the bench."""
        return self._do(edits.delete_build)

    @property
    def can_go_back(self) -> bool:
        """Whether there is a step to take back."""
        log = self.log
        if log is None or log.is_finished:
            return False
        return self.again is not None or log.is_cut or log.key in self._unweighed

    def back(self) -> None:
        """Take the last step back; what was typed for it stands in its field again."""
        log = self.log
        if log is None:
            return
        if self.again is not None:
            self.again = None
            self._forget()
            self.changed.emit()
            self.went_on.emit()
            return
        if not log.is_cut:
            self._unweighed.discard(log.key)
            self.refresh()
            self.went_on.emit()
            return
        before = log
        if self.case.do(edits.take_back_step, log.key):
            self._give_back(before)
            self.went_on.emit()

    def _give_back(self, before: HeadBuild) -> None:
        """Put what was taken out of the log back into its field."""
        now = self.log
        if now is None or self.progress is None:
            return
        if before.last_reading is not None and now.last_reading is None:
            self.hold("mass", before.last_reading)
        elif len(now.joints) < len(before.joints):
            mass = before.joints[-1].mass
            if mass is not None:
                self.hold("mass", mass)
        elif before.rear_trimmed and now.rear_trimmed is None:
            self.hold("trim", before.rear_trimmed)
        else:
            for was, left in zip(before.pieces, now.pieces, strict=True):
                if was.trimmed and left.trimmed is None:
                    self.hold("trim", was.trimmed)
        self.changed.emit()

    def _do(self, edit: Callable[..., Edited], *args: Any) -> Outcome | None:
        log = self.log
        return None if log is None else self._done(edit, log.key, *args)

    def _done(self, edit: Callable[..., Edited], *args: Any) -> Outcome:
        """Do an edit; what was typed for this step is in the log then."""
        step = self.step
        outcome = self.case.do(edit, *args)
        if outcome:
            self._typed = {
                field: value for field, value in self._typed.items() if field[:2] != step
            }
            self.again, self._seen = None, ()
            self.refresh()
            self.went_on.emit()
        return outcome
