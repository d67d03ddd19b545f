"""The table of stations: where the caliper was, and what it read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from taperlab.edits import measure as edits
from taperlab.edits.edited import Step
from taperlab.files.cells import parse_clipboard, too_long
from taperlab.files.marks import marks_pasted
from taperlab.files.problem import TableProblem
from taperlab.files.stations import stations_of
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.desk_table import NO_MEASUREMENT, AddingModel, named
from taperlab.gui.pages.measure.words import even, off_text, off_unit
from taperlab.gui.table.grid_model import EMPTY, GridCell, Heading
from taperlab.shop.measure.drawn import RowRead, rows_read
from taperlab.shop.measure.slip_words import left_out
from taperlab.units.kinds import (
    DIAMETER,
    DISTANCE,
    System,
)
from taperlab.units.language import tr
from taperlab.units.limits import MOST_STATIONS
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, Sentence, counted
from taperlab.units.show import shown_unit
from taperlab.units.vocabulary import unit_named

_NEXT_READING = re.compile(r"\s*;\s*|\s+(?=[\d.,])")


SOFT = GridCell("", "soft")


def read_diameters(text: str, system: System) -> tuple[float, ...]:
    """Several diameters [m], parted by spaces or semicolons. Raises Unreadable."""
    return tuple(
        parse(each, DIAMETER, system) for each in _NEXT_READING.split(text.strip()) if each
    )


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
                named("⌀", DIAMETER, system), tr("diameter"), 58, f"{tr(DIAMETER.help)}\n{caliper}"
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
