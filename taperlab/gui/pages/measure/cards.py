"""The cards at the right of the Measure page: the line, what it weighs, what to measure next."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QComboBox, QFormLayout, QMenu, QPushButton, QSizePolicy

from taperlab.edits import measure as edits
from taperlab.edits.edited import Edited
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import NONE, Card, Remark, caption, in_row, label, tool_button
from taperlab.gui.pages.measure.desk import LANE, Desk
from taperlab.model.measurement import Material, Measurement
from taperlab.shop.errors import WeightError
from taperlab.shop.instruments import instrument_words
from taperlab.shop.measure.study import Study
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import (
    NOTHING,
    Length,
    Sentence,
    Weight,
    WeightPerLength,
    counted,
)
from taperlab.units.words import capital, heading


class LineCard(Card):
    """Which measurement is current; its length, weight and instruments.

    another(), details(), instruments(): the person asks for these dialogs.
    """

    another = Signal()
    details = Signal()
    instruments = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(tr("Measured line"), spacing=6)
        self._desk = desk
        settings = desk.place.settings
        self.box = Choice()
        self.box.setAccessibleName(tr("Measured line"))
        self.box.setToolTip(tr("The current measurement"))
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.box.activated.connect(self._chosen)
        tip = tr("Measure another line, describe this one, or delete it")
        self.more = tool_button(tr("More…"), tr("More about this measurement"), tip)
        self.more.setPopupMode(self.more.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self.more)
        menu.addAction(tr("Measure another line…")).triggered.connect(self.another)
        menu.addAction(tr("Name, design, loops and note…")).triggered.connect(self.details)
        menu.addAction(tr("Instruments…")).triggered.connect(self.instruments)
        menu.addSeparator()
        menu.addAction(tr("Delete this measurement")).triggered.connect(self._delete)
        self.more.setMenu(menu)
        self.length = QuantityEdit(LENGTH, settings, name=tr("Total length"))
        self.weight = QuantityEdit(WEIGHT, settings, name=tr("Total weight"), optional=True)
        self.weight.setPlaceholderText(tr("not weighed"))
        self._kept = (
            Kept(self.length, self._take(edits.set_total_length)),
            Kept(self.weight, self._take(edits.set_total_weight)),
        )
        self.length.set_help(tr("The whole length, at rest and straight, loops closed."))
        self.weight.set_help(tr("The whole line on the scale, with its loops. Empty: not weighed."))
        form = QFormLayout()
        form.setHorizontalSpacing(12)
        form.setVerticalSpacing(6)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        form.addRow(tr("Total length"), self.length)
        form.addRow(tr("Total weight"), self.weight)
        self.material = QComboBox()
        self.material.setAccessibleName(tr("Material"))
        self.material.setToolTip(
            tr(
                "What you know and no scale can tell. One material: its density changes little "
                "and in no steps. One extrusion, known even: half of that again. Then the errors "
                "shown are smaller; if your word is wrong, they are too small."
            )
        )
        self.material.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.material.addItems([heading(each) for each in Material])
        self.material.activated.connect(self._material_chosen)
        form.addRow(tr("Material"), self.material)
        self.problem = Remark()
        for edit in (self.length, self.weight):
            edit.sentence_changed.connect(self.problem.say)
        self.tools = label("", points=SMALL, role="soft", wrap=True)
        self.tools.setToolTip(tr("Errors follow from these steps; press … to change them"))
        row = in_row((self.box, 1), self.more, spacing=4)
        self.add(caption(tr("Measured line")), row, form, self.problem, self.tools)
        desk.another.connect(self._show_another)
        desk.follow(self.refresh)

    def refresh(self) -> None:
        """Show the current measurement."""
        desk = self._desk
        names = [each.name for each in desk.measurements]
        if names != [self.box.itemText(i) for i in range(self.box.count())]:
            self.box.clear()
            self.box.addItems(names)
        measurement = desk.measurement
        if measurement is None:
            return
        self.box.setCurrentIndex(desk.measurements.index(measurement))
        self._show_whole(measurement)
        self.material.setCurrentIndex(list(Material).index(measurement.material))
        self.tools.setText(desk.place.read(instrument_words(measurement.instruments)))

    def commit(self) -> None:
        """Take over what is being typed."""
        for kept in self._kept:
            kept.commit()

    def _show_whole(self, measurement: Measurement, *, anew: bool = False) -> None:
        """Show length and weight of the whole line."""
        whole = edits.total_section(measurement)
        mass = None if whole is None else measurement.sections[whole].mass
        for kept, value in zip(self._kept, (measurement.length, mass), strict=True):
            kept.show(value, anew=anew)

    def _show_another(self) -> None:
        self.problem.say("")
        if self._desk.measurement is not None:
            self._show_whole(self._desk.measurement, anew=True)

    def _take(self, edit: Callable[..., Edited]) -> Callable[[float | None], bool]:
        def take(value: float | None) -> bool:
            if self._desk.measurement is None:
                return False
            outcome = self._desk.apply(edit, value)
            self.problem.say(self._desk.place.read(outcome.refused))
            return bool(outcome)

        return take

    def _material_chosen(self, index: int) -> None:
        self._desk.apply(edits.set_material, list(Material)[index])

    def _chosen(self, index: int) -> None:
        self._desk.take(self._desk.measurements[index].key)

    def _delete(self) -> None:
        self._desk.apply(edits.delete_measurement)


class WeightCard(Card):
    """What the line weighs by the fit, large, with its error; and the way onto the bench."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(tr("Total weight, fitted"), spacing=3)
        self._desk = desk
        self.weight = label(NONE, points=30.0, weight=QFont.Weight.DemiBold)
        self.error = label("", points=11.0, role="soft")
        self.error.setContentsMargins(0, 0, 0, 8)
        self.more = label("", role="soft", wrap=True)
        self.busy = label(tr("Fitting…"), role="accent")
        self.busy.hide()
        self.setToolTip(
            tr(
                "What is believed of the weight along the line from its diameters and weights. The "
                "error follows from the steps of scale, tape and micrometer, the scatter of the "
                "readings and how far density may change along a line. ± covers 95 in 100 lines "
                "and measurements like this one."
            )
        )
        top = in_row(self.weight, (self.error, 1), spacing=8)
        top.setAlignment(self.error, Qt.AlignmentFlag.AlignBottom)
        self.button = QPushButton(tr("Put it on the bench"))
        self.button.setToolTip(
            tr(
                "Add the fitted line to the lines on the bench, or renew it there; then it can be "
                "cut back or compared like any other"
            )
        )
        self.button.clicked.connect(desk.put_on_bench)
        self.add(caption(tr("Total weight, fitted")), top, self.more, self.busy, 6, self.button)
        desk.place.jobs.busy.connect(self._busy)
        desk.follow(self.refresh)

    def refresh(self) -> None:
        """Show the fit."""
        desk, study = self._desk, self._desk.study
        read = desk.place.read
        fitted = study is not None and study.fit is not None
        self.button.setEnabled(fitted and desk.is_fresh)
        lines, measurement = desk.place.document.bench.lines, desk.measurement
        there = measurement is not None and any(each.key == measurement.key for each in lines)
        self.button.setText(tr("Update it on the bench") if there else tr("Put it on the bench"))
        if study is None or not fitted:
            self.weight.setText(NONE)
            self.error.setText("")
            self.more.setText(read(study.why_not) if study else "")
            self.setAccessibleName(tr("Total weight, fitted"))
            return
        mass, error = study.total
        self.weight.setText(read(Sentence("{weight}", weight=Weight(mass))))
        self.error.setText(read(Sentence("{error}", error=WeightError(error))))
        self.more.setText(read(_summary(study)))
        name = Sentence(
            "Total weight {weight} {error}", weight=Weight(mass), error=WeightError(error)
        )
        self.setAccessibleName(read(name))

    def _busy(self, lane: str, busy: bool) -> None:
        if lane == LANE:
            self.busy.setVisible(busy)


