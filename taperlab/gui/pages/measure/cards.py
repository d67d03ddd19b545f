"""The cards at the right of the Measure page: the line, what it weighs, what to measure next."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QMenu,
    QPushButton,
    QSizePolicy,
    QToolButton,
)

from taperlab.edits import measure as edits
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, caption, label, set_role
from taperlab.gui.pages.measure.desk import LANE, Desk
from taperlab.gui.pages.measure.words import error_text
from taperlab.units.finding import Level
from taperlab.units.kinds import (
    FINE_LENGTH,
    LENGTH,
    SHORT_LENGTH,
    SMALL_WEIGHT,
    WEIGHT,
    WEIGHT_PER_LENGTH,
)
from taperlab.units.sentence import Sentence, render, verbatim
from taperlab.units.sentences import in_units
from taperlab.units.show import show
from taperlab.units.words import capital

SURE = "± covers 95 in 100 measurements like this one."


class LineCard(Card):
    """Which measurement is in hand; its length, weight and instruments.

    another(), details(), instruments(): the person asks for these dialogs.
    """

    another = Signal()
    details = Signal()
    instruments = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(spacing=6)
        self._desk = desk
        self.box = QComboBox()
        self.box.setAccessibleName("Measured line")
        self.box.setToolTip("The measurement in hand")
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.box.activated.connect(self._chosen)
        self.more = QToolButton()
        self.more.setText("More…")
        self.more.setAccessibleName("More about this measurement")
        self.more.setToolTip("Measure another line, describe this one, or delete it")
        self.more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self.more)
        menu.addAction("Measure another line…", self._ask_another)
        menu.addAction("Name, design, loops and note…", self._ask_details)
        menu.addAction("Instruments…", self._ask_instruments)
        menu.addSeparator()
        menu.addAction("Delete this measurement", self._delete)
        self.more.setMenu(menu)
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addWidget(self.box, 1)
        row.addWidget(self.more)
        self.length = QuantityEdit(LENGTH, desk.settings, name="Total length")
        self.weight = QuantityEdit(WEIGHT, desk.settings, name="Total weight", optional=True)
        self.weight.setPlaceholderText("not weighed")
        self.length.editingFinished.connect(self._length_typed)
        self.weight.editingFinished.connect(self._weight_typed)
        self.length.set_help("The whole length, at rest and straight, loops closed.")
        self.weight.set_help("The whole line on the scale, with its loops. Empty: not weighed.")
        form = QFormLayout()
        form.setHorizontalSpacing(12)
        form.setVerticalSpacing(6)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        form.addRow("Total length", self.length)
        form.addRow("Total weight", self.weight)
        self._sentence = label("", role="bad", wrap=True)
        self._sentence.hide()
        for edit in (self.length, self.weight):
            edit.sentence_changed.connect(self._say)
        self.tools = label("", points=8.0, role="soft", wrap=True)
        self.tools.setToolTip("Errors follow from these steps; press … to change them")
        self.body.addWidget(caption("Measured line"))
        self.body.addLayout(row)
        self.body.addLayout(form)
        self.body.addWidget(self._sentence)
        self.body.addWidget(self.tools)
        desk.changed.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the measurement in hand."""
        desk, system = self._desk, self._desk.system
        measurements = desk.document.bench.measurements
        names = [each.name for each in measurements]
        if names != [self.box.itemText(i) for i in range(self.box.count())]:
            self.box.clear()
            self.box.addItems(names)
        measurement = desk.measurement
        if measurement is None:
            return
        self.box.setCurrentIndex(measurements.index(measurement))
        whole = edits.total_section(measurement)
        mass = None if whole is None else measurement.sections[whole].mass
        if self.length.value() != measurement.length:
            self.length.set_value(measurement.length)
        if self.weight.value() != mass:
            self.weight.set_value(mass)
        tools = measurement.instruments
        self.tools.setText(
            f"Scale {show(tools.scale, SMALL_WEIGHT, system)} · "
            f"tape {show(tools.tape, SHORT_LENGTH, system)} · "
            f"micrometer {show(tools.micrometer, FINE_LENGTH, system)}, "
            f"scatter {show(tools.scatter, FINE_LENGTH, system)}"
        )

    def commit(self) -> None:
        """Take over what is being typed."""
        self._length_typed()
        self._weight_typed()

    def _say(self, sentence: str) -> None:
        self._sentence.setText(sentence)
        self._sentence.setVisible(bool(sentence))

    def _length_typed(self) -> None:
        measurement, value = self._desk.measurement, self.length.value()
        if measurement is None or value is None or value == measurement.length:
            return
        self._say(self._desk.apply(edits.set_total_length, value))

    def _weight_typed(self) -> None:
        measurement = self._desk.measurement
        if measurement is None or self.weight.sentence:
            return
        whole = edits.total_section(measurement)
        mass = None if whole is None else measurement.sections[whole].mass
        if self.weight.value() != mass:
            self._say(self._desk.apply(edits.set_total_weight, self.weight.value()))

    def _chosen(self, index: int) -> None:
        self._desk.take(self._desk.document.bench.measurements[index].key)

    def _ask_another(self) -> None:
        self.another.emit()

    def _ask_details(self) -> None:
        self.details.emit()

    def _ask_instruments(self) -> None:
        self.instruments.emit()

    def _delete(self) -> None:
        self._desk.apply(edits.delete_measurement)


