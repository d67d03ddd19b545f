"""The segments of the line in hand as rows and columns, and a last row that adds one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from PySide6.QtCore import QModelIndex, QObject, Qt, Signal

from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Edited, Step, together
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.state.document import Change, Reason
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.spoken import in_full_words, unit_in_words
from taperlab.gui.table.typed_model import Index, TypedModel
from taperlab.model.line import Joint, JointKind, Line
from taperlab.model.segment import Segment
from taperlab.model.water import Water
from taperlab.shop.analyse import SegmentFigures
from taperlab.shop.wording import joint_words
from taperlab.units.kinds import System
from taperlab.units.language import later, tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.parts import read_part
from taperlab.units.sentence import (
    NOTHING,
    Density,
    Diameter,
    Sentence,
    SinkRate,
    verbatim,
)
from taperlab.units.show import show
from taperlab.units.words import capital, heading

ADD = later("Add a segment…")
FLOATS = later("floats")

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
class Cell:
    """All that the look of a cell depends on.

    edit: what an editor starts with, where that is not the text. absent: digits that others in
    the column have and this one does not. soft: it is no number of the line. marks: a core in the
    density; a made joint ahead of the row, and behind it.
    """

    text: str = ""
    edit: str = ""
    absent: int = 0
    soft: bool = False
    marks: tuple[bool, ...] = ()


# Put together once: every painted cell asks for it.
_TYPE_INTO = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEditable
_EMPTY = Cell()


@dataclass(frozen=True, slots=True)
class Row:
    """A segment, its figures, the joints ahead of and behind it, and what its cells show."""

    segment: Segment
    figures: SegmentFigures
    ahead: Joint | None
    behind: Joint | None
    cells: tuple[Cell, ...]

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


class SegmentModel(TypedModel):
    """Reads the document, writes through edits.

    Rows are diffed by identity: no reset while the same line stays in hand, and ``dataChanged``
    only for cells that look different. updated(Change): the rows show what the document has.
    """

    updated = Signal(object)

    def __init__(self, place: Workplace, watch: Watch, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._place = place
        self._system = place.system
        self._shown: tuple[Line | None, Water] = (None, place.document.bench.water)
        self._rows: list[Row] = []
        watch.changed.connect(self._changed)
        self._load()

    # -- reading ------------------------------------------------------------------------------

    @property
    def count(self) -> int:
        """Number of segments; the row that adds one is not counted."""
        return len(self._rows)

    @property
    def adding(self) -> bool:
        """Whether there is a line to add segments to."""
        return self._shown[0] is not None

    @property
    def columns(self) -> int:
        """The columns of :data:`COLUMNS`."""
        return len(COLUMNS)

    @property
    def system(self) -> System:
        """The units that the cells show."""
        return self._system

    def row(self, row: int) -> Row:
        """One row. Raises IndexError."""
        return self._rows[row]

    def cell(self, row: int, column: int) -> Cell:
        """What a cell shows."""
        if row < len(self._rows):
            return self._rows[row].cells[column]
        return self._blank()[column]

    def _blank(self) -> tuple[Cell, ...]:
        return (Cell(tr(ADD), soft=True), *(_EMPTY,) * (len(COLUMNS) - 1))

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Every cell can be typed into."""
        return _TYPE_INTO if index.isValid() else Qt.ItemFlag.NoItemFlags

    def text(self, row: int, column: int) -> str:
        """The text that a cell shows."""
        return self.cell(row, column).text

    def tip(self, row: int, column: int) -> str:
        """What a cell says more of than it shows."""
        return self._place.read(self._tip(row, column))

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Headings with their units; row numbers from 1."""
        if orientation == Qt.Orientation.Vertical:
            is_segment = section < len(self._rows)
            if role == Qt.ItemDataRole.DisplayRole:
                return str(section + 1) if is_segment else "+"
            if role == Qt.ItemDataRole.AccessibleTextRole:
                return tr("Row {row}").format(row=section + 1) if is_segment else tr("New row")
            return None
        if not 0 <= section < len(COLUMNS):
            return None
        column = COLUMNS[section]
        unit, name = column.unit(self._system), capital(tr(column.name))
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{tr(column.heading)} ({unit})" if unit else tr(column.heading)
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join([f"{name} [{unit}]" if unit else name, *map(tr, column.help)])
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{name} {unit_in_words(unit)}".strip()
        return None

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with. A floating segment's rate is a number here."""
        if row >= len(self._rows):
            return ""
        cell = self._rows[row].cells[column]
        return cell.edit or cell.text

    # -- writing ------------------------------------------------------------------------------

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take typed text; gives back what is wrong with it, or nothing.

        Text that is just what the cell shows leaves the full value behind it alone.
        """
        line = self._place.document.line
        if line is None or not 0 <= row <= len(self._rows):
            return Sentence("There is no line to type into.")
        adds = row == len(self._rows)
        if not text.strip() if adds else text == self.edit_text(row, column):
            return NOTHING
        try:
            edit, arguments = self.step(line.key, row, column, self._read(column, text))
        except Unreadable as problem:
            return problem.sentence
        if not adds:
            return self._apply(edit, *arguments)
        steps = [(row_edits.insert_default, (line.key, row)), (edit, arguments)]
        return self._apply(together, Sentence("Insert segment"), steps, (row,))

    def _apply(self, edit: Callable[..., Edited], *arguments: Any) -> Sentence:
        done = self._place.document.apply(edit, *arguments, initiator=self)
        if done:  # why it was refused is said by whoever asked
            self._place.host.tell(done)
        return done.refused

    def step(self, line: str, row: int, column: int, value: object) -> Step:
        """The edit that gives a cell a value."""
        solve = (self._place.settings.solve,) if column in _SOLVED else ()
        return _EDITS[column], (line, row, value, *solve)

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
        for i, row in enumerate(self._rows):
            self._put(i, self._row(row.segment, row.figures, row.ahead, row.behind))
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(COLUMNS) - 1)

    def _changed(self, change: Change) -> None:
        line, water = self._place.document.line, self._place.document.bench.water
        before = self._shown[0]
        if change.reason is Reason.LOAD or (before and before.key) != (line and line.key):
            self.beginResetModel()
            self._load()
            self.endResetModel()
        elif line is not None and (line is not before or water is not self._shown[1]):
            self._shown = (line, water)
            self._fit_rows(line.segments)
            for i, parts in enumerate(self._parts_of(line)):
                if not self._rows[i].shows(*parts):
                    self._put(i, self._row(*parts))
        self.updated.emit(change)

    def _load(self) -> None:
        document = self._place.document
        self._shown = (document.line, document.bench.water)
        parts = self._parts_of(document.line) if document.line else ()
        self._rows = [self._row(*each) for each in parts]

    def _parts_of(
        self, line: Line
    ) -> Iterator[tuple[Segment, SegmentFigures, Joint | None, Joint | None]]:
        """What each row is made of."""
        analysis = self._place.document.analysis(line.key)
        figures = analysis.segments if analysis else ()
        ahead, behind = (None, *line.joints), (*line.joints, None)
        return zip(line.segments, figures, ahead, behind, strict=False)

    def _fit_rows(self, segments: Sequence[Segment]) -> None:
        """Insert and remove rows, so that there are as many as segments and most are theirs."""
        old = [row.segment for row in self._rows]
        if len(old) == len(segments):
            return
        matcher = SequenceMatcher(
            None, [id(one) for one in old], [id(one) for one in segments], autojunk=False
        )
        for what, old_start, old_end, new_start, new_end in reversed(matcher.get_opcodes()):
            if what == "equal":
                continue
            kept = min(old_end - old_start, new_end - new_start)
            at = old_start + kept
            if old_end > at:
                self.beginRemoveRows(QModelIndex(), at, old_end - 1)
                del self._rows[at:old_end]
                self.endRemoveRows()
            elif new_end - new_start > kept:
                more = new_end - new_start - kept
                segment = segments[new_start + kept]
                # Until its figures are put in. At the end the row that adds a segment becomes one,
                # and another comes below it: whoever was typing there stays on what he typed.
                nothing = SegmentFigures(segment.part, 0.0, segment.length, *(0.0,) * 7)
                blank = Row(segment, nothing, None, None, self._blank())
                first = at + 1 if at == len(self._rows) else at
                self.beginInsertRows(QModelIndex(), first, first + more - 1)
                self._rows[at:at] = [blank] * more
                self.endInsertRows()
        self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(self._rows))

    def _put(self, index: int, row: Row) -> None:
        """Show a row, telling the views of the cells that look different now."""
        before, self._rows[index] = self._rows[index], row
        changed = [c for c, cell in enumerate(row.cells) if cell != before.cells[c]]
        for column in changed:
            self.dataChanged.emit(
                self.index(index, column), self.index(index, column), [Qt.ItemDataRole.DisplayRole]
            )

    # -- texts --------------------------------------------------------------------------------

    def _row(
        self, segment: Segment, figures: SegmentFigures, ahead: Joint | None, behind: Joint | None
    ) -> Row:
        part = Cell(heading(segment.part), marks=(is_made(ahead), is_made(behind)))
        numbers = (self._number(column, segment, figures) for column in NUMBERS)
        return Row(segment, figures, ahead, behind, (part, *numbers, Cell(segment.note)))

    def _number(self, column: int, segment: Segment, figures: SegmentFigures) -> Cell:
        value, kind = NUMBERS[column](segment, figures), COLUMNS[column].kind
        assert kind is not None
        text = show(value, kind, self._system, unit=False)
        if column == Col.SINK_RATE and value < 0.0:
            return Cell(tr(FLOATS), text, soft=True)
        how = kind.shown(self._system)
        absent = 0
        if not how.feet_and_inches and how.at_least < how.decimals:
            absent = how.decimals - len(text.partition(".")[2])
        core = column == Col.DENSITY and segment.core is not None
        return Cell(text, absent=absent, marks=(core,) if core else ())

    def spoken(self, row: int, column: int) -> str:
        """The heading and the text of a cell in full words, and what its marks mean."""
        described = COLUMNS[column]
        if row >= len(self._rows):
            new = tr("New row, {column}").format(column=tr(described.name))
            return tr(ADD) if column == Col.PART else new
        shown = self._rows[row]
        said = self.edit_text(row, column) or tr("empty")
        if described.kind is not None:
            value = NUMBERS[column](shown.segment, shown.figures)
            said = in_full_words(value, described.kind, self._system)
        said = f"{capital(tr(described.name))} {said}"
        if column == Col.DENSITY and shown.segment.core:
            said = tr("{density}, core and coating").format(density=said)
        if column == Col.PART and is_made(shown.behind):
            said = f"{said}, {self._place.read(self.joint_sentence(row))}"
        return said

    def _tip(self, row: int, column: int) -> Sentence:
        if row >= len(self._rows):
            return Sentence("Type here, or press Enter, to add a segment at the rod end.")
        shown = self._rows[row]
        core, sink = shown.segment.core, shown.figures.sink
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

    def joint_sentence(self, row: int) -> Sentence:
        """What the joint behind a row is; nothing where none was made."""
        joint = self._rows[row].behind
        if joint is None or not is_made(joint):
            return NOTHING
        return Sentence("To row {row}: {joint}", row=row + 2, joint=joint_words(joint))
