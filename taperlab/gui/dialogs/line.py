"""A line's name, style, loops and note."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QLineEdit, QWidget

from taperlab.edits import lines as line_edits
from taperlab.gui.dialogs.form import FormDialog, note_box
from taperlab.gui.dialogs.kept import KeptButton
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import choice, in_row, label
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.model.line import Line, Loop, LoopKind, Style
from taperlab.shop.wording import loop_words
from taperlab.units.kinds import SHORT_LENGTH, SMALL_WEIGHT
from taperlab.units.language import tr

USUAL_LOOP = {
    LoopKind.NONE: (0.0, 0.0),
    LoopKind.FOLDED: (2.5 * INCH, 0.0),
    LoopKind.BRAIDED: (0.0, 1.5 * GRAIN),
}
"""Fold [m] and added mass [kg] that a loop of a kind usually takes. Common practice, from memory:
a folded loop uses 2 to 3 in of line; a braided one with its glue weighs 1 to 2 gr."""


class LoopFields(QWidget):
    """Kind of loop, line folded back, and weight of whatever else it adds: a row of a form."""

    def __init__(self, dialog: FormDialog, name: str, loop: Loop) -> None:
        super().__init__()
        self._loop = loop
        settings = dialog.place.settings
        self.kind = choice(LoopKind, loop.kind, name)
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
        folded, adds = label(tr("folded"), role="soft"), label(tr("adds"), role="soft")
        self.own = KeptButton(
            dialog.place, Loop, loop_words, self._sound, self._show, dialog.problem, text=tr("Kept")
        )
        self.own.setAccessibleName(tr("{loop}: for every bench").format(loop=name))
        shares = (self.kind, 2), folded, (self.fold, 1), adds, (self.mass, 1)
        in_row(*shares, self.own, spacing=8, of=self)
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.kind.activated.connect(self._offer_usual)
        self._kind_changed()
        dialog.watch(self.fold, self.mass)
        dialog.form.addRow(name, self)

    def loop(self) -> Loop:
        """The loop as filled in, once its dialog is."""
        kind = self._kind()
        if kind is LoopKind.NONE:
            return replace(self._loop, kind=kind, fold=0.0, mass=0.0)
        fold, mass = self.fold.value() or 0.0, self.mass.value() or 0.0
        return replace(self._loop, kind=kind, fold=fold, mass=mass)

    def _sound(self) -> Loop | None:
        """The loop where its fields can be read; they say so themselves where not."""
        is_sound = not (self.fold.bad or self.mass.bad) and self._kind() is not LoopKind.NONE
        return self.loop() if is_sound else None

    def _show(self, loop: Loop) -> None:
        self._loop = loop
        self.kind.setCurrentIndex(self.kind.findData(loop.kind))
        self.fold.set_value(loop.fold)
        self.mass.set_value(loop.mass)

    def _kind(self) -> LoopKind:
        return LoopKind(self.kind.currentData())

    def _kind_changed(self) -> None:
        for field in (self.fold, self.mass):
            field.setEnabled(self._kind() is not LoopKind.NONE)

    def _offer_usual(self) -> None:
        """Fill in what such a loop usually takes, unless something is filled in already."""
        if not (self.fold.value() or self.mass.value()):
            fold, mass = USUAL_LOOP[self._kind()]
            self.fold.set_value(fold)
            self.mass.set_value(mass)


class LineDialog(FormDialog):
    """Name, style, loops and note of the current line; one step when accepted."""

    def __init__(self, place: Workplace, line: Line) -> None:
        super().__init__(tr("Line"), place)
        self._line = line
        self.name = self.add_row(tr("Name"), QLineEdit(line.name))
        self.name.selectAll()
        self.style_box = self.add_row(tr("Style"), choice(Style, line.style))
        self.style_box.setToolTip(
            tr("The grain window, and the reading of the ratio, follow the style")
        )
        self.front = LoopFields(self, tr("Fly-end loop"), line.front_loop)
        self.rear = LoopFields(self, tr("Rod-end loop"), line.rear_loop)
        self.note = self.add_row(tr("Note"), note_box(line.note, 70))
        self.finish_layout()
        self.setMinimumWidth(px(640))

    def try_accept(self) -> None:
        """Apply all fields as one step."""
        if self.is_filled_in():
            self.finish_with(
                line_edits.describe_line,
                self._line.key,
                self.name.text(),
                Style(self.style_box.currentData()),
                self.front.loop(),
                self.rear.loop(),
                self.note.toPlainText(),
            )
