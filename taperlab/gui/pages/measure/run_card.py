"""A caliper alone drives the page: the next station large, and a field that each Enter empties."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QPushButton, QWidget

from taperlab.edits import measure as edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.end_tag import EndTag
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import Card, caption, in_column, in_row, label
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.runner import Runner
from taperlab.model.cut_log import CutEnd
from taperlab.shop.measure import run as runs
from taperlab.shop.measure.run import Mark, Run
from taperlab.units.kinds import DIAMETER, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable
from taperlab.units.sentence import NOTHING, Diameter, Length, OnTape, Sentence, counted

FEET = (1.0, 1.5, 2.0, 3.0, 5.0)
METRES = (0.25, 0.5, 1.0)
OWN = "own"
SECOND_BEEP = 180
"""After the first [ms], where a reading was refused: one for taken, two for not."""


class CaliperField(QuantityEdit):
    """Takes what a caliper types; while it is empty, or all of it is to be replaced, keys command.

    back(), repeat(), skip(): the person asks for it by Up, R or S.
    """

    back = Signal()
    repeat = Signal()
    skip = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A command, or typed text."""
        commands = {Qt.Key.Key_Up: self.back, Qt.Key.Key_R: self.repeat, Qt.Key.Key_S: self.skip}
        command = commands.get(Qt.Key(event.key()))
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if command is not None and plain and self.selectedText() == self.text():
            self.set_value(None)
            command.emit()
        else:
            super().keyPressEvent(event)


class StepBox(QComboBox):
    """Choices that arrow keys go through without leaving it.

    settled(): one was picked from the open list, or Enter was pressed.
    """

    settled = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._is_open = False
        self.activated.connect(self._picked)

    def showPopup(self) -> None:
        """Open the list."""
        self._is_open = True
        super().showPopup()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter settles it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.settled.emit()
        else:
            super().keyPressEvent(event)

    def _picked(self) -> None:
        if self._is_open:
            self._is_open = False
            QTimer.singleShot(0, self, self.settled.emit)


