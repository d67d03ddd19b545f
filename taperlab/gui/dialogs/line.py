"""A line's name, style, loops and note."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QPlainTextEdit, QWidget

from taperlab.edits import lines as line_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.gui.state.settings import Settings
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.model.line import Line, Loop, LoopKind, Style
from taperlab.units.kinds import SHORT_LENGTH, SMALL_WEIGHT
from taperlab.units.language import tr
from taperlab.units.words import heading

USUAL_LOOP = {
    LoopKind.NONE: (0.0, 0.0),
    LoopKind.FOLDED: (2.5 * INCH, 0.0),
    LoopKind.BRAIDED: (0.0, 1.5 * GRAIN),
}
"""Fold [m] and added mass [kg] that a loop of a kind usually takes. Common practice, from memory:
a folded loop uses 2 to 3 in of line; a braided one with its glue weighs 1 to 2 gr."""


KINDS, STYLES = tuple(LoopKind), tuple(Style)


class LoopFields(QWidget):
    """Kind of loop, line folded back, and weight of whatever else it adds."""

    def __init__(self, name: str, loop: Loop, settings: Settings) -> None:
        super().__init__()
        self._loop = loop
        self.kind = QComboBox()
        self.kind.addItems([heading(kind) for kind in KINDS])
        self.kind.setCurrentIndex(KINDS.index(loop.kind))
        self.kind.setAccessibleName(name)
        self.fold = QuantityEdit(
            SHORT_LENGTH, settings, name=tr("{loop}: line folded back").format(loop=name)
        )
        self.fold.set_help(
            tr(
                "Line folded back on itself beyond the finished length. It weighs as much as the "
                "line does at that end."
            )
        )
        self.fold.set_value(loop.fold)
        self.mass = QuantityEdit(
            SMALL_WEIGHT, settings, name=tr("{loop}: added weight").format(loop=name)
        )
        self.mass.set_help(tr("Weight of tube, braid and adhesive."))
        self.mass.set_value(loop.mass)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self.kind, 2)
        row.addWidget(label(tr("folded"), role="soft"))
        row.addWidget(self.fold, 1)
        row.addWidget(label(tr("adds"), role="soft"))
        row.addWidget(self.mass, 1)
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.kind.activated.connect(self._offer_usual)
        self._kind_changed()

    def loop(self) -> Loop | None:
        """The loop as filled in, or None where a field cannot be read."""
        kind = KINDS[self.kind.currentIndex()]
        if kind is LoopKind.NONE:
            return replace(self._loop, kind=kind, fold=0.0, mass=0.0)
        fold, mass = self.fold.require(), self.mass.require()
        if fold is None or mass is None:
            return None
        return replace(self._loop, kind=kind, fold=fold, mass=mass)

    def _kind_changed(self) -> None:
        kind = KINDS[self.kind.currentIndex()]
        self.fold.setEnabled(kind is not LoopKind.NONE)
        self.mass.setEnabled(kind is not LoopKind.NONE)

    def _offer_usual(self) -> None:
        """Fill in what such a loop usually takes, unless something is filled in already."""
        kind = KINDS[self.kind.currentIndex()]
        if not (self.fold.value() or self.mass.value()):
            fold, mass = USUAL_LOOP[kind]
            self.fold.set_value(fold)
            self.mass.set_value(mass)


class LineDialog(FormDialog):
    """Name, style, loops and note of the line in hand; one step when accepted."""

    def __init__(self, place: Workplace, line: Line) -> None:
        super().__init__(tr("Line"), place)
        self._line = line
        self.name = QLineEdit(line.name)
        self.name.setAccessibleName(tr("Name"))
        self.name.selectAll()
        self.style_box = QComboBox()
        self.style_box.addItems([heading(style) for style in STYLES])
        self.style_box.setCurrentIndex(STYLES.index(line.style))
        self.style_box.setAccessibleName(tr("Style"))
        self.style_box.setToolTip(tr("The window, and the reading of the ratio, follow the style"))
        self.front = LoopFields(tr("Front loop"), line.front_loop, place.settings)
        self.rear = LoopFields(tr("Rear loop"), line.rear_loop, place.settings)
        self.note = QPlainTextEdit(line.note)
        self.note.setAccessibleName(tr("Note"))
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(70)
        for fields in (self.front, self.rear):
            fields.fold.sentence_changed.connect(self.problem)
            fields.mass.sentence_changed.connect(self.problem)
        self.form.addRow(tr("Name"), self.name)
        self.form.addRow(tr("Style"), self.style_box)
        self.form.addRow(tr("Front loop"), self.front)
        self.form.addRow(tr("Rear loop"), self.rear)
        self.form.addRow(tr("Note"), self.note)
        self.finish_layout()
        self.setMinimumWidth(560)

    def try_accept(self) -> None:
        """Apply all fields as one step."""
        front, rear = self.front.loop(), self.rear.loop()
        if front is None or rear is None:
            return
        self.finish_with(
            line_edits.describe_line,
            self._line.key,
            self.name.text(),
            STYLES[self.style_box.currentIndex()],
            front,
            rear,
            self.note.toPlainText(),
        )
