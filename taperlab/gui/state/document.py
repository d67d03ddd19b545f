"""The only holder of what changes: the bench, its undo stack, its file, its analyses."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from taperlab.edits.edited import Edited, Moved, Refused
from taperlab.model.bench import Bench, keyed
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.model.rod import Rod
from taperlab.model.version import Version
from taperlab.shop.analyse import LineAnalysis, analyse_line
from taperlab.shop.on_rod import RodFit
from taperlab.shop.whole import Whole, rig_of_bench, whole_line
from taperlab.units.columns import Column
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence

if TYPE_CHECKING:
    from taperlab.shop.versions.study import Changes

Shown = Line | Rig
"""What can be looked at."""

Thing = Line | Rig | Version
"""What can be laid over it."""


class Reason(Enum):
    """Why the bench changed."""

    EDIT = "edit"
    UNDO = "undo"
    REDO = "redo"
    LOOK = "look"
    LOAD = "load"
    WAKE = "wake"


@dataclass(frozen=True, slots=True)
class Change:
    """What views are told: the bench before and after, why, and which view began it.

    Views find what changed by identity (``before.line(key) is not after.line(key)``) and the
    initiator keeps its editor and scroll position. ``rows`` are the segments to select, whole or
    in ``columns`` alone, ``text`` what the undo menu calls the step that was done, undone or done
    again.
    """

    before: Bench
    after: Bench
    reason: Reason
    initiator: object = None
    rows: tuple[int, ...] = ()
    text: Sentence = NOTHING
    columns: tuple[Column, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of an edit: done, with the step's text, or refused, and why.

    text: what the undo menu calls the step; nothing where nothing changed. refused: why it was
    not done; nothing was changed then. moved: numbers that the edit moved besides the one typed.
    held: what stayed as it was typed, such as the weight of the row. True where it was done.
    """

    text: Sentence = NOTHING
    refused: Sentence = NOTHING
    moved: tuple[Moved, ...] = ()
    held: Sentence = NOTHING

    def __bool__(self) -> bool:
        return not self.refused


