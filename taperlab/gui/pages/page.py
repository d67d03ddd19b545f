"""What a page is to the window."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QModelIndex
from PySide6.QtGui import QHideEvent, QShowEvent, QTextDocument
from PySide6.QtWidgets import QSplitter, QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.watch import Watch
from taperlab.units.sentence import Sentence


class TableInHand(Protocol):
    """A table that the Edit menu acts on."""

    def cut(self) -> None:
        """Put what is selected on the clipboard and take it out."""

    def copy(self) -> None:
        """Put what is selected on the clipboard."""

    def paste(self) -> None:
        """Put the clipboard's cells in place of what is selected."""

    def select_all(self) -> None:
        """Select every row."""


class SegmentsInHand(Protocol):
    """A table of segments, for the Segment menu."""

    def currentIndex(self) -> QModelIndex:
        """The cell that the keys act on."""

    def copy_with_headings(self) -> object:
        """Copy what is selected under a header row."""

    def fill_down(self) -> object:
        """Give every selected cell the value of the first one in its column."""

    def reverse_line(self) -> object:
        """Turn the whole line end for end."""

    def insert_above(self) -> object:
        """Put a row in before the first selected one."""

    def insert_below(self) -> object:
        """Put a row in behind the last selected one."""

    def duplicate_rows(self) -> object:
        """Copy the selected rows to behind the last of them."""

    def delete_rows(self) -> object:
        """Take the selected rows out."""

    def move_up(self) -> object:
        """Move the selected rows one toward the fly."""

    def move_down(self) -> object:
        """Move the selected rows one toward the rod."""

    def split_here(self) -> object:
        """Ask where to split the current row, and split it there."""

    def merge_rows(self) -> object:
        """Make one row of the selected ones."""

    def edit_core(self) -> object:
        """Ask for the core and coating of the current row."""

    def edit_joint(self) -> object:
        """Ask how the current row meets the next."""


class PlotsInHand(Protocol):
    """Plots that can be copied and saved as a picture."""

    def reset_view(self) -> None:
        """Show all there is, from end to end."""

    def point_at(self, position: float) -> None:
        """Put the crosshair at a distance from the fly end [m]."""

    def copy_picture(self) -> None:
        """Put the plots on the clipboard, as an image."""

    def export_png(self, path: Path) -> None:
        """Save the plots as a PNG file. Raises FileProblem."""

    def export_svg(self, path: Path) -> None:
        """Save the plots as an SVG file. Raises FileProblem."""


class Page(QWidget):
    """One page of the window. Its views listen to ``watch``, never to the document itself.

    A page is awake while it is shown; the others sleep. ``splitter``: the border between its
    halves, whose place is remembered.
    """

    splitter: QSplitter | None = None

    def __init__(self, place: Workplace) -> None:
        super().__init__()
        self.setObjectName("page")
        self.place = place
        self.watch = Watch(place.document, self)

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""

    def wake(self) -> None:
        """Be shown: catch up with the bench, and keep up from now on."""
        self.watch.wake()

    def sleep(self) -> None:
        """Be hidden: do nothing until woken."""
        self.watch.sleep()

    def showEvent(self, event: QShowEvent) -> None:
        """Wake."""
        self.wake()
        super().showEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        """Sleep."""
        self.sleep()
        super().hideEvent(event)

    def table_in_hand(self) -> TableInHand | None:
        """The table that the Edit menu acts on."""
        return None

    def segments_in_hand(self) -> SegmentsInHand | None:
        """The segment table that the Segment menu acts on."""
        return None

    def plots_in_hand(self) -> PlotsInHand | None:
        """The plots that copying and saving a picture mean."""
        return None

    def readouts_in_hand(self) -> list[tuple[str, str, str]] | None:
        """The figures shown, as rows of name, value and remark; None where there are none."""
        return None

    def sheet(self) -> QTextDocument | Sentence:
        """What printing means on this page, or why there is nothing to print.

        Where a page has no sheet of its own: the build sheet of the line in hand.
        """
        from taperlab.gui.paper.sheet import build_sheet

        line = self.place.document.line
        if line is None:
            return Sentence("There is no line to print.")
        return build_sheet(self.place.document.bench, line, self.place.system)
