"""What the tables of the Measure page show, and what typing into them does."""

from __future__ import annotations

import re
from collections.abc import Sequence

from taperlab.edits import measure as edits
from taperlab.files.cells import parse_clipboard
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.pages.measure.grid_model import EMPTY, GridCell, GridModel, Heading
from taperlab.gui.pages.measure.words import (
    difference_text,
    even,
    off_text,
    off_unit,
    with_error,
)
from taperlab.shop.measure.as_built import segment_errors
from taperlab.units import kinds
from taperlab.units.kinds import DENSITY, DIAMETER, DISTANCE, LENGTH, WEIGHT, Kind, System
from taperlab.units.parse import Unreadable, parse
from taperlab.units.parts import read_part
from taperlab.units.sentence import render
from taperlab.units.show import show, shown_unit
from taperlab.units.words import capital, heading

_NEXT_READING = re.compile(r"\s*;\s*|\s+(?=[\d.,])")
MOST_ROWS = 2000


def _named(text: str, kind: Kind, system: System) -> str:
    return f"{text} ({shown_unit(kind, system)})"


def read_diameters(text: str, system: System) -> tuple[float, ...]:
    """Several diameters [m], parted by spaces or semicolons. Raises Unreadable."""
    return tuple(
        parse(each, DIAMETER, system) for each in _NEXT_READING.split(text.strip()) if each
    )


def place_text(distance: float, system: System) -> str:
    """A distance [m] for a narrow column: 12' 6.0\", 3.810 m."""
    return show(distance, DISTANCE, system, unit=system is not System.US)


