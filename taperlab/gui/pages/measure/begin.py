"""Beginning a measurement: the invitation on an empty page, and the dialog for another one."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, label
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.state.settings import Settings
from taperlab.model.line import Line
from taperlab.units.kinds import LENGTH, WEIGHT

INVITATION = (
    "Lay the line out straight, at rest, and note its length. Weigh it. Then go along it with a "
    "micrometer or caliper and type distance, Enter, diameter, Enter, as often as you like: twenty "
    "places tell a head well. The taper, the weight per length and their errors are fitted as you "
    "type."
)
STRANGER = "A line of unknown taper"


def fill_designs(box: QComboBox, lines: tuple[Line, ...], current: str | None) -> None:
    """Offer the lines of the bench as designs, and none."""
    box.clear()
    box.addItem(STRANGER, None)
    for line in lines:
        box.addItem(f"Built as “{line.name}”", line.key)
    at = box.findData(current)
    box.setCurrentIndex(max(0, at))


class BeginFields:
    """Name, design, length and weight of a line about to be measured."""

    def __init__(self, form: QFormLayout, desk: Desk, settings: Settings) -> None:
        self._desk = desk
        self.name = QLineEdit()
        self.name.setAccessibleName("Name of the line")
        self.name.setPlaceholderText("Whose line it is, or what it is called")
        self.design = QComboBox()
        self.design.setAccessibleName("Design it is compared with")
        self.design.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.length = QuantityEdit(LENGTH, settings, name="Total length")
        self.weight = QuantityEdit(WEIGHT, settings, name="Total weight", optional=True)
        self.weight.setPlaceholderText("if weighed already")
        for edit in (self.name, self.length, self.weight):
            edit.setMinimumHeight(edit.sizeHint().height())
        for edit in (self.length, self.weight):
            edit.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        form.addRow("Line", self.name)
        form.addRow("Design", self.design)
        form.addRow("Total length", self.length)
        form.addRow("Total weight", self.weight)
        self.refresh()

    def refresh(self) -> None:
        """Offer the designs on the bench."""
        fill_designs(self.design, self._desk.document.bench.lines, self.design.currentData())

    def start(self) -> str:
        """Begin the measurement; gives back what is wrong, or nothing."""
        design = self.design.currentData()
        blank = not self.length.text().strip()
        length = None if blank and design else self.length.require()
        if length is None and not (blank and design):
            return self.length.sentence
        if self.weight.sentence:
            self.weight.setFocus()
            return self.weight.sentence
        return self._desk.start(design, length, self.weight.value(), self.name.text())


class Invitation(QWidget):
    """What an empty page says, and the button that fills it. started(): there is one now."""

    started = Signal()

    def __init__(self, desk: Desk, settings: Settings) -> None:
        super().__init__()
        self.setObjectName("page")
        card = Card(margin=26, spacing=12)
        card.setFixedWidth(430)
        card.body.addWidget(label("Measure a real line", points=15.0, weight=QFont.Weight.DemiBold))
        words = label(INVITATION, wrap=True)
        # A wrapped text in a card of fixed width: the layout does not ask how high it gets.
        words.setFixedSize(378, words.heightForWidth(378))
        card.body.addWidget(words)
        form = QFormLayout()
        form.setHorizontalSpacing(14)
        form.setVerticalSpacing(8)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self.fields = BeginFields(form, desk, settings)
        card.body.addSpacing(4)
        card.body.addLayout(form)
        self._problem = label("", role="bad", wrap=True)
        self._problem.hide()
        card.body.addWidget(self._problem)
        self.button = QPushButton("Start")
        self.button.setDefault(True)
        self.button.clicked.connect(self._start)
        for edit in (self.fields.name, self.fields.length, self.fields.weight):
            edit.returnPressed.connect(self._start)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.button)
        card.body.addLayout(row)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addStretch(1)
        column.addWidget(card, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(2)

    def _start(self) -> None:
        sentence = self.fields.start()
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))
        if not sentence:
            self.started.emit()


class BeginDialog(FormDialog):
    """Asks for a further line to measure."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget) -> None:
        super().__init__("Measure another line", parent, accept="Start")
        self.fields = BeginFields(self.form, desk, settings)
        self.setMinimumWidth(430)
        self.finish_layout()

    def try_accept(self) -> None:
        """Begin, if all is well."""
        sentence = self.fields.start()
        self.problem(sentence)
        if not sentence:
            self.accept()
