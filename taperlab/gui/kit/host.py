"""What a page or a dialog may ask of the window round it, and what it is given to work with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from PySide6.QtWidgets import QWidget

from taperlab.edits.edited import Edited
from taperlab.gui.kit.theme import Theme
from taperlab.gui.state.document import Document, Outcome
from taperlab.gui.state.jobs import Jobs
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, render


class Host(Protocol):
    """The window, as far as pages and dialogs know it."""

    @property
    def parent_widget(self) -> QWidget:
        """What dialogs belong to."""

    def say(self, sentence: Sentence) -> None:
        """Show a sentence in the status line for a while."""

    def say_problem(self, sentence: Sentence) -> None:
        """Show in the status line why something was not done."""

    def show_problem(self, sentence: Sentence) -> object:
        """Show a sentence that must not be missed, until it is dismissed."""

    def tell(self, outcome: Outcome) -> None:
        """Say what became of an edit: the step and what it moved, or why it was refused."""

    def commit(self) -> None:
        """Take over what is being typed on the page that is shown."""

    def show_page(self, key: str, lines: tuple[str, ...] = ()) -> None:
        """Turn to a page, and have it look at these lines, from the fly end, if it can."""

    def open_file(self, path: Path) -> bool:
        """Open a bench, once the one in hand may be left; a large file is still being read."""


@dataclass(frozen=True, eq=False, slots=True)
class Workplace:
    """What every page works with: the bench, the person's choices, the jobs, the host."""

    document: Document
    settings: Settings
    theme: Theme
    jobs: Jobs
    host: Host

    def do(
        self,
        edit: Callable[..., Edited],
        *args: Any,
        merge: int | None = None,
        initiator: object = None,
        **options: Any,
    ) -> Outcome:
        """Do an edit as one undoable step, and say in the status line what became of it."""
        outcome = self.document.apply(edit, *args, merge=merge, initiator=initiator, **options)
        self.host.tell(outcome)
        return outcome

    @property
    def system(self) -> System:
        """The units shown, and taken for bare numbers."""
        return self.settings.system

    def read(self, sentence: Sentence) -> str:
        """A sentence in the person's units and language."""
        return render(sentence, self.settings.system)