def _summary(study: Study) -> Sentence:
    """Segments, head and mean weight per length of a fitted line."""
    assert study.fit is not None
    line = study.fit.line
    segments = counted("{count} segment", "{count} segments", len(line.segments))
    mean = WeightPerLength(study.total[0] / line.length)
    if study.head is None:
        return Sentence("{segments} · mean {mean}", segments=segments, mean=mean)
    return Sentence(
        "{segments} · head {length}, {weight} {error} · mean {mean}",
        segments=segments,
        length=Length(study.head_length),
        weight=Weight(study.head[0]),
        error=WeightError(study.head[1]),
        mean=mean,
    )


class NextCard(Card):
    """Which measurement would sharpen the answer most, plainly."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(tr("Measure next"), spacing=5)
        self._desk = desk
        self.first = label("", wrap=True)
        self.second = Remark("soft", points=SMALL)
        self.add(caption(tr("Measure next")), self.first, self.second)
        self.setToolTip(
            tr(
                "Every further diameter and weighing is tried on the errors alone: what it would "
                "leave does not depend on what it will read. ± covers 95 in 100 measurements like "
                "this one."
            )
        )
        desk.follow(self.refresh)

    def refresh(self) -> None:
        """Show the suggestions."""
        study, read = self._desk.study, self._desk.place.read
        advice = [each for each in study.advice if each] if study else []
        best, other = [*advice, NOTHING, NOTHING][:2]
        self.first.setText(capital(read(best)))
        self.second.say(read(Sentence("Or: {way}", way=other)) if other else "")
        self.setVisible(bool(advice))
