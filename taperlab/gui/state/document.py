"""The only holder of what changes: the bench, its undo stack, its file, its analyses."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.shop.analyse import LineAnalysis, RodFit, analyse_line, fit_to_rod


class Reason(Enum):
    """Why the bench changed."""

    EDIT = "edit"
    UNDO = "undo"
    REDO = "redo"
    LOOK = "look"
    LOAD = "load"


@dataclass(frozen=True, slots=True)
class Change:
    """What views are told: the bench before and after, why, and which view began it.

    Views find what changed by identity (``before.line(key) is not after.line(key)``) and the
    initiator keeps its editor and scroll position. ``rows`` are the segments to select.
    """

    before: Bench
    after: Bench
    reason: Reason
    initiator: object = None
    rows: tuple[int, ...] = ()


class Document(QObject):
    """One bench being worked on.

    changed(Change): the bench is another one now. said(str): a sentence for the status line.
    refused(str): an edit could not be done, and why; nothing changed. moved(tuple): which
    numbers an edit moved besides the one typed. file_changed(): path, or saved state.
    """

    changed = Signal(object)
    said = Signal(str)
    refused = Signal(str)
    moved = Signal(object)
    file_changed = Signal()

    def __init__(self, bench: Bench | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench = bench or Bench()
        self._path: Path | None = None
        self._analyses: dict[str, LineAnalysis] = {}
        self._merge_ids = itertools.count(1)
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self._clean_changed)

    # -- what there is ------------------------------------------------------------------------

    @property
    def bench(self) -> Bench:
        """The bench as it is now."""
        return self._bench

    @property
    def line(self) -> Line | None:
        """The line in hand."""
        return self._bench.current_line

    @property
    def rod(self) -> Rod | None:
        """The chosen rod."""
        return self._bench.chosen_rod

    @property
    def path(self) -> Path | None:
        """The file, or None for a bench never saved."""
        return self._path

    @property
    def is_dirty(self) -> bool:
        """Whether there are edits that the file does not hold."""
        return not self.undo_stack.isClean()

    @property
    def title(self) -> str:
        """The file's name, or what an unsaved bench is called."""
        return self._path.name if self._path else "Unsaved bench"

    def analysis(self, key: str | None = None) -> LineAnalysis | None:
        """The analysis of a line (the one in hand by default), computed once per change."""
        line = self._bench.line(key) if key else self.line
        if line is None:
            return None
        known = self._analyses.get(line.key)
        if known is None or known.line is not line or known.water is not self._bench.water:
            known = analyse_line(line, self._bench.water)
            self._analyses[line.key] = known
        return known

    def rod_fit(self, key: str | None = None) -> RodFit | None:
        """How a line (the one in hand by default) fits the chosen rod."""
        analysis = self.analysis(key)
        if analysis is None or self.rod is None:
            return None
        return fit_to_rod(analysis, self.rod)

    def overlays(self) -> list[Line]:
        """The lines laid over the one in hand, in the order of the bench."""
        current = self.line
        return [
            line
            for line in self._bench.lines
            if line.key in self._bench.view.overlays and line is not current
        ]

    # -- changing it --------------------------------------------------------------------------

    def new_merge_id(self) -> int:
        """An id for edits that belong together, such as one drag: they make one undo step."""
        return next(self._merge_ids)

    def apply(
        self,
        edit: Callable[..., Edited],
        *args: Any,
        merge: int | None = None,
        initiator: object = None,
        **options: Any,
    ) -> bool:
        """Do an edit as one undoable step. False, and refused() is emitted, if it can't be done.

        The new bench is computed before the undo stack is touched, so that a step on the stack
        only swaps one bench for another and cannot fail.
        """
        try:
            edited = edit(self._bench, *args, **options)
        except Refused as problem:
            self.refused.emit(str(problem))
            return False
        if edited.bench is self._bench or edited.bench == self._bench:
            return True
        step = _Step(self, self._bench, edited, merge, initiator)
        self.undo_stack.push(step)
        self.said.emit(str(edited.text))
        if edited.moved:
            self.moved.emit(edited.moved)
        return True

    def look(self, *, initiator: object = None, **view: Any) -> None:
        """Show another line, overlay or page: kept in the file, but no undo step."""
        after = replace(self._bench, view=replace(self._bench.view, **view))
        if after.view != self._bench.view:
            self._swap(after, Reason.LOOK, initiator)

    def load(self, bench: Bench, path: Path | None, *, recovered: bool = False) -> None:
        """Put another bench in hand and forget the old one's steps."""
        self.undo_stack.clear()
        self._path = path
        self._analyses.clear()
        self._swap(bench, Reason.LOAD)
        if recovered:
            self.undo_stack.resetClean()
        self.file_changed.emit()

    def saved_as(self, path: Path) -> None:
        """Note that the bench is now what this file holds."""
        self._path = path
        self.undo_stack.setClean()
        self.file_changed.emit()

    def _clean_changed(self) -> None:
        self.file_changed.emit()

    def _swap(
        self,
        after: Bench,
        reason: Reason,
        initiator: object = None,
        rows: tuple[int, ...] = (),
    ) -> None:
        before, self._bench = self._bench, after
        kept = {line.key for line in after.lines}
        for key in [key for key in self._analyses if key not in kept]:
            del self._analyses[key]
        self.changed.emit(Change(before, after, reason, initiator, rows))

    def _step_to(self, bench: Bench, step: _Step, reason: Reason, initiator: object) -> None:
        # The page and overlays stay as the person has them now; the line and the rows are those
        # of the step, so that undo shows what it undid.
        view = View(
            line=bench.view.line, overlays=self._bench.view.overlays, page=self._bench.view.page
        )
        if reason is not Reason.EDIT and view != bench.view:
            bench = replace(bench, view=view)
        self._swap(bench, reason, initiator, step.rows)


class _Step(QUndoCommand):
    def __init__(
        self,
        document: Document,
        before: Bench,
        edited: Edited,
        merge: int | None,
        initiator: object,
    ) -> None:
        super().__init__(str(edited.text))
        self._document = document
        self._before = before
        self._after = edited.bench
        self._merge = merge
        self._initiator = initiator
        self._done_once = False
        self.rows = edited.segments

    def id(self) -> int:
        return self._merge or -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Step) or other._merge != self._merge:
            return False
        self._after = other._after
        self.rows = other.rows
        if self._after == self._before:
            self.setObsolete(True)
        return True

    def redo(self) -> None:
        reason = Reason.REDO if self._done_once else Reason.EDIT
        initiator = None if self._done_once else self._initiator
        self._done_once = True
        self._document._step_to(self._after, self, reason, initiator)

    def undo(self) -> None:
        self._document._step_to(self._before, self, Reason.UNDO, None)
