"""What the segment table does to rows: insert, move, fill, merge, and what a dialog asks for."""

from __future__ import annotations

from taperlab.edits import segments as edits
from taperlab.edits.edited import Refused
from taperlab.edits.segments import Column as FillColumn
from taperlab.edits.together import Step, together
from taperlab.gui.pages.shape.row_dialogs import (
    CoreDialog,
    JointDialog,
    MergeDialog,
    SmallDialog,
    SplitDialog,
)
from taperlab.gui.table.columns import Col

_FILLED = {
    Col.PART: FillColumn.PART,
    Col.LENGTH: FillColumn.LENGTH,
    Col.FRONT_DIAMETER: FillColumn.FRONT_DIAMETER,
    Col.REAR_DIAMETER: FillColumn.REAR_DIAMETER,
    Col.DENSITY: FillColumn.DENSITY,
    Col.WEIGHT: FillColumn.WEIGHT,
    Col.NOTE: FillColumn.NOTE,
}


class RowCommands:
    """Methods of a :class:`SegmentTable`, which brings document, model and selection."""

    def insert_above(self) -> None:
        """Put a sensible row in before the first selected one."""
        rows = self.selected_rows()
        self._edit_rows(edits.insert_default, rows[0] if rows else self.segments.count)

    def insert_below(self) -> None:
        """Put a sensible row in behind the last selected one."""
        rows = self.selected_rows()
        self._edit_rows(edits.insert_default, rows[-1] + 1 if rows else self.segments.count)

    def delete_rows(self) -> None:
        """Take the selected rows out."""
        self._edit_rows(edits.delete, self.selected_rows())

    def duplicate_rows(self) -> None:
        """Copy the selected rows to behind the last of them."""
        self._edit_rows(edits.duplicate, self.selected_rows())

    def move_up(self) -> None:
        """Move the selected rows one toward the fly."""
        rows = self.selected_rows()
        if rows and rows[0] > 0:
            self._edit_rows(edits.move, rows, rows[0] - 1)

    def move_down(self) -> None:
        """Move the selected rows one toward the rod."""
        rows = self.selected_rows()
        if rows and rows[-1] + 1 < self.segments.count:
            self._edit_rows(edits.move, rows, rows[-1] + 2)

    def reverse_line(self) -> None:
        """Turn the whole line end for end."""
        self._edit_rows(edits.reverse)

    def fill_down(self) -> None:
        """Give every selected cell the value of the first one in its column."""
        line = self._document.line
        rows = self.selected_rows()
        if line is None or len(rows) < 2:
            self._tell("Select two or more cells below each other to fill down.")
            return
        columns = sorted(
            {
                column
                for part in self.selectionModel().selection()
                for column in range(part.left(), part.right() + 1)
            }
        )
        if self.selects_whole_rows():
            columns = [c for c in columns if c in _FILLED and c != Col.WEIGHT]
        steps: list[Step] = []
        for column in columns:
            if column in _FILLED:
                steps.append((edits.fill_down, (line.key, rows, _FILLED[column])))
            else:
                steps += self._fill_worked_out(line.key, rows, column)
        self._tell(self._apply_and_choose(together, "Fill down", steps, tuple(rows)))

    def _fill_worked_out(self, line: str, rows: list[int], column: int) -> list[Step]:
        figures, solve = self.segments.row(rows[0]).figures, self._settings.solve
        if column == Col.SINK_RATE:
            return [(edits.set_sink_rate, (line, row, figures.sink)) for row in rows[1:]]
        if column == Col.FRONT_WEIGHT_PER_LENGTH:
            edit, value = edits.set_front_linear_density, figures.front_linear_density
        else:
            edit, value = edits.set_rear_linear_density, figures.rear_linear_density
        return [(edit, (line, row, value, solve)) for row in rows[1:]]

    def merge_rows(self) -> MergeDialog | None:
        """Make one row of the selected ones; asks first where that changes the shape."""
        line, rows = self._document.line, self.selected_rows()
        if line is None:
            return None
        try:
            edits.merge(self._document.bench, line.key, rows)
        except Refused as problem:
            try:
                edits.merge(self._document.bench, line.key, rows, keep_weight=True)
            except Refused:
                self._edit_rows(edits.merge, rows)
                return None
            dialog = MergeDialog(rows, str(problem.sentence), self)
            dialog.accepted.connect(self._merge_anyway)
            return self._open(dialog)
        self._edit_rows(edits.merge, rows)
        return None

    def split_here(self) -> SplitDialog | None:
        """Ask where to split the current row, and split it there."""
        row = self._one_row()
        if row is None:
            return None
        dialog = SplitDialog(row, self.segments.row(row).segment, self._settings, self)
        dialog.accepted.connect(self._split)
        return self._open(dialog)

    def edit_core(self) -> CoreDialog | None:
        """Ask for the core and coating of the current row."""
        row = self._one_row()
        if row is None:
            return None
        dialog = CoreDialog(row, self.segments.row(row).segment, self._settings, self)
        dialog.accepted.connect(self._set_core)
        dialog.removed.connect(self._remove_core)
        return self._open(dialog)

    def edit_joint(self) -> JointDialog | None:
        """Ask how the current row meets the next."""
        row = self._one_row()
        line = self._document.line
        if row is None or line is None:
            return None
        if row + 1 >= self.segments.count:
            self._tell("The last row meets no other: choose the row ahead of the joint.")
            return None
        dialog = JointDialog(
            row, line.segments[row], line.segments[row + 1], line.joints[row], self._settings, self
        )
        dialog.accepted.connect(self._set_joint)
        return self._open(dialog)

    def _one_row(self) -> int | None:
        self.commit_open_editor()
        row = self.currentIndex().row()
        if not 0 <= row < self.segments.count:
            self._tell("Choose a segment first.")
            return None
        return row

    def _open(self, dialog: SmallDialog) -> SmallDialog:
        dialog.open()
        return dialog

    def _merge_anyway(self) -> None:
        self._edit_rows(edits.merge, self.sender().rows, keep_weight=True)

    def _split(self) -> None:
        dialog = self.sender()
        self._edit_rows(edits.split_segment, dialog.row, dialog.distance.value())

    def _set_core(self) -> None:
        dialog = self.sender()
        self._edit_rows(
            edits.set_core,
            dialog.row,
            dialog.diameter.value(),
            dialog.density.value(),
            dialog.coating.value(),
        )

    def _remove_core(self) -> None:
        self._edit_rows(edits.remove_core, self.sender().row)

    def _set_joint(self) -> None:
        dialog = self.sender()
        self._edit_rows(edits.set_joint, dialog.row, dialog.joint())
