"""The line below the page: what was done or refused, and two choices of what typing means."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication, QStatusBar

from taperlab.edits.edited import Solve
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.widgets import Elided, set_role, tool_button
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import System
from taperlab.units.language import later, tr
from taperlab.units.sentence import NOTHING, Sentence, render

MESSAGE_TIME = 8000
"""Milliseconds that a sentence stays."""

UNITS = {
    System.US: later("Feet, inches, grains"),
    System.METRIC: later("Metres, millimetres, grams"),
}
SOLVES = {
    Solve.DENSITY: later("A typed weight moves density"),
    Solve.DIAMETER: later("A typed weight moves diameter"),
}


class StatusLine(QStatusBar):
    """A sentence at the left; at the right, buttons that show and change the choices in force.

    The sentence says what was done or refused, for a while, or else what can be done with what is
    pointed at. Whichever came last is shown, but nothing shows over why something was refused, and
    what an edit brings below a mouse that lies still does not show over what the edit did.
    """

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
        self._sentence = NOTHING
        self._role = "soft"
        self._hint = ""
        self._hint_is_new = False
        self._mouse_was = QCursor.pos()
        self._text = Elided(points=theming.BODY)
        self._text.setProperty("role", "soft")
        self._text.setObjectName("status")
        self._text.setContentsMargins(7, 0, 7, 0)
        self.solve_button = tool_button(
            "",
            tr("What gives way when a weight is typed"),
            tr("What gives way when a weight is typed; press for the other"),
        )
        self.units_button = tool_button(
            "",
            tr("Units shown, and taken for bare numbers"),
            tr("Units shown, and taken for bare numbers; press for the other"),
        )
        self.addWidget(self._text, 1)
        for button in (self.solve_button, self.units_button):
            button.setFont(theming.font(8.5))
            self.addPermanentWidget(button)
        self.setSizeGripEnabled(False)
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(MESSAGE_TIME)
        self._quiet.timeout.connect(self._rest)
        settings.units_changed.connect(self._show)
        settings.solve_changed.connect(self._show)
        self._show()

    def say(self, sentence: Sentence, role: str = "soft") -> None:
        """Show a sentence for a while, in one of the style sheet's roles."""
        self._sentence, self._role = sentence, role
        self._hint_is_new = False
        self._mouse_was = QCursor.pos()
        self._quiet.start()
        self._show()
        said = render(sentence, self._settings.system)
        announce(self._text, said, at_once=role == "bad")

    def has_room(self, sentence: Sentence) -> bool:
        """Whether all of a sentence can be read here."""
        said = render(sentence, self._settings.system)
        wide = self._text.fontMetrics().horizontalAdvance(said)
        return wide <= self._text.contentsRect().width()

    def hint(self, text: str) -> None:
        """Show what can be done with what is pointed at; nothing when it is left."""
        asked = QCursor.pos() != self._mouse_was or QApplication.activePopupWidget() is not None
        self._hint, self._hint_is_new = text, bool(text) and asked
        self._show()

    def _rest(self) -> None:
        self._sentence, self._role = NOTHING, "soft"
        self._show()

    def _show(self) -> None:
        said = render(self._sentence, self._settings.system)
        hints = not said or (self._hint_is_new and self._role != "bad")
        self._text.setText(self._hint if hints else said)
        set_role(self._text, "soft" if hints else self._role)
        units, solve = tr(UNITS[self._settings.system]), tr(SOLVES[self._settings.solve])
        for button, name, now in (
            (self.units_button, tr("Units shown, and taken for bare numbers"), units),
            (self.solve_button, tr("What gives way when a weight is typed"), solve),
        ):
            button.setText(now)
            button.setAccessibleName(tr("{name}: {value}").format(name=name, value=now))
