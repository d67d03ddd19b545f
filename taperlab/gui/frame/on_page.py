"""What the menus act on: table, segments, plots, figures and sheet of the page that is shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtGui import QContextMenuEvent, QGuiApplication
from PySide6.QtWidgets import QApplication

from taperlab.gui.frame.page_stack import PageStack
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import HelpGroup
from taperlab.gui.pages.page import Page
from taperlab.gui.plots.stack import PlotStack
from taperlab.gui.table.typing_table import TypingTable
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

Thing = TypeVar("Thing")


class Needs(Enum):
    """What the page that is shown must have for a command to be of use."""

    NOTHING = "nothing"
    SEGMENTS = "segments"
    PLOTS = "plots"
    READOUTS = "readouts"
    BENCH_VIEW = "bench view"

    def are_met_by(self, page: Page) -> bool:
        """Whether a page has it."""
        found: dict[Needs, Callable[[], bool]] = {
            Needs.NOTHING: lambda: True,
            Needs.SEGMENTS: lambda: page.segments is not None,
            Needs.PLOTS: lambda: page.plots is not None,
            Needs.READOUTS: page.has_readouts,
            Needs.BENCH_VIEW: lambda: page.current_bench_view() is not None,
        }
        return found[self]()


class OnPage:
    """Asks the page that is shown when a command is given; where it has no such thing, nothing."""

    def __init__(self, place: Workplace, pages: PageStack) -> None:
        self._place = place
        self._pages = pages

    def table(self, do: Callable[[TypingTable], object]) -> Callable[[], None]:
        """A call that does something to the table."""
        return self._on(lambda page: page.current_table(), do)

    def segments(self, command: str) -> Callable[[], None]:
        """A call that has the segment table do one of ``ROW_COMMANDS``."""
        return self._on(lambda page: page.segments, lambda table: getattr(table, command)())

    def plots(self, do: Callable[[PlotStack], object]) -> Callable[[], None]:
        """A call that does something to the plots."""
        return self._on(lambda page: page.plots, do)

    def _on(
        self, find: Callable[[Page], Thing | None], do: Callable[[Thing], object]
    ) -> Callable[[], None]:
        def act() -> None:
            thing = find(self._pages.current)
            if thing is not None:
                do(thing)

        return act

    def insert_from_stock(self) -> None:
        """Put a length of material from the shelf below the current segment."""
        from taperlab.gui.dialogs.stock import StockDialog

        self._place.host.commit()
        line, table = self._place.document.line, self._pages.current.segments
        if line is not None and table is not None:
            at = min(table.currentIndex().row() + 1, len(line.segments))
            StockDialog(self._place, line, at).open()

    def keep_as_stock(self) -> None:
        """Put the material of the current segment on the shelf."""
        from taperlab.gui.dialogs.stock import KeepStockDialog

        self._place.host.commit()
        line, table = self._place.document.line, self._pages.current.segments
        row = table.currentIndex().row() if table is not None else -1
        if line is None or not 0 <= row < len(line.segments):
            sentence = Sentence("Choose the segment whose material is to be kept.")
            self._place.host.say_problem(sentence)
            return
        KeepStockDialog(self._place, line, row).open()

    def open_menu(self) -> None:
        """Open the menu of what has the keys, as the right button does."""
        target = QApplication.focusWidget()
        if target is not None:
            at, by = target.rect().center(), QContextMenuEvent.Reason.Keyboard
            event = QContextMenuEvent(by, at, target.mapToGlobal(at))
            QApplication.sendEvent(target, event)

    def show_keys(self, groups: Sequence[HelpGroup]) -> None:
        """List every key, and what the mouse does."""
        from taperlab.gui.dialogs.keys import KeysDialog

        dialog = KeysDialog(groups, self._place)
        dialog.print_asked.connect(self._print_keys)
        dialog.open()

    def find_weight(self, plots: PlotStack) -> None:
        """Find where along the current line so much weight is, and point at it."""
        from taperlab.gui.dialogs.find_weight import FindWeightDialog

        self._place.host.commit()
        if self._place.document.line is not None:
            dialog = FindWeightDialog(self._place)
            dialog.found.connect(plots.go_to)
            dialog.open()

    def copy_plots(self, plots: PlotStack) -> None:
        """Copy the plots as a picture."""
        plots.copy_picture()
        self._place.host.say(Sentence("Copied the plots"))

    def copy_readouts(self) -> None:
        """Copy the figures as text, one a line."""
        self._copy_rows(
            lambda name, value, remark: f"{name}: {value}" + (f" ({remark})" if remark else "")
        )

    def copy_readouts_table(self) -> None:
        """Copy the figures as a table for a spreadsheet."""
        self._copy_rows(lambda *row: "\t".join(row))

    def _copy_rows(self, write: Callable[[str, str, str], str]) -> None:
        rows = self._pages.current.current_readouts()
        if rows:
            QGuiApplication.clipboard().setText("\n".join(write(*row) for row in rows))
            self._place.host.say(Sentence("Copied the readouts"))

    def show_bench_view(self) -> None:
        """Show one step of the work on the whole screen."""
        show = self._pages.current.current_bench_view()
        if show is not None:
            show()

    def print_sheet(self) -> None:
        """Print the sheet."""
        self._place.host.commit()
        self._print(self._pages.current.sheet())

    def preview_before_after(self) -> None:
        """Show what a job, or a cut-back, did to the current head, as it will be printed."""
        from taperlab.gui.dialogs.working import work_beside
        from taperlab.gui.paper.customer_sheet import sheet_of
        from taperlab.gui.paper.printing import preview_sheet
        from taperlab.shop.before_after.study import told

        place, job = self._place, self._pages.current.job_in_hand()
        place.host.commit()
        steps = told(place.document.bench, place.document.line, job)
        text = tr("Working out before and after…")
        work_beside(steps, text, place, lambda found: preview_sheet(place, sheet_of(*found)))

    def print_labels(self) -> None:
        """Ask on what labels are printed, and print them."""
        from taperlab.gui.paper.labels.dialog import open_labels

        open_labels(self._place, self._pages.current.job_in_hand())

    def _print_keys(self, groups: Sequence[HelpGroup]) -> None:
        from taperlab.gui.paper.keys_sheet import keys_sheet

        self._print(keys_sheet(groups))

    def _print(self, sheet: Sheet | Sentence) -> None:
        from taperlab.gui.paper.printing import print_sheet

        print_sheet(self._place, sheet)

    def compare_on_paper(self) -> None:
        """Show what is looked at beside what is laid over it, as it will be printed."""
        from taperlab.gui.paper.comparison_sheet import comparison_sheet
        from taperlab.gui.paper.printing import preview_sheet

        self._place.host.commit()
        document = self._place.document
        whole, laid = document.whole, document.laid_over()
        if whole is None or not laid:
            nothing = Sentence(
                "Lay a line, a rig or a version over it: there is nothing to compare."
            )
            preview_sheet(self._place, nothing)
            return
        told: list[Sentence] = []
        for thing, _ in laid:
            told += document.told_since(thing)
        others = [each for _, each in laid]
        preview_sheet(self._place, comparison_sheet(whole, others, document.bench, told))

    def preview_sheet(self) -> None:
        """Show the sheet as it will be printed."""
        from taperlab.gui.paper.printing import preview_sheet

        self._place.host.commit()
        preview_sheet(self._place, self._pages.current.sheet())
