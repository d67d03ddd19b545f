"""The form that logs a cut: what came off, and what the scale says now."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Remark, in_column, in_row, label
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.fields import TapeEdit
from taperlab.model.cut_log import CutStep
from taperlab.shop.cut_back.staging import Stage
from taperlab.shop.cut_back.study import Study
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence


class LogForm(QWidget):
    """Four fields, one after the other by Enter; the last Enter logs the cut.

    logged(): a cut was logged.
    """

    logged = Signal()

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self.case = case
        settings = case.place.settings
        self.front_cut = TapeEdit(LENGTH, settings, name=tr("Cut off the fly end"), optional=True)
        self.rear_cut = TapeEdit(LENGTH, settings, name=tr("Cut off the rod end"), optional=True)
        self.head_reading = QuantityEdit(
            WEIGHT, settings, name=tr("The head now weighs"), optional=True, check=self._head_slip
        )
        self.offcut_reading = QuantityEdit(
            WEIGHT, settings, name=tr("The offcut weighs"), optional=True, check=self._offcut_slip
        )
        self.head_reading.set_help(tr("Before anything is added for a new loop. Enter goes on."))
        self.offcut_reading.set_help(tr("All that came off in this step. Enter logs the cut."))
        self.fields = (self.front_cut, self.rear_cut, self.head_reading, self.offcut_reading)
        names = (tr("Off fly end"), tr("Off rod end"), tr("Head weighs"), tr("Offcut weighs"))
        cells = [_cell(name, field) for name, field in zip(names, self.fields, strict=True)]
        self._front_cell, self._rear_cell, *_ = cells
        row = in_row(*((cell, 1) for cell in cells), spacing=6)
        row.setContentsMargins(0, 6, 0, 0)
        self.problem = Remark(points=8.5)
        self.button = QPushButton(tr("Log this cut"))
        self.button.setDefault(True)
        self.button.clicked.connect(self.log)
        buttons = in_row(self.button, None)
        buttons.setContentsMargins(0, 4, 0, 0)
        in_column(row, self.problem, buttons, spacing=3, of=self)
        for field in self.fields:
            field.sentence_changed.connect(self.problem.say)
            field.returnPressed.connect(self._entered)

    def show_stage(self, study: Study, stage: Stage | None) -> None:
        """Show the cut that is due, or with None a weighing."""
        self._front_cell.setVisible(study.terms.cuts_front)
        self._rear_cell.setVisible(study.terms.cuts_rear)
        self.front_cut.set_value(stage.front or None if stage else None)
        self.rear_cut.set_value(stage.rear or None if stage else None)
        self.button.setText(tr("Log this cut") if stage else tr("Log the weighing"))
        for field in (self.head_reading, self.offcut_reading):
            field.read_again()

    def clear(self) -> None:
        """Forget what was typed of the scale."""
        self.head_reading.set_value(None)
        self.offcut_reading.set_value(None)
        self.problem.say("")

    def log(self) -> None:
        """Log the cut and its weighings."""
        if not self.case.is_settled:
            return  # the cut that is shown was logged a moment ago
        shown = [field for field in self.fields if field.isVisible()]
        for field in shown:
            if field.sentence:
                field.setFocus(Qt.FocusReason.OtherFocusReason)
                field.selectAll()
                return
        front, rear, head, offcut = (
            field.value() if field in shown else None for field in self.fields
        )
        outcome = self.case.do(edits.record_cut, CutStep(front or 0.0, rear or 0.0, head, offcut))
        if outcome:
            self.logged.emit()
        else:
            self.problem.say(self.case.place.read(outcome.refused))

    def _entered(self) -> None:
        """Go on to the next field, or log what the last one completes."""
        shown = [field for field in self.fields if field.isVisible()]
        at = next((i for i, field in enumerate(shown) if field is self.sender()), len(shown))
        if at >= len(shown) - 1:
            self.log()
        elif not shown[at].sentence:
            shown[at + 1].setFocus(Qt.FocusReason.TabFocusReason)
            shown[at + 1].selectAll()

    def _head_slip(self, value: float) -> Sentence | None:
        return self.case.study.slip_of_head(value) if self.case.study else None

    def _offcut_slip(self, value: float) -> Sentence | None:
        return self.case.study.slip_of_offcut(value) if self.case.study else None


def _cell(name: str, field: QuantityEdit) -> QWidget:
    """A field below its name."""
    words = label(name, points=8.0, role="soft")
    words.setBuddy(field)
    field.setPlaceholderText("–")
    field.setMinimumWidth(62)
    cell = QWidget()
    in_column(words, field, spacing=2, of=cell)
    return cell
