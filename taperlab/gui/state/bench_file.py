"""A document's life on disk: opening, saving, recovery copies, and who else has the file."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from taperlab.files import recovery
from taperlab.files.disk import read_bytes
from taperlab.files.native import read_bench, write_bench
from taperlab.files.presence import Claim, Presence, claim
from taperlab.files.problem import FileProblem
from taperlab.files.recovery import LeftCopy
from taperlab.gui.state.document import Document
from taperlab.model.bench import Bench
from taperlab.units.sentence import Sentence

COPY_AFTER = 1500
"""Milliseconds after an edit until its recovery copy is written."""


class BenchFile(QObject):
    """Opens and saves a document.

    problem(Sentence): something that could not be done; nothing was lost. shared(Sentence):
    another window has the same file open. opened(Path): a file is in hand now.
    """

    problem = Signal(object)
    shared = Signal(object)
    opened = Signal(object)

    def __init__(self, document: Document, presence: Presence | None, name: str) -> None:
        super().__init__(document)
        self._document = document
        self._presence = presence
        self._name = name
        self._claim: Claim | None = None
        self._others: frozenset[str] = frozenset()
        self._on_disk: str | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(COPY_AFTER)
        self._timer.timeout.connect(self.keep_copy)
        document.undo_stack.indexChanged.connect(self._edited)

    # -- files --------------------------------------------------------------------------------

    def open(self, path: Path) -> bool:
        """Put the bench of a native file in hand; False, and problem(), if it can't be read."""
        try:
            bench = read_bench(path)
        except FileProblem as problem:
            self.problem.emit(problem.sentence)
            return False
        self.put_in_hand(bench, path)
        return True

    def put_in_hand(self, bench: Bench, path: Path | None, *, unsaved: bool = False) -> None:
        """Put a bench in hand. unsaved: the file, if any, does not hold it yet."""
        self.drop_copy()
        self._on_disk = _digest(path)
        self._document.load(bench, path, recovered=unsaved)
        self._claim_file(path)
        if unsaved:
            self._timer.start()
        if path is not None:
            self.opened.emit(path)

    def save(self, path: Path) -> bool:
        """Write the bench to a file; False, and problem(), if it can't be written."""
        try:
            write_bench(self._document.bench, path)
        except FileProblem as problem:
            self.problem.emit(problem.sentence)
            return False
        moved = path != self._document.path
        self._on_disk = _digest(path)
        self._document.saved_as(path)
        self.drop_copy()
        if moved:
            self._claim_file(path)
            self.opened.emit(path)
        return True

    def close(self) -> None:
        """Let go of the file; the recovery copy goes too."""
        self.drop_copy()
        self._let_go()

    def _let_go(self) -> None:
        # The stack is cleared when the window goes, and would tell a window half gone.
        self._document.undo_stack.blockSignals(True)
        self._claim_file(None)

    def leave_behind(self) -> None:
        """Let go of the file but keep what it does not hold: the program is made to end."""
        self.keep_copy()
        self._let_go()

    def _claim_file(self, path: Path | None) -> None:
        if self._claim is not None:
            self._claim.release()
            self._claim = None
        if path is None or self._presence is None:
            return
        self._claim = claim(self._presence, path)
        self._others = frozenset()
        self.look_for_others()

    def look_for_others(self) -> None:
        """Tell, once for each, of another window that has taken the same file in hand."""
        path = self._document.path
        if self._claim is None or path is None:
            return
        before, self._others = self._others, self._claim.others()
        if self._others - before:
            self.shared.emit(
                Sentence(
                    "{file} is open in another window too. Whichever window saves last decides "
                    "what the file holds: close one of them, or save under another name.",
                    file=path.name,
                )
            )

    def changed_on_disk(self) -> bool:
        """Whether the file holds something else than when it was opened or last saved."""
        now = _digest(self._document.path)
        return now is not None and now != self._on_disk

    # -- recovery copies ------------------------------------------------------------------------

    def keep_copy(self) -> None:
        """Write the recovery copy now, if there are edits that no file holds."""
        self._timer.stop()
        if self._presence is None or not self._document.is_dirty:
            return
        try:
            recovery.write_copy(
                self._presence, self._document.bench, self._name, self._document.path
            )
        except FileProblem as problem:
            self.problem.emit(problem.sentence)

    def drop_copy(self) -> None:
        """Remove the recovery copy: what it held is saved, or not wanted."""
        self._timer.stop()
        if self._presence is not None:
            recovery.drop_copy(self._presence, self._name)

    def left_copies(self) -> tuple[LeftCopy, ...]:
        """Copies that other runs left behind."""
        return recovery.find_left_copies(self._presence) if self._presence else ()

    def recover(self, left: LeftCopy) -> bool:
        """Put a left copy in hand; it is removed once this run has a copy of its own."""
        try:
            bench = left.read()
        except FileProblem as problem:
            self.problem.emit(problem.sentence)
            return False
        self.put_in_hand(bench, left.original, unsaved=True)
        self.keep_copy()
        left.discard()
        return True

    def _edited(self, _index: int) -> None:
        if self._document.is_dirty:
            if not self._timer.isActive():
                self._timer.start()
        else:
            self.drop_copy()


def _digest(path: Path | None) -> str | None:
    """What tells one content of a file from another; None where there is no such file."""
    if path is None:
        return None
    import hashlib

    try:
        return hashlib.sha256(read_bytes(path)).hexdigest()
    except FileProblem:
        return None


def when(moment: datetime) -> str:
    """A moment in the person's own time, to the minute."""
    local = moment.astimezone()
    today = local.date() == datetime.now().astimezone().date()
    return f"{local:%H:%M}" if today else f"{local:%d %b %Y, %H:%M}"
