"""How much of a line the plots show: its head only, or the whole line."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QToolButton, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.key_names import native
from taperlab.gui.kit.widgets import in_row, tool_button
from taperlab.gui.state.settings import Settings
from taperlab.units.language import tr

KEY = Qt.Key.Key_H
"""Shows the other on the plots."""


class Extent(QWidget):
    """Two buttons beside the distance axis, one of which is down."""

    def __init__(self, settings: Settings, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("extent")
        self._settings = settings
        key = native(KEY)
        leaves_out = tr("Handling and running line are left out of the plots ({key})")
        shows = tr("The plots show all of the line ({key})")
        self.head_only = self._button(tr("Head only"), leaves_out.format(key=key), only=True)
        self.whole_line = self._button(tr("Whole line"), shows.format(key=key), only=False)
        in_row(self.head_only, self.whole_line, spacing=2, of=self)
        settings.head_only_changed.connect(self._show)
        self._show()

    def toggle(self) -> None:
        """Show the other of the two."""
        self._settings.show_head_only(not self._settings.head_only)

    def _button(self, text: str, tip: str, *, only: bool) -> QToolButton:
        made = tool_button(text, text, tip, partial(self._settings.show_head_only, only))
        made.setFont(theming.font(theming.SMALL))
        made.setCheckable(True)
        made.setAutoExclusive(True)
        # Keys have the letter, and the menu; a stop of the Tab key each would be in the way.
        made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        return made

    def _show(self) -> None:
        only = self._settings.head_only
        (self.head_only if only else self.whole_line).setChecked(True)
