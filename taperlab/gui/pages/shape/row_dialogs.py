"""Small dialogs of the table: where to split, what is inside, how two rows meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QDialogButtonBox, QPushButton

from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Refused
from taperlab.gui.dialogs.form import Do, FormDialog
from taperlab.gui.dialogs.kept import KeptButton
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.reading_order import stops
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import choice, label
from taperlab.model.line import NO_LOOP, Joint, JointKind, Line
from taperlab.shop.analyse import analyse_line
from taperlab.shop.wording import joint_words
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, SHORT_LENGTH, SMALL_WEIGHT, Kind
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Density, Diameter, Length, Sentence, Weight

_CORE_DENSITY = 1140.0
"""Nylon, the usual core [kg/m^3]; only a start for the field."""


class RowDialog(FormDialog):
    """Asks about one row, or several, and does an edit with the answer.

    about: which rows. Open it with ``open()``.
    """

    def __init__(self, title: str, about: Sentence, accept: str, place: Workplace, do: Do) -> None:
        super().__init__(title, place, accept=accept, do=do)
        self.column.insertWidget(1, label(place.read(about), wrap=True))
        self.remark = label("", points=8.5, role="soft", wrap=True)
        self.column.addWidget(self.remark)
        self.setMinimumWidth(px(400))

    def add_field(
        self, name: str, kind: Kind, value: float | None, about: str = "", **options: Any
    ) -> QuantityEdit:
        """As in other forms, and the remark follows it."""
        field = super().add_field(name, kind, value, about, **options)
        field.value_changed.connect(self.refresh)
        return field

    def open(self) -> None:
        """Show it without waiting, with the first field ready to be typed into."""
        self.finish_layout()
        self.refresh()
        super().open()
        first = next(stops(self), self.accept_button)
        first.setFocus()
        if isinstance(first, QuantityEdit):
            first.selectAll()

    def refresh(self) -> None:
        """Bring the remark up to date."""

    def say_remark(self, sentence: Sentence) -> None:
        """Say something quietly below the form."""
        self.remark.setText(self.place.read(sentence))
        self.remark.setVisible(bool(sentence))


class SplitDialog(RowDialog):
    """Asks where to split a segment; the middle to begin with."""

    def __init__(self, line: Line, row: int, place: Workplace, do: Do) -> None:
        segment = line.segments[row]
        about = Sentence(
            "Segment {row}, {part}, {length} long",
            row=row + 1,
            part=segment.part,
            length=Length(segment.length),
        )
        super().__init__(tr("Split a segment"), about, tr("Split"), place, do)
        self._row, self._length = row, segment.length
        self.distance = self.add_field(
            tr("Distance from its fly end"), LENGTH, segment.length / 2.0, check=self._check
        )

    def refresh(self) -> None:
        """Say what both pieces would be."""
        distance = self.distance.value()
        if distance is None:
            self.say_remark(NOTHING)
            return
        self.say_remark(
            Sentence(
                "Leaves {front} at the fly end and {rear} behind it.",
                front=Length(distance),
                rear=Length(self._length - distance),
            )
        )

    def try_accept(self) -> None:
        """Split there."""
        if self.is_filled_in():
            self.finish_with(row_edits.split_segment, self._row, self.distance.value())

    def _check(self, distance: float) -> Sentence | None:
        if distance < self._length:
            return None
        length = Length(self._length)
        return Sentence(
            "The segment is only {length} long: type a shorter distance.", length=length
        )


class MergeDialog(RowDialog):
    """Asks before rows are merged that are not one straight taper of one make-up."""

    def __init__(self, rows: Sequence[int], why: Sentence, place: Workplace, do: Do) -> None:
        super().__init__(tr("Merge segments"), why, tr("Merge, keeping the weight"), place, do)
        self._rows = tuple(rows)
        self.say_remark(
            Sentence(
                "They can become one straight taper from the first front to the last rear that "
                "weighs as much as they do now. The shape between changes."
            )
        )

    def try_accept(self) -> None:
        """Merge at their weight."""
        self.finish_with(row_edits.merge, self._rows, keep_weight=True)


class CoreDialog(RowDialog):
    """Asks for core and coating, or makes the segment one material again."""

    def __init__(self, line: Line, row: int, place: Workplace, do: Do) -> None:
        segment = line.segments[row]
        core = segment.core
        about = Sentence(
            "Segment {row}, {part}: a core inside a coating", row=row + 1, part=segment.part
        )
        super().__init__(tr("Core and coating"), about, "", place, do)
        self._key, self._row = line.key, row
        self._thinner = min(segment.front_diameter, segment.rear_diameter)
        self.diameter = self.add_field(
            tr("Core diameter"),
            DIAMETER,
            core.diameter if core else 0.5 * self._thinner,
            tr("Diameter of the core, the same all along the segment."),
            check=self._check,
        )
        nylon = Density(_CORE_DENSITY)
        alone = Sentence(
            "Density of the core alone: braided nylon has about {density}.", density=nylon
        )
        self.density = self.add_field(
            tr("Core density"), DENSITY, core.density if core else nylon.value, place.read(alone)
        )
        self.coating = self.add_field(
            tr("Coating density"),
            DENSITY,
            segment.density if core else None,
            tr("Density of the coating alone. Left empty, it becomes what keeps the weight."),
            optional=True,
        )
        self.coating.setPlaceholderText(tr("keeps the weight"))
        self.remove_button = QPushButton(tr("Remove core"))
        self.remove_button.setEnabled(core is not None)
        self.remove_button.setAutoDefault(False)
        self.remove_button.clicked.connect(self._remove)
        self.buttons.addButton(self.remove_button, self.buttons.ButtonRole.ResetRole)

    def refresh(self) -> None:
        """Say the mean density, or the coating density that keeps the weight."""
        diameter, density = self.diameter.value(), self.density.value()
        coating = self.coating.value()
        if diameter is None or density is None or self.coating.bad:
            self.say_remark(NOTHING)
            return
        bench = self.place.document.bench
        try:
            edited = value_edits.set_core(bench, self._key, self._row, diameter, density, coating)
        except Refused as problem:
            self.say_remark(problem.sentence)
            return
        line = edited.bench.line(self._key)
        if coating is None:
            keeps = Density(line.segments[self._row].density)
            self.say_remark(Sentence("A coating of {density} keeps the weight.", density=keeps))
            return
        found = analyse_line(line, bench.water).segments[self._row]
        self.say_remark(
            Sentence(
                "Mean density {density}, weight {weight}.",
                density=Density(found.mean_density),
                weight=Weight(found.mass),
            )
        )

    def try_accept(self) -> None:
        """Set the core."""
        if self.is_filled_in():
            values = (field.value() for field in (self.diameter, self.density, self.coating))
            self.finish_with(value_edits.set_core, self._row, *values)

    def _check(self, diameter: float) -> Sentence | None:
        if diameter <= self._thinner:
            return None
        return Sentence(
            "The core must fit inside the thinner end, which is {diameter}.",
            diameter=Diameter(self._thinner),
        )

    def _remove(self) -> None:
        self.finish_with(value_edits.remove_core, self._row)


class JointDialog(RowDialog):
    """Asks how a row meets the next: kind, overlap, and what the joint adds."""

    def __init__(self, line: Line, row: int, place: Workplace, do: Do) -> None:
        about = Sentence(
            "Between segment {row}, {part}, and segment {next}, {next_part}",
            row=row + 1,
            part=line.segments[row].part,
            next=row + 2,
            next_part=line.segments[row + 1].part,
        )
        super().__init__(tr("Joint"), about, "", place, do)
        self._row, self._joint = row, line.joints[row]
        kinds = choice(JointKind, self._joint.kind, tr("Kind of joint"))
        self.kind = self.add_row(tr("Kind"), kinds)
        self.overlap = self.add_field(
            tr("Overlap"),
            SHORT_LENGTH,
            self._joint.overlap or None,
            tr("Length over which both ends are bevelled and lie on each other; adds no weight."),
            optional=True,
        )
        self.mass = self.add_field(
            tr("Added weight"),
            SMALL_WEIGHT,
            self._joint.mass or None,
            tr("What the joint adds: sleeve, loops, adhesive."),
            optional=True,
        )
        self.kind.currentIndexChanged.connect(self.refresh)
        self.own = KeptButton(place, Joint, joint_words, self._sound, self._show, self.problem)
        self.buttons.addButton(self.own, QDialogButtonBox.ButtonRole.ResetRole)

    def _sound(self) -> Joint | None:
        """The joint where its fields can be read; they say so themselves where not."""
        return self._made() if self.is_filled_in() else None

    def _show(self, joint: Joint) -> None:
        """Fill in a joint that is kept."""
        self._joint = joint
        self.kind.setCurrentIndex(self.kind.findData(joint.kind))
        self.overlap.set_value(joint.overlap or None)
        self.mass.set_value(joint.mass or None)

    @property
    def chosen(self) -> JointKind:
        """The kind of joint that is chosen."""
        return JointKind(self.kind.currentData())

    def refresh(self) -> None:
        """Offer only what a kind of joint has."""
        self.overlap.setEnabled(self.chosen is JointKind.LAPPED_WELD)
        self.mass.setEnabled(self.chosen is not JointKind.ONE_EXTRUSION)
        self.judge()

    def try_accept(self) -> None:
        """Set the joint as it is filled in."""
        if self.is_filled_in():
            self.finish_with(value_edits.set_joint, self._row, self._made())

    def _made(self) -> Joint:
        """The joint as it is filled in; only loop to loop has loops."""
        kept = self.chosen is JointKind.LOOP_TO_LOOP
        overlap, mass = (
            field.value() if field.isEnabled() else None for field in (self.overlap, self.mass)
        )
        return replace(
            self._joint,
            kind=self.chosen,
            overlap=overlap or 0.0,
            mass=mass or 0.0,
            loop_ahead=self._joint.loop_ahead if kept else NO_LOOP,
            loop_behind=self._joint.loop_behind if kept else NO_LOOP,
        )
