"""The table of fitted segments, whose parts can be corrected."""

from __future__ import annotations

from collections.abc import Iterator

from taperlab.edits import measure as edits
from taperlab.gui.pages.measure.desk_table import DeskModel, named
from taperlab.gui.pages.measure.words import with_error
from taperlab.gui.table.grid_model import GridCell, Heading
from taperlab.shop.errors import CONFIDENT
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    WEIGHT,
    System,
)
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, read_part
from taperlab.units.sentence import NOTHING, Sentence
from taperlab.units.words import heading


class FittedModel(DeskModel):
    """The fitted segments; their parts are guesses that can be corrected."""

    def _headings(self, system: System) -> tuple[Heading, ...]:
        sure = tr("± covers 95 in 100 measurements like this one.")
        guess = tr("A guess from the shape. Type the first letters, or press F4 for the list.")
        alone = tr("Weight of this segment alone, loops left out.")
        columns = (
            (tr("Length"), tr("length"), 128, tr(LENGTH.help)),
            (named(tr("Front ⌀"), DIAMETER, system), tr("front diameter"), 112, tr(DIAMETER.help)),
            (named(tr("Rear ⌀"), DIAMETER, system), tr("rear diameter"), 112, tr(DIAMETER.help)),
            (named(tr("Density"), DENSITY, system), tr("density"), 112, tr(DENSITY.help)),
            (named(tr("Weight"), WEIGHT, system), tr("weight"), 98, alone),
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
