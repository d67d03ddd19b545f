"""Name, design, instruments, loops and note of a measurement, in one dialog."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QSizePolicy, QWidget

from taperlab.edits import measure as edits
from taperlab.edits.edited import Edited
from taperlab.edits.together import Step, together
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.pages.measure.begin import fill_designs
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.state.settings import Settings
from taperlab.model.bench import Bench
from taperlab.model.line import Loop, LoopKind
from taperlab.units.kinds import FINE_LENGTH, SHORT_LENGTH, SMALL_WEIGHT
from taperlab.units.sentence import Sentence


class InstrumentsDialog(FormDialog):
    """The smallest step of each instrument, and how far one diameter scatters."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget) -> None:
        super().__init__("Instruments", parent)
        self._desk = desk
        measurement = desk.measurement
        assert measurement is not None
        now = measurement.instruments
        self.scale = QuantityEdit(SMALL_WEIGHT, settings, name="Scale step")
        self.tape = QuantityEdit(SHORT_LENGTH, settings, name="Tape step")
        self.micrometer = QuantityEdit(FINE_LENGTH, settings, name="Micrometer step")
        self.scatter = QuantityEdit(FINE_LENGTH, settings, name="Scatter of a diameter")
        for edit, value, text, help_text in (
            (self.scale, now.scale, "Scale step", "The smallest step that the scale shows."),
            (self.tape, now.tape, "Tape step", "The smallest step that you read on the tape."),
            (
                self.micrometer,
                now.micrometer,
                "Micrometer step",
                "The smallest step that the micrometer or caliper shows.",
            ),
            (
                self.scatter,
                now.scatter,
                "Scatter of a diameter",
                "How far one reading strays at the same place (one standard deviation): the "
                "coating is soft and not quite round. Read one place ten times to find it.",
            ),
        ):
            edit.set_value(value)
            edit.set_help(help_text)
            edit.sentence_changed.connect(self.problem)
            self.form.addRow(text, edit)
        self.finish_layout()

    def try_accept(self) -> None:
        """Take the steps over."""
        values = [edit.require() for edit in (self.scale, self.tape, self.micrometer, self.scatter)]
        if any(value is None for value in values):
            return
        sentence = self._desk.apply(edits.set_instruments, *values)
        self.problem(sentence)
        if not sentence:
            self.accept()


class DetailsDialog(FormDialog):
    """Name, design, loops and note."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget) -> None:
        super().__init__("About this measurement", parent)
        self._desk = desk
        measurement = desk.measurement
        assert measurement is not None
        self.setMinimumWidth(440)
        self.name = QLineEdit(measurement.name)
        self.name.setAccessibleName("Name")
        self.design = QComboBox()
        self.design.setAccessibleName("Design it is compared with")
        self.design.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        fill_designs(self.design, desk.document.bench.lines, measurement.line)
        self.form.addRow("Name", self.name)
        self.form.addRow("Design", self.design)
        self.loops: list[tuple[QComboBox, QuantityEdit, QuantityEdit, Loop]] = []
        for end, loop in (("Front", measurement.front_loop), ("Rear", measurement.rear_loop)):
            kind = QComboBox()
            kind.setAccessibleName(f"{end} loop")
            for each in LoopKind:
                kind.addItem(str(each)[0].upper() + str(each)[1:], each)
            kind.setCurrentIndex(list(LoopKind).index(loop.kind))
            fold = QuantityEdit(SHORT_LENGTH, settings, name=f"{end} loop, folded back")
            mass = QuantityEdit(SMALL_WEIGHT, settings, name=f"{end} loop, weight added")
            fold.set_value(loop.fold)
            mass.set_value(loop.mass)
            for edit in (fold, mass):
                edit.sentence_changed.connect(self.problem)
            self.form.addRow(f"{end} loop", kind)
            self.form.addRow("   folded back", fold)
            self.form.addRow("   weight added", mass)
            self.loops.append((kind, fold, mass, loop))
        self.note = QPlainTextEdit(measurement.note)
        self.note.setAccessibleName("Note")
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(60)
        self.form.addRow("Note", self.note)
        self.finish_layout()

    def try_accept(self) -> None:
        """Take it all over in one step."""
        made = []
        for kind, fold, mass, _ in self.loops:
            values = fold.require(), mass.require()
            if None in values:
                return
            chosen = kind.currentData()
            none = chosen is LoopKind.NONE
            made.append(Loop(LoopKind(chosen), *((0.0, 0.0) if none else values)))
        sentence = self._desk.apply(
            _describe,
            self.name.text(),
            self.design.currentData(),
            made[0],
            made[1],
            self.note.toPlainText(),
        )
        self.problem(sentence)
        if not sentence:
            self.accept()


def _describe(
    bench: Bench, key: str, name: str, line: str | None, front: Loop, rear: Loop, note: str
) -> Edited:
    steps: list[Step] = [
        (edits.rename_measurement, (key, name)),
        (edits.set_design, (key, line)),
        (edits.set_loops, (key, front, rear)),
        (edits.set_measurement_note, (key, note)),
    ]
    return together(bench, Sentence("Describe measurement"), steps, ())
