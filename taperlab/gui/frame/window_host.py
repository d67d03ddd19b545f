"""The window as pages, menus and dialogs know it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from taperlab.gui.frame.page_stack import PageStack
from taperlab.gui.frame.status import StatusLine
from taperlab.gui.kit.banner import BannerColumn
from taperlab.gui.kit.outcome_words import outcome_sentence
from taperlab.gui.state.document import Document, Outcome
from taperlab.gui.state.settings import Settings
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render


class WindowHost:
    """What :class:`taperlab.gui.kit.host.Host` promises, done by the parts of a window."""

    def __init__(
        self,
        window: QWidget,
        document: Document,
        settings: Settings,
        status: StatusLine,
        banners: BannerColumn,
    ) -> None:
        self._window = window
        self._document = document
        self._settings = settings
        self._status = status
        self._banners = banners
        self._pages: PageStack | None = None

    def use_pages(self, pages: PageStack) -> None:
        """Turn and commit these pages; they are made after their host."""
        self._pages = pages

    @property
    def parent_widget(self) -> QWidget:
        """What dialogs belong to."""
        return self._window

    def say(self, sentence: Sentence) -> None:
        """Show a sentence in the status line for a while."""
        self._status.say(sentence)

    def say_problem(self, sentence: Sentence) -> None:
        """Show in the status line why something was not done."""
        if sentence:
            self._status.say(sentence, "bad")

    def show_problem(self, sentence: Sentence) -> None:
        """Show a sentence that must not be missed, until it is dismissed."""
        text = render(sentence, self._settings.system)
        self._banners.show_banner(text, [(tr("All right"), None)], grave=True)

    def tell(self, outcome: Outcome) -> None:
        """Say what became of an edit: the step and what it moved, or why it was refused."""
        sentence = outcome_sentence(outcome, self._settings.system)
        if outcome.refused:
            self.say_problem(sentence)
        elif sentence:
            self.say(sentence)

    def commit(self) -> None:
        """Take over what is being typed on any page."""
        if self._pages is not None:
            self._pages.commit()

    def show_page(self, key: str) -> None:
        """Turn to a page."""
        self.commit()
        self._document.look(page=key)
