"""How a copy of unsaved work stands to the file that it came from, and the words for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum, auto
from pathlib import Path

from taperlab.files import native
from taperlab.files.disk import read_bytes
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench
from taperlab.shop.comparing import differences, is_alike
from taperlab.units.sentence import NOTHING, Sentence


class State(Enum):
    """What became of the file since the edits of the copy were begun."""

    NO_FILE = auto()
    GONE = auto()
    UNREADABLE = auto()
    UNCHANGED = auto()
    OLDER = auto()
    NEWER = auto()


@dataclass(frozen=True, slots=True)
class Standing:
    """A copy beside its file.

    UNCHANGED: the file holds what the edits were begun on. OLDER, NEWER: it holds something else,
    written before the copy or after it. file_saved: when the file was written. differing: what
    the two differ in, nothing where that is not known. is_saved: the file holds all of the copy.
    """

    state: State
    file_saved: datetime | None = None
    differing: Sentence = NOTHING
    is_saved: bool = False

    @property
    def clashes(self) -> bool:
        """Whether saving the copy over its file loses what is there."""
        risky = (State.OLDER, State.NEWER, State.UNREADABLE)
        return self.state in risky and not self.is_saved

    def words(self) -> Sentence:
        """Which of the two is newer, and what they differ in; nothing where there is no file."""
        if self.state is State.GONE:
            return Sentence("The file is no longer there.")
        if self.state is State.UNREADABLE:
            return Sentence("The file cannot be read now.")
        if self.file_saved is None:
            return NOTHING
        if self.state is State.NEWER:
            said = Sentence(
                "The file is newer: it was saved at {at}, after the copy.",
                at=when(self.file_saved),
            )
        elif self.state is State.OLDER:
            said = Sentence(
                "The copy is newer, but the file was saved at {at}, after these edits were begun.",
                at=when(self.file_saved),
            )
        else:
            said = Sentence("The copy is newer than the file.")
        if not self.differing:
            return said
        return Sentence("{said} They differ: {what}.", said=said, what=self.differing)


def stand(
    bench: Bench, base: str | None, saved: datetime, original: Path | None, here: Sentence
) -> Standing:
    """How a bench with unsaved edits stands to its file now.

    base: digest of the file that the edits were begun on, None where it is not known. saved: when
    the edits were kept. here: where the bench is, such as "in the copy".
    """
    if original is None:
        return Standing(State.NO_FILE)
    try:
        content = read_bytes(original)
        written = datetime.fromtimestamp(original.stat().st_mtime, UTC)
    except (FileProblem, OSError):
        return Standing(State.UNREADABLE if _is_there(original) else State.GONE)
    if digest(content) == base:
        state = State.UNCHANGED
    else:
        state = State.NEWER if written > saved else State.OLDER
    try:
        there = native.parse_bench(content, str(original))
    except FileProblem:
        return Standing(state, written)
    what = differences(bench, there, here, Sentence("in the file"))
    return Standing(state, written, what or NOTHING, is_alike(bench, there))


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError:  # a name that no file can have
        return False


def digest(content: bytes) -> str:
    """What tells one content of a file from another."""
    import hashlib  # a start without a file needs none

    return hashlib.sha256(content).hexdigest()


def when(moment: datetime) -> str:
    """A moment in the person's own time, to the minute."""
    local = moment.astimezone()
    today = local.date() == datetime.now().astimezone().date()
    return f"{local:%H:%M}" if today else f"{local:%d %b %Y, %H:%M}"