class StationModel(GridModel):
    """Stations in the order they were typed; a distance and a diameter make the next one."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(self._headings(desk.system), adds=True)
        self._desk = desk
        self._pending: float | None = None
        desk.changed.connect(self.refresh)
        desk.studied.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def _headings(self, system: System) -> tuple[Heading, ...]:
        return (
            Heading("Distance", "distance from the fly end", 74, DISTANCE.help),
            Heading(
                _named("⌀", DIAMETER, system),
                "diameter",
                62,
                f"{DIAMETER.help}\nA caliper that types like a keyboard can type it: Enter goes on "
                "to the next row.",
            ),
            Heading(
                "Again",
                "further readings",
                58,
                "Further diameters at the same place, parted by spaces. Typing the same distance "
                "in a new row does the same.",
            ),
            Heading(
                f"Off ({off_unit(system)})",
                "off the fit",
                64,
                "How far the mean of the readings lies above (+) or below the fitted line. A "
                "station that does not fit its neighbours is left out.",
                typed=False,
                spare=True,
            ),
        )

    @property
    def pending(self) -> float | None:
        """A distance [m] that waits for its diameter."""
        return self._pending

    def stops(self) -> tuple[int, ...]:
        """Enter goes from distance to diameter, and on to the next distance."""
        return (0, 1)

    def refresh(self) -> None:
        """Show what was measured and how it lies to the fit."""
        desk, system = self._desk, self._desk.system
        self.set_headings(self._headings(system))
        measurement = desk.measurement
        if measurement is None:
            self._pending = None
            self.show_rows([])
            return
        off = self._off()
        rows = []
        for station in measurement.stations:
            first, *more = (even(reading, DIAMETER, system) for reading in station.readings)
            rows.append(
                (
                    GridCell(place_text(station.distance, system)),
                    GridCell(first),
                    GridCell("  ".join(more)),
                    off.get(round(station.distance, 6), GridCell("", "soft")),
                )
            )
        self.show_rows(rows)
        if self._pending is not None:
            self._tell(self.count, 0, 0)

    def _off(self) -> dict[float, GridCell]:
        study = self._desk.study
        if study is None or study.fit is None:
            return {}
        shape, made = study.fit.shape, {}
        places = shape.stations.distances.tolist()
        for place, residual, used in zip(
            places, shape.residuals.tolist(), shape.used.tolist(), strict=True
        ):
            text = off_text(residual, self._desk.system)
            cell = GridCell(text, "soft")
            if not used:
                cell = GridCell(
                    f"✕ {text}", "warn", "Left out: it does not fit its neighbours. Measure again."
                )
            made[round(place, 6)] = cell
        return made

    def adding_cell(self, column: int) -> GridCell:
        """The distance that waits for its diameter, or what to do."""
        if self._pending is not None:
            text = place_text(self._pending, self._desk.system) if column == 0 else ""
            return GridCell(text)
        return GridCell("Next…", "soft") if column == 0 else EMPTY

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        if row >= self.count:
            return self.adding_cell(0).text if column == 0 and self._pending is not None else ""
        return super().edit_text(row, column)

    def commit(self, row: int, column: int, text: str) -> str:
        """Take a typed distance, diameter or further readings."""
        measurement = self._desk.measurement
        if measurement is None:
            return "Start a measurement first."
        if row < self.count and text == self.edit_text(row, column):
            return ""
        try:
            if row >= self.count:
                return self._add(column, text)
            station = measurement.stations[row]
            distance, readings = station.distance, station.readings
            if column == 0:
                distance = parse(text, DISTANCE, self._desk.system)
            elif column == 1:
                readings = (parse(text, DIAMETER, self._desk.system), *readings[1:])
            else:
                readings = (readings[0], *read_diameters(text, self._desk.system))
        except Unreadable as problem:
            return render(problem.sentence, self._desk.system)
        return self._desk.apply(edits.replace_station, row, distance, readings)

    def _add(self, column: int, text: str) -> str:
        if not text.strip():
            if column == 0:
                self._pending = None
            return ""
        if column == 0:
            self._pending = parse(text, DISTANCE, self._desk.system)
            self._tell(self.count, 0, 0)
            return ""
        if self._pending is None:
            return "Type the distance from the fly end first, in the cell at the left."
        if column > 1:
            return "Type one diameter first, in the cell at the left."
        diameter = parse(text, DIAMETER, self._desk.system)
        pending, self._pending = self._pending, None
        sentence = self._desk.apply(edits.add_station, pending, diameter)
        if sentence:
            self._pending = pending
        self._tell(self.count, 0, 1)
        return sentence

    def paste(self, text: str) -> str:
        """Add stations from a spreadsheet: a distance and one or more diameters a row."""
        if self._desk.measurement is None:
            return "Start a measurement first."
        cells = [[cell.strip() for cell in row] for row in parse_clipboard(text.lstrip("\ufeff"))]
        numbered = [(i, row) for i, row in enumerate(cells, 1) if any(row)]
        if not numbered:
            return "There is nothing on the clipboard to paste."
        if len(numbered) > MOST_ROWS:
            return f"The clipboard holds {len(numbered)} rows; that is no list of stations."
        if not any(character.isdigit() for character in "".join(numbered[0][1])):
            numbered = numbered[1:]  # a heading
        found = []
        for i, row in numbered:
            if len(row) < 2 or not row[0] or not any(row[1:]):
                return f"Row {i}: a distance and a diameter are expected, in two columns."
            try:
                distance = parse(row[0], DISTANCE, self._desk.system)
                diameters = tuple(
                    parse(cell, DIAMETER, self._desk.system) for cell in row[1:] if cell
                )
            except Unreadable as problem:
                return f"Row {i}: {render(problem.sentence, self._desk.system)}"
            found.append((distance, diameters))
        return self._desk.apply(edits.paste_stations, found)


class SectionModel(GridModel):
    """Sections weighed on their own; the weight of the whole line is no row here."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(self._headings(desk.system), adds=True)
        self._desk = desk
        self._pending: list[float | None] = [None, None]
        desk.changed.connect(self.refresh)
        desk.studied.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def _headings(self, system: System) -> tuple[Heading, ...]:
        return (
            Heading("From", "from, distance from the fly end", 58, DISTANCE.help),
            Heading("To", "to, distance from the fly end", 62, DISTANCE.help),
            Heading(
                _named("Weight", WEIGHT, system),
                "weight of the section",
                84,
                f"{WEIGHT.help}\nOf an offcut, or of a stretch of line weighed on its own.",
            ),
        )

    def _places(self) -> list[int]:
        """Where the rows stand among the sections of the measurement."""
        measurement = self._desk.measurement
        if measurement is None:
            return []
        whole = edits.total_section(measurement)
        return [i for i in range(len(measurement.sections)) if i != whole]

    def rows_in_measurement(self, rows: Sequence[int]) -> list[int]:
        """Rows of this table as places among the sections of the measurement."""
        places = self._places()
        return [places[row] for row in rows if row < len(places)]

    def refresh(self) -> None:
        """Show the sections, and how far the fit is from each."""
        desk, system = self._desk, self._desk.system
        self.set_headings(self._headings(system))
        measurement = desk.measurement
        if measurement is None:
            self._pending = [None, None]
            self.show_rows([])
            return
        fit = desk.study.fit if desk.is_fresh and desk.study else None
        rows = []
        for place in self._places():
            section = measurement.sections[place]
            tip, role = "", ""
            if fit is not None and place < len(fit.densities.section_residuals):
                residual = float(fit.densities.section_residuals[place])
                error = float(fit.densities.section_errors[place])
                role = "warn" if abs(residual) > 4.0 * error else ""
                off = show(residual, WEIGHT, system, signed=True)
                tip = f"{off} against the fit"
            rows.append(
                (
                    GridCell(show(section.front, DISTANCE, system, unit=False)),
                    GridCell(show(section.rear, DISTANCE, system, unit=False)),
                    GridCell(show(section.mass, WEIGHT, system, unit=False), role, tip),
                )
            )
        self.show_rows(rows)
        if self.adds and any(each is not None for each in self._pending):
            self._tell(self.count, 0, 1)

    def adding_cell(self, column: int) -> GridCell:
        """The ends that wait for a weight, or what to do."""
        if column < 2 and self._pending[column] is not None:
            return GridCell(
                show(self._pending[column] or 0.0, DISTANCE, self._desk.system, unit=False)
            )
        waits = any(each is not None for each in self._pending)
        return GridCell("Next…", "soft") if column == 0 and not waits else EMPTY

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""
        if row >= self.count:
            waits = column < 2 and self._pending[column] is not None
            return self.adding_cell(column).text if waits else ""
        return super().edit_text(row, column)

    def commit(self, row: int, column: int, text: str) -> str:
        """Take a typed end or weight."""
        measurement = self._desk.measurement
        if measurement is None:
            return "Start a measurement first."
        if row < self.count and text == self.edit_text(row, column):
            return ""
        try:
            if row >= self.count:
                return self._add(column, text)
            place = self._places()[row]
            section = measurement.sections[place]
            values = [section.front, section.rear, section.mass]
            values[column] = parse(text, DISTANCE if column < 2 else WEIGHT, self._desk.system)
        except Unreadable as problem:
            return render(problem.sentence, self._desk.system)
        return self._desk.apply(edits.replace_section, place, *values)

    def _add(self, column: int, text: str) -> str:
        if not text.strip():
            if column < 2:
                self._pending[column] = None
            return ""
        if column < 2:
            self._pending[column] = parse(text, DISTANCE, self._desk.system)
            self._tell(self.count, 0, 2)
            return ""
        front, rear = self._pending
        if front is None or rear is None:
            return "Type both ends of the section first, in the cells at the left."
        mass = parse(text, WEIGHT, self._desk.system)
        self._pending = [None, None]
        sentence = self._desk.apply(edits.add_section, front, rear, mass)
        if sentence:
            self._pending = [front, rear]
        self._tell(self.count, 0, 2)
        return sentence


