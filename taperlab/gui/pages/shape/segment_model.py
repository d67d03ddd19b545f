"""The segments of the line in hand as rows and columns, and a last row that adds one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt, Signal

from taperlab.edits import segments as edits
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.together import Step, together
from taperlab.gui.state.document import Change, Document, Reason
from taperlab.gui.state.settings import Settings
from taperlab.gui.table.columns import COLUMNS, Col
from taperlab.gui.table.parts import NotAPart, capital, read_part
from taperlab.gui.table.spoken import spoken, unit_in_words
from taperlab.model.line import Joint, JointKind, Line
from taperlab.model.segment import Part, Segment
from taperlab.shop.analyse import SegmentFigures
from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.parse import Unreadable, parse
from taperlab.units.show import show

ADD = "Add a segment…"
FLOATS = "floats"

_FIGURES: dict[int, Callable[[SegmentFigures], float]] = {
    Col.DENSITY: lambda figures: figures.mean_density,
    Col.WEIGHT: lambda figures: figures.mass,
    Col.FRONT_WEIGHT_PER_LENGTH: lambda figures: figures.front_linear_density,
    Col.REAR_WEIGHT_PER_LENGTH: lambda figures: figures.rear_linear_density,
    Col.SINK_RATE: lambda figures: figures.sink,
}
_TYPED: dict[int, Callable[[Segment], float]] = {
    Col.LENGTH: lambda segment: segment.length,
    Col.FRONT_DIAMETER: lambda segment: segment.front_diameter,
    Col.REAR_DIAMETER: lambda segment: segment.rear_diameter,
}


@dataclass(frozen=True, slots=True)
class Cell:
    """What a cell shows. absent: digits that others in the column have and this one does not."""

    text: str
    absent: int = 0
    soft: bool = False


# Put together once: every painted cell asks for it.
_TYPE_INTO = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEditable
_EMPTY = Cell("")
_ADDING = Cell(ADD, soft=True)
_BLANK = (_ADDING, *(_EMPTY,) * (len(COLUMNS) - 1))


@dataclass(frozen=True, slots=True)
class Row:
    """A segment, its figures, the joint behind it, and what its cells show."""

    segment: Segment
    figures: SegmentFigures
    joint: Joint | None
    cells: tuple[Cell, ...]


def is_made(joint: Joint | None) -> bool:
    """Whether a joint is something that somebody made: not one extrusion."""
    return joint is not None and (joint.kind is not JointKind.ONE_EXTRUSION or joint.mass > 0.0)


class SegmentModel(QAbstractTableModel):
    """Reads the document, writes through edits.

    Rows are diffed by identity: no reset while the same line stays in hand, and ``dataChanged``
    only for cells whose shown text is another. problem(str): why typed text was not taken.
    updated(Change): the rows now show what the document has.
    """

    problem = Signal(str)
    updated = Signal(object)

    def __init__(self, document: Document, settings: Settings, parent: Any = None) -> None:
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self._system = settings.system
        self._key: str | None = None
        self._rows: list[Row] = []
        self._refusal = ""
        self.initiator: object = self
        document.changed.connect(self._changed)
        self._load()

    # -- reading ------------------------------------------------------------------------------

    @property
    def count(self) -> int:
        """Number of segments; the row that adds one is not counted."""
        return len(self._rows)

    @property
    def system(self) -> System:
        """The units that the cells show."""
        return self._system

    @property
    def line(self) -> Line | None:
        """The line that is shown."""
        return self._document.line

    def row(self, row: int) -> Row:
        """One row. Raises IndexError."""
        return self._rows[row]

    def cell(self, row: int, column: int) -> Cell:
        """What a cell shows."""
        if row < len(self._rows):
            return self._rows[row].cells[column]
        return _BLANK[column]

    def rowCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's way
        """Segments, and one row to add another; none without a line."""
        if parent.isValid() or self._key is None:
            return 0
        return len(self._rows) + 1

    def columnCount(self, parent: QModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's way
        """The columns of :data:`COLUMNS`."""
        return 0 if parent.isValid() else len(COLUMNS)

    def flags(self, index: QModelIndex) -> Qt.ItemFlag:
        """Every cell can be typed into."""
        return _TYPE_INTO if index.isValid() else Qt.ItemFlag.NoItemFlags

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Texts for views, editors, tooltips and screen readers."""
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self.cell(row, column).text
        if role == Qt.ItemDataRole.EditRole:
            return self.edit_text(row, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = (
                Qt.AlignmentFlag.AlignRight if COLUMNS[column].kind else Qt.AlignmentFlag.AlignLeft
            )
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tooltip(row, column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._spoken(row, column)
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Headings with their units; row numbers from 1."""
        if orientation == Qt.Orientation.Horizontal:
            if not 0 <= section < len(COLUMNS):
                return None
            column = COLUMNS[section]
            unit = column.unit(self._system)
            if role == Qt.ItemDataRole.DisplayRole:
                return f"{column.heading} ({unit})" if unit else column.heading
            if role == Qt.ItemDataRole.ToolTipRole:
                name = column.name.capitalize()
                return f"{name} [{unit}]\n{column.help}" if unit else f"{name}\n{column.help}"
            if role == Qt.ItemDataRole.AccessibleTextRole:
                return f"{column.name.capitalize()} {unit_in_words(unit)}".strip()
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return str(section + 1) if section < len(self._rows) else "+"
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"Row {section + 1}" if section < len(self._rows) else "New row"
        return None

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with. A floating segment's rate is a number here."""
        if row >= len(self._rows):
            return ""
        if column == Col.SINK_RATE:
            rate = self._rows[row].figures.sink
            return show(rate, kinds.SINK_RATE, self._system, unit=False)
        return self._rows[row].cells[column].text

    def copy_text(self, row: int, column: int) -> str:
        """The text that is copied: as shown, with the minus sign that spreadsheets know."""
        return self.edit_text(row, column).replace("−", "-")

    # -- writing ------------------------------------------------------------------------------

    def setData(
        self, index: QModelIndex, value: object, role: int = Qt.ItemDataRole.EditRole
    ) -> bool:
        """Take typed text. False, and problem() is emitted, if it could not be used."""
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        sentence = self.commit(index.row(), index.column(), "" if value is None else str(value))
        if sentence:
            self.problem.emit(sentence)
        return not sentence

    def commit(self, row: int, column: int, text: str) -> str:
        """Take typed text; gives back what is wrong with it, or nothing.

        Text that is just what the cell shows leaves the full value behind it alone.
        """
        line = self.line
        if line is None or not 0 <= row <= len(self._rows):
            return "There is no line to type into."
        adds = row == len(self._rows)
        if adds and not text.strip():
            return ""
        if not adds and text == self.edit_text(row, column):
            return ""
        try:
            edit, arguments = self._edit_for(row, column, text)
        except (Unreadable, NotAPart) as problem:
            return str(problem)
        if not adds:
            return self.apply(edit, line.key, row, *arguments)
        steps: list[Step] = [
            (edits.insert_default, (line.key, row)),
            (edit, (line.key, row, *arguments)),
        ]
        return self.apply(together, "Insert segment", steps, (row,))

    def apply(self, edit: Callable[..., Edited], *arguments: Any, **options: Any) -> str:
        """Do an edit on the document; gives back why it was refused, or nothing."""
        done = self._document.apply(edit, *arguments, initiator=self.initiator, **options)
        return str(done.refused)

    def read(self, column: int, text: str) -> float | Part | str:
        """The value of a typed text for a column. Raises Unreadable or NotAPart."""
        if column == Col.PART:
            return read_part(text)
        kind = COLUMNS[column].kind
        if kind is None:
            return " ".join(text.split())
        return parse(text, kind, self._system)

    def _edit_for(self, row: int, column: int, text: str) -> Step:
        value = self.read(column, text)
        solve = self._settings.solve
        plain = {
            Col.PART: edits.set_part,
            Col.LENGTH: edits.set_length,
            Col.FRONT_DIAMETER: edits.set_front_diameter,
            Col.REAR_DIAMETER: edits.set_rear_diameter,
            Col.DENSITY: edits.set_density,
            Col.NOTE: edits.set_note,
        }
        solved = {
            Col.WEIGHT: edits.set_weight,
            Col.FRONT_WEIGHT_PER_LENGTH: edits.set_front_linear_density,
            Col.REAR_WEIGHT_PER_LENGTH: edits.set_rear_linear_density,
        }
        if column in plain:
            return plain[column], (value,)
        if column in solved:
            return solved[column], (value, solve)
        return edits.set_sink_rate, (value,)

    # -- following the document ---------------------------------------------------------------

    def use_system(self, system: System) -> None:
        """Show the other units."""
        if system is self._system:
            return
        self._system = system
        for i, row in enumerate(self._rows):
            self._put(i, self._row(row.segment, row.figures, row.joint))
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(COLUMNS) - 1)

    def _changed(self, change: Change) -> None:
        before, after = change.before, change.after
        line = after.current_line
        if line is before.current_line and before.water is after.water:
            if change.reason is not Reason.LOAD:
                self.updated.emit(change)
                return
        elif change.reason is not Reason.LOAD and line is not None and line.key == self._key:
            self._follow(line)
            self.updated.emit(change)
            return
        self.beginResetModel()
        self._load()
        self.endResetModel()
        self.updated.emit(change)

    def _load(self) -> None:
        line = self._document.line
        self._key = line.key if line else None
        self._rows = []
        if line and line.segments:
            figures = self._document.analysis().segments
            self._rows = [
                self._row(segment, figures[i], joint)
                for i, (segment, joint) in enumerate(_with_joints(line))
            ]

    def _follow(self, line: Line) -> None:
        self._fit_rows(line.segments)
        if not line.segments:
            return
        figures = self._document.analysis().segments
        for i, (segment, joint) in enumerate(_with_joints(line)):
            self._put(i, self._row(segment, figures[i], joint, self._rows[i]))

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
                blank = self._blank(segments[new_start + kept])
                # At the end the row that adds a segment becomes one, and another comes below it:
                # whoever was typing there stays on the segment he typed.
                first = at + 1 if at == len(self._rows) else at
                self.beginInsertRows(QModelIndex(), first, first + more - 1)
                self._rows[at:at] = [blank] * more
                self.endInsertRows()
        self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(self._rows))

    def _blank(self, segment: Segment) -> Row:
        nothing = SegmentFigures(segment.part, 0.0, segment.length, *(0.0,) * 7)
        return Row(segment, nothing, None, _BLANK)

    def _put(self, index: int, row: Row) -> None:
        """Show a row, telling the views of the cells that look different now."""
        before = self._rows[index]
        if row is before:
            return
        self._rows[index] = row
        core = (before.segment.core is None) != (row.segment.core is None)
        joint = is_made(before.joint) != is_made(row.joint)
        run = None
        for column, (old, new) in enumerate(zip(before.cells, row.cells, strict=True)):
            differs = (
                old != new
                or (core and column == Col.DENSITY)
                or (column == Col.PART and joint)
                or (column == Col.SINK_RATE and before.figures.sink != row.figures.sink)
            )
            if differs and run is None:
                run = column
            elif not differs and run is not None:
                self._tell(index, run, column - 1)
                run = None
        if run is not None:
            self._tell(index, run, len(COLUMNS) - 1)
        if joint and index + 1 < len(self._rows):
            self._tell(index + 1, Col.PART, Col.PART)

    def _tell(self, row: int, first: int, last: int) -> None:
        self.dataChanged.emit(self.index(row, first), self.index(row, last), [0])

    # -- texts --------------------------------------------------------------------------------

    def _row(
        self,
        segment: Segment,
        figures: SegmentFigures,
        joint: Joint | None,
        before: Row | None = None,
    ) -> Row:
        """A row; the texts of one shown before are kept where they must be the same."""
        if before is not None and before.segment is segment and before.cells is not _BLANK:
            same = _same_figures(before.figures, figures)
            if same and before.joint is joint:
                return before
            if same:
                return Row(segment, figures, joint, before.cells)
        cells = [Cell(capital(segment.part))]
        cells += [self._number(column, measure(segment)) for column, measure in _TYPED.items()]
        cells += [self._number(column, measure(figures)) for column, measure in _FIGURES.items()]
        cells.append(Cell(segment.note))
        return Row(segment, figures, joint, tuple(cells))

    def _number(self, column: int, value: float) -> Cell:
        if column == Col.SINK_RATE and value < 0.0:
            return Cell(FLOATS, soft=True)
        kind: Kind = COLUMNS[column].kind
        text = show(value, kind, self._system, unit=False)
        how = kind.shown(self._system)
        absent = 0
        if not how.feet_and_inches and how.at_least < how.decimals:
            absent = how.decimals - len(text.partition(".")[2])
        return Cell(text, absent)

    def _spoken(self, row: int, column: int) -> str:
        if row >= len(self._rows):
            return ADD if column == Col.PART else f"New row, {COLUMNS[column].name}"
        name = COLUMNS[column].name.capitalize()
        text = self.edit_text(row, column) or "empty"
        unit = COLUMNS[column].unit(self._system)
        said = f"{name} {spoken(text, unit)}"
        if column == Col.DENSITY and self._rows[row].segment.core:
            said += ", core and coating"
        if column == Col.PART and is_made(self._rows[row].joint):
            said += f", {self.joint_text(row)}"
        return said

    def _tooltip(self, row: int, column: int) -> str | None:
        if row >= len(self._rows):
            return "Type here, or press Enter, to add a segment at the rod end."
        segment, figures = self._rows[row].segment, self._rows[row].figures
        if column == Col.PART and is_made(self._rows[row].joint):
            return self.joint_text(row).capitalize()
        if column == Col.DENSITY and segment.core:
            show_in = self._system
            return (
                f"Core {show(segment.core.diameter, kinds.DIAMETER, show_in)} of "
                f"{show(segment.core.density, kinds.DENSITY, show_in)} in a coating of "
                f"{show(segment.density, kinds.DENSITY, show_in)}"
            )
        if column == Col.SINK_RATE:
            rate = show(abs(figures.sink), kinds.SINK_RATE, self._system)
            return f"Rises at {rate}" if figures.sink < 0.0 else f"Sinks at {rate}"
        return segment.note if column == Col.NOTE and segment.note else None

    def joint_text(self, row: int) -> str:
        """What the joint behind a row is, in words."""
        joint = self._rows[row].joint
        if joint is None:
            return ""
        said = f"{joint.kind} to row {row + 2}"
        if joint.overlap > 0.0:
            said += f", overlap {show(joint.overlap, kinds.SHORT_LENGTH, self._system)}"
        if joint.mass > 0.0:
            said += f", {show(joint.mass, kinds.SMALL_WEIGHT, self._system)} added"
        return said


def _with_joints(line: Line) -> zip[tuple[Segment, Joint | None]]:
    return zip(line.segments, (*line.joints, None), strict=True)


def _same_figures(one: SegmentFigures, other: SegmentFigures) -> bool:
    """Whether two figures of one and the same segment show alike; where it starts is not shown."""
    return one.sink == other.sink and one.mass == other.mass


__all__ = ["ADD", "Cell", "Refused", "Row", "SegmentModel", "is_made"]