class WeightCard(Card):
    """What the line weighs by the fit, large, with its error; and the way onto the bench."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(spacing=3)
        self._desk = desk
        self._caption = caption("Total weight, fitted")
        self.weight = label("–", points=30.0, weight=QFont.Weight.DemiBold)
        self.error = label("", points=11.0, role="soft")
        self.more = label("", role="soft", wrap=True)
        self.busy = label("Fitting…", role="accent")
        self.busy.hide()
        self.setToolTip(
            "Shape and densities are fitted together by weighted least squares; the error follows "
            "from the steps of scale, tape and micrometer and the scatter of the readings. " + SURE
        )
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.weight)
        top.addWidget(self.error, 1, Qt.AlignmentFlag.AlignBottom)
        self.error.setContentsMargins(0, 0, 0, 8)
        self.button = QPushButton("Put it on the bench")
        self.button.setToolTip(
            "Add the fitted line to the lines on the bench, or renew it there; then it can be "
            "cut back or compared like any other"
        )
        self.button.clicked.connect(self._put)
        self.body.addWidget(self._caption)
        self.body.addLayout(top)
        self.body.addWidget(self.more)
        self.body.addWidget(self.busy)
        self.body.addSpacing(6)
        self.body.addWidget(self.button)
        desk.changed.connect(self.refresh)
        desk.studied.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        desk.jobs.busy.connect(self._busy)
        self.refresh()

    def refresh(self) -> None:
        """Show the fit."""
        desk, system = self._desk, self._desk.system
        study = desk.study
        fitted = study is not None and study.fit is not None
        self.button.setEnabled(fitted and desk.is_fresh)
        if not fitted:
            self.weight.setText("–")
            self.error.setText("")
            self.more.setText(in_units(study.why_not, system) if study else "")
            return
        mass, error = study.total
        self.weight.setText(show(mass, WEIGHT, system))
        self.error.setText(error_text(error, WEIGHT, system))
        line, there = study.fit.line, desk.measurement
        count = len(line.segments)
        words = [f"{count} {'segment' if count == 1 else 'segments'}"]
        if study.head is not None:
            words.append(
                f"head {show(study.head_length, LENGTH, system)}, "
                f"{show(study.head[0], WEIGHT, system)} {error_text(study.head[1], WEIGHT, system)}"
            )
        mean = mass / line.length
        words.append(f"mean {show(mean, WEIGHT_PER_LENGTH, system)}")
        self.more.setText(" · ".join(words))
        on_bench = there is not None and any(
            each.key == there.key for each in desk.document.bench.lines
        )
        self.button.setText("Update it on the bench" if on_bench else "Put it on the bench")
        self.setAccessibleName(f"Total weight {self.weight.text()} {self.error.text()}")

    def _busy(self, lane: str, busy: bool) -> None:
        if lane == LANE:
            self.busy.setVisible(busy)

    def _put(self) -> None:
        sentence = self._desk.put_on_bench()
        if sentence:
            self._desk.place.host.say_problem(verbatim(sentence))
        self.refresh()


class NextCard(Card):
    """Which measurement would sharpen the answer most, plainly."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(spacing=5)
        self._desk = desk
        self.first = label("", wrap=True)
        self.second = label("", points=8.0, role="soft", wrap=True)
        self.body.addWidget(caption("Measure next"))
        self.body.addWidget(self.first)
        self.body.addWidget(self.second)
        self.setToolTip(
            "Every further diameter and weighing is tried on the errors alone: what it would leave "
            "does not depend on what it will read. " + SURE
        )
        desk.studied.connect(self.refresh)
        desk.changed.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the suggestions."""
        study, system = self._desk.study, self._desk.system
        if study is None or study.fit is None:
            sentence = study.why_not if study is not None else ""
            self.setVisible(bool(sentence))
            self.first.setText(in_units(sentence, system))
            self.second.hide()
            return
        self.show()
        best, *others = study.advice
        self.first.setText(capital(render(best, system)))
        self.second.setVisible(bool(others))
        if others:
            self.second.setText(render(Sentence("Or: {way}", way=others[0]), system))


class RemarksCard(Card):
    """The findings of the fit, the gravest first."""

    MOST = 5

    def __init__(self, desk: Desk) -> None:
        super().__init__(spacing=6)
        self._desk = desk
        self._labels = [label("", wrap=True) for _ in range(self.MOST)]
        for each in self._labels:
            self.body.addWidget(each)
        desk.studied.connect(self.refresh)
        desk.changed.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the findings."""
        study = self._desk.study
        found = (
            sorted(study.fit.findings, key=lambda each: -each.level)
            if (study is not None and study.fit is not None)
            else []
        )
        self.setVisible(bool(found))
        marks = {Level.NOTE: ("", "soft"), Level.CAUTION: ("Caution: ", "warn")}
        for i, each in enumerate(self._labels):
            each.setVisible(i < len(found))
            if i < len(found):
                mark, role = marks.get(found[i].level, ("Stop: ", "bad"))
                each.setText(mark + in_units(found[i].sentence, self._desk.system))
                set_role(each, role)


__all__ = ["LineCard", "NextCard", "RemarksCard", "WeightCard"]
