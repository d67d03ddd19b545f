"""What a page is to the window."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, HelpGroup
from taperlab.gui.kit.room import Halves
from taperlab.gui.plots.stack import PlotStack
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.typing_table import TypingTable
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet
    from taperlab.model.job import Job


class Page(QWidget):
    """One page of the window. Its views listen to ``watch``, never to the document itself.

    A page is awake while it is shown; the others sleep. splitter: the border between its halves,
    whose place is remembered. segments: the table that the Segment menu acts on, which does each of
    ``ROW_COMMANDS``. plots: those that copying and saving a picture mean. figure_help: what keys
    and mouse do to figures that can be typed.
    """

    splitter: Halves | None = None
    segments: TypingTable | None = None
    plots: PlotStack | None = None
    figure_help: tuple[Help, ...] = ()

    @property
    def more_help(self) -> tuple[HelpGroup, ...]:
        """What keys and mouse do to what this page alone has."""
        return ()

    def __init__(self, place: Workplace) -> None:
        super().__init__()
        self.setObjectName("page")
        self.place = place
        self.watch = Watch(place.document, place.settings, self)

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""

    def showEvent(self, event: QShowEvent) -> None:
        """Wake: catch up with the bench, and keep up from now on."""
        self.watch.wake()
        super().showEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        """Sleep: do nothing until woken."""
        self.watch.sleep()
        super().hideEvent(event)

    def look_at(self, lines: tuple[str, ...]) -> None:
        """Look at lines looped together, by their keys from the fly end, if the page does that."""

    def take_keys(self) -> bool:
        """Put the keys where the work that is begun goes on; whether there is such a place.

        Else they go to its table, or to the first that takes any.
        """
        return False

    def current_table(self) -> TypingTable | None:
        """The table that the Edit menu acts on."""
        return None

    def has_readouts(self) -> bool:
        """Whether figures are shown that can be copied."""
        return False

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """The figures shown, as rows of name, value and remark."""
        return []

    def take_offers(self, plots: list[QAction], figures: list[QAction]) -> None:
        """Put the window's commands into the menus of the plots, and of the figures."""
        if self.plots is not None:
            self.plots.offers = plots

    def current_bench_view(self) -> Callable[[], object] | None:
        """Shows one step of the work on the whole screen; None where there is no such step."""
        return None

    def job_in_hand(self) -> Job | None:
        """The customer's job that is looked at, which labels and sheets are of; None elsewhere."""
        return None

    def sheet(self) -> Sheet | Sentence:
        """What printing means on this page, or why there is nothing to print.

        Where a page has no sheet of its own: the build sheet of the line or rig that is looked at.
        """
        from taperlab.gui.paper.build_sheet import build_sheet

        thing = self.place.document.shown
        if thing is None:
            return Sentence("There is no line to print.")
        return build_sheet(self.place.document.bench, thing)
