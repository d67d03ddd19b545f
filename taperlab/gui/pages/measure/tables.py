"""What the tables of the Measure page show, and what typing into them does."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from taperlab.edits import measure as edits
from taperlab.edits.edited import Step
from taperlab.files.cells import parse_clipboard, too_long
from taperlab.files.marks import marks_pasted
from taperlab.files.problem import TableProblem
from taperlab.files.stations import stations_of
from taperlab.gui.kit.widgets import NONE
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.words import difference_text, even, off_text, off_unit, with_error
from taperlab.gui.table.grid_model import EMPTY, GridCell, GridModel, GridRow, Heading
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.measure.as_built import Row
from taperlab.shop.measure.drawn import RowRead, rows_read
from taperlab.shop.measure.slips import left_out
from taperlab.shop.measure.study import Measured
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    DISTANCE,
    LENGTH,
    SHORT_LENGTH,
    WEIGHT,
    Kind,
    System,
)
from taperlab.units.language import tr
from taperlab.units.limits import MOST_STATIONS
from taperlab.units.parse import Unreadable, parse, read_part
from taperlab.units.sentence import NOTHING, Sentence, Weight, counted
from taperlab.units.show import show, shown_unit
from taperlab.units.vocabulary import unit_named
from taperlab.units.words import capital, heading

_NEXT_READING = re.compile(r"\s*;\s*|\s+(?=[\d.,])")

SOFT = GridCell("", "soft")
NO_MEASUREMENT = Sentence("Start a measurement first.")


def _named(text: str, kind: Kind, system: System) -> str:
    return tr("{heading} ({unit})").format(heading=text, unit=shown_unit(kind, system))


def read_diameters(text: str, system: System) -> tuple[float, ...]:
    """Several diameters [m], parted by spaces or semicolons. Raises Unreadable."""
    return tuple(
        parse(each, DIAMETER, system) for each in _NEXT_READING.split(text.strip()) if each
    )


class DeskModel(GridModel[GridRow]):
    """Rows that follow the current measurement."""

    def __init__(self, desk: Desk, *, adds: bool = False) -> None:
        self._desk = desk
        super().__init__(self._headings(desk.system), adds=adds)
        desk.follow(self.refresh)

    def refresh(self) -> None:
        """Show what is known now."""
        self.set_headings(self._headings(self._desk.system))
        self.show_rows([GridRow(cells) for cells in self._rows(self._desk.system)])

    def _headings(self, system: System) -> tuple[Heading, ...]:
        raise NotImplementedError

    def _rows(self, system: System) -> Iterator[tuple[GridCell, ...]]:
        raise NotImplementedError

    @property
    def _fit(self) -> Measured | None:
        """What was fitted, if anything was."""
        return self._desk.study.fit if self._desk.study else None


class AddingModel(DeskModel):
    """Rows that are typed one after the other.

    The first ``WAITING`` cells of the last row are distances, which wait until the cell behind
    them is typed: then the row is added.
    """

    WAITING = 1

    def __init__(self, desk: Desk) -> None:
        self._waits: list[float | None] = [None] * self.WAITING
        super().__init__(desk, adds=True)
        desk.another.connect(self.forget)

    def forget(self) -> None:
        """Forget what waits: it was of another measurement."""
        self._waits = [None] * self.WAITING
        self.tell(self.count, 0, self.WAITING)

    def refresh(self) -> None:
        """Show what is measured now."""
        super().refresh()
        if any(each is not None for each in self._waits):
            self.tell(self.count, 0, self.WAITING - 1)

    def adding_cell(self, column: int) -> GridCell:
        """The distances that wait, or what to do."""
        waits = self._waits[column] if column < self.WAITING else None
        if waits is not None:
            return GridCell(self._distance(waits))
        nothing = column == 0 and all(each is None for each in self._waits)
        return GridCell(tr("Next…"), "soft") if nothing else EMPTY

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        waits = row >= self.count and column < self.WAITING and self._waits[column] is not None
        return self.adding_cell(column).text if waits else super().edit_text(row, column)

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take a typed cell of a row, or of the one to come."""
        if self._desk.measurement is None:
            return NO_MEASUREMENT
        try:
            if row >= self.count:
                return self._take_next(column, text)
            if text == self.edit_text(row, column):
                return NOTHING
            edit, arguments = self._step(row, column, text)
            return self._desk.apply(edit, *arguments).refused
        except Unreadable as problem:
            return problem.sentence

    def fill(self, texts: Mapping[tuple[int, int], str]) -> Sentence:
        """Take texts for cells as one step; a text for the row to come is as if it were typed."""
        if self._desk.measurement is None or any(row >= self.count for row, _ in texts):
            return super().fill(texts)
        try:
            steps = [self._step(*place, text) for place, text in texts.items()]
        except Unreadable as problem:
            return Sentence("Nothing was pasted: {problem}", problem=problem.sentence)
        return self._desk.apply_all(Sentence("Paste"), steps).refused

    def _take_next(self, column: int, text: str) -> Sentence:
        blank = not text.strip()
        if column < self.WAITING:
            self._waits[column] = None if blank else parse(text, DISTANCE, self._desk.system)
            self.tell(self.count, 0, self.WAITING)
            return NOTHING
        if blank:
            return NOTHING
        ready = [each for each in self._waits if each is not None]
        if len(ready) < self.WAITING or column > self.WAITING:
            return self._missing(column)
        waited, self._waits = self._waits, [None] * self.WAITING
        try:
            why_not = self._add(ready, text)
        except Unreadable as problem:
            why_not = problem.sentence
        if why_not:
            self._waits = waited
        self.tell(self.count, 0, self.WAITING)
        return why_not

    def _distance(self, distance: float) -> str:
        """A distance [m] for a narrow column: 12' 6.0\", 3.810 m."""
        us = self._desk.system is System.US
        return show(distance, DISTANCE, self._desk.system, unit=not us)

    def _missing(self, column: int) -> Sentence:
        """What must be typed before this cell of the row to come."""
        raise NotImplementedError

    def _add(self, waited: list[float], text: str) -> Sentence:
        """Add a row; why not. Raises Unreadable."""
        raise NotImplementedError

    def _step(self, row: int, column: int, text: str) -> Step:
        """The edit of the measurement that changes a cell of a row. Raises Unreadable."""
        raise NotImplementedError


