"""Nudging a value by marks of the tape or the micrometer: a whole run of it is one undo step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QKeyCombination, QObject, Qt
from PySide6.QtGui import QKeyEvent

from taperlab.edits.edited import Step, instead
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, help_on
from taperlab.model.bench import Bench
from taperlab.units.kinds import Kind
from taperlab.units.language import tr
from taperlab.units.steps import step_of

_ALT, _SHIFT = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ShiftModifier
_WAYS = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}


def nudge_help() -> tuple[Help, ...]:
    """What the keys do to a number that can be nudged."""
    by, more = ([QKeyCombination(held, key) for key in _WAYS] for held in (_ALT, _ALT | _SHIFT))
    return (
        help_on(by, tr("Nudge the number by a mark of the tape or the micrometer")),
        help_on(more, tr("Nudge the number by more")),
    )


@dataclass(frozen=True, slots=True)
class Nudged:
    """A value that can be nudged [SI], its kind, and the edit that gives it another.

    last: the edit that takes the place of that once the run is over, where it is another one.
    """

    value: float
    kind: Kind
    step: Callable[[float], Step]
    last: Callable[[float], Step] | None = None


@dataclass(slots=True)
class _Run:
    """Nudges one after the other. fine, coarse: steps of each size since it began."""

    of: Nudged
    before: Bench
    after: Bench
    merge: int
    fine: int = 0
    coarse: int = 0


class Nudges(QObject):
    """Nudges of what ``find`` finds: Alt and Up or Down, larger with Shift, or a scrub.

    A run goes on until it is ended, or anything else changes the bench. Each of its edits is
    done to the bench that there was before the run, so that nothing adds up but the steps.
    """

    def __init__(
        self, place: Workplace, find: Callable[[], Nudged | None], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._place, self._find = place, find
        self._run: _Run | None = None

    def nudge(self, steps: int, *, coarse: bool = False) -> None:
        """Move the value by so many steps."""
        run = self._going_on() or self._begin()
        if run is None or not steps:
            return
        fine, large = run.fine + steps * (not coarse), run.coarse + steps * coarse
        if self._do(run, fine, large):
            run.fine, run.coarse = fine, large

    def put_back(self) -> None:
        """Call the run off: no step of it is left."""
        run = self._going_on()
        if run is not None:
            self._do(run, 0, 0)
        self.end()

    def end(self) -> None:
        """What is nudged next is another step."""
        run = self._going_on()
        if run is not None and run.of.last is not None and (run.fine or run.coarse):
            step = run.of.last(run.of.value + self._by(run, run.fine, run.coarse))
            self._place.do(instead, run.before, step, merge=run.merge, initiator=self)
        self._run = None

    def take_key(self, event: QEvent) -> bool:
        """Nudge, or end a run, as a key event asks; whether the event is used up."""
        if not isinstance(event, QKeyEvent):
            return False
        if event.type() is QEvent.Type.KeyRelease:
            if event.key() == Qt.Key.Key_Alt:
                self.end()
            return False
        if not self.is_nudge(event) or self._find() is None:
            return False
        way = _WAYS[Qt.Key(event.key())]
        self.nudge(way, coarse=bool(event.modifiers() & _SHIFT))
        return True

    @staticmethod
    def is_nudge(event: QKeyEvent) -> bool:
        """Whether these keys nudge."""
        modifiers, keypad = event.modifiers(), Qt.KeyboardModifier.KeypadModifier
        held = modifiers & _ALT and not modifiers & ~(_ALT | _SHIFT | keypad)
        return bool(held) and Qt.Key(event.key()) in _WAYS

    def _going_on(self) -> _Run | None:
        run = self._run
        return run if run is not None and self._place.document.bench is run.after else None

    def _begin(self) -> _Run | None:
        found, document = self._find(), self._place.document
        self._run = None
        if found is not None:
            self._run = _Run(found, document.bench, document.bench, document.new_merge_id())
        return self._run

    def _by(self, run: _Run, fine: int, coarse: int) -> float:
        kind, system = run.of.kind, self._place.system
        return fine * step_of(kind, system) + coarse * step_of(kind, system, coarse=True)

    def _do(self, run: _Run, fine: int, coarse: int) -> bool:
        by = self._by(run, fine, coarse)
        step = run.of.step(run.of.value + by) if fine or coarse else None
        done = self._place.do(instead, run.before, step, merge=run.merge, initiator=self)
        run.after = self._place.document.bench
        return bool(done)
