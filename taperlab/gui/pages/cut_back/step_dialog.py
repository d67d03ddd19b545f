"""Putting right what was logged of a cut."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QLineEdit, QPushButton, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.pages.cut_back.fields import TapeEdit
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.model.cut_log import CutBack
from taperlab.units.kinds import WEIGHT


class StepDialog(FormDialog):
    """What was cut and weighed in one step of the log, and a note on it."""

    def __init__(
        self,
        document: Document,
        settings: Settings,
        job: CutBack,
        index: int,
        parent: QWidget | None,
    ) -> None:
        super().__init__(f"Cut {index + 1}", parent)
        self._document, self._job, self._index = document, job, index
        step = job.steps[index]
        self.front = TapeEdit(settings, name="Cut off the front", optional=True)
        self.rear = TapeEdit(settings, name="Cut off the rear", optional=True)
        self.head = QuantityEdit(WEIGHT, settings, name="The head weighed", optional=True)
        self.offcut = QuantityEdit(WEIGHT, settings, name="The offcut weighed", optional=True)
        self.note = QLineEdit(step.note)
        self.note.setAccessibleName("Note")
        for field, value, name, empty in (
            (self.front, step.front or None, "Cut off the front", "no cut"),
            (self.rear, step.rear or None, "Cut off the rear", "no cut"),
            (self.head, step.head, "Head weighed", "not weighed"),
            (self.offcut, step.offcut, "Offcut weighed", "not weighed"),
        ):
            field.set_value(value)
            field.setPlaceholderText(empty)
            field.sentence_changed.connect(self.problem)
            self.form.addRow(name, field)
        self.form.addRow("Note", self.note)
        if index == len(job.steps) - 1:
            take_back = QPushButton("Take it out of the log")
            take_back.setAutoDefault(False)
            take_back.clicked.connect(self._take_back)
            self.form.addRow("", take_back)
        self.finish_layout()

    def try_accept(self) -> None:
        """Log it so, if all reads well."""
        fields = (self.front, self.rear, self.head, self.offcut)
        if any(field.sentence for field in fields):
            next(field for field in fields if field.sentence).require()
            return
        front, rear, head, offcut = (field.value() for field in fields)
        step = replace(
            self._job.steps[self._index],
            front=front or 0.0,
            rear=rear or 0.0,
            head=head,
            offcut=offcut,
            note=self.note.text().strip(),
        )
        self._do(edits.change_step, self._index, step)

    def _take_back(self) -> None:
        self._do(edits.remove_last_step)

    def _do(self, edit: object, *args: object) -> None:
        done = self._document.apply(edit, self._job.key, *args)
        self.problem(str(done.refused))
        if done:
            self.accept()