class Document(QObject):
    """One bench being worked on.

    changed(Change): the bench is another one now, and the undo stack has the step and its texts.
    file_changed(): path, or saved state.
    """

    changed = Signal(object)
    file_changed = Signal()

    def __init__(self, bench: Bench | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench = bench or Bench()
        self._path: Path | None = None
        self._analyses: dict[str, LineAnalysis] = {}
        self._rigs: dict[str, tuple[tuple[object, ...], Whole | None]] = {}
        self._versions: dict[str, LineAnalysis] = {}
        self._merge_ids = itertools.count(1)
        self._pending: Change | None = None
        self.undo_stack = QUndoStack(self)
        # The last that the stack says of a step.
        self.undo_stack.redoTextChanged.connect(self._tell)
        self.undo_stack.cleanChanged.connect(self.file_changed)

    # -- what there is ------------------------------------------------------------------------

    @property
    def bench(self) -> Bench:
        """The bench as it is now."""
        return self._bench

    @property
    def line(self) -> Line | None:
        """The current line."""
        return self._bench.current_line

    @property
    def rig(self) -> Rig | None:
        """The rig that the current line is looked at in; None where its lines can't be looped."""
        rig = self._bench.current_rig
        return rig if rig is not None and self.whole_of(rig) is not None else None

    @property
    def shown(self) -> Shown | None:
        """The rig that is looked at, or the line."""
        return self.rig or self.line

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
        return self._path.name if self._path else tr("Unsaved bench")

    @property
    def undo_text(self) -> Sentence:
        """What the step is called that undo would take back; nothing where there is none."""
        return self._text_of(self.undo_stack.index() - 1)

    @property
    def redo_text(self) -> Sentence:
        """What the step is called that redo would do again; nothing where there is none."""
        return self._text_of(self.undo_stack.index())

    def _text_of(self, step: int) -> Sentence:
        found = self.undo_stack.command(step) if 0 <= step < self.undo_stack.count() else None
        return found.edited.text if isinstance(found, _Step) else NOTHING

    def analysis(self, key: str | None = None) -> LineAnalysis | None:
        """The analysis of a line (the current one by default), computed once per change."""
        line = self._bench.line(key) if key else self.line
        if line is None:
            return None
        known = self._analyses.get(line.key)
        if known is None or known.line is not line or known.water is not self._bench.water:
            known = analyse_line(line, self._bench.water)
            self._analyses[line.key] = known
        return known

    @property
    def whole(self) -> Whole | None:
        """What is looked at: the rig that the current line is in, or that line; its figures."""
        thing = self.shown
        return None if thing is None else self.whole_of(thing)

    def whole_of(self, thing: Thing) -> Whole | None:
        """A line, a rig or a version of the bench with its figures, computed once per change.

        None for a rig whose lines can't be looped.
        """
        bench = self._bench
        if isinstance(thing, Version):
            from taperlab.shop.versions.words import name_of

            named = name_of(thing, bench, self.line.key if self.line else None)
            return Whole(thing.key, named, self.as_it_was(thing))
        if isinstance(thing, Line):
            return whole_line(thing, bench.water, self.analysis(thing.key))
        lines = [line for line in bench.lines if line.key in thing.lines]
        # The leader and fly of the bench are tied to a rig that has none of its own.
        made_of = (thing, bench.water, bench.swing, *lines)
        known = self._rigs.get(thing.key)
        if known is None or not _same(known[0], made_of):
            head = self.analysis(thing.head) if len(lines) == len(thing.lines) else None
            alone = head.head if head else None
            known = self._rigs[thing.key] = made_of, rig_of_bench(thing, bench, alone)
        return known[1]

    def as_it_was(self, version: Version) -> LineAnalysis:
        """The analysis of a version, computed once."""
        known = self._versions.get(version.key)
        line, water = version.line, self._bench.water
        if known is None or known.line is not line or known.water is not water:
            known = self._versions[version.key] = analyse_line(line, water)
        return known

    def changes_since(self, version: Version) -> Changes | None:
        """What became of its line since a version; None where that line is gone."""
        from taperlab.shop.versions.study import changes

        if keyed(self._bench.lines, version.of) is None:
            return None
        now = self.analysis(version.of)
        return changes(self.as_it_was(version), now) if now is not None else None

    def told_since(self, thing: Thing) -> tuple[Sentence, ...]:
        """What became of the line in hand since a version of it, in words; of others nothing."""
        if not isinstance(thing, Version) or self.line is None or self.shown is not self.line:
            return ()
        found = self.changes_since(thing) if thing.of == self.line.key else None
        if found is None:
            return ()
        from taperlab.shop.versions.words import told

        return told(found, thing)

    def rod_fit(self) -> RodFit | None:
        """How what is looked at fits the chosen rod."""
        whole = self.whole
        return whole.on_rod(self.rod, self._bench) if whole and whole.head else None

    def laid_over(self) -> list[tuple[Thing, Whole]]:
        """The lines, rigs and versions laid over what is looked at, in the order of the bench."""
        view, shown = self._bench.view, self.shown
        things: list[Thing] = [
            *(line for line in self._bench.lines if line.key in view.overlays),
            *(rig for rig in self._bench.rigs if rig.key in view.rig_overlays),
            *(each for each in self._bench.versions if each.key in view.version_overlays),
        ]
        return [
            (thing, whole)
            for thing in things
            if thing is not shown and (whole := self.whole_of(thing)) is not None
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
    ) -> Outcome:
        """Do an edit as one undoable step; what became of it.

        The new bench is computed before the undo stack is touched, so that a step on the stack
        only swaps one bench for another and cannot fail. ``changed`` is emitted before this
        returns.
        """
        try:
            edited = edit(self._bench, *args, **options)
        except Refused as problem:
            return Outcome(refused=problem.sentence)
        if edited.bench is self._bench or edited.bench == self._bench:
            return Outcome()
        self.undo_stack.push(_Step(self, self._bench, edited, merge, initiator))
        return Outcome(edited.text, moved=edited.moved, held=edited.held)

    def look(self, *, initiator: object = None, **view: Any) -> None:
        """Show another line, rig, overlay or page: kept in the file, but no undo step.

        A line is shown by itself unless the rig that it is to be looked at in is told.
        """
        if "line" in view:
            view = {"rig": None, **view}
        after = replace(self._bench, view=replace(self._bench.view, **view))
        if after.view != self._bench.view:
            self._swap(Change(self._bench, after, Reason.LOOK, initiator))
            self._tell()

    def load(self, bench: Bench, path: Path | None, *, recovered: bool = False) -> None:
        """Put up another bench and forget the old one's steps."""
        self.undo_stack.clear()
        self._path = path
        self._analyses.clear()
        self._rigs.clear()
        self._versions.clear()
        self._swap(Change(self._bench, bench, Reason.LOAD))
        self._tell()
        if recovered:
            self.undo_stack.resetClean()
        self.file_changed.emit()

    def saved_as(self, path: Path) -> None:
        """Note that the bench is now what this file holds."""
        self._path = path
        self.undo_stack.setClean()
        self.file_changed.emit()

    def _swap(self, change: Change) -> None:
        """Put another bench in place; the views are told once the undo stack is right too."""
        self._bench = change.after
        kept = {line.key for line in change.after.lines}
        for key in [key for key in self._analyses if key not in kept]:
            del self._analyses[key]
        rigs = {rig.key for rig in change.after.rigs}
        for key in [key for key in self._rigs if key not in rigs]:
            del self._rigs[key]
        versions = {version.key for version in change.after.versions}
        for key in [key for key in self._versions if key not in versions]:
            del self._versions[key]
        if self._pending is not None:  # several steps taken back at once are one change
            change = replace(change, before=self._pending.before)
        self._pending = change

    def _tell(self) -> None:
        change, self._pending = self._pending, None
        if change is not None:
            self.changed.emit(change)

    def _step_to(self, bench: Bench, step: _Step, reason: Reason, initiator: object) -> None:
        # The page and overlays stay as the person has them now; the line, its rig and the rows are
        # those of the step, so that undo shows what it undid.
        view = replace(self._bench.view, line=bench.view.line, rig=bench.view.rig)
        if reason is not Reason.EDIT and view != bench.view:
            bench = replace(bench, view=view)
        edited = step.edited
        change = Change(self._bench, bench, reason, initiator, edited.segments, edited.text)
        self._swap(replace(change, columns=edited.columns))


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))


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
        self.edited = edited
        self._document, self._before = document, before
        self._merge, self._initiator = merge, initiator
        self._reason = Reason.EDIT

    def id(self) -> int:
        return self._merge or -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Step) or other._merge != self._merge:
            return False
        self.edited = replace(other.edited, text=self.edited.text)
        if self.edited.bench == self._before:
            self.setObsolete(True)
        return True

    def redo(self) -> None:
        self._document._step_to(self.edited.bench, self, self._reason, self._initiator)
        self._reason, self._initiator = Reason.REDO, None

    def undo(self) -> None:
        self._document._step_to(self._before, self, Reason.UNDO, None)
