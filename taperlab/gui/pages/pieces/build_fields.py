"""The fields that a step of a build is typed into, for the tab and, larger, for the bench view."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.tape_edit import TapeEdit
from taperlab.gui.kit.widgets import in_column, in_row, label
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.gui.state.document import Outcome
from taperlab.shop.pieces.progress import TAPE, Act
from taperlab.shop.pieces.scale_words import field_name
from taperlab.shop.pieces.to_weigh import length_to_weigh
from taperlab.units.kinds import LENGTH, TAKEN_OFF, WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

MILLIMETRE = 1e-3
"""The step of a metric tape [m]."""

ALL = ("length", "mass", "trim")
"""The names of the fields."""


class BuildFields(QWidget):
    """Fields for the step that is due; Enter goes from one to the next, the last Enter does it.

    problem(str): what is wrong, or nothing. large: as in the bench view, without names. only: names
    of the fields that are ever shown here; all unless told.
    """

    problem = Signal(str)

    def __init__(
        self,
        flow: BuildFlow,
        *,
        points: float = 11.0,
        large: bool = False,
        only: Collection[str] = ALL,
    ) -> None:
        super().__init__()
        self.flow = flow
        self._large = large
        self._only = only
        self._step = flow.step
        settings = flow.case.place.settings
        self.length = TapeEdit(LENGTH, settings, name=tr("Length that is weighed"), optional=True)
        self.mass = QuantityEdit(WEIGHT, settings, name=tr("The scale reads"), optional=True)
        self.trim = TapeEdit(TAKEN_OFF, settings, name=tr("What came off"), optional=True)
        self.trim.set_help(tr("What really came off, if the blade went elsewhere."))
        self._names: dict[QuantityEdit, QLabel] = {
            self.length: label(tr("Length that is weighed")),
            self.mass: label(tr("The scale reads")),
            self.trim: label(tr("What came off")),
        }
        self._keys = {self.length: "length", self.mass: "mass", self.trim: "trim"}
        self._cells: dict[QuantityEdit, QWidget] = {}
        row = in_row(spacing=12, of=self)
        face = theming.font(points)
        for field, name in self._names.items():
            field.setFont(face)
            field.keep_width(round(face.pointSizeF() * (7.5 if large else 11.0)))
            if large:
                field.setAlignment(Qt.AlignmentFlag.AlignCenter)
            else:
                field.returnPressed.connect(partial(self._entered, field))
            field.sentence_changed.connect(self.problem)
            field.textEdited.connect(partial(self._hold, field))
            name.setBuddy(field)
            if large:
                name.hide()
            self._cells[field] = cell = QWidget()
            in_column(name, field, spacing=2, of=cell)
            row.addWidget(cell)
        row.addStretch(1)
        flow.held.connect(self.show_step)

    @property
    def shown(self) -> tuple[QuantityEdit, ...]:
        """The fields of the step that is due."""
        return tuple(each for each in self._due() if self._keys[each] in self._only)

    def _due(self) -> tuple[QuantityEdit, ...]:
        act = self.flow.act
        if act is Act.WEIGH_STOCK:
            # From two metres only the reading is typed; the view says how much is weighed.
            return (self.mass,) if self._large else (self.length, self.mass)
        if act in (Act.JOIN, Act.WEIGH_LAST):
            return (self.mass,)
        stopped = self.flow.trim is None or bool(self.flow.trim.stop)
        return (self.trim,) if act in (Act.TRIM, Act.TRIM_REAR) and not stopped else ()

    def show_step(self) -> None:
        """Show the fields of the step that is due, with what was typed into them."""
        progress = self.flow.progress
        if progress is None:
            return
        if self.flow.act in (Act.JOIN, Act.WEIGH_LAST):
            name = self.flow.case.place.read(field_name(progress, self.flow.after))
        else:
            name = tr("The scale reads")
        self._names[self.mass].setText(name)
        self.mass.setAccessibleName(name)
        shown, same = self.shown, self.flow.step == self._step
        self._step = self.flow.step
        for field, cell in self._cells.items():
            cell.setVisible(field in shown)
            is_typed = same and field.hasFocus() and field.isModified() and field in shown
            value = self._value(field)
            if not is_typed and (field.value() != value or field.sentence):
                field.set_value(value)

    def _value(self, field: QuantityEdit) -> float | None:
        """What stands in a field: as typed, or else what is usual."""
        typed = self.flow.typed(self._keys[field])
        if typed is not None:
            return typed
        due = self.flow.progress.due if self.flow.progress is not None else None
        if field is self.length and due is not None and due.stock is not None:
            return length_to_weigh(due.stock, self.flow.case.system)
        if field is self.trim and self.flow.trim is not None:
            # As it is written: the blade goes by the tape.
            step = TAPE if self.flow.case.system is System.US else MILLIMETRE
            return round(self.flow.trim.length / step) * step
        return None

    def _hold(self, field: QuantityEdit, _text: str) -> None:
        """Have the flow hold what is typed, so that it outlives this view."""
        self.flow.hold(self._keys[field], field.value())

    def take_keys(self) -> bool:
        """Put the keys where the work goes on; whether there is such a field."""
        shown = self.shown
        if not shown:
            return False
        field = next((each for each in shown if each.value() is None), shown[-1])
        field.setFocus(Qt.FocusReason.TabFocusReason)
        field.selectAll()
        return True

    def _entered(self, field: QuantityEdit) -> None:
        """Go on to the next field, or do the step."""
        shown = self.shown
        at = shown.index(field) if field in shown else len(shown)
        if at >= len(shown) - 1:
            self.go_on()
        elif not field.sentence:
            shown[at + 1].setFocus(Qt.FocusReason.TabFocusReason)
            shown[at + 1].selectAll()

    def go_on(self) -> None:
        """Do the step that is due with what stands in the fields, or say what is missing."""
        shown = self.shown
        for field in shown:
            if field.sentence:
                self.problem.emit(field.sentence)
                field.setFocus(Qt.FocusReason.OtherFocusReason)
                return
            if field.value() is None:
                said = Sentence("{name} is missing.", name=field.accessibleName())
                self.problem.emit(self.flow.case.place.read(said))
                field.setFocus(Qt.FocusReason.OtherFocusReason)
                return
        self.problem.emit("")
        outcome = self._done()
        if outcome is not None and not outcome:
            self.problem.emit(self.flow.case.place.read(outcome.refused))

    def _done(self) -> Outcome | None:
        flow, act = self.flow, self.flow.act
        mass, trim = self.mass.value(), self.trim.value()
        length = self.length.value()
        if act is Act.WEIGH_STOCK and mass is not None and length is not None:
            return flow.weigh_stock(length, mass)
        if act in (Act.JOIN, Act.WEIGH_LAST) and mass is not None:
            return flow.read(mass)
        if act in (Act.TRIM, Act.TRIM_REAR) and trim is not None:
            return flow.trim_off(trim)
        if act is Act.CUT:
            return flow.cut()
        return flow.make_loops() if act is Act.MAKE_LOOPS else None
