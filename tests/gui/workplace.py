"""What a part of a page is given to work with, without a window round it."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import Theme
from taperlab.gui.state.document import Document, Outcome
from taperlab.gui.state.jobs import Jobs
from taperlab.gui.state.settings import Settings
from taperlab.units.sentence import Sentence, render


@dataclass
class HeardHost:
    """A host that keeps what it is told: problems, sentences, outcomes."""

    settings: Settings
    parent_widget: QWidget | None = None
    problems: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    outcomes: list[Outcome] = field(default_factory=list)

    def say(self, sentence: Sentence) -> None:
        self.said.append(render(sentence, self.settings.system))

    def say_problem(self, sentence: Sentence) -> None:
        self.problems.append(render(sentence, self.settings.system))

    def show_problem(self, sentence: Sentence) -> None:
        self.say_problem(sentence)

    def tell(self, outcome: Outcome) -> None:
        if outcome.refused:
            self.say_problem(outcome.refused)
        elif outcome.text:
            self.outcomes.append(outcome)

    def commit(self) -> None:
        pass

    def show_page(self, key: str, lines: tuple[str, ...] = ()) -> None:
        pass

    def open_file(self, path: Path) -> bool:
        return False


def workplace(document: Document, settings: Settings, theme: Theme) -> Workplace:
    """A workplace whose host keeps what it hears."""
    return Workplace(document, settings, theme, Jobs(document), HeardHost(settings))
