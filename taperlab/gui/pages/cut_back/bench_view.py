"""One step on the whole screen, in letters to be read from two metres; back and next, no more."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFont, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QDialog, QPushButton, QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.end_tag import EndTag
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.widgets import in_column, in_row, label, set_role
from taperlab.gui.pages.cut_back.drawing import HeadDrawing
from taperlab.gui.pages.cut_back.flow import CutFlow
from taperlab.gui.pages.cut_back.step_fields import StepFields
from taperlab.gui.plots.cut_sketch import plain_sketch
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_words import bench_words
from taperlab.units.language import tr

LETTERS = 45.0
"""No letter is smaller [points]: 60 pixels where a point is 1/72 in."""

FIGURE, NARROW_FIGURE = 141.0, 112.5
"""Letters of the figure [points]: 188 and 150 pixels."""

NARROW = 1200
"""Narrower than this, the figure is written smaller [px]."""


class BenchView(QDialog):
    """The step that is due, large. It shares the page's state; Escape leaves it."""

    def __init__(self, flow: CutFlow, parent: QWidget) -> None:
        super().__init__(parent)
        self.flow = flow
        self._go_on = False
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Bench view"))
        self.setObjectName("bench")
        theme = flow.case.place.theme
        self.drawing = HeadDrawing(theme, 24.0)
        self.drawing.setAccessibleName(tr("The head as it lies"))
        self.drawing.setMinimumHeight(60)
        self.drawing.setMaximumHeight(200)
        self.lead = LargeFigure(LETTERS, least=LETTERS)
        self.tag = EndTag(theme, LETTERS)
        self.figure = LargeFigure(FIGURE, least=LETTERS, role="accent")
        self.verb = LargeFigure(LETTERS, least=LETTERS, weight=QFont.Weight.Medium)
        self.problem = label("", points=LETTERS, weight=QFont.Weight.Medium, role="bad", wrap=True)
        self.fields = StepFields(flow, points=LETTERS * 1.6, one_by_one=True)
        self.back, self.next = QPushButton(tr("‹ Back")), QPushButton(tr("Next ›"))
        for button in (self.back, self.next):
            button.setFont(theming.font(LETTERS, weight=QFont.Weight.DemiBold))
            button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            button.setAutoDefault(False)
        self.next.setDefault(True)
        for each in (self.lead, self.figure, self.verb, self.problem):
            each.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.lead.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self._lead_row = in_row(None, self.lead, self.tag, None, spacing=24)
        self._fields_row = in_row(None, self.fields, None)
        buttons = in_row((self.back, 1), (self.next, 2), spacing=24)
        column = in_column(
            (self.drawing, 4),
            self._lead_row,
            self.figure,
            self._fields_row,
            self.verb,
            self.problem,
            None,
            buttons,
            spacing=10,
            of=self,
        )
        column.setContentsMargins(40, 24, 40, 32)
        self.next.clicked.connect(self._next)
        self.back.clicked.connect(self._go_back)
        self.fields.problem.connect(self._say)
        flow.changed.connect(self.refresh)
        flow.went_on.connect(self._take_keys)
        undo = QShortcut(QKeySequence(QKeySequence.StandardKey.Undo), self)
        undo.activated.connect(flow.case.place.document.undo_stack.undo)
        theme.changed.connect(self.refresh)
        self.refresh()

    def open_large(self) -> None:
        """Show it over the whole screen."""
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.showFullScreen()
        self._take_keys()

    def refresh(self) -> None:
        """Show the step that is due."""
        flow, study = self.flow, self.flow.study
        if study is None:
            self.reject()
            return
        due = flow.due
        words = bench_words(study, due)
        read, system = flow.case.place.read, flow.case.system
        self.fields.show_step()
        field = self.fields.in_turn
        weighs = field is not None and due.act is not Act.CUT
        self.fields.setVisible(weighs)
        self.lead.setText(read(words.lead))
        set_role(self.lead, words.role if due.act is Act.ASK else "")
        self.tag.setVisible(words.end is not None)
        if words.end is not None:
            self.tag.show_end(words.end)
        figure = words.figure.text(system) if words.figure else ""
        self.figure.setText(figure)
        self.figure.setVisible(bool(figure))
        set_role(self.figure, words.role)
        self.verb.setText(read(words.verb))
        self._show_lead()
        self.verb.setVisible(bool(self.verb.text()))
        self._say("")
        sketch = plain_sketch(study, due, system)
        self.drawing.show_sketch(sketch, self.lead.text())
        self.back.setEnabled(flow.can_go_back)
        self.next.setEnabled(due.act not in (Act.ASK, Act.STOPPED, Act.FINISHED))
        if self._go_on:
            self._take_keys()

    def _say(self, sentence: str) -> None:
        """Say what is wrong, in place of what to do."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
        self.verb.setVisible(bool(self.verb.text()) and not sentence)

    def _next(self) -> None:
        if self.flow.due.act is Act.CUT:
            cut = self.flow.due.cut
            if cut is not None:
                self.flow.cut(cut.mark)
            return
        self.fields.go_on()
        self._show_lead()

    def _go_back(self) -> None:
        if self.fields.back():
            self.refresh()
        else:
            self.flow.back()

    def _show_lead(self) -> None:
        """Name the field that is asked for."""
        if self.isVisible() and self.fields.in_turn is self.fields.offcut:
            self.lead.setText(tr("Offcut on the scale"))
            self.verb.setText(tr("all that came off"))

    def _take_keys(self) -> None:
        """Put the keys where the work goes on; if that is not known yet, as soon as it is."""
        self._go_on = not self.flow.case.is_settled
        if self._go_on:
            return
        if self.fields.isVisible() and self.fields.take_keys():
            return
        self.next.setFocus(Qt.FocusReason.TabFocusReason)

    # -- Qt ------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Write the figure smaller on a narrow screen."""
        super().resizeEvent(event)
        self.figure.want(NARROW_FIGURE if self.width() < NARROW else FIGURE)

    def changeEvent(self, event: QEvent) -> None:
        """Take the keys when it comes to the front."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow():
            self._take_keys()
