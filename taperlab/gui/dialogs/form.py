"""What the dialogs share: a form, a sentence for what is wrong, and the buttons."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.edits.edited import Edited
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.reading_order import use_reading_order
from taperlab.gui.kit.widgets import label, without_pictures
from taperlab.gui.state.document import Outcome
from taperlab.units.kinds import Kind

Do = Callable[..., Outcome]
"""Does an edit, given with its arguments, and gives what became of it."""

Field = TypeVar("Field", bound=QWidget)


class FormDialog(QDialog):
    """A dialog with a heading, a form and buttons. It is deleted when it closes.

    accept: the verb on the button that takes it all over; the platform's OK if empty. do: does
    an edit; the workplace does unless somebody else is named. What is wrong with a field is
    said below the form.
    """

    def __init__(
        self, title: str, place: Workplace, *, accept: str = "", do: Do | None = None
    ) -> None:
        super().__init__(place.host.parent_widget)
        self.place = place
        self.quantities: list[QuantityEdit] = []
        self._doer = do or place.do
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(20, 18, 20, 16)
        self.column.setSpacing(12)
        self.column.addWidget(label(title, points=13.0, weight=QFont.Weight.DemiBold))
        self.form = QFormLayout()
        self.form.setHorizontalSpacing(14)
        self.form.setVerticalSpacing(9)
        self.form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self.form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        self.column.addLayout(self.form)
        self._problem = label("", role="bad", wrap=True)
        self._problem.setObjectName("problem")
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.accept_button = (
            self.buttons.addButton(accept, QDialogButtonBox.ButtonRole.AcceptRole)
            if accept
            else self.buttons.addButton(QDialogButtonBox.StandardButton.Ok)
        )
        without_pictures(self.buttons)
        self.accept_button.setDefault(True)
        self.buttons.accepted.connect(self.try_accept)
        self.buttons.rejected.connect(self.reject)

    def event(self, event: QEvent) -> bool:
        """Grow where a sentence takes more lines than it did: Qt alone would squeeze the rows."""
        done = super().event(event)
        if event.type() is QEvent.Type.LayoutRequest:
            needed = self.column.totalHeightForWidth(self.width())
            if needed > self.height():
                self.resize(self.width(), needed)
        return done

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Go as the eye reads, also to what was added behind the buttons."""
        # With its proxy Qt would go from the fields to the default button, past those before it.
        self.buttons.setFocusProxy(None)  # type: ignore[arg-type]  # None takes it away
        use_reading_order(self)
        return super().focusNextPrevChild(forward)

    def add_row(self, name: str, field: Field) -> Field:
        """Put a field in the form; its row's name is read aloud where it has none of its own."""
        if not field.accessibleName():
            field.setAccessibleName(name)
        self.form.addRow(name, field)
        return field

    def add_field(
        self, name: str, kind: Kind, value: float | None, about: str = "", **options: Any
    ) -> QuantityEdit:
        """Put a quantity [SI] in the form.

        about: what it means. options: as :class:`QuantityEdit` takes them.
        """
        field = QuantityEdit(kind, self.place.settings, name=name, **options)
        field.set_value(value)
        if about:
            field.set_help(about)
        self.watch(field)
        return self.add_row(name, field)

    def watch(self, *fields: QuantityEdit) -> None:
        """Say what is wrong with fields, and let none be accepted that is."""
        for field in fields:
            field.sentence_changed.connect(self.judge)
            self.quantities.append(field)

    def judge(self) -> None:
        """Say what is wrong with the fields, the first thing only."""
        found = (
            field.sentence for field in self.quantities if field.isEnabled() and field.sentence
        )
        self.problem(next(found, ""))

    def is_filled_in(self) -> bool:
        """Whether every field has what it must have; goes to the first that has not."""
        for field in self.quantities:
            if field.isEnabled():
                field.require()
                if field.bad:
                    return False
        return True

    def finish_layout(self) -> None:
        """Put the sentence and the buttons below whatever the dialog has added."""
        keeps_its_room = self._problem.sizePolicy()
        keeps_its_room.setRetainSizeWhenHidden(True)  # or all rows would move with each sentence
        self._problem.setSizePolicy(keeps_its_room)
        self.column.addWidget(self._problem)
        self.column.addWidget(self.buttons)
        self._problem.hide()
        if self.minimumWidth():
            # Qt takes a width that was set for wide enough, and squeezes the names of the rows.
            self.setMinimumWidth(max(self.minimumWidth(), self.column.minimumSize().width()))
        self._begin_with_a_field()

    def _begin_with_a_field(self) -> None:
        """Put the keys where something is to be typed; Qt would put them on the default button."""
        rows = (
            self.form.itemAt(row, QFormLayout.ItemRole.FieldRole)
            for row in range(self.form.rowCount())
        )
        fields = (item.widget() for item in rows if item is not None)
        every = (
            each
            for field in (*fields, self)
            if field is not None
            for each in (field, *field.findChildren(QWidget))
        )
        for each in every:
            takes = each.focusPolicy() & Qt.FocusPolicy.TabFocus and not each.isHidden()
            if takes and not isinstance(each, QPushButton):
                each.setFocus(Qt.FocusReason.TabFocusReason)
                return

    def problem(self, sentence: str) -> None:
        """Show what is wrong, or nothing."""
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))

    def finish_with(self, edit: Callable[..., Edited], *arguments: Any, **options: Any) -> None:
        """Do an edit and close, or say why it is refused."""
        outcome = self._doer(edit, *arguments, **options)
        self.problem(self.place.read(outcome.refused))
        if outcome:
            self.accept()

    def try_accept(self) -> None:
        """Accept unless a field is wrong; dialogs override this."""
        self.accept()


def note_box(note: str, height: int = 0) -> QPlainTextEdit:
    """A note of several lines, as high as there is room or so many pixels."""
    made = QPlainTextEdit(note)
    made.setTabChangesFocus(True)
    if height:
        made.setFixedHeight(height)
    return made
