"""The table of sections that were weighed on their own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from taperlab.edits import measure as edits
from taperlab.edits.edited import Step
from taperlab.gui.pages.measure.desk_table import AddingModel, named
from taperlab.gui.table.grid_model import EMPTY, GridCell, Heading
from taperlab.units.kinds import (
    DISTANCE,
    SHORT_LENGTH,
    WEIGHT,
    System,
)
from taperlab.units.language import tr
from taperlab.units.parse import parse
from taperlab.units.sentence import Sentence, Weight
from taperlab.units.show import show

SOFT = GridCell("", "soft")


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
                named(tr("Weight"), WEIGHT, system),
                tr("weight of the section"),
                60,
                f"{tr(WEIGHT.help)}\n{weighed}",
            ),
            Heading(named(tr("Free"), SHORT_LENGTH, system), tr("length that hung free"), 62, free),
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
