"""The segments of one member, to be edited by hand."""

from __future__ import annotations

from taperlab.gui.pages.range.case import RangeCase
from taperlab.gui.table.grid import Grid
from taperlab.gui.table.grid_model import GridCell, GridModel, GridRow, Heading
from taperlab.shop.analyse import analyse_line
from taperlab.units.columns import Column
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, WEIGHT, Kind, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, Sentence
from taperlab.units.show import show, shown_unit
from taperlab.units.words import heading

COLUMNS = (
    (Column.LENGTH, LENGTH),
    (Column.FRONT_DIAMETER, DIAMETER),
    (Column.REAR_DIAMETER, DIAMETER),
    (Column.DENSITY, DENSITY),
    (Column.WEIGHT, WEIGHT),
)
"""The columns that are typed into, behind the part."""


class SegmentsModel(GridModel[GridRow]):
    """The segments of the member that is looked at."""

    def __init__(self, case: RangeCase) -> None:
        self._case = case
        super().__init__(_headings(case.system))
        case.follow(self.refresh)
        case.turned.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the segments of the member that is looked at now."""
        system, member = self._case.system, self._case.member
        self.set_headings(_headings(system))
        if member is None:
            self.show_rows([])
            return
        figures = analyse_line(member.line, self._case.place.document.bench.water).segments
        rows = []
        for segment, found in zip(member.line.segments, figures, strict=True):
            numbers = (
                (segment.length, LENGTH),
                (segment.front_diameter, DIAMETER),
                (segment.rear_diameter, DIAMETER),
                (found.mean_density, DENSITY),
                (found.mass, WEIGHT),
            )
            cells = (GridCell(show(value, kind, system, unit=False)) for value, kind in numbers)
            rows.append(GridRow((GridCell(heading(segment.part)), *cells)))
        self.show_rows(rows)

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take a typed number: the member no longer follows from then on."""
        if text == self.edit_text(row, column):
            return NOTHING
        which, kind = COLUMNS[column - 1]
        try:
            value = parse(text, kind, self._case.system)
        except Unreadable as problem:
            return problem.sentence
        return self._case.type_by_hand({(row, which): value})


def _headings(system: System) -> tuple[Heading, ...]:
    def numbers(text: str, name: str, kind: Kind, width: int) -> Heading:
        unit = "" if kind.shown(system).feet_and_inches else shown_unit(kind, system)
        titled = tr("{heading} ({unit})").format(heading=text, unit=unit) if unit else text
        return Heading(titled, name, width, tr(kind.help))

    return (
        Heading(tr("Part"), tr("part"), 110, tr("From the fly end."), right=False, typed=False),
        numbers(tr("Length"), tr("length"), LENGTH, 96),
        numbers(tr("Front ⌀"), tr("front diameter"), DIAMETER, 92),
        numbers(tr("Rear ⌀"), tr("rear diameter"), DIAMETER, 92),
        numbers(tr("Density"), tr("density"), DENSITY, 104),
        numbers(tr("Weight"), tr("weight"), WEIGHT, 84),
    )


class SegmentsTable(Grid):
    """The segments of one member. What is typed makes it a member of its own."""

    def __init__(self, case: RangeCase) -> None:
        super().__init__(
            SegmentsModel(case),
            case.place,
            tr("Segments of the member"),
            tr("What is typed here is kept: the member no longer follows the parent."),
        )
