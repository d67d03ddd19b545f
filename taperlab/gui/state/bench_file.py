"""A document's life on disk: opening, saving, recovery copies, and who else has the file."""

from __future__ import annotations

import contextlib
import time
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from taperlab.files import disk, native, recovery
from taperlab.files.presence import Claim, Presence, claim
from taperlab.files.problem import FileProblem
from taperlab.files.recovery import LeftCopy
from taperlab.files.standing import Standing, digest, stand
from taperlab.gui.state.document import Document
from taperlab.model.bench import Bench
from taperlab.units.sentence import NOTHING, Sentence

COPY_AFTER = 1500
"""Milliseconds after an edit until its recovery copy is written."""


class BenchFile(QObject):
    """Opens and saves a document.

    problem(Sentence): something that could not be done; nothing was lost. shared(Sentence):
    another window has the same file open. opened(Path): a file is in hand now. unkept(Sentence):
    why no recovery copy can be written, told once; nothing as soon as one can be again.
    """

    problem = Signal(object)
    shared = Signal(object)
    opened = Signal(object)
    unkept = Signal(object)

    def __init__(self, document: Document, presence: Presence | None, name: str) -> None:
        super().__init__(document)
        self._document = document
        self._presence = presence
        self._name = name
        self._claim: Claim | None = None
        self._others: frozenset[str] = frozenset()
        self._base: str | None = None
        self._copied: Bench | None = None
        self._is_unkept = False
        self.is_got_back = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(COPY_AFTER)
        self._timer.timeout.connect(self.keep_copy)
        document.undo_stack.indexChanged.connect(self._edited)

    # -- files --------------------------------------------------------------------------------

    def put_in_hand(self, bench: Bench, path: Path | None, base: str | None = None) -> None:
        """Put a bench in hand, and the file that it came from.

        base: the digest of what that file held when it was read, None where it will not be saved.
        """
        self.drop_copy()
        self._take(bench, path, base, got_back=False)
        if path is not None and base is not None:
            disk.sweep(path.parent, time.time())

    def _take(self, bench: Bench, path: Path | None, base: str | None, *, got_back: bool) -> None:
        self._base = base
        self.is_got_back = got_back
        self._document.load(bench, path, recovered=got_back)
        self._claim_file(path)
        if path is not None:
            self.opened.emit(path)

    def save(self, path: Path, *, over: bool = False) -> bool | Standing:
        """Write the bench to a file; False, and problem(), if it can't be written.

        Where the file in hand holds something else than this bench was begun on, nothing is
        written and how the two stand is given, unless it is to be written ``over`` that.
        """
        # Should the program end before the copy is removed, the copy tells that it is saved.
        self.keep_copy()
        content = disk.encoded(native.dumps(self._document.bench))
        moved = path != self._document.path
        with contextlib.nullcontext() if moved or self._claim is None else self._claim.alone():
            if not (moved or over) and (clash := self._clash(path)) is not None:
                return clash
            try:
                disk.write_bytes(path, content)
            except FileProblem as problem:
                self.problem.emit(problem.sentence)
                return False
        self._base = digest(content)
        self.is_got_back = False
        self._document.saved_as(path)
        self.drop_copy()
        with contextlib.suppress(OSError):
            disk.sweep(path.parent, path.stat().st_mtime)
        if moved:
            self._claim_file(path)
            self.opened.emit(path)
        return True

    def _clash(self, path: Path) -> Standing | None:
        """How the bench stands to its file, if that holds something else than it was begun on."""
        with contextlib.suppress(FileProblem):
            if digest(disk.read_bytes(path)) == self._base:
                return None
        now, here = datetime.now(UTC), Sentence("here")
        standing = stand(self._document.bench, self._base, now, path, here)
        return standing if standing.clashes else None

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
        """Tell, once for each, of another window that has opened the same file."""
        path = self._document.path
        if self._claim is None or path is None:
            return
        before, self._others = self._others, self._claim.others()
        if self._others - before:
            self.shared.emit(
                Sentence(
                    "{file} is open in another window too. The one that saves second is asked "
                    "before it saves over what the first saved: better close one of them. Windows "
                    "on other computers are not seen from here.",
                    file=path.name,
                )
            )

    # -- recovery copies ------------------------------------------------------------------------

    def keep_copy(self) -> bool:
        """Write the recovery copy now, if there are edits that no file holds.

        Whether all work is on the disk then.
        """
        self._timer.stop()
        if not self._document.is_dirty:
            return True
        if self._presence is None:
            return False
        bench, path = self._document.bench, self._document.path
        if bench is self._copied:
            return True
        try:
            recovery.write_copy(self._presence, bench, self._name, path, self._base)
        except FileProblem as problem:
            self._tell_unkept(problem.sentence)
            return False
        self._copied = bench
        self._tell_unkept(NOTHING)
        return True

    def _tell_unkept(self, why: Sentence) -> None:
        """Tell that copies can't be written, or that they can again; each once."""
        if bool(why) is not self._is_unkept:
            self._is_unkept = bool(why)
            self.unkept.emit(why)

    def drop_copy(self) -> None:
        """Remove the recovery copy: what it held is saved, or not wanted."""
        self._timer.stop()
        self._copied = None
        if self._presence is not None:
            recovery.drop_copy(self._presence, self._name)

    def left_copies(self) -> tuple[LeftCopy, ...]:
        """Copies that other runs left behind."""
        return recovery.find_left_copies(self._presence) if self._presence else ()

    def thrown_copies(self) -> tuple[LeftCopy, ...]:
        """Copies that were thrown away and are still there."""
        return recovery.find_thrown_copies(self._presence) if self._presence else ()

    def sweep(self) -> None:
        """Remove what ended runs left half written, and what was thrown away long ago."""
        if self._presence is not None:
            recovery.sweep(self._presence)

    def get_back(self, left: LeftCopy) -> bool:
        """Put a left copy in hand; False, and problem(), where it can't be.

        The copy becomes the one of this document, so that the work is on the disk all along.
        """
        try:
            bench = left.read()
        except FileProblem as problem:
            self.problem.emit(problem.sentence)
            return False
        self._timer.stop()
        if self._presence is None or not recovery.adopt(self._presence, left, self._name):
            self.problem.emit(Sentence("This work is no longer there; another window has it."))
            return False
        self._copied = None
        self._take(bench, left.original, left.base, got_back=True)
        return True

    def _edited(self, _index: int) -> None:
        if self._document.is_dirty:
            if not self._timer.isActive():
                self._timer.start()
        else:
            self.drop_copy()
