"""One step of a work on the whole screen, in letters to be read from two metres; back and next."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QEvent, Qt, SignalInstance
from PySide6.QtGui import QFont, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QDialog, QPushButton, QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.deliberate import Deliberate
from taperlab.gui.kit.end_tag import EndTag
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.widgets import in_column, in_row, label, set_role
from taperlab.model.cut_log import CutEnd
from taperlab.shop.rail import StepWords
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

LETTERS = 45.0
"""No letter is smaller [points]: 60 pixels where a point is 1/72 in."""

FIGURE, NARROW_FIGURE = 141.0, 112.5
"""Letters of the figure [points]: 188 and 150 pixels."""

NARROW = 1200
"""Narrower than this, the figure is written smaller [px]."""


class Work(Protocol):
    """Work in steps."""

    @property
    def changed(self) -> SignalInstance:
        """Another step is due."""

    @property
    def went_on(self) -> SignalInstance:
        """A step was done, and the keys go on."""


class LargeView(QDialog):
    """The step that is due, large. It shares the page's state; Escape leaves it.

    A work gives its drawing and its fields, is followed, shows its words by :meth:`show_words` in
    :meth:`refresh`, and does what Back and Next ask in :meth:`go_on` and :meth:`go_back`.
    """

    def __init__(
        self, place: Workplace, drawing: QWidget, fields: QWidget, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.place = place
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Bench view"))
        self.setObjectName("bench")
        self.lead = LargeFigure(LETTERS, least=LETTERS)
        self.tag = EndTag(place.theme, LETTERS)
        self.figure = LargeFigure(FIGURE, least=LETTERS, role="accent")
        self.verb = LargeFigure(LETTERS, least=LETTERS, weight=QFont.Weight.Medium)
        self.problem = label("", points=LETTERS, weight=QFont.Weight.Medium, role="bad", wrap=True)
        self.back, self.next = QPushButton(tr("‹ Back")), QPushButton(tr("Next ›"))
        for button in (self.back, self.next):
            button.setFont(theming.font(LETTERS, weight=QFont.Weight.DemiBold))
            button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            button.setAutoDefault(False)
        self.next.setDefault(True)
        Deliberate(self, self.next, self)
        for each in (self.lead, self.figure, self.verb, self.problem):
            each.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.lead.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        drawing.setMinimumHeight(60)
        drawing.setMaximumHeight(200)
        buttons = in_row((self.back, 1), (self.next, 2), spacing=24)
        column = in_column(
            (drawing, 4),
            in_row(None, self.lead, self.tag, None, spacing=24),
            self.figure,
            in_row(None, fields, None),
            self.verb,
            self.problem,
            None,
            buttons,
            spacing=10,
            of=self,
        )
        column.setContentsMargins(40, 24, 40, 32)
        self.next.clicked.connect(self.go_on)
        self.back.clicked.connect(self.go_back)
        undo = QShortcut(QKeySequence(QKeySequence.StandardKey.Undo), self)
        undo.activated.connect(place.document.undo_stack.undo)

    def follow(self, work: Work, problem: SignalInstance) -> None:
        """Go with a work from now on. problem(str): what is wrong with what is typed."""
        problem.connect(self.say)
        work.changed.connect(self.refresh)
        work.went_on.connect(self.take_keys)
        self.place.theme.changed.connect(self.refresh)
        self.refresh()

    # -- what a work does ----------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the step that is due."""
        raise NotImplementedError

    def go_on(self) -> None:
        """Do the step that is due."""
        raise NotImplementedError

    def go_back(self) -> None:
        """Take the last step back."""
        raise NotImplementedError

    def take_keys(self) -> None:
        """Put the keys where the work goes on."""
        self.next.setFocus(Qt.FocusReason.TabFocusReason)

    # -- showing -------------------------------------------------------------------------------

    def open_large(self) -> None:
        """Show it over the whole screen."""
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.showFullScreen()
        self.take_keys()

    def show_words(self, words: StepWords, *, lead_role: str = "") -> None:
        """Show what is said of the step that is due."""
        read: Callable[[Sentence], str] = self.place.read
        self.lead.setText(read(words.lead))
        set_role(self.lead, lead_role)
        self._show_end(words.end)
        figure = words.figure.text(self.place.system) if words.figure else ""
        self.figure.setText(figure)
        self.figure.setVisible(bool(figure))
        set_role(self.figure, words.role)
        self.verb.setText(read(words.verb))
        self.verb.setVisible(bool(self.verb.text()))
        self.say("")

    def _show_end(self, end: CutEnd | None) -> None:
        self.tag.setVisible(end is not None)
        if end is not None:
            self.tag.show_end(end)

    def say(self, sentence: str) -> None:
        """Say what is wrong, in place of what to do."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
        self.verb.setVisible(bool(self.verb.text()) and not sentence)

    # -- Qt ------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Write the figure smaller on a narrow screen."""
        super().resizeEvent(event)
        self.figure.want(NARROW_FIGURE if self.width() < NARROW else FIGURE)

    def changeEvent(self, event: QEvent) -> None:
        """Take the keys when it comes to the front."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow():
            self.take_keys()
