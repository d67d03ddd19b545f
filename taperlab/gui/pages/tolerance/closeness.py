"""How closely one works: what the instruments of Measure read, or what is typed for this line."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, Link, Remark, caption, in_row, label, tool_button
from taperlab.gui.pages.tolerance.case import ToleranceCase
from taperlab.gui.state.document import Reason
from taperlab.model.tolerance import AS_READ, Tolerance
from taperlab.shop.tolerance.dimensions import TWICE, What
from taperlab.shop.tolerance.words import read_with
from taperlab.units.kinds import DENSITY_OFF, FINE_LENGTH, LENGTH, SHORT_LENGTH, Kind
from taperlab.units.language import later, tr
from taperlab.units.show import show

FIELDS: tuple[tuple[str, Kind, str, str], ...] = (
    (
        "length",
        SHORT_LENGTH,
        later("Each length ±"),
        later("How far the length of each segment may be off. Empty: as the tape reads."),
    ),
    (
        "diameter",
        FINE_LENGTH,
        later("Each diameter ±"),
        later("How far each diameter may be off by itself. Empty: as the micrometer reads."),
    ),
    (
        "offset",
        FINE_LENGTH,
        later("All diameters ±"),
        later(
            "How far all diameters may be off the same way, where the micrometer does not close "
            "on zero or squeezes. Empty: one step of it."
        ),
    ),
    (
        "density",
        DENSITY_OFF,
        later("Density ±"),
        later("How far the density of a batch may be off. Empty: a hundredth, by judgement."),
    ),
    (
        "piece",
        LENGTH,
        later("Weighed on a piece of"),
        later(
            "Where the density was weighed on a piece as thick as the heaviest segment, measured "
            "with the same micrometer: how long the piece was. What the micrometer is off by then "
            "cancels for the most part. Empty: the density comes from elsewhere."
        ),
    ),
)


class ClosenessCard(Card):
    """The ± of each kind of dimension; empty is as the instruments read."""

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(tr("How closely you work"))
        self._case = case
        self._line = ""
        self.fields: dict[str, QuantityEdit] = {}
        self._kept: dict[str, Kept] = {}
        self.problem = Remark("bad")
        rows = QWidget()
        grid = QGridLayout(rows)
        grid.setContentsMargins(0, 2, 0, 2)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(6)
        for i, (name, kind, title, tip) in enumerate(FIELDS):
            field = QuantityEdit(kind, case.place.settings, name=tr(title), optional=True)
            field.set_help(tr(tip))
            field.sentence_changed.connect(self.problem.say)
            self.fields[name] = field
            self._kept[name] = Kept(field, partial(self._set, name))
            grid.addWidget(label(tr(title)), i, 0)
            grid.addWidget(field, i, 1)
        grid.setColumnStretch(1, 1)
        self.read = label("", role="soft", wrap=True)
        self.measure = Link(
            tr("Measure…"),
            tr("The steps of scale, tape and micrometer are set on the page Measure"),
            self._show_measure,
            name=tr("Instruments, on the page Measure"),
        )
        self.clear = tool_button(
            tr("As read"),
            tr("As the instruments read"),
            tr("Take every ± that was typed away"),
            self._clear,
        )
        heading = in_row(caption(tr("How closely you work")), None, self.clear)
        self.add(heading, rows, self.problem, self.read, in_row(self.measure, None))
        case.watch.changed.connect(lambda change: self._show(anew=change.reason is Reason.LOAD))
        case.follow(self._show)

    @property
    def _tolerance(self) -> Tolerance:
        line = self._case.place.document.line
        return line.tolerance if line is not None else AS_READ

    def commit(self) -> None:
        """Take over what is being typed."""
        for each in self._kept.values():
            each.commit()

    def _show(self, *, anew: bool = False) -> None:
        case, tolerance = self._case, self._tolerance
        line, found = case.place.document.line, case.study
        key = line.key if line is not None else ""
        anew = anew or key != self._line
        self._line = key
        for name, kept in self._kept.items():
            kept.show(getattr(tolerance, name), anew=anew)
        self.clear.setVisible(tolerance != AS_READ)
        if found is None:
            return
        close, system = found.close, case.system
        density = max(found.of(What.DENSITY), key=lambda each: each.off)
        for name, value in (
            ("length", close.length * TWICE),
            ("diameter", close.diameter * TWICE),
            ("offset", close.offset * TWICE),
            ("density", density.off),
        ):
            field, kind = self.fields[name], next(f[1] for f in FIELDS if f[0] == name)
            # What stands in an empty field is what is taken in its place.
            if getattr(tolerance, name) is None:
                field.setPlaceholderText(show(value, kind, system))
        self.fields["piece"].setPlaceholderText(tr("none"))
        self.read.setText(case.place.read(read_with(found)))

    def _set(self, name: str, value: float | None) -> bool:
        changed = replace(self._tolerance, **{name: value})  # type: ignore[arg-type]
        return self._case.set_tolerance(changed, self)

    def _clear(self) -> None:
        self._case.set_tolerance(replace(AS_READ, extra=self._tolerance.extra), self)

    def _show_measure(self) -> None:
        self._case.place.host.show_page("measure")
