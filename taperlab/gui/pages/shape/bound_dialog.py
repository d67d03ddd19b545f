"""Asks between what goals may move a number."""

from __future__ import annotations

from taperlab.edits.goals import set_bounds
from taperlab.gui.dialogs.form import Do
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.shape.row_dialogs import RowDialog
from taperlab.model.aim import Cell
from taperlab.model.line import Line
from taperlab.units.language import tr
from taperlab.units.limits import CELL_LIMITS
from taperlab.units.sentence import Sentence, Share


class BoundDialog(RowDialog):
    """The least and the most that a cell may be; left empty, as far as usual."""

    def __init__(self, line: Line, row: int, place: Workplace, do: Do, *, cell: Cell) -> None:
        segment = line.segments[row]
        about = Sentence(
            "Goals may move the {cell} of segment {row}, {part}, between:",
            cell=cell,
            row=row + 1,
            part=segment.part,
        )
        super().__init__(tr("Bound for goals"), about, tr("Bound"), place, do)
        self._row, self._cell = row, cell
        hold, kind = segment.hold(cell), CELL_LIMITS[cell].kind
        self.low = self.add_field(tr("At least"), kind, hold.low, optional=True)
        self.high = self.add_field(tr("At most"), kind, hold.high, optional=True)

    def refresh(self) -> None:
        """Say what an empty field means."""
        from taperlab.shop.goals.unknowns import FAR

        far = Share(FAR[self._cell])
        self.say_remark(Sentence("An empty field: as far as {share} from now.", share=far))

    def try_accept(self) -> None:
        """Set the bounds."""
        if self.is_filled_in():
            low, high = self.low.value(), self.high.value()
            self.finish_with(set_bounds, self._row, self._cell, low, high)
