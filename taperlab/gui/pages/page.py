"""What a page is to the window."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from PySide6.QtGui import QHideEvent, QShowEvent, QTextDocument
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.watch import Watch


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


class PlotsInHand(Protocol):
    """Plots that can be copied and saved as a picture."""

    def copy_picture(self) -> None:
        """Put the plots on the clipboard, as an image."""

    def export_png(self, path: Path) -> None:
        """Save the plots as a PNG file. Raises FileProblem."""

    def export_svg(self, path: Path) -> None:
        """Save the plots as an SVG file. Raises FileProblem."""


class Page(QWidget):
    """One page of the window. Its views listen to ``watch``, never to the document itself.

    A page is awake while it is shown; the others sleep.
    """

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

    def plots_in_hand(self) -> PlotsInHand | None:
        """The plots that copying and saving a picture mean."""
        return None

    def sheet(self) -> QTextDocument | None:
        """What printing means on this page; None where there is nothing to print."""
        return None
