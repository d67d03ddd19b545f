"""Putting right what was logged of a cut."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QLineEdit, QPushButton

from taperlab.edits import cut_back as edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.tape_edit import TapeEdit
from taperlab.model.cut_log import CutBack, Weighing
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Weight


class StepDialog(FormDialog):
    """What was cut and weighed in one step of the log, and a note on it."""

    def __init__(self, place: Workplace, job: CutBack, index: int) -> None:
        super().__init__(place.read(Sentence("Cut {number}", number=index + 1)), place)
        self._job, self._index = job, index
        step, settings = job.steps[index], place.settings
        self.front = TapeEdit(LENGTH, settings, name=tr("Cut off the fly end"), optional=True)
        self.rear = TapeEdit(LENGTH, settings, name=tr("Cut off the rod end"), optional=True)
        self.head = QuantityEdit(WEIGHT, settings, name=tr("Head weighed"), optional=True)
        self.offcut = QuantityEdit(WEIGHT, settings, name=tr("Offcut weighed"), optional=True)
        self.note = QLineEdit(step.note)
        self.note.setAccessibleName(tr("Note"))
        for field, value, empty in (
            (self.front, step.front or None, tr("no cut")),
            (self.rear, step.rear or None, tr("no cut")),
            (self.head, step.head, tr("not weighed")),
            (self.offcut, step.offcut, tr("not weighed")),
        ):
            field.set_value(value)
            field.setPlaceholderText(empty)
            field.sentence_changed.connect(self.problem)
            self.form.addRow(field.accessibleName(), field)
        self.form.addRow(tr("Note"), self.note)
        for what, dropped in (
            (Weighing.HEAD, step.dropped_head),
            (Weighing.OFFCUT, step.dropped_offcut),
        ):
            _offer_again(self, job, what, index, dropped)
        if index == len(job.steps) - 1:
            take_back = QPushButton(tr("Take it out of the log"))
            take_back.setAutoDefault(False)
            take_back.clicked.connect(self._take_back)
            self.form.addRow("", take_back)
        self.finish_layout()

    def try_accept(self) -> None:
        """Log it so, if all reads well."""
        fields = (self.front, self.rear, self.head, self.offcut)
        for field in fields:
            if field.sentence:
                field.require()
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
        self.finish_with(edits.change_step, self._job.key, self._index, step)

    def _take_back(self) -> None:
        self.finish_with(edits.remove_last_step, self._job.key)


class FirstDialog(FormDialog):
    """What the head weighed before the first cut."""

    def __init__(self, place: Workplace, job: CutBack) -> None:
        super().__init__(place.read(Sentence("The head before the first cut")), place)
        self._job = job
        name = tr("Head weighed, loops on")
        self.reading = QuantityEdit(WEIGHT, place.settings, name=name, optional=True)
        self.reading.set_value(job.first_reading)
        self.reading.setPlaceholderText(tr("not weighed"))
        self.reading.sentence_changed.connect(self.problem)
        self.form.addRow(name, self.reading)
        _offer_again(self, job, Weighing.FIRST, 0, job.dropped_first)
        self.finish_layout()

    def try_accept(self) -> None:
        """Note it, if it reads well."""
        if self.reading.sentence:
            self.reading.require()
            return
        self.finish_with(edits.set_first_reading, self._job.key, self.reading.value())


def _offer_again(
    dialog: FormDialog, job: CutBack, what: Weighing, index: int, dropped: float | None
) -> None:
    """A button that takes a reading [kg] again which was dropped, if one was."""
    if dropped is None:
        return
    mass = Weight(dropped)
    if what is Weighing.OFFCUT:
        said = Sentence("Take the offcut’s {mass} again", mass=mass)
    else:
        said = Sentence("Take the head’s {mass} again", mass=mass)
    again = QPushButton(dialog.place.read(said))
    again.setAutoDefault(False)
    again.clicked.connect(
        lambda: dialog.finish_with(edits.take_reading_again, job.key, what, index)
    )
    dialog.form.addRow("", again)