class StationModel(AddingModel):
    """Stations in the order they were typed; a distance and a diameter make the next one.

    Either may come first: a diameter waits for its distance as a distance for its diameter. A
    caliper types without looking: what it sends after a refusal replaces what was refused.
    """

    def __init__(self, desk: Desk) -> None:
        self._diameter: float | None = None
        self._placed: int | None = None
        super().__init__(desk)

    def _headings(self, system: System) -> tuple[Heading, ...]:
        caliper = tr(
            "A caliper that types like a keyboard can type it: Enter goes on to the next station."
        )
        again = tr(
            "Further diameters at the same place, parted by spaces. Typing the same distance once "
            "more does the same."
        )
        off = tr(
            "How far the mean of the readings lies above (+) or below the fitted line. A reading "
            "with a crossed square is left out, and this is its own."
        )
        return (
            Heading(tr("Distance"), tr("distance from the fly end"), 66, tr(DISTANCE.help)),
            Heading(
                _named("⌀", DIAMETER, system), tr("diameter"), 58, f"{tr(DIAMETER.help)}\n{caliper}"
            ),
            Heading(tr("Again"), tr("further readings"), 48, again),
            Heading(
                tr("Off ({unit})").format(unit=off_unit(system)),
                tr("off the fit"),
                56,
                off,
                typed=False,
                spare=True,
            ),
        )

    def stops(self) -> tuple[int, ...]:
        """Enter goes from distance to diameter, and on to the next distance."""
        return (0, 1)

    def _rows(self, system: System) -> Iterator[tuple[GridCell, ...]]:
        measurement, study = self._desk.measurement, self._desk.study
        rows = rows_read(study) if study is not None else ()
        for i, station in enumerate(measurement.stations if measurement else ()):
            read = rows[i] if i < len(rows) else RowRead(None, (), False)
            out = {each.number for each in read.left_out}
            told = "\n".join(self._desk.place.read(left_out(each)) for each in read.left_out)
            first, *more = (even(reading, DIAMETER, system) for reading in station.readings)
            again = GridCell("  ".join(more))
            yield (
                GridCell(self._distance(station.distance)),
                GridCell(first, "slip", told) if 0 in out else GridCell(first),
                GridCell(again.text, "slip", told) if out - {0} else again,
                self._off(read, system),
            )

    def _off(self, row: RowRead, system: System) -> GridCell:
        if row.off is None:
            return SOFT
        text = off_text(row.off, system)
        if row.in_doubt:
            return GridCell(tr("{off} ?").format(off=text), "warn", tr("In doubt: read it again."))
        return GridCell(text, "warn" if row.left_out else "soft")

    # -- diameter first -----------------------------------------------------------------------

    def forget(self) -> None:
        """Forget what waits, a diameter too."""
        self._diameter = None
        super().forget()

    def adding_cell(self, column: int) -> GridCell:
        """What waits, or what to do."""
        if self._diameter is None:
            return super().adding_cell(column)
        if column == self.WAITING:
            return GridCell(even(self._diameter, DIAMETER, self._desk.system))
        return GridCell(tr("Where?"), "soft") if column == 0 else EMPTY

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        if row >= self.count and self._diameter is not None:
            return self.adding_cell(column).text if column == self.WAITING else ""
        return super().edit_text(row, column)

    def onward(self, row: int, column: int) -> tuple[int, int] | None:
        """From a distance that was typed after its diameter to the next diameter."""
        placed, self._placed = self._placed, None
        return (self.count, self.WAITING) if (row, column) == (placed, 0) else None

    def _take_next(self, column: int, text: str) -> Sentence:
        if column == self.WAITING and self._waits[0] is None:
            self._diameter = self._diameter_of(text)
            self.tell(self.count, 0, self.WAITING)
            return NOTHING
        if column == 0 and self._diameter is not None and text.strip():
            distance, row = parse(text, DISTANCE, self._desk.system), self.count
            waited, self._diameter = self._diameter, None
            refused = self._desk.apply(edits.add_station, distance, waited).refused
            self._diameter, self._placed = (waited, None) if refused else (None, row)
            self.tell(self.count, 0, self.WAITING)
            return refused
        return super()._take_next(column, text)

    def _diameter_of(self, text: str) -> float | None:
        """A diameter that can be one, or None for none. Raises Unreadable."""
        if not text.strip():
            return None
        return parse(text, DIAMETER, self._desk.system)

    def _missing(self, column: int) -> Sentence:
        return Sentence("Type one diameter first, in the cell at the left.")

    def _add(self, waited: list[float], text: str) -> Sentence:
        diameter = parse(text, DIAMETER, self._desk.system)
        return self._desk.apply(edits.add_station, *waited, diameter).refused

    def _step(self, row: int, column: int, text: str) -> Step:
        measurement, system = self._desk.measurement, self._desk.system
        assert measurement is not None
        station = measurement.stations[row]
        distance, readings = station.distance, station.readings
        if column == 0:
            distance = parse(text, DISTANCE, system)
        elif column == 1:
            readings = (parse(text, DIAMETER, system), *readings[1:])
        else:
            readings = (readings[0], *read_diameters(text, system))
        return edits.replace_station, (row, distance, readings)

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Take stations out."""
        self._desk.apply(edits.delete_stations, rows)

    def paste(self, text: str) -> Sentence:
        """Add stations from a spreadsheet: a distance and one or more diameters a row."""
        if self._desk.measurement is None:
            return NO_MEASUREMENT
        if why := too_long(text):
            return why
        cells = [[cell.strip() for cell in row] for row in parse_clipboard(text.lstrip("\ufeff"))]
        numbered = [(i, row) for i, row in enumerate(cells, 1) if any(row)]
        if not numbered:
            return Sentence("There is nothing on the clipboard to paste.")
        if len(numbered) > MOST_STATIONS:
            return counted(
                "The clipboard holds {count} row; that is no list of stations.",
                "The clipboard holds {count} rows; that is no list of stations.",
                len(numbered),
            )
        if not any(character.isdigit() for character in "".join(numbered[0][1])):
            if any(set("[(") & set(cell) for cell in numbered[0][1]):
                return self._paste_table(text)
            numbered = numbered[1:]  # a heading that says nothing of units
        marks = marks_pasted(cell for _, row in numbered for cell in row)
        distances, diameters = (
            unit_named(shown_unit(kind, self._desk.system)) for kind in (DISTANCE, DIAMETER)
        )
        found = []
        for i, row in numbered:
            if len(row) < 2 or not row[0] or not any(row[1:]):
                return Sentence(
                    "Row {row}: a distance and a diameter are expected, in two columns.", row=i
                )
            try:
                found.append(
                    (
                        marks.read(row[0], DISTANCE, distances),
                        tuple(marks.read(each, DIAMETER, diameters) for each in row[1:] if each),
                    )
                )
            except Unreadable as problem:
                return Sentence("Row {row}: {problem}", row=i, problem=problem.sentence)
        return self._desk.apply(edits.paste_stations, found).refused

    def _paste_table(self, text: str) -> Sentence:
        """Add stations from a table whose headings name its units, as a file has them."""
        try:
            stations = stations_of(text)
        except TableProblem as problem:
            return Sentence("Nothing was pasted: {problem}", problem=problem.sentence)
        found = [(each.distance, each.readings) for each in stations]
        return self._desk.apply(edits.paste_stations, found).refused


class SectionModel(AddingModel):
    """Sections weighed on their own; the weight of the whole line is no row here."""

    WAITING = 2

    def _headings(self, system: System) -> tuple[Heading, ...]:
        weighed = tr("Of an offcut, or of a stretch of line weighed on its own.")
        free = tr(
            "Only where an end lay on the pan and the rest beside it on a level bench as high as "
            "the pan: how much hung free in between, 12 to 18 in. From and To are what lay on the "
            "pan. Empty: the stretch was weighed alone."
        )
        help_text = tr(DISTANCE.help)
        return (
            Heading(tr("From"), tr("from, distance from the fly end"), 50, help_text),
            Heading(tr("To"), tr("to, distance from the fly end"), 56, help_text),
            Heading(
                _named(tr("Weight"), WEIGHT, system),
                tr("weight of the section"),
                60,
                f"{tr(WEIGHT.help)}\n{weighed}",
            ),
            Heading(
                _named(tr("Free"), SHORT_LENGTH, system), tr("length that hung free"), 62, free
            ),
        )

    def stops(self) -> tuple[int, ...]:
        """Enter goes from one end to the other, to the weight, and on to the next row."""
        return (0, 1, 2)

    def _places(self) -> list[int]:
        """Where the rows stand among the sections of the measurement."""
        measurement = self._desk.measurement
        if measurement is None:
            return []
        whole = edits.total_section(measurement)
        return [i for i in range(len(measurement.sections)) if i != whole]

    def _rows(self, system: System) -> Iterator[tuple[GridCell, ...]]:
        measurement, fit = self._desk.measurement, self._fit
        if measurement is None:
            return
        for place in self._places():
            section = measurement.sections[place]
            tip, role = "", ""
            if fit is not None and self._desk.is_fresh:
                residual = float(fit.weights.belief.residuals[place])
                role = "warn" if fit.weights.stands_out(place) else ""
                off = Weight(residual, signed=True)
                tip = self._desk.place.read(Sentence("{weight} against the fit", weight=off))
            yield (
                GridCell(show(section.front, DISTANCE, system, unit=False)),
                GridCell(show(section.rear, DISTANCE, system, unit=False)),
                GridCell(show(section.mass, WEIGHT, system, unit=False), role, tip),
                GridCell(show(section.span, SHORT_LENGTH, system, unit=False))
                if section.span
                else EMPTY,
            )

    def _distance(self, distance: float) -> str:
        return show(distance, DISTANCE, self._desk.system, unit=False)

    def _missing(self, column: int) -> Sentence:
        return Sentence("Type both ends of the section first, in the cells at the left.")

    def _add(self, waited: list[float], text: str) -> Sentence:
        mass = parse(text, WEIGHT, self._desk.system)
        return self._desk.apply(edits.add_section, *waited, mass).refused

    def _step(self, row: int, column: int, text: str) -> Step:
        measurement, place = self._desk.measurement, self._places()[row]
        assert measurement is not None
        section = measurement.sections[place]
        values = [section.front, section.rear, section.mass, section.span]
        kind = (DISTANCE, DISTANCE, WEIGHT, SHORT_LENGTH)[column]
        values[column] = parse(text if text.strip() or column < 3 else "0", kind, self._desk.system)
        return edits.replace_section, (place, *values)

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Take sections out."""
        places = self._places()
        self._desk.apply(edits.delete_sections, [places[row] for row in rows])


