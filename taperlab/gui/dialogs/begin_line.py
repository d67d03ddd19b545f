"""A new line from a goal: rod, style, weight and length in, a sensible taper out."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QLineEdit

from taperlab.edits.lines import add_begun_line
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import label
from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.line import Style
from taperlab.model.rod import Rod
from taperlab.shop.goals.buildable import TOOLS
from taperlab.shop.goals.start import Begun, begin
from taperlab.trade.starts import starts
from taperlab.units.finding import Impossible
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Diameter, OnTape, Sentence
from taperlab.units.words import heading

_RATIO = {Style.SKAGIT: 2.0, Style.SCANDI: 2.75, Style.SWITCH: 2.4}
"""A length to begin with, over the rod's: common practice; else three times the rod."""

_USUAL_ROD = 13.0 * FOOT
_USUAL_WEIGHT = 480.0 * GRAIN


class BeginLineDialog(FormDialog):
    """Shows, before anything is put on the bench, what the line would be and why."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("New line from a goal"), place, accept=tr("Put on the bench"))
        self.setMinimumWidth(px(460))
        self.begun: Begun | None = None
        bench = place.document.bench
        self.name = self.add_row(tr("Name"), QLineEdit(tr("New head")))
        self.rod = Choice()
        self.rod.addItem(tr("No rod"), None)
        for each in bench.rods:
            self.rod.addItem(each.name, each.key)
        self.rod.setCurrentIndex(max(0, self.rod.findData(bench.rod)))
        self.add_row(tr("Rod"), self.rod)
        self.style_box = QComboBox()
        for style in starts():
            self.style_box.addItem(heading(style), style)
        line = place.document.line
        at = self.style_box.findData(line.style) if line else -1
        self.style_box.setCurrentIndex(max(0, at))
        self.add_row(tr("Style"), self.style_box)
        self.weight = self.add_field(tr("Head weight"), WEIGHT, None)
        self.length = self.add_field(tr("Head length"), LENGTH, None)
        self.shown = label("", wrap=True)
        self.reasons = label("", points=SMALL, role="soft", wrap=True)
        self.column.addWidget(self.shown)
        self.column.addWidget(self.reasons)
        self.finish_layout()
        self.rod.activated.connect(self._suggest)
        self.style_box.activated.connect(self._suggest)
        for field in (self.weight, self.length):
            field.value_changed.connect(self._look)
        self._suggest()

    @property
    def style_asked(self) -> Style:
        """The style that is chosen."""
        return Style(self.style_box.currentData())

    @property
    def rod_asked(self) -> Rod | None:
        """The rod that is chosen, if one is."""
        key = self.rod.currentData()
        return next((rod for rod in self.place.document.bench.rods if rod.key == key), None)

    def _suggest(self, _index: int = 0) -> None:
        """Begin with the middle of the rod's window, and a length that practice knows."""
        rod, style = self.rod_asked, self.style_asked
        window = rod.window_for(style) if rod else None
        mass = (window.lightest + window.heaviest) / 2.0 if window else _USUAL_WEIGHT
        self.weight.set_value(mass)
        size = (rod.length if rod else _USUAL_ROD) * _RATIO.get(style, 3.0)
        self.length.set_value(round(size / FOOT) * FOOT)
        self._look()

    def _look(self) -> None:
        """Work out what the line would be, and say why."""
        self.begun = None
        mass, length = self.weight.value(), self.length.value()
        if mass is None or length is None:
            self.shown.setText("")
            self.reasons.setText("")
            return
        place = self.place
        try:
            self.begun = begin(
                place.document.bench,
                self.name.text().strip() or tr("New head"),
                self.style_asked,
                mass,
                length,
                TOOLS[place.system],
                self.rod_asked,
            )
        except Impossible as no:
            self.shown.setText("")
            self.reasons.setText("")
            self.problem(place.read(no.sentence))
            return
        self.problem("")
        rows = [
            place.read(
                Sentence(
                    "{row} {part}: {length}, {front} to {rear}",
                    row=row,
                    part=each.part,
                    length=OnTape(each.length),
                    front=Diameter(each.front_diameter, unit=False),
                    rear=Diameter(each.rear_diameter),
                )
            )
            for row, each in enumerate(self.begun.line.segments, 1)
        ]
        self.shown.setText("\n".join(rows))
        source = starts()[self.style_asked].source
        said = [*self.begun.reasons, Sentence("Proportions: {source}.", source=source)]
        self.reasons.setText("\n".join(map(place.read, said)))

    def try_accept(self) -> None:
        """Put the line on the bench, its weight and length kept as goals."""
        if not self.is_filled_in():
            return
        self._look()
        if self.begun is not None:
            self.finish_with(add_begun_line, self.begun.line)
