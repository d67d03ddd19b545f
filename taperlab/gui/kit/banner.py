"""A strip across the top of the window: one sentence and what can be done about it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from shiboken6 import isValid

from taperlab.gui.kit.widgets import Card, in_column, in_row, label
from taperlab.units.language import tr


class Banner(Card):
    """One message; it goes away when one of its buttons is pressed.

    choices: what the buttons say and do. One that gives False leaves the message there.
    """

    dismissed = Signal()

    def __init__(
        self,
        sentence: str,
        choices: list[tuple[str, Callable[[], object] | None]],
        *,
        grave: bool = False,
    ) -> None:
        name = tr("Problem: {sentence}").format(sentence=sentence) if grave else sentence
        super().__init__(name, margin=12)
        row = in_row(spacing=10)
        if grave:
            mark = label("!", points=13.0, weight=QFont.Weight.Bold, role="bad")
            mark.setAccessibleName(tr("Problem"))
            row.addWidget(mark)
        row.addWidget(label(sentence, wrap=True, role="bad" if grave else ""), 1)
        self.buttons: dict[str, QPushButton] = {}
        for text, act in choices:
            button = QPushButton(text)
            button.setAutoDefault(False)
            button.clicked.connect(partial(self._pressed, act))
            row.addWidget(button)
            self.buttons[text] = button
        self.add(row)
        self._before = QApplication.focusWidget()

    def _pressed(self, act: Callable[[], object] | None, *_checked: object) -> None:
        if act is None or act() is not False:
            self.dismiss()

    def dismiss(self) -> None:
        """Take the strip away; keys that it had go back to where they were."""
        held = QApplication.focusWidget()
        has_keys = held is not None and self.isAncestorOf(held)
        self.hide()
        if has_keys and self._before is not None and isValid(self._before):
            self._before.setFocus(Qt.FocusReason.OtherFocusReason)
        self.dismissed.emit()
        self.deleteLater()


class BannerColumn(QWidget):
    """Where banners stand, one below the other; takes no room while there are none."""

    def __init__(self) -> None:
        super().__init__()
        self._column = in_column(spacing=8, of=self)
        self.hide()

    def show_banner(
        self,
        sentence: str,
        choices: list[tuple[str, Callable[[], object] | None]],
        *,
        grave: bool = False,
    ) -> Banner:
        """Add a banner at the bottom of the column; a grave one tells what went wrong."""
        banner = Banner(sentence, choices, grave=grave)
        self._column.addWidget(banner)
        banner.dismissed.connect(self._dismissed)
        self.show()
        return banner

    def _dismissed(self) -> None:
        if all(banner.isHidden() for banner in self.findChildren(Banner)):
            self.hide()
