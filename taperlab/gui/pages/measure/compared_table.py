"""The table of what was designed beside what was built."""

from __future__ import annotations

from collections.abc import Iterator

from taperlab.gui.kit.widgets import NONE
from taperlab.gui.pages.measure.desk_table import DeskModel, named
from taperlab.gui.pages.measure.words import difference_text
from taperlab.gui.table.grid_model import GridCell, Heading
from taperlab.shop.measure.as_built import Row
from taperlab.units.kinds import (
    LENGTH,
    WEIGHT,
    System,
)
from taperlab.units.language import tr
from taperlab.units.show import show
from taperlab.units.words import capital


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
            (named(tr("Designed"), WEIGHT, system), tr("designed weight"), 90, weight),
            (named(tr("Built"), WEIGHT, system), tr("built weight"), 74, weight),
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
