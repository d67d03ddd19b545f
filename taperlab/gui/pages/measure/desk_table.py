"""Tables that follow the measurement, and those whose rows are typed one after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from taperlab.edits.edited import Step
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.table.grid_model import EMPTY, GridCell, GridModel, GridRow, Heading
from taperlab.shop.measure.study import Measured
from taperlab.units.kinds import (
    DISTANCE,
    Kind,
    System,
)
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, Sentence
from taperlab.units.show import show, shown_unit

NO_MEASUREMENT = Sentence("Start a measurement first.")


def named(text: str, kind: Kind, system: System) -> str:
    """What stands over a column: its name, with the unit that its figures are shown in."""
    return tr("{heading} ({unit})").format(heading=text, unit=shown_unit(kind, system))


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
