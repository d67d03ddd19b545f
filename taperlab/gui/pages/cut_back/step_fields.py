"""The fields that each step is typed into, for the page and, larger, for the bench view."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.tape_edit import MarkEdit
from taperlab.gui.kit.widgets import in_column, in_row, label, show_only_if
from taperlab.gui.pages.cut_back.flow import CutFlow, Typed
from taperlab.gui.state.document import Outcome
from taperlab.model.cut_log import CutEnd
from taperlab.shop.cut_back.way import Act
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence


class StepFields(QWidget):
    """Fields for the step that is due; Enter goes from one to the next, the last Enter does it.

    problem(str): what is wrong, or nothing. one_by_one: only the field that is due is shown, as in
    the bench view.
    """

    problem = Signal(str)

    def __init__(self, flow: CutFlow, *, points: float = 9.0, one_by_one: bool = False) -> None:
        super().__init__()
        self.flow = flow
        self._one_by_one = one_by_one
        self._act: Act | None = None
        self._end: CutEnd | None = None
        settings = flow.case.place.settings
        self.length = MarkEdit(LENGTH, settings, name=tr("Cut off"))
        first, last = tr("The head on the scale, loops on"), tr("The finished head on the scale")
        self.first = QuantityEdit(WEIGHT, settings, name=first, optional=True)
        self.head = QuantityEdit(
            WEIGHT, settings, name=tr("The head now weighs"), optional=True, check=self._head_slip
        )
        self.offcut = QuantityEdit(
            WEIGHT, settings, name=tr("The offcut weighs"), optional=True, check=self._offcut_slip
        )
        self.last = QuantityEdit(WEIGHT, settings, name=last, optional=True)
        self.first.set_help(tr("The head alone, dry, its loops on."))
        self.length.set_help(tr("What really came off, if the blade went elsewhere."))
        self.head.set_help(tr("Before anything is added for a new loop. Enter goes on."))
        self.offcut.set_help(tr("All that came off since the last weighing."))
        self.last.set_help(tr("Its new loops on."))
        self._of = {
            Act.WEIGH_FIRST: (self.first,),
            Act.CUT: (self.length,),
            Act.WEIGH: (self.head, self.offcut),
            Act.WEIGH_LAST: (self.last,),
        }
        self._cells: dict[QuantityEdit, QWidget] = {}
        self._names = {
            self.first: label(tr("Head, loops on")),
            self.length: label(""),
            self.head: label(tr("Head, no new loops")),
            self.offcut: label(tr("Offcut")),
            self.last: label(tr("Head, new loops on")),
        }
        self._row = in_row(spacing=12, of=self)
        face = theming.font(points)
        for field, name in self._names.items():
            field.setFont(face)
            if one_by_one:
                field.setAlignment(Qt.AlignmentFlag.AlignCenter)
            else:
                field.setPlaceholderText("–")
            field.keep_width(round(face.pointSizeF() * (7.5 if one_by_one else 12.5)))
            field.sentence_changed.connect(self.problem)
            if not one_by_one:
                # There Enter goes on to the button "Next": both would log head without offcut.
                field.returnPressed.connect(self._entered)
            name.setBuddy(field)
            show_only_if(name, not one_by_one)
            self._cells[field] = cell = QWidget()
            if field is self.length:
                self._length_cell = in_row(name, field, spacing=10, of=cell)
            else:
                in_column(name, field, spacing=2, of=cell)
            self._row.addWidget(cell)
            field.textEdited.connect(self._hold)
        self._asking = self.head
        flow.logged.connect(self.give_back)
        flow.held.connect(self._show_held)

    def use_narrow(self, narrow: bool) -> None:
        """Put names over fields, and fields one below the other, where there is less room."""
        across, down = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._length_cell.setDirection(down if narrow else across)
        self._length_cell.setSpacing(2 if narrow else 10)
        self._row.setDirection(down if narrow else across)

    @property
    def shown(self) -> tuple[QuantityEdit, ...]:
        """The fields of the step that is due."""
        return self._of.get(self._act, ()) if self._act else ()

    @property
    def in_turn(self) -> QuantityEdit | None:
        """The field to type into next."""
        shown = self.shown
        if len(shown) > 1 and self._one_by_one:
            return self._asking
        return next((each for each in shown if each.value() is None), shown[0] if shown else None)

    def show_step(self) -> None:
        """Show the fields of the step that is due."""
        due = self.flow.due
        if due.act is not self._act:
            self._asking = self.head
        self._act = due.act
        if due.cut is not None:
            ends = {
                CutEnd.FRONT: tr("I cut off the fly end"),
                CutEnd.REAR: tr("I cut off the rod end"),
            }
            self._names[self.length].setText(ends[due.cut.end])
            self.length.setAccessibleName(ends[due.cut.end])
            if due.cut.step != self.length.step or due.cut.end is not self._end:
                self.length.step, self._end = due.cut.step, due.cut.end
                self._show_length()
        self._show_held()
        waits_for_offcut = due.offcut is not None
        self._show_cells(waits_for_offcut)

    def give_back(self) -> None:
        """Put what was taken out of the log back into its fields; empty those of other steps."""
        for field, value in self._held():
            if field.value() != value or field.sentence:
                field.set_value(value)
        self._show_length()
        self.problem.emit("")

    def _show_held(self) -> None:
        """Show what is typed, here or in the other view; what is being mended stays as it is."""
        for field, value in self._held():
            if field.value() != value and not field.hasFocus():
                field.set_value(value)
        mended = self.length.sentence or (self.length.hasFocus() and self.length.isModified())
        if not mended:
            self._show_length()

    def _show_length(self) -> None:
        """Show what was cut off, as typed or else as it is to be marked."""
        cut = self.flow.due.cut
        if cut is not None:
            self.length.set_value(self.flow.typed.cuts.get(cut.end, cut.mark))

    def _held(self) -> tuple[tuple[QuantityEdit, float | None], ...]:
        typed = self.flow.typed
        return (
            (self.first, typed.first),
            (self.head, typed.head),
            (self.offcut, typed.offcut),
            (self.last, typed.last),
        )

    def _hold(self) -> None:
        """Have the flow hold what is typed, so that it outlives this view."""
        cuts = dict(self.flow.typed.cuts)
        if self.sender() is self.length and self._end is not None:
            cuts.pop(self._end, None)
            length = self.length.value()
            if length is not None:
                cuts[self._end] = length
        readings = (self.first, self.head, self.offcut, self.last)
        first, head, offcut, last = (field.value() for field in readings)
        self.flow.hold(Typed(first=first, cuts=cuts, head=head, offcut=offcut, last=last))

    def _show_cells(self, with_offcut: bool) -> None:
        for field in self._names:
            shown = field in self.shown and (field is not self.offcut or with_offcut)
            if shown and self._one_by_one:
                shown = field is self.in_turn
            self._cells[field].setVisible(shown)

    def take_keys(self) -> bool:
        """Put the keys where the next reading is typed; whether there is such a place."""
        field = self.in_turn
        if field is None or not field.isVisible():
            return False
        field.setFocus(Qt.FocusReason.TabFocusReason)
        field.selectAll()
        return True

    def back(self) -> bool:
        """Go back to the field before, if there is one here; whether there was."""
        if self._one_by_one and self._act is Act.WEIGH and self._asking is self.offcut:
            self._asking = self.head
            self._show_cells(True)
            self.take_keys()
            return True
        return False

    def go_on(self) -> None:
        """Do the step with what is typed, or go to the field that is missing."""
        for field in self.shown:
            if field.isVisible() and field.sentence:
                field.setFocus(Qt.FocusReason.OtherFocusReason)
                field.selectAll()
                return
        if self._needs_offcut():
            self._asking = self.offcut
            self._show_cells(True)
            self.take_keys()
            return
        said = self._do()
        if said is not None and not said:
            self.problem.emit(self.flow.case.place.read(said.refused))

    def _needs_offcut(self) -> bool:
        """Whether the head was typed in the bench view and the offcut is still to come."""
        due = self.flow.due
        return (
            self._one_by_one
            and due.act is Act.WEIGH
            and due.offcut is not None
            and self._asking is self.head
        )

    def _do(self) -> Outcome | None:
        act, flow = self.flow.due.act, self.flow
        if act is Act.TELL_ENDS:
            return flow.tell_ends()
        if act is Act.MAKE_LOOPS:
            flow.loops_are_made()
            return None
        if act is Act.WEIGH:
            offcut = self.offcut.value() if flow.due.offcut is not None else None
            if self.head.value() is None and offcut is None:
                self._missing(self.head)
                return None
            return flow.weigh(self.head.value(), offcut)
        field = self.shown[0] if self.shown else None
        value = field.value() if field else None
        if field is None:
            return None
        if value is None:
            self._missing(field)
            return None
        if act is Act.CUT:
            return flow.cut(value)
        return flow.weigh_first(value) if act is Act.WEIGH_FIRST else flow.weigh_last(value)

    def _missing(self, field: QuantityEdit) -> None:
        said = Sentence("{name} is missing.", name=field.accessibleName())
        self.problem.emit(self.flow.case.place.read(said))
        field.setFocus(Qt.FocusReason.OtherFocusReason)

    def _entered(self) -> None:
        """Go on to the next field, or do the step with what the last one completes."""
        shown = [field for field in self.shown if field.isVisible()]
        at = next((i for i, field in enumerate(shown) if field is self.sender()), len(shown))
        if at >= len(shown) - 1:
            self.go_on()
        elif not shown[at].sentence:
            shown[at + 1].setFocus(Qt.FocusReason.TabFocusReason)
            shown[at + 1].selectAll()

    def _head_slip(self, value: float) -> Sentence | None:
        study = self.flow.study
        return study.slip_of_head(value) if study else None

    def _offcut_slip(self, value: float) -> Sentence | None:
        study = self.flow.study
        return study.slip_of_offcut(value) if study else None
