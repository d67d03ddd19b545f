"""Beginning a measurement: the invitation on an empty page, and the dialog for another one."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QFormLayout,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Card, Remark, in_column, in_row, label
from taperlab.gui.pages.measure.desk import Desk
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr

MARGIN = 26
"""Inside the invitation [px]."""


class DesignBox(Choice):
    """Offers the lines of the bench as what a measured line was built to, and none."""

    def __init__(self, desk: Desk, current: str | None = None) -> None:
        super().__init__()
        self._desk = desk
        self.setAccessibleName(tr("Design it is compared with"))
        # However long a name is: it is the dialog that says how wide the box is.
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(16)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.refresh(current)

    def refresh(self, current: str | None) -> None:
        """Offer what is on the bench now, this line chosen if it is there."""
        self.clear()
        self.addItem(tr("A line of unknown taper"), None)
        for line in self._desk.place.document.bench.lines:
            self.addItem(tr("Built as “{line}”").format(line=line.name), line.key)
        self.setCurrentIndex(max(0, self.findData(current)))

    @property
    def line(self) -> str | None:
        """Key of the chosen line."""
        key: str | None = self.currentData()
        return key


class BeginFields:
    """Name, design, length and weight of a line about to be measured."""

    def __init__(self, form: QFormLayout, desk: Desk) -> None:
        self._desk = desk
        settings = desk.place.settings
        self.name = QLineEdit()
        self.name.setAccessibleName(tr("Name of the line"))
        self.name.setPlaceholderText(tr("Whose line it is, or what it is called"))
        self.design = DesignBox(desk)
        self.length = QuantityEdit(LENGTH, settings, name=tr("Total length"))
        self.weight = QuantityEdit(WEIGHT, settings, name=tr("Total weight"), optional=True)
        self.weight.setPlaceholderText(tr("If weighed already"))
        for edit in (self.name, self.length, self.weight):
            edit.setMinimumHeight(edit.sizeHint().height())
        for edit in (self.length, self.weight):
            edit.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        form.addRow(tr("Line"), self.name)
        form.addRow(tr("Design"), self.design)
        form.addRow(tr("Total length"), self.length)
        form.addRow(tr("Total weight"), self.weight)

    def refresh(self) -> None:
        """Offer the designs on the bench."""
        self.design.refresh(self.design.line)

    def start(self) -> str:
        """Begin the measurement; gives back what is wrong, or nothing."""
        design = self.design.line
        blank = design is not None and not self.length.text().strip()
        length = None if blank else self.length.require()
        if length is None and not blank:
            return self.length.sentence
        if self.weight.sentence:
            self.weight.setFocus()
            return self.weight.sentence
        outcome = self._desk.start(design, length, self.weight.value(), self.name.text())
        return self._desk.place.read(outcome.refused)


class Invitation(QWidget):
    """What an empty page says, and the button that fills it. started(): there is one now."""

    started = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setObjectName("page")
        card = Card(tr("Measure a real line"), margin=MARGIN, spacing=12)
        title = label(tr("Measure a real line"), points=15.0, weight=QFont.Weight.DemiBold)
        words = label(
            tr(
                "Lay the line out straight, at rest, and note its length. Weigh it. Then go along "
                "it with a micrometer or caliper and type distance, Enter, diameter, Enter, as "
                "often as you like: twenty places tell a head well. The taper, the weight per "
                "length and their errors are fitted as you type."
            ),
            wrap=True,
        )
        form = QFormLayout()
        form.setHorizontalSpacing(14)
        form.setVerticalSpacing(8)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self.fields = BeginFields(form, desk)
        self.problem = Remark()
        self.button = QPushButton(tr("Start"))
        self.button.setDefault(True)
        self.button.clicked.connect(self._start)
        for edit in (self.fields.name, self.fields.length, self.fields.weight):
            edit.returnPressed.connect(self._start)
        card.add(title, words, 4, form, self.problem, in_row(None, self.button))
        self._card, self._words = card, words
        self._take_width()
        desk.place.theme.changed.connect(self._take_width)
        column = in_column(None, card, None, of=self)
        column.setStretch(2, 2)
        column.setAlignment(card, Qt.AlignmentFlag.AlignHCenter)

    def _take_width(self) -> None:
        """A wrapped text in a card of fixed width: the layout does not ask how high it gets."""
        self._card.setFixedWidth(px(430))
        room = self._card.width() - 2 * MARGIN
        self._words.setFixedSize(room, self._words.heightForWidth(room))

    def _start(self) -> None:
        sentence = self.fields.start()
        self.problem.say(sentence)
        if not sentence:
            self.started.emit()


class BeginDialog(FormDialog):
    """Asks for a further line to measure."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(tr("Measure another line"), desk.place, accept=tr("Start"))
        self.fields = BeginFields(self.form, desk)
        self.setMinimumWidth(px(430))
        self.finish_layout()

    def try_accept(self) -> None:
        """Begin, if all is well."""
        sentence = self.fields.start()
        self.problem(sentence)
        if not sentence:
            self.accept()