class FittedModel(DeskModel):
    """The fitted segments; their parts are guesses that can be corrected."""

    def _headings(self, system: System) -> tuple[Heading, ...]:
        sure = tr("± covers 95 in 100 measurements like this one.")
        guess = tr("A guess from the shape. Type the first letters, or press F4 for the list.")
        alone = tr("Weight of this segment alone, loops left out.")
        columns = (
            (tr("Length"), tr("length"), 128, tr(LENGTH.help)),
            (_named(tr("Front ⌀"), DIAMETER, system), tr("front diameter"), 112, tr(DIAMETER.help)),
            (_named(tr("Rear ⌀"), DIAMETER, system), tr("rear diameter"), 112, tr(DIAMETER.help)),
            (_named(tr("Density"), DENSITY, system), tr("density"), 112, tr(DENSITY.help)),
            (_named(tr("Weight"), WEIGHT, system), tr("weight"), 98, alone),
        )
        return (
            Heading(tr("Part"), tr("part"), 100, guess, right=False, part=True),
            *(
                Heading(text, name, width, f"{help_text}\n{sure}", typed=False)
                for text, name, width, help_text in columns
            ),
        )

    def _rows(self, system: System) -> Iterator[tuple[GridCell, ...]]:
        study, found = self._desk.study, self._fit
        if study is None or found is None:
            return
        fit, (_, lengths) = found.weights, found.weights.lengths
        diameters = CONFIDENT * fit.shape.errors.diameters
        guess = tr("A guess from the shape: correct it if it is wrong.")
        tip = "" if study.measurement.parts else guess
        for i, segment in enumerate(found.line.segments):
            numbers = (
                (segment.length, lengths[i], LENGTH),
                (segment.front_diameter, diameters[i], DIAMETER),
                (segment.rear_diameter, diameters[i + 1], DIAMETER),
                (segment.density, fit.density_halves[i], DENSITY),
                (fit.masses[i], fit.mass_halves[i], WEIGHT),
            )
            yield (
                GridCell(heading(segment.part), "", tip),
                *(
                    GridCell(with_error(value, float(error), kind, system))
                    for value, error, kind in numbers
                ),
            )

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take a corrected part."""
        fit = self._fit
        if fit is None or row >= self.count:
            return Sentence("Nothing is fitted yet.")
        if text == self.edit_text(row, column):
            return NOTHING
        try:
            part = read_part(text)
        except Unreadable as problem:
            return problem.sentence
        shown = [segment.part for segment in fit.line.segments]
        return self._desk.apply(edits.set_part, row, part, shown).refused


class ComparedModel(DeskModel):
    """As designed against as built, segment by segment and for the whole."""

    def _headings(self, system: System) -> tuple[Heading, ...]:
        less = tr("Built less designed, with the error of the measurement (95 in 100).")
        judged = tr("Whether a difference is more than measuring error explains (95 in 100).")
        length, weight = tr(LENGTH.help), tr(WEIGHT.help)
        numbers = (
            (tr("Designed"), tr("designed length"), 72, length),
            (tr("Built"), tr("built length"), 90, length),
            (tr("Difference"), tr("difference in length"), 98, less),
            (_named(tr("Designed"), WEIGHT, system), tr("designed weight"), 90, weight),
            (_named(tr("Built"), WEIGHT, system), tr("built weight"), 74, weight),
            (tr("Difference"), tr("difference in weight"), 84, less),
        )
        return (
            Heading(tr("Part"), tr("part"), 88, tr("The segment."), right=False, typed=False),
            *(Heading(*each, typed=False) for each in numbers),
            Heading(tr("Judged"), tr("judged"), 116, judged, right=False, typed=False),
        )

    def _rows(self, system: System) -> Iterator[tuple[GridCell, ...]]:
        for row in self._desk.study.rows if self._desk.study else ():
            role = "strong" if row.is_whole else ""
            read = self._desk.place.read
            yield (
                GridCell(capital(read(row.name)), role),
                *(GridCell(text, role) for text in _amounts(row, system)),
                GridCell(read(row.verdict), "warn" if row.differs else "soft"),
            )


def _amounts(row: Row, system: System) -> Iterator[str]:
    for amount, kind in ((row.length, LENGTH), (row.mass, WEIGHT)):
        for value in (amount.designed, amount.built):
            yield NONE if value is None else show(value, kind, system, unit=kind is not WEIGHT)
        yield difference_text(amount, kind, system)
