"""What can be done to the rows of the segment table: each command, and its words and keys."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent, QGuiApplication
from PySide6.QtWidgets import QMenu, QWidget

from taperlab.edits import cells as cell_edits
from taperlab.edits import goals as goal_edits
from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.cells import CELLS
from taperlab.edits.edited import Refused, Step, together
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, native
from taperlab.gui.kit.nudges import Nudged, nudge_help
from taperlab.gui.pages.row_commands import ROW_COMMANDS
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.segment_model import CELL_OF, NUMBERS
from taperlab.gui.pages.shape.segment_view import SegmentView
from taperlab.gui.state.preview import Preview
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.scrub import ScrubGrip
from taperlab.model.aim import Cell
from taperlab.model.line import Joint, Line
from taperlab.model.segment import Segment
from taperlab.units.columns import Column
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, counted

if TYPE_CHECKING:
    from taperlab.gui.dialogs.form import Do
    from taperlab.gui.pages.shape.bound_dialog import BoundDialog
    from taperlab.gui.pages.shape.row_dialogs import (
        CoreDialog,
        JointDialog,
        MergeDialog,
        RowDialog,
        SplitDialog,
    )

Dialog = TypeVar("Dialog", bound="RowDialog")

_FILLED = set(CELLS) - {Column.WEIGHT}
"""Of whole rows: the density says what the weights are worked out from."""


_GROUPS = (
    ("copy_headings", "fill_down"),
    (
        "insert_above",
        "insert_below",
        "insert_copied",
        "duplicate_rows",
        "delete_rows",
        "move_up",
        "move_down",
    ),
    ("split_here", "merge_rows", "reverse_line"),
    ("lock_cells", "lock_rows", "lock_columns", "tie_cells", "bound_cell"),
    ("edit_core", "edit_joint"),
)
"""What the table's own menu offers, group by group."""


@dataclass(frozen=True, slots=True)
class Copied:
    """Rows that were copied whole, and the text by which they are known on the clipboard again.

    A text has the numbers as shown; the rows have all of them, and cores and joints.
    """

    text: str
    segments: tuple[Segment, ...]
    joints: tuple[Joint, ...]