class FittedModel(GridModel):
    """The fitted segments; their parts are guesses that can be corrected."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(self._headings(desk.system), adds=False)
        self._desk = desk
        desk.changed.connect(self.refresh)
        desk.studied.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def _headings(self, system: System) -> tuple[Heading, ...]:
        sure = "\n± covers 95 in 100 measurements like this one."
        return (
            Heading(
                "Part",
                "part",
                100,
                "A guess from the shape. Type the first letters, or press F4 for the list.",
                right=False,
                part=True,
            ),
            Heading("Length", "length", 128, LENGTH.help + sure, typed=False),
            Heading(
                _named("Front ⌀", DIAMETER, system),
                "front diameter",
                112,
                DIAMETER.help + sure,
                typed=False,
            ),
            Heading(
                _named("Rear ⌀", DIAMETER, system),
                "rear diameter",
                112,
                DIAMETER.help + sure,
                typed=False,
            ),
            Heading(
                _named("Density", DENSITY, system),
                "density",
                112,
                DENSITY.help + sure,
                typed=False,
            ),
            Heading(
                _named("Weight", WEIGHT, system),
                "weight",
                98,
                "Weight of this segment alone, loops left out." + sure,
                typed=False,
            ),
        )

    def refresh(self) -> None:
        """Show the fit."""
        system = self._desk.system
        self.set_headings(self._headings(system))
        study = self._desk.study
        if study is None or study.fit is None:
            self.show_rows([])
            return
        fit, given = study.fit.densities, bool(study.measurement.parts)
        rows = []
        errors = fit.errors
        for i, segment in enumerate(study.fit.line.segments):
            mass_error, length_error, _ = segment_errors(fit, i)
            tip = "" if given else "A guess from the shape: correct it if it is wrong."
            rows.append(
                (
                    GridCell(heading(segment.part), "", tip),
                    GridCell(with_error(segment.length, length_error, LENGTH, system)),
                    GridCell(
                        with_error(segment.front_diameter, errors.diameters[i], DIAMETER, system)
                    ),
                    GridCell(
                        with_error(segment.rear_diameter, errors.diameters[i + 1], DIAMETER, system)
                    ),
                    GridCell(with_error(segment.density, errors.densities[i], DENSITY, system)),
                    GridCell(with_error(fit.segment_mass(i), mass_error, WEIGHT, system)),
                )
            )
        self.show_rows(rows)

    def commit(self, row: int, column: int, text: str) -> str:
        """Take a corrected part."""
        study = self._desk.study
        if study is None or study.fit is None or row >= self.count:
            return "Nothing is fitted yet."
        if text == self.edit_text(row, column):
            return ""
        try:
            part = read_part(text)
        except Unreadable as problem:
            return render(problem.sentence, self._desk.system)
        shown = [segment.part for segment in study.fit.line.segments]
        return self._desk.apply(edits.set_part, row, part, shown)


class ComparedModel(GridModel):
    """As designed against as built, segment by segment and for the whole."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(self._headings(desk.system), adds=False)
        self._desk = desk
        desk.changed.connect(self.refresh)
        desk.studied.connect(self.refresh)
        desk.settings.units_changed.connect(self.refresh)
        self.refresh()

    def _headings(self, system: System) -> tuple[Heading, ...]:
        grains = shown_unit(WEIGHT, system)
        built = "Built less designed, with the error of the measurement (95 in 100)."
        return (
            Heading("Part", "part", 96, "The segment.", right=False, typed=False),
            Heading("Designed", "designed length", 76, LENGTH.help, typed=False),
            Heading("Built", "built length", 76, LENGTH.help, typed=False),
            Heading("Difference", "difference in length", 98, built, typed=False),
            Heading(f"Designed ({grains})", "designed weight", 92, kinds.WEIGHT.help, typed=False),
            Heading(f"Built ({grains})", "built weight", 74, kinds.WEIGHT.help, typed=False),
            Heading("Difference", "difference in weight", 88, built, typed=False),
            Heading(
                "Judged",
                "judged",
                124,
                "Whether a difference is more than measuring error explains (95 in 100).",
                right=False,
                typed=False,
            ),
        )

    def refresh(self) -> None:
        """Show the comparison."""
        system = self._desk.system
        self.set_headings(self._headings(system))
        study = self._desk.study
        rows = []
        for row in study.rows if study else ():
            role = "strong" if row.is_whole else ""
            texts = [capital(render(row.name, system))]
            for amount, kind in ((row.length, LENGTH), (row.mass, WEIGHT)):
                plain = kind is WEIGHT
                for value in (amount.designed, amount.built):
                    texts.append(
                        "–" if value is None else show(value, kind, system, unit=not plain)
                    )
                texts.append(difference_text(amount, kind, system))
            rows.append(
                (
                    *(GridCell(text, role) for text in texts),
                    GridCell(render(row.verdict, system), "warn" if row.differs else "soft"),
                )
            )
        self.show_rows(rows)

    def commit(self, row: int, column: int, text: str) -> str:
        """Nothing can be typed here."""
        return ""