class RunCard(Card):
    """Which station is next, and the field for what the caliper says there.

    While no run is chosen, one line that offers it.
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(tr("Stations of the run"), spacing=6)
        self._desk = desk
        self._runs: dict[str, Run] = {}
        self._chosen: dict[str, float | str | None] = {}
        self._read: frozenset[int] = frozenset()
        self._is_taking = False
        theme = desk.place.theme
        self.choice = StepBox()
        self.choice.setAccessibleName(tr("Stations of the run"))
        self.choice.setToolTip(tr("How far apart the places are where the caliper is to read"))
        self.own = QLineEdit()
        self.own.setAccessibleName(tr("Distances of the run"))
        self.own.setPlaceholderText(tr("0; 2 ft; 5 ft 6 in; …"))
        self.own.setToolTip(tr("Distances from the fly end, parted by semicolons; then Enter"))
        self.offer = label(
            tr("With a caliper that types: choose how far apart, and each Enter fills the next."),
            role="soft",
            wrap=True,
        )
        self.place = LargeFigure(30.0)
        self.place.setAccessibleName(tr("Measure the diameter at"))
        self.tag = EndTag(theme, SMALL)
        self.tag.show_end(CutEnd.FRONT)
        self.field = CaliperField(DIAMETER, desk.place.settings, name=tr("Caliper"), optional=True)
        self.field.setFont(theming.font(18.0))
        self.before = label("", role="soft")
        self.count = label("", role="soft")
        self.problem = label("", role="bad", wrap=True)
        self.take = QPushButton(tr("Take it"))
        self.take.setDefault(True)
        self.take.setToolTip(tr("Note the reading and go on. Key: Enter"))
        self.back = QPushButton(tr("Back"))
        self.back.setToolTip(tr("To the station before. Key: Up"))
        self.repeat = QPushButton(tr("Repeat"))
        self.repeat.setToolTip(tr("Read the last station once more. Key: R"))
        self.skip = QPushButton(tr("Skip"))
        self.skip.setToolTip(tr("Leave this station out. Key: S"))
        self.again = QPushButton(tr("Read again"))
        self.again.setToolTip(tr("A reading there was left out: read it once more"))
        self.runner = Runner(theme)
        self._lay_out()
        self._connect()
        desk.follow(self.refresh)

    def _lay_out(self) -> None:
        self.work = QWidget()
        where = in_column(caption(tr("Measure the diameter at")), self.place, spacing=0)
        typed = in_column(caption(tr("Caliper")), self.field, spacing=2)
        aside = in_column(
            in_row(label(tr("from the"), role="soft"), self.tag, None, spacing=6),
            self.before,
            spacing=4,
        )
        top = in_row(spacing=16)
        for column in (where, typed, aside):
            top.addLayout(column, 1)
        asked = (self.take, self.back, self.repeat, self.skip, self.again)
        buttons = in_row(*asked, None, self.count, spacing=8)
        in_column(top, buttons, self.problem, self.runner, spacing=6, of=self.work)
        chosen = in_row(caption(tr("Stations")), self.choice, self.own, self.offer, spacing=8)
        for stretched in (self.own, self.offer):
            chosen.setStretchFactor(stretched, 1)
        chosen.addStretch(0)
        self.add(chosen)
        self.add(self.work)

    def _connect(self) -> None:
        self.choice.activated.connect(self._choose)
        self.choice.settled.connect(self._to_work)
        self.own.returnPressed.connect(self._begin_own)
        self.field.returnPressed.connect(self._take)
        self.take.clicked.connect(self._take)
        for button, signal, way in (
            (self.back, self.field.back, runs.back),
            (self.repeat, self.field.repeat, runs.repeat),
        ):
            button.clicked.connect(lambda _=False, way=way: self._go(way))
            signal.connect(lambda way=way: self._go(way))
        for asked in (self.skip.clicked, self.field.skip):
            asked.connect(lambda *_: self._go(lambda run: runs.skip(run, self._read)))
        self.again.clicked.connect(self._read_again)
        self.field.textEdited.connect(lambda _text: self._say(""))

    # -- what is shown ------------------------------------------------------------------------

    @property
    def run(self) -> Run | None:
        """The run of the current measurement."""
        measurement = self._desk.measurement
        return None if measurement is None else self._runs.get(measurement.key)

    def refresh(self) -> None:
        """Show the run of the current measurement, if it has one."""
        measurement = self._desk.measurement
        if measurement is None:
            self._runs.clear()
            self._chosen.clear()
            return
        self._offer_choices()
        run = self.run
        if run is not None:
            read = self._places_read(run)
            if not self._is_taking:
                run = runs.follow(run, self._read, read)
                self._runs[measurement.key] = run
            self._read = read
            self._show(run)
        self.work.setVisible(run is not None)
        chosen = self._chosen.get(measurement.key)
        self.own.setVisible(chosen == OWN)
        self.offer.setVisible(chosen is None)

    def _show(self, run: Run) -> None:
        read, measurement = self._desk.place.read, self._desk.measurement
        assert measurement is not None
        left_out = self._left_out(run)
        marks = tuple(
            Mark.LEFT_OUT if i in left_out else Mark.READ if i in self._read else Mark.TO_COME
            for i in range(len(run.places))
        )
        name = tr("All read") if run.place is None else self._named(run.place)
        self.place.setText(name)
        self.field.setEnabled(run.place is not None)
        self.take.setEnabled(run.place is not None)
        self.skip.setEnabled(run.place is not None)
        self.runner.show_run(run, marks, name)
        self.repeat.setEnabled(run.last is not None)
        self.repeat.setText(
            tr("Repeat")
            if run.last is None
            else read(Sentence("Repeat {place}", place=OnTape(run.places[run.last])))
        )
        self.before.setText(read(self._last_reading(run)) if run.last is not None else "")
        told = counted(
            "{count} of {all} read", "{count} of {all} read", len(self._read), all=len(run.places)
        )
        self.count.setText(read(told))
        self.runner.setAccessibleName(read(told))
        self.again.setVisible(bool(left_out))
        if left_out:
            place = OnTape(run.places[min(left_out)])
            self.again.setText(read(Sentence("Read {place} again", place=place)))

    def _last_reading(self, run: Run) -> Sentence:
        """The last reading at the place that was read last: never what is expected at the next."""
        measurement = self._desk.measurement
        assert measurement is not None
        assert run.last is not None
        place, half = run.places[run.last], measurement.instruments.tape / 2.0
        there = [each for each in measurement.stations if abs(each.distance - place) < half]
        if not there:
            return NOTHING
        diameter = Diameter(there[-1].readings[-1], unit=False)
        return Sentence("Last read: {diameter} at {place}", place=OnTape(place), diameter=diameter)

    def _named(self, place: float) -> str:
        return self._desk.place.read(Sentence("{place}", place=OnTape(place)))

    def _places_read(self, run: Run) -> frozenset[int]:
        measurement = self._desk.measurement
        assert measurement is not None
        return runs.read_of(run.places, measurement.stations, measurement.instruments.tape)

    def _left_out(self, run: Run) -> frozenset[int]:
        """Places of which nothing is kept."""
        study = self._desk.study
        if study is None or study.fit is None:
            return frozenset()
        tape = study.measurement.instruments.tape
        return runs.to_read_again(run.places, study.fit.shape, tape)

    def _offer_choices(self) -> None:
        us = self._desk.system is System.US
        steps = [each * 0.3048 for each in FEET] if us else list(METRES)
        measurement = self._desk.measurement
        chosen = self._chosen.get(measurement.key) if measurement else None
        offered: list[tuple[str, float | str | None]] = [(tr("as I type them"), None)]
        offered += [
            (self._desk.place.read(Sentence("every {step}", step=Length(step))), step)
            for step in steps
        ]
        offered.append((tr("own distances…"), OWN))
        if [text for text, _ in offered] != [
            self.choice.itemText(i) for i in range(self.choice.count())
        ]:
            self.choice.clear()
            for text, data in offered:
                self.choice.addItem(text, data)
        values = [data for _, data in offered]
        self.choice.setCurrentIndex(values.index(chosen) if chosen in values else -1)

    # -- what is done -------------------------------------------------------------------------

    def _choose(self, index: int) -> None:
        measurement = self._desk.measurement
        if measurement is None:
            return
        chosen = self.choice.itemData(index)
        self._chosen[measurement.key] = chosen
        self._runs.pop(measurement.key, None)
        if isinstance(chosen, float):
            self._begin(runs.every(chosen, measurement.length))
        self.refresh()

    def _to_work(self) -> None:
        """The keys go where they are wanted next."""
        if self.run is not None:
            self.field.setFocus()
        elif self.own.isVisible():
            self.own.setFocus()

    def _begin_own(self) -> None:
        measurement = self._desk.measurement
        if measurement is None:
            return
        try:
            places = runs.read_distances(self.own.text(), self._desk.system, measurement.length)
        except Unreadable as problem:
            self._desk.place.host.say_problem(problem.sentence)
            self.own.selectAll()
            return
        self._begin(places)
        self.field.setFocus()

    def _begin(self, places: tuple[float, ...]) -> None:
        measurement = self._desk.measurement
        assert measurement is not None
        begun = runs.begin(places)
        self._read = self._places_read(begun)
        self._runs[measurement.key] = runs.begin(places, self._read)
        self._say("")
        self.refresh()

    def _go(self, way: object) -> None:
        measurement, run = self._desk.measurement, self.run
        if measurement is None or run is None:
            return
        assert callable(way)
        self._runs[measurement.key] = way(run)
        self._say("")
        self.refresh()
        self.field.set_value(None)
        self.field.setFocus()

    def _read_again(self) -> None:
        run = self.run
        left_out = self._left_out(run) if run is not None else frozenset()
        if left_out:
            self._go(lambda run: runs.go_to(run, min(left_out)))

    def _take(self) -> None:
        measurement, run = self._desk.measurement, self.run
        if measurement is None or run is None or run.place is None:
            return
        diameter = self.field.value()
        if diameter is None:
            self._refuse(self.field.sentence or tr("Read the caliper first."))
            return
        self._is_taking = True
        outcome = self._desk.apply(edits.add_station, run.place, diameter)
        self._is_taking = False
        if outcome.refused:
            self._refuse(self._desk.place.read(outcome.refused))
            return
        self._runs[measurement.key] = runs.taken(run, self._read)
        QApplication.beep()
        self._say("")
        self.field.set_value(None)
        self.refresh()
        self.field.setFocus()

    def _refuse(self, why: str) -> None:
        """Say why not; the next reading replaces this one."""
        QApplication.beep()
        QTimer.singleShot(SECOND_BEEP, self, QApplication.beep)
        self._say(why)
        self.field.setFocus()
        self.field.selectAll()

    def _say(self, problem: str) -> None:
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))
