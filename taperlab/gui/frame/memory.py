"""What is remembered of the person's choices, written as soon as one changes."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.files.preferences import Preferences, save_preferences
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.theme import Theme
from taperlab.gui.state.settings import Settings


class Memory(QObject):
    """Keeps the preferences file in step with what is chosen in a window.

    recent_changed(): the recent files are others now.
    """

    recent_changed = Signal()

    def __init__(
        self, preferences: Preferences, settings: Settings, theme: Theme, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._preferences = preferences
        self._settings = settings
        self._theme = theme
        for changed in (
            settings.units_changed,
            settings.solve_changed,
            settings.sink_shown_changed,
            theme.changed,
        ):
            changed.connect(self._keep)

    @property
    def preferences(self) -> Preferences:
        """The choices as they are kept."""
        return self._preferences

    def remember(self, **choices: Any) -> None:
        """Keep some choices, by the names of :class:`Preferences`."""
        self._put(replace(self._preferences, **choices))

    def opened(self, path: Path) -> None:
        """Put a file at the head of the recent ones."""
        self._put(self._preferences.with_recent(path))

    def lost(self, path: Path) -> None:
        """Take a file off the recent ones: it can't be read."""
        self._put(self._preferences.without_recent(path))

    def _keep(self) -> None:
        self._put(self._preferences)

    def _put(self, preferences: Preferences) -> None:
        before, settings = self._preferences, self._settings
        self._preferences = replace(
            preferences,
            system=settings.system,
            solve=settings.solve,
            sink_shown=settings.sink_shown,
            theme=self._theme.choice,
        )
        with contextlib.suppress(FileProblem):  # a choice forgotten is no loss worth a message
            save_preferences(self._preferences)
        if self._preferences.recent_files != before.recent_files:
            self.recent_changed.emit()
