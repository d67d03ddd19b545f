"""What the menus act on: table, segments, plots, figures and sheet of the page that is shown."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

from PySide6.QtGui import QGuiApplication

from taperlab.gui.frame.page_stack import PageStack
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.page import Page, SegmentsInHand
from taperlab.units.sentence import Sentence


class Needs(Enum):
    """What the page that is shown must have for a command to be of use."""

    NOTHING = "nothing"
    SEGMENTS = "segments"
    PLOTS = "plots"
    READOUTS = "readouts"

    def are_met_by(self, page: Page) -> bool:
        """Whether a page has it."""
        found = {
            Needs.NOTHING: lambda: page,
            Needs.SEGMENTS: page.segments_in_hand,
            Needs.PLOTS: page.plots_in_hand,
            Needs.READOUTS: page.readouts_in_hand,
        }
        return found[self]() is not None


class InHand:
    """Asks the page that is shown; does nothing where that has no such thing."""

    def __init__(self, place: Workplace, pages: PageStack) -> None:
        self._place = place
        self._pages = pages

    # -- the table ----------------------------------------------------------------------------

    def cut(self) -> None:
        """Cut what is selected in the table."""
        table = self._pages.current.table_in_hand()
        if table is not None:
            table.cut()

    def copy(self) -> None:
        """Copy what is selected in the table."""
        table = self._pages.current.table_in_hand()
        if table is not None:
            table.copy()

    def paste(self) -> None:
        """Paste into the table."""
        table = self._pages.current.table_in_hand()
        if table is not None:
            table.paste()

    def select_all(self) -> None:
        """Select all of the table."""
        table = self._pages.current.table_in_hand()
        if table is not None:
            table.select_all()

    # -- segments -----------------------------------------------------------------------------

    def segments(self, do: Callable[[SegmentsInHand], object]) -> Callable[[], None]:
        """A call that does something to the segment table of the page that is shown then."""

        def act() -> None:
            table = self._pages.current.segments_in_hand()
            if table is not None:
                do(table)

        return act

    def insert_from_stock(self) -> None:
        """Put a length of material from the shelf below the current segment."""
        from taperlab.gui.dialogs.stock import StockDialog

        self._place.host.commit()
        line, table = self._place.document.line, self._pages.current.segments_in_hand()
        if line is not None and table is not None:
            at = min(table.currentIndex().row() + 1, len(line.segments))
            StockDialog(self._place, line, at).open()

    def keep_as_stock(self) -> None:
        """Put the material of the current segment on the shelf."""
        from taperlab.gui.dialogs.stock import KeepStockDialog

        self._place.host.commit()
        line, table = self._place.document.line, self._pages.current.segments_in_hand()
        row = table.currentIndex().row() if table is not None else -1
        if line is None or not 0 <= row < len(line.segments):
            self._place.host.say_problem(
                Sentence("Choose the segment whose material is to be kept.")
            )
            return
        KeepStockDialog(self._place, line, row).open()

    def find_weight(self) -> None:
        """Find where along the line in hand so much weight is, and point at it."""
        from taperlab.gui.dialogs.find_weight import FindWeightDialog

        self._place.host.commit()
        plots = self._pages.current.plots_in_hand()
        if self._place.document.line is not None and plots is not None:
            dialog = FindWeightDialog(self._place)
            dialog.found.connect(plots.point_at)
            dialog.open()

    # -- plots, figures, paper ----------------------------------------------------------------

    def show_whole_line(self) -> None:
        """Show the plots from end to end."""
        plots = self._pages.current.plots_in_hand()
        if plots is not None:
            plots.reset_view()

    def copy_plots(self) -> None:
        """Copy the plots as a picture."""
        plots = self._pages.current.plots_in_hand()
        if plots is not None:
            plots.copy_picture()
            self._place.host.say(Sentence("Copied the plots"))

    def copy_readouts(self) -> None:
        """Copy the figures as text, one a line."""
        rows = self._pages.current.readouts_in_hand()
        if rows is not None:
            self._copy(
                "\n".join(
                    f"{name}: {value}" + (f" ({remark})" if remark else "")
                    for name, value, remark in rows
                )
            )

    def copy_readouts_table(self) -> None:
        """Copy the figures as a table for a spreadsheet."""
        rows = self._pages.current.readouts_in_hand()
        if rows is not None:
            self._copy("\n".join("\t".join(row) for row in rows))

    def _copy(self, text: str) -> None:
        QGuiApplication.clipboard().setText(text)
        self._place.host.say(Sentence("Copied the readouts"))

    def print_sheet(self) -> None:
        """Print the sheet of the page that is shown."""
        from taperlab.gui.paper.printing import print_sheet

        self._place.host.commit()
        print_sheet(self._place, self._pages.current.sheet())

    def preview_sheet(self) -> None:
        """Show the sheet of the page that is shown as it will be printed."""
        from taperlab.gui.paper.printing import preview_sheet

        self._place.host.commit()
        preview_sheet(self._place, self._pages.current.sheet())
