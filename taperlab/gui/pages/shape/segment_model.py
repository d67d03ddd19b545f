"""The segments of the current line as rows and columns, and a last row that adds one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal

from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Edited, Step, together
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.shape.columns import COLUMNS, Col, ShownColumn
from taperlab.gui.state.document import Change, Reason
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.grid_model import EMPTY, GridCell, GridModel, GridRow, Heading
from taperlab.gui.table.spoken import in_full_words, unit_in_words
from taperlab.model.aim import Cell
from taperlab.model.line import Joint, JointKind, Line
from taperlab.model.segment import Part, Segment
from taperlab.shop.analyse import SegmentFigures
from taperlab.shop.wording import joint_words
from taperlab.units.columns import Column
from taperlab.units.kinds import LENGTH, System
from taperlab.units.language import later, tr
from taperlab.units.parse import Unreadable, parse, read_part
from taperlab.units.sentence import (
    NOTHING,
    Density,
    Diameter,
    Length,
    Sentence,
    SinkRate,
    verbatim,
)
from taperlab.units.show import show
from taperlab.units.words import capital, heading

ADD = later("Add a segment")
FLOATS = later("floats")
FROM = later("From")

NUMBERS: dict[int, Callable[[Segment, SegmentFigures], float]] = {
    Col.LENGTH: lambda segment, figures: segment.length,
    Col.FRONT_DIAMETER: lambda segment, figures: segment.front_diameter,
    Col.REAR_DIAMETER: lambda segment, figures: segment.rear_diameter,
    Col.DENSITY: lambda segment, figures: figures.mean_density,
    Col.WEIGHT: lambda segment, figures: figures.mass,
    Col.FRONT_WEIGHT_PER_LENGTH: lambda segment, figures: figures.front_linear_density,
    Col.REAR_WEIGHT_PER_LENGTH: lambda segment, figures: figures.rear_linear_density,
    Col.SINK_RATE: lambda segment, figures: figures.sink,
}
"""What each column of numbers shows [SI]."""

CELL_OF: dict[int, Cell] = {
    Col.LENGTH: Cell.LENGTH,
    Col.FRONT_DIAMETER: Cell.FRONT,
    Col.REAR_DIAMETER: Cell.REAR,
    Col.DENSITY: Cell.DENSITY,
}
"""The columns whose numbers goals move."""

_EDITS: dict[int, Callable[..., Edited]] = {
    Col.PART: value_edits.set_part,
    Col.LENGTH: value_edits.set_length,
    Col.FRONT_DIAMETER: value_edits.set_front_diameter,
    Col.REAR_DIAMETER: value_edits.set_rear_diameter,
    Col.DENSITY: value_edits.set_density,
    Col.WEIGHT: value_edits.set_weight,
    Col.FRONT_WEIGHT_PER_LENGTH: value_edits.set_front_linear_density,
    Col.REAR_WEIGHT_PER_LENGTH: value_edits.set_rear_linear_density,
    Col.SINK_RATE: value_edits.set_sink_rate,
    Col.NOTE: value_edits.set_note,
}
_SOLVED = (Col.WEIGHT, Col.FRONT_WEIGHT_PER_LENGTH, Col.REAR_WEIGHT_PER_LENGTH)
"""Columns where the person chooses which other number moves."""


@dataclass(frozen=True, slots=True)
class SegmentRow(GridRow):
    """A segment, its figures, the joints ahead of and behind it, and what its cells show.

    Marks of the cells: a core in the density; in the part a made joint ahead, and one behind.
    """

    segment: Segment
    figures: SegmentFigures
    ahead: Joint | None
    behind: Joint | None

    @property
    def of(self) -> object:
        """The segment, which is known again where others come or go before it."""
        return self.segment

    def shows(
        self, segment: Segment, figures: SegmentFigures, ahead: Joint | None, behind: Joint | None
    ) -> bool:
        """Whether a row of these would look the same; where a segment starts is not shown."""
        return (
            self.segment is segment
            and self.ahead is ahead
            and self.behind is behind
            and self.figures.mass == figures.mass
            and self.figures.sink == figures.sink
        )


def is_made(joint: Joint | None) -> bool:
    """Whether a joint is something that somebody made: not one extrusion."""
    return joint is not None and (
        joint.kind is not JointKind.ONE_EXTRUSION or joint.added_mass > 0.0
    )


class SegmentModel(GridModel[SegmentRow]):
    """Reads the document, writes through edits.

    There is no reset while the same line stays current. updated(Change): the rows show what the
    document has. starts_moved: rows begin elsewhere; the signal for changed headings would have Qt
    lay out and paint the whole table for it.
    """

    updated = Signal(object)
    starts_moved = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject | None = None) -> None:
        self._place = place
        self._system = place.system
        self._line: Line | None = None
        self._starts: tuple[float, ...] = ()
        self._start_texts: tuple[str, ...] | None = None  # written once they are asked for
        super().__init__(_headings(place.system), parent=parent)
        watch.changed.connect(self._changed)
        self._load()

    # -- reading ------------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units that the cells show."""
        return self._system

    def adding_cell(self, column: int) -> GridCell:
        """What invites to add a segment."""
        return GridCell(tr(ADD), "soft") if column == Col.PART else EMPTY

    def tip(self, row: int, column: int) -> str:
        """What a cell says more of than it shows."""
        return self._place.read(self._tip(row, column))

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Headings with their units; row numbers from 1."""
        if orientation == Qt.Orientation.Vertical:
            is_segment = section < self.count
            if role == Qt.ItemDataRole.DisplayRole:
                return str(section + 1) if is_segment else "+"
            if role == Qt.ItemDataRole.AccessibleTextRole:
                if not is_segment:
                    return tr("New segment")
                start = in_full_words(self._starts[section], LENGTH, self._system)
                said = tr("Segment {row}, from {distance}")
                return said.format(row=section + 1, distance=start)
            if role == Qt.ItemDataRole.ToolTipRole and is_segment:
                return self._place.read(self.start_sentence(section))
            return None
        if role == Qt.ItemDataRole.AccessibleTextRole and 0 <= section < len(COLUMNS):
            unit = unit_in_words(COLUMNS[section].unit(self._system))
            return f"{self.headings[section].name} {unit}".strip()
        return super().headerData(section, orientation, role)

    @property
    def starts(self) -> Sequence[str]:
        """How far from the fly end each row begins."""
        if self._start_texts is None:
            shown = (show(each, LENGTH, self._system, unit=False) for each in self._starts[:-1])
            self._start_texts = tuple(shown)
        return self._start_texts

    def start_sentence(self, row: int) -> Sentence:
        """The same, said in full."""
        return Sentence("Begins {distance} from the fly end", distance=Length(self._starts[row]))

    # -- writing ------------------------------------------------------------------------------

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take typed text; gives back what is wrong with it, or nothing.

        Text that is just what the cell shows leaves the full value behind it alone.
        """
        line = self._place.document.line
        if line is None or not 0 <= row <= self.count:
            return Sentence("There is no line to type into.")
        adds = row == self.count
        if not text.strip() if adds else text == self.edit_text(row, column):
            return NOTHING
        try:
            edit, arguments = self.typed_step(row, column, text)
        except Unreadable as problem:
            return problem.sentence
        return self._apply(edit, *arguments)

    def _apply(self, edit: Callable[..., Edited], *arguments: Any) -> Sentence:
        done = self._place.document.apply(edit, *arguments, initiator=self)
        if done:  # why it was refused is said by whoever asked
            self._place.host.tell(done)
        return done.refused

    def typed_step(self, row: int, column: int, text: str) -> Step:
        """The edit that a text typed into a cell of the current line is. Raises Unreadable."""
        line = self._line.key if self._line else ""
        edit, arguments = self.step(line, row, column, self._read(column, text))
        if row < self.count:
            return edit, arguments
        steps = [(row_edits.insert_default, (line, row)), (edit, arguments)]
        said = Sentence("Insert segment")
        if Part.SINK_TIP in arguments:
            said = Sentence("Insert a sink tip of tungsten stock, by common practice")
        return together, (said, steps, (row,))

    def step(self, line: str, row: int, column: int, value: object) -> Step:
        """The edit that gives a cell a value."""
        how = self._place.settings
        solve = (how.solve,) if column in _SOLVED else ()
        ends = (how.ends,) if column in (*_SOLVED, Col.FRONT_DIAMETER, Col.REAR_DIAMETER) else ()
        return _EDITS[column], (line, row, value, *solve, *ends)

    def _read(self, column: int, text: str) -> object:
        if column == Col.PART:
            return read_part(text)
        kind = COLUMNS[column].kind
        return " ".join(text.split()) if kind is None else parse(text, kind, self._system)

    # -- following the document ---------------------------------------------------------------

    def use_system(self, system: System) -> None:
        """Show the other units."""
        if system is self._system:
            return
        self._system = system
        self.show_rows(
            [self._row(row.segment, row.figures, row.ahead, row.behind) for row in self._shown]
        )
        self.set_headings(_headings(system))
        self._tell_starts()

    def _tell_starts(self) -> None:
        self._start_texts = None
        self.starts_moved.emit()

    def _changed(self, change: Change) -> None:
        before, line = self._line, self._place.document.line
        if change.reason is Reason.LOAD or (before and before.key) != (line and line.key):
            self.beginResetModel()
            self._load()
            self.endResetModel()
        elif line is not None:
            self._line = line
            starts, self._starts = self._starts, line.starts
            self.show_rows(self._rows_of(line))
            if starts != self._starts:
                self._tell_starts()
        self.updated.emit(change)

    def _load(self) -> None:
        self._line = self._place.document.line
        self.adds = self._line is not None
        self._starts = self._line.starts if self._line else ()
        self._start_texts = None
        self._shown = self._rows_of(self._line) if self._line else []

    def _rows_of(self, line: Line) -> list[SegmentRow]:
        """A row for each segment; one that would look as before is taken over."""
        analysis = self._place.document.analysis(line.key)
        figures = analysis.segments if analysis else ()
        known = {id(row.segment): row for row in self._shown}
        made = []
        for parts in zip(
            line.segments, figures, (None, *line.joints), (*line.joints, None), strict=False
        ):
            row = known.get(id(parts[0]))
            made.append(row if row is not None and row.shows(*parts) else self._row(*parts))
        return made

    # -- texts --------------------------------------------------------------------------------

    def _row(
        self, segment: Segment, figures: SegmentFigures, ahead: Joint | None, behind: Joint | None
    ) -> SegmentRow:
        part = GridCell(heading(segment.part), marks=(is_made(ahead), is_made(behind)))
        numbers = (self._number(column, segment, figures) for column in NUMBERS)
        cells = (part, *numbers, GridCell(segment.note))
        return SegmentRow(cells, segment, figures, ahead, behind)

    def _number(self, column: int, segment: Segment, figures: SegmentFigures) -> GridCell:
        value = NUMBERS[column](segment, figures)
        cell = number_cell(COLUMNS[column], value, self._system)
        if column == Col.SINK_RATE and value < 0.0:
            return GridCell(tr(FLOATS), "soft", edit=cell.text)
        core = column == Col.DENSITY and segment.core is not None
        held = CELL_OF.get(column)
        locked = held is not None and segment.part.in_head and segment.hold(held).locked
        return replace(cell, marks=(core,) if core else (), locked=locked)

    def spoken(self, row: int, column: int) -> str:
        """The heading and the text of a cell in full words, and what its marks mean."""
        described = COLUMNS[column]
        if row >= self.count:
            new = tr("New segment, {column}").format(column=tr(described.name))
            return tr(ADD) if column == Col.PART else new
        shown = self.row(row)
        said = self.edit_text(row, column) or tr("empty")
        if described.kind is not None:
            value = NUMBERS[column](shown.segment, shown.figures)
            said = in_full_words(value, described.kind, self._system)
        said = f"{capital(tr(described.name))} {said}"
        if column == Col.DENSITY and shown.segment.core:
            said = tr("{density}, core and coating").format(density=said)
        if column == Col.PART and is_made(shown.behind):
            said = f"{said}, {self._place.read(self.joint_sentence(row))}"
        if shown.cells[column].locked:
            said = tr("{cell}, locked").format(cell=said)
        return said

    def _tip(self, row: int, column: int) -> Sentence:
        if row >= self.count:
            return Sentence("Type here, or press Enter, to add a segment at the rod end.")
        shown = self.row(row)
        core, sink = shown.segment.core, shown.figures.sink
        if shown.cells[column].locked and not (column == Col.DENSITY and core):
            return self._held(shown.segment, column)
        if column == Col.PART and is_made(shown.behind):
            return self.joint_sentence(row)
        if column == Col.DENSITY and core:
            return Sentence(
                "Core {diameter} of {core} in a coating of {coating}",
                diameter=Diameter(core.diameter),
                core=Density(core.density),
                coating=Density(shown.segment.density),
            )
        if column == Col.SINK_RATE:
            rate = SinkRate(abs(sink))
            if sink < 0.0:
                return Sentence("Rises at {rate}", rate=rate)
            return Sentence("Sinks at {rate}", rate=rate)
        return verbatim(shown.segment.note) if column == Col.NOTE else NOTHING

    def _held(self, segment: Segment, column: int) -> Sentence:
        return Sentence(
            "Locked: no goal moves the {cell}. Ctrl+Shift+L unlocks it.",
            cell=segment.hold(CELL_OF[column]).cell,
        )

    def joint_sentence(self, row: int) -> Sentence:
        """What the joint behind a row is; nothing where none was made."""
        joint = self.row(row).behind
        if joint is None or not is_made(joint):
            return NOTHING
        return Sentence("To segment {row}: {joint}", row=row + 2, joint=joint_words(joint))


def number_cell(column: ShownColumn, value: float, system: System) -> GridCell:
    """A number [SI] as a column shows it, and which of the column's decimals it lacks."""
    kind = column.kind
    assert kind is not None
    text, how = show(value, kind, system, unit=False), kind.shown(system)
    absent = 0
    if not how.feet_and_inches and how.at_least < how.decimals:
        absent = how.decimals - len(text.partition(".")[2])
    return GridCell(text, absent=absent)


def _headings(system: System) -> list[Heading]:
    made = []
    for column in COLUMNS:
        unit, name = column.unit(system), capital(tr(column.name))
        text = f"{tr(column.heading)} ({unit})" if unit else tr(column.heading)
        help_text = "\n".join([f"{name} [{unit}]" if unit else name, *map(tr, column.help)])
        right, part = column.kind is not None, column.column is Column.PART
        made.append(Heading(text, name, column.width, help_text, right, part=part))
    return made