class SegmentTable(SegmentView):
    """The segment table with its commands. Each acts on the rows that are selected."""

    _copied: Copied | None = None

    def __init__(self, place: Workplace, watch: Watch, parent: QWidget | None = None) -> None:
        super().__init__(place, watch, parent)
        self.grip = ScrubGrip(self, place, self._nudged)

    # -- nudging, and what would be -------------------------------------------------------------

    def follow_typing(self, preview: Preview) -> None:
        """Let what is typed so far be looked at."""
        model = self.segments
        self._delegate.typing.connect(
            lambda row, column, text: preview.ask(lambda: model.typed_step(row, column, text))
        )
        self._delegate.closeEditor.connect(preview.drop)

    @property
    def key_help(self) -> tuple[Help, ...]:
        """What the keys do in this table."""
        return (*super().key_help, *nudge_help())

    def _nudged(self) -> Nudged | None:
        """The number in the current cell, if it holds one."""
        index, line = self.currentIndex(), self.place.document.line
        row, column, model = index.row(), index.column(), self.segments
        kind = COLUMNS[column].kind if index.isValid() else None
        if line is None or kind is None or row >= model.count:
            return None
        shown, key = model.row(row), line.key
        value = NUMBERS[column](shown.segment, shown.figures)
        return Nudged(value, kind, lambda to: model.step(key, row, column, to))

    # -- rows ---------------------------------------------------------------------------------

    def insert_above(self) -> None:
        """Put a sensible row in before the first selected one."""
        rows = self.selected_rows()
        self.edit_rows(row_edits.insert_default, rows[0] if rows else self.segments.count)

    def insert_below(self) -> None:
        """Put a sensible row in behind the last selected one."""
        rows = self.selected_rows()
        self.edit_rows(row_edits.insert_default, rows[-1] + 1 if rows else self.segments.count)

    def insert_copied(self) -> None:
        """Put the rows that were copied in before the first selected one."""
        from taperlab.gui.pages.shape.clipboard import insert_block, read_block

        text, rows = QGuiApplication.clipboard().text(), self.selected_rows()
        at = rows[0] if rows else self.segments.count
        if self._copied is not None and self._copied.text == text:
            self.edit_rows(row_edits.insert_rows, at, self._copied.segments, self._copied.joints)
            return
        try:
            read = read_block(text, Col.PART, self.place.system)
        except Refused as problem:
            self._refuse(problem.sentence)
            return
        self.edit_rows(insert_block, at, read, self.place.settings.solve)

    def delete_rows(self) -> None:
        """Take the selected rows out."""
        self.edit_rows(row_edits.delete, self.selected_rows())

    def duplicate_rows(self) -> None:
        """Copy the selected rows to behind the last of them."""
        self.edit_rows(row_edits.duplicate, self.selected_rows())

    def move_up(self) -> None:
        """Move the selected rows one toward the fly."""
        rows = self.selected_rows()
        if rows and rows[0] > 0:
            self.edit_rows(row_edits.move, rows, rows[0] - 1)

    def move_down(self) -> None:
        """Move the selected rows one toward the rod."""
        rows = self.selected_rows()
        if rows and rows[-1] + 1 < self.segments.count:
            self.edit_rows(row_edits.move, rows, rows[-1] + 2)

    def reverse_line(self) -> None:
        """Turn the whole line end for end."""
        self.edit_rows(row_edits.reverse)

    def fill_down(self) -> None:
        """Give every selected cell the value of the first one in its column."""
        line, rows = self.place.document.line, self.selected_rows()
        if line is None or len(rows) < 2:
            self._refuse(Sentence("Select two or more cells below each other to fill down."))
            return
        columns = self.selected_columns()
        if self.selects_whole_rows():
            columns = [each for each in columns if COLUMNS[each].column in _FILLED]
        elif Col.DENSITY in columns:
            columns = [each for each in columns if each != Col.WEIGHT]
        first = self.segments.row(rows[0])
        own = [COLUMNS[each].column for each in columns if COLUMNS[each].column in CELLS]
        fill = cell_edits.fill_down, (line.key, rows, own, self.place.settings.ends)
        steps: list[Step] = [fill] if own else []
        for column in columns:
            if COLUMNS[column].column not in CELLS:
                value = NUMBERS[column](first.segment, first.figures)
                steps += [self.segments.step(line.key, row, column, value) for row in rows[1:]]
        self._together(Sentence("Fill down"), steps, rows)

    def merge_rows(self) -> MergeDialog | None:
        """Make one row of the selected ones; asks first where that changes the shape."""
        line, rows = self.place.document.line, self.selected_rows()
        why = self._why_merging_asks(line, rows) if line else None
        if why is None:
            self.edit_rows(row_edits.merge, rows)
            return None
        from taperlab.gui.pages.shape.row_dialogs import MergeDialog

        dialog = MergeDialog(rows, why, self.place, self.edit_rows)
        dialog.open()
        return dialog

    def _why_merging_asks(self, line: Line, rows: list[int]) -> Sentence | None:
        """Why rows can't become one as they are, if they can at their weight."""
        bench = self.place.document.bench
        try:
            row_edits.merge(bench, line.key, rows)
        except Refused as problem:
            try:
                row_edits.merge(bench, line.key, rows, keep_weight=True)
            except Refused:
                return None
            return problem.sentence
        return None

    def split_here(self) -> SplitDialog | None:
        """Ask where to split the current row, and split it there."""
        from taperlab.gui.pages.shape.row_dialogs import SplitDialog

        return self._ask(SplitDialog)

    # -- what goals may move --------------------------------------------------------------------

    def _cells_for_goals(self, *, whole_rows: bool = False) -> list[tuple[int, Cell]]:
        """The cells that are selected and that goals move, from the fly end."""
        line, rows = self.place.document.line, self.selected_rows()
        if line is None:
            return []
        head = [row for row in rows if line.segments[row].part.in_head]
        columns = [each for each in self.selected_columns() if each in CELL_OF]
        if whole_rows or self.selects_whole_rows() or not columns:
            columns = [Col.LENGTH, Col.FRONT_DIAMETER, Col.REAR_DIAMETER, Col.DENSITY]
        return [(row, CELL_OF[column]) for row in head for column in columns]

    def lock_cells(self) -> None:
        """Lock the selected cells, or unlock them where all are locked."""
        self._lock(self._cells_for_goals())

    def lock_rows(self) -> None:
        """Lock all of the selected segments, or unlock them where all of it is locked."""
        self._lock(self._cells_for_goals(whole_rows=True))

    def _lock(self, cells: list[tuple[int, Cell]]) -> None:
        line = self.place.document.line
        if line is None or not cells:
            self._refuse(Sentence("Select cells of the head: no goal moves what lies behind it."))
            return
        locked = all(line.segments[row].hold(cell).locked for row, cell in cells)
        self.place.do(goal_edits.set_locks, line.key, cells, not locked, initiator=self)

    def lock_columns(self) -> None:
        """Lock the columns of the selected cells throughout the line, or let them move again."""
        line = self.place.document.line
        chosen = {CELL_OF[each] for each in self.selected_columns() if each in CELL_OF}
        if line is None or not chosen:
            self._refuse(Sentence("Select a length, a diameter or a density."))
            return
        names = {Cell.LENGTH: "lengths", Cell.FRONT: "diameters", Cell.REAR: "diameters"}
        free = not all(line.aim.frees(cell) for cell in chosen)
        columns = {names.get(cell, "density"): free for cell in chosen}
        self.place.do(goal_edits.set_columns, line.key, initiator=self, **columns)

    def tie_cells(self) -> None:
        """Tie the selected cells, or untie them where all are tied."""
        line, cells = self.place.document.line, self._cells_for_goals()
        if line is None or not cells:
            self._refuse(Sentence("Select two or more lengths, diameters or densities to tie."))
            return
        tied = all(line.segments[row].hold(cell).tie for row, cell in cells)
        self.place.do(goal_edits.set_tie, line.key, cells, not tied, initiator=self)

    def bound_cell(self) -> BoundDialog | None:
        """Ask between what goals may move the current number."""
        column = self.currentIndex().column()
        if column not in CELL_OF:
            self._refuse(Sentence("Select a length, a diameter or a density."))
            return None
        from taperlab.gui.pages.shape.bound_dialog import BoundDialog

        return self._ask(partial(BoundDialog, cell=CELL_OF[column]))

    def edit_core(self) -> CoreDialog | None:
        """Ask for the core and coating of the current row."""
        from taperlab.gui.pages.shape.row_dialogs import CoreDialog

        return self._ask(CoreDialog)

    def edit_joint(self) -> JointDialog | None:
        """Ask how the current row meets the next."""
        if self.segments.count and self.currentIndex().row() == self.segments.count - 1:
            self._refuse(
                Sentence("The last segment meets no other: choose the segment ahead of the joint.")
            )
            return None
        from taperlab.gui.pages.shape.row_dialogs import JointDialog

        return self._ask(JointDialog)

    def _ask(self, make: Callable[[Line, int, Workplace, Do], Dialog]) -> Dialog | None:
        self.commit_open_editor()
        line, row = self.place.document.line, self.currentIndex().row()
        if line is None or not 0 <= row < self.segments.count:
            self._refuse(Sentence("Choose a segment first."))
            return None
        dialog = make(line, row, self.place, self.edit_rows)
        dialog.open()
        return dialog

    def _together(self, text: Sentence, steps: list[Step], rows: list[int]) -> None:
        """Do steps as one; the cells that are selected stay so."""
        whole = self.selects_whole_rows()
        columns = () if whole else tuple(COLUMNS[each].column for each in self.selected_columns())
        self.place.do(together, text, steps, tuple(rows), columns, initiator=self)

    def _refuse(self, sentence: Sentence) -> None:
        self.place.host.say_problem(sentence)

    # -- clipboard ------------------------------------------------------------------------------

    def copy(self) -> None:
        """Copy the selected cells with the numbers as shown."""
        self._copy(with_headings=False)

    def copy_headings(self) -> None:
        """Copy the selected cells under a header row with units."""
        self._copy(with_headings=True)

    def _copy(self, *, with_headings: bool) -> None:
        # Only who copies and pastes needs the reader of tables; a start has no time for it.
        from taperlab.files.cells import to_tsv
        from taperlab.gui.pages.shape.clipboard import headings

        cells = {
            (index.row(), index.column())
            for index in self.selectionModel().selectedIndexes()
            if index.row() < self.segments.count
        }
        if not cells:
            return
        rows, columns = sorted({row for row, _ in cells}), self.selected_columns()
        texts = [
            [self.segments.copy_text(row, c) if (row, c) in cells else "" for c in columns]
            for row in rows
        ]
        if with_headings:
            texts.insert(0, headings(columns, self.place.system))
        text = to_tsv(texts)
        QGuiApplication.clipboard().setText(text)
        self._copied = self._rows_behind(text, rows)
        self.place.host.say(
            counted("Copied {count} segment.", "Copied {count} segments.", len(rows))
        )

    def _rows_behind(self, text: str, rows: list[int]) -> Copied | None:
        line = self.place.document.line
        if line is None or not self.selects_whole_rows():
            return None
        segments = tuple(line.segments[row] for row in rows)
        return Copied(text, segments, row_edits.joints_between(line, rows))

    def cut(self) -> None:
        """Copy whole rows and take them out; a note can be cut by itself."""
        if self.selects_whole_rows():
            self.copy()
            self.delete_rows()
        elif self._only_notes():
            self.copy()
            self.clear_cells()
        else:
            self._refuse(
                Sentence(
                    "A number can’t be cut out of a segment: select the whole segment, or copy."
                )
            )

    def paste(self) -> None:
        """Fill cells from the current one on; nothing is pasted if any cell can't be read."""
        from taperlab.gui.pages.shape.clipboard import paste_block, read_block

        index = self.currentIndex()
        if self.place.document.line is None or not index.isValid():
            return
        chosen = {
            (each.row(), each.column())
            for each in self.selectionModel().selectedIndexes()
            if each.row() < self.segments.count
        } or {(index.row(), index.column())}
        row, first = (min(each) for each in zip(*chosen, strict=True))
        text = QGuiApplication.clipboard().text()
        try:
            rows = read_block(text, first, self.place.system, chosen)
        except Refused as problem:
            self._refuse(problem.sentence)
            return
        how = self.place.settings
        done = self.edit_rows(paste_block, row, rows, how.solve, how.ends)
        headings = rows[0].layout.headings
        left_out = ", ".join(each.text for each in headings if each.text and not each.column)
        if done and left_out:
            self.place.host.say(
                Sentence("Pasted; left out, as no column here: {columns}.", columns=left_out)
            )

    def clear_cells(self) -> None:
        """Take whole rows out, or clear notes; a number can't be empty."""
        line, rows = self.place.document.line, self.selected_rows()
        if line is None or not rows:
            return
        if self.selects_whole_rows():
            self.delete_rows()
        elif self._only_notes():
            steps: list[Step] = [(value_edits.set_note, (line.key, row, "")) for row in rows]
            self._together(Sentence("Clear note"), steps, rows)
        else:
            self._refuse(
                Sentence(
                    "A number can’t be empty: type another, or select the whole segment to delete."
                )
            )

    def _only_notes(self) -> bool:
        return self.selected_columns() == [Col.NOTE]

    # -- menu ---------------------------------------------------------------------------------

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done to rows, at the pointer or under the current cell."""
        where = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            box = self.visualRect(self.currentIndex())
            where = self.viewport().mapToGlobal(box.bottomLeft() + QPoint(12, 0))
        self.context_menu().popup(where)

    def context_menu(self) -> QMenu:
        """What can be done to the rows."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for text, keys, act in (
            (tr("Cut"), "Ctrl+X", self.cut),
            (tr("Copy"), "Ctrl+C", self.copy),
            (tr("Paste"), "Ctrl+V", self.paste),
            (tr("Select all"), "Ctrl+A", self.selectAll),
        ):
            menu.addAction(f"{text}\t{native(keys)}").triggered.connect(act)
        for group in _GROUPS:
            menu.addSeparator()
            for name in group:
                command = ROW_COMMANDS[name]
                keys = native(command.keys)
                action = menu.addAction(f"{command.words}\t{keys}" if keys else command.words)
                action.setToolTip(tr(command.tip))
                action.triggered.connect(getattr(self, name))
        return menu
