"""Small dialogs of the table: where to split, what is inside, how two rows meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import label
from taperlab.gui.state.settings import Settings
from taperlab.model.line import NO_LOOP, Joint, JointKind
from taperlab.model.segment import Segment
from taperlab.physics import frustum, solve
from taperlab.units import kinds
from taperlab.units.show import show

_CORE_DENSITY = 1140.0
"""Nylon, the usual core [kg/m^3]; only a start for the field."""


class SmallDialog(QDialog):
    """A heading, a form, a sentence for what is wrong, a remark, and two buttons.

    Open it with ``open()`` and listen to ``accepted``. It goes when it is closed.
    """

    def __init__(self, title: str, heading: str, accept: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.form = QFormLayout()
        self.form.setHorizontalSpacing(14)
        self.form.setVerticalSpacing(8)
        self.sentence = label("", points=8.5, role="bad", wrap=True)
        self.remark = label("", points=8.5, role="soft", wrap=True)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.accept_button = self.buttons.addButton(accept, QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.accepted.connect(self.try_accept)
        self.buttons.rejected.connect(self.reject)
        body = QVBoxLayout(self)
        body.setContentsMargins(18, 16, 18, 14)
        body.setSpacing(10)
        body.addWidget(label(heading, points=10.0, wrap=True))
        body.addLayout(self.form)
        body.addWidget(self.remark)
        body.addWidget(self.sentence)
        body.addWidget(self.buttons)
        self.setMinimumWidth(380)
        self.sentence.hide()
        self.remark.hide()
        self._fields: list[QuantityEdit] = []

    def add_field(self, text: str, field: QuantityEdit) -> QuantityEdit:
        """Put a quantity in the form; what is wrong with it is said below the form."""
        self.form.addRow(text, field)
        field.sentence_changed.connect(self._say)
        field.value_changed.connect(self.refresh)
        self._fields.append(field)
        return field

    def refresh(self) -> None:
        """Bring the remark up to date."""

    def open(self) -> None:
        """Show it without waiting, with the first field ready to be typed into."""
        fields = [
            self.form.itemAt(row, QFormLayout.ItemRole.FieldRole).widget()
            for row in range(self.form.rowCount())
        ]
        order = [*fields, *self.buttons.buttons()]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)
        for button in self.buttons.buttons():
            button.setAutoDefault(button is self.accept_button)
        self.accept_button.setDefault(True)
        super().open()
        order[0].setFocus()
        if isinstance(order[0], QuantityEdit):
            order[0].selectAll()

    def say_remark(self, text: str) -> None:
        """Say something quietly below the form."""
        self.remark.setText(text)
        self.remark.setVisible(bool(text))

    def try_accept(self) -> None:
        """Accept if every field has what it must have; else go to the first that has not."""
        for field in self._fields:
            if field.isEnabled():
                field.require()
                if field.bad:
                    return
        self.accept()

    def _say(self) -> None:
        found = [field.sentence for field in self._fields if field.isEnabled() and field.sentence]
        self.sentence.setText(found[0] if found else "")
        self.sentence.setVisible(bool(found))


class SplitDialog(SmallDialog):
    """Asks where to split a segment; the middle to begin with."""

    def __init__(self, row: int, segment: Segment, settings: Settings, parent: QWidget) -> None:
        shown = show(segment.length, kinds.LENGTH, settings.system)
        super().__init__(
            "Split a row", f"Row {row + 1}, {segment.part}, {shown} long", "Split", parent
        )
        self.row = row
        self._length = segment.length
        self._settings = settings
        self.distance = QuantityEdit(
            kinds.LENGTH, settings, name="Distance from the front", check=self._check
        )
        self.add_field("Distance from the front", self.distance)
        self.distance.set_value(segment.length / 2.0)
        self.refresh()

    def refresh(self) -> None:
        """Say what both pieces would be."""
        distance = self.distance.value()
        if distance is None:
            self.say_remark("")
            return
        front, rear = (
            show(length, kinds.LENGTH, self._settings.system)
            for length in (distance, self._length - distance)
        )
        self.say_remark(f"Leaves {front} at the front and {rear} behind it.")

    def _check(self, distance: float) -> str | None:
        if distance < self._length:
            return None
        shown = show(self._length, kinds.LENGTH, self._settings.system)
        return f"The row is only {shown} long: type a shorter distance."


class MergeDialog(SmallDialog):
    """Asks before rows are merged that are not one straight taper of one make-up."""

    def __init__(self, rows: Sequence[int], why: str, parent: QWidget) -> None:
        super().__init__("Merge rows", why, "Merge, keeping the weight", parent)
        self.rows = tuple(rows)
        self.say_remark(
            "They can become one straight taper from the first front to the last rear that weighs "
            "as much as they do now. The shape between changes."
        )


class CoreDialog(SmallDialog):
    """Asks for core and coating. removed(): the segment is to be one material again."""

    removed = Signal()

    def __init__(self, row: int, segment: Segment, settings: Settings, parent: QWidget) -> None:
        super().__init__(
            "Core and coating",
            f"Row {row + 1}, {segment.part}: a core inside a coating",
            "Set",
            parent,
        )
        self.row = row
        self._segment = segment
        self._settings = settings
        thinner = min(segment.front_diameter, segment.rear_diameter)
        core = segment.core
        self.diameter = self.add_field(
            "Core diameter",
            QuantityEdit(kinds.DIAMETER, settings, name="Core diameter", check=self._check),
        )
        self.density = self.add_field(
            "Core density", QuantityEdit(kinds.DENSITY, settings, name="Core density")
        )
        self.coating = self.add_field(
            "Coating density",
            QuantityEdit(kinds.DENSITY, settings, name="Coating density", optional=True),
        )
        self.diameter.set_help("Diameter of the core, the same all along the segment.")
        self.density.set_help("Density of the core alone: braided nylon has about 1.14 g/cm³.")
        self.coating.set_help(
            "Density of the coating alone. Left empty, it becomes what keeps the weight."
        )
        self.coating.setPlaceholderText("keeps the weight")
        self.diameter.set_value(core.diameter if core else 0.5 * thinner)
        self.density.set_value(core.density if core else _CORE_DENSITY)
        self.coating.set_value(segment.density if core else None)
        self.remove_button = QPushButton("Remove core")
        self.remove_button.setEnabled(core is not None)
        self.remove_button.setAutoDefault(False)
        self.remove_button.clicked.connect(self._remove)
        self.buttons.addButton(self.remove_button, QDialogButtonBox.ButtonRole.ResetRole)
        self.refresh()

    def refresh(self) -> None:
        """Say the mean density, or the coating density that keeps the weight."""
        self.say_remark(self._remark())

    def _remark(self) -> str:
        diameter, density = self.diameter.value(), self.density.value()
        coating = self.coating.value()
        if diameter is None or density is None or self.coating.bad:
            return ""
        one, system = self._segment, self._settings.system
        shape = (one.length, one.front_diameter, one.rear_diameter)
        if coating is None:
            own = (one.core.diameter, one.core.density) if one.core else (0.0, 0.0)
            mass = float(frustum.mass(*shape, one.density, *own))
            coating = float(solve.density_for_mass(mass, *shape, diameter, density))
            if not coating > 0.0:
                return "No coating is light enough to keep the weight with such a core."
            shown = show(coating, kinds.DENSITY, system)
            return f"A coating of {shown} keeps the weight."
        mass = float(frustum.mass(*shape, coating, diameter, density))
        mean = show(mass / float(frustum.volume(*shape)), kinds.DENSITY, system)
        return f"Mean density {mean}, weight {show(mass, kinds.WEIGHT, system)}."

    def _check(self, diameter: float) -> str | None:
        thinner = min(self._segment.front_diameter, self._segment.rear_diameter)
        if diameter <= thinner:
            return None
        shown = show(thinner, kinds.DIAMETER, self._settings.system)
        return f"The core must fit inside the thinner end, which is {shown}."

    def _remove(self) -> None:
        self.removed.emit()
        self.close()


class JointDialog(SmallDialog):
    """Asks how a row meets the next: kind, overlap, and what the joint adds."""

    def __init__(
        self,
        row: int,
        ahead: Segment,
        behind: Segment,
        joint: Joint,
        settings: Settings,
        parent: QWidget,
    ) -> None:
        super().__init__(
            "Joint",
            f"Between row {row + 1}, {ahead.part}, and row {row + 2}, {behind.part}",
            "Set",
            parent,
        )
        self.row = row
        self._joint = joint
        self.kind = QComboBox()
        self.kind.setAccessibleName("Kind of joint")
        for kind in JointKind:
            self.kind.addItem(str(kind).capitalize(), kind)
        self.kind.setCurrentIndex(list(JointKind).index(joint.kind))
        self.form.addRow("Kind", self.kind)
        self.overlap = self.add_field(
            "Overlap",
            QuantityEdit(kinds.SHORT_LENGTH, settings, name="Overlap", optional=True),
        )
        self.mass = self.add_field(
            "Added weight",
            QuantityEdit(kinds.SMALL_WEIGHT, settings, name="Added weight", optional=True),
        )
        self.overlap.set_help(
            "Length over which both ends are bevelled and lie on each other; adds no weight."
        )
        self.mass.set_help("What the joint adds: sleeve, loops, adhesive.")
        self.overlap.set_value(joint.overlap or None)
        self.mass.set_value(joint.mass or None)
        self.kind.currentIndexChanged.connect(self.refresh)
        self.refresh()

    def joint(self) -> Joint:
        """The joint as it is filled in."""
        kind = self.kind.currentData()
        overlap = self.overlap.value() if self.overlap.isEnabled() else None
        mass = self.mass.value() if self.mass.isEnabled() else None
        looped = kind == JointKind.LOOP_TO_LOOP
        return replace(
            self._joint,
            kind=JointKind(kind),
            overlap=overlap or 0.0,
            mass=mass or 0.0,
            loop_ahead=self._joint.loop_ahead if looped else NO_LOOP,
            loop_behind=self._joint.loop_behind if looped else NO_LOOP,
        )

    def refresh(self) -> None:
        """Offer only what a kind of joint has."""
        kind = self.kind.currentData()
        self.overlap.setEnabled(kind == JointKind.LAPPED_WELD)
        self.mass.setEnabled(kind != JointKind.ONE_EXTRUSION)
        self._say()


__all__ = ["CoreDialog", "JointDialog", "MergeDialog", "SmallDialog", "SplitDialog"]
