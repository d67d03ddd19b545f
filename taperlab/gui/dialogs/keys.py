"""The page of keys: every key of the window, and what the mouse does, to be searched or printed."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont, QGuiApplication
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLineEdit, QTextBrowser, QVBoxLayout

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import HelpGroup
from taperlab.gui.kit.widgets import label, without_pictures
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import capital


class KeysDialog(QDialog):
    """Groups of keys, those that hold what is searched for.

    print_asked(list[HelpGroup]): what is listed is to be printed.
    """

    print_asked = Signal(object)

    def __init__(self, groups: Sequence[HelpGroup], place: Workplace) -> None:
        super().__init__(place.host.parent_widget)
        self._groups, self._place = tuple(groups), place
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        title = tr("Keys and mouse")
        self.setWindowTitle(title)
        self.search = QLineEdit()
        self.search.setPlaceholderText(tr("Search for a key, or for what it does"))
        self.search.setAccessibleName(tr("Search the keys"))
        self.search.setClearButtonEnabled(True)
        self.list = QTextBrowser()
        self.list.setAccessibleName(title)
        self.list.setTabChangesFocus(True)
        self.search.textChanged.connect(self._show)
        close = QDialogButtonBox.StandardButton.Close
        self.buttons = QDialogButtonBox(close)
        without_pictures(self.buttons)
        role = QDialogButtonBox.ButtonRole.ActionRole
        for text, act in ((tr("Copy"), self._copy), (tr("Print…"), self._print)):
            button = self.buttons.addButton(text, role)
            button.setAutoDefault(False)
            button.clicked.connect(act)
        # Enter in the search closes nothing.
        self.buttons.button(close).setAutoDefault(False)
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(12)
        column.addWidget(label(title, points=13.0, weight=QFont.Weight.DemiBold))
        column.addWidget(self.search)
        column.addWidget(self.list, 1)
        column.addWidget(self.buttons)
        self.resize(640, 620)
        self._show("")

    def found(self) -> list[HelpGroup]:
        """The groups with the rows that hold all words searched for; a whole group by its title."""
        wanted = self.search.text().casefold().split()
        made = []
        for group in self._groups:
            rows = tuple(
                row
                for row in group.rows
                if all(word in f"{group.title} {row.how} {row.does}".casefold() for word in wanted)
            )
            if rows:
                made.append(HelpGroup(group.title, rows))
        return made

    def text(self) -> str:
        """What is listed now, a row a line, to be copied."""
        blocks = (
            "\n".join([each.title, *(f"{row.how}\t{row.does}" for row in each.rows)])
            for each in self.found()
        )
        return "\n\n".join(blocks)

    def _show(self, _searched: str) -> None:
        found = self.found()
        self.list.setHtml(_html(found) if found else escape(tr("Nothing is called that.")))

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.text())
        self._place.host.say(Sentence("Copied the list of keys"))

    def _print(self) -> None:
        self.print_asked.emit(self.found())


def _html(groups: Sequence[HelpGroup]) -> str:
    """The groups as one table, so that the keys of all stand in one column."""
    rows = []
    for group in groups:
        title = f'<span style="font-weight: 600">{escape(group.title)}</span>'
        rows.append(f'<tr><td colspan="2"><br>{title}</td></tr>')
        for row in group.rows:
            how = escape(row.how).replace(" ", "&nbsp;").replace(",&nbsp;", ", ")
            rows.append(f'<tr><td width="38%">{how}</td><td>{escape(capital(row.does))}</td></tr>')
    return f'<table width="100%" cellpadding="2">{"".join(rows)}</table>'
