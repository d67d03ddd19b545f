"""A sheet as it will be printed: its pages, its paper and units; from here to printer or PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import QComboBox, QDialog, QFileDialog, QPushButton, QWidget

from taperlab.files.names import file_name
from taperlab.files.preferences import SheetPaper
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import open_as_large
from taperlab.gui.kit.widgets import caption, in_column, in_row, label, set_role
from taperlab.gui.paper.export import write_pdf
from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.pages import NotPrinted, Page, page_layout, pages_of
from taperlab.gui.paper.layout.said import plain
from taperlab.gui.paper.page_view import PageView, Thumbnails, true_scale
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

LEAST, MOST = 0.2, 6.0
"""How small and how large a page is shown, of its true size."""

FIT_PAGE, FIT_WIDTH = "page", "width"
SIZES: tuple[float, ...] = (0.5, 0.75, 1.0, 1.5, 2.0)

Send = Callable[[QWidget, Sheet, System, str], bool]
"""Asks for a printer over a window, and sends it a sheet; whether that was done."""


class PreviewDialog(QDialog):
    """Pages at the left as small pictures, the one that is chosen at the right at a told scale."""

    def __init__(self, place: Workplace, sheet: Sheet, send: Send) -> None:
        super().__init__(place.host.parent_widget)
        self.place, self.sheet, self._send = place, sheet, send
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(
            tr("{sheet}, as it is printed").format(sheet=plain(sheet.title, place.system))
        )
        self.pages: tuple[Page, ...] = ()
        self.scale = 1.0
        self.paper = _choice(tr("Paper"), (("letter", tr("Letter")), ("a4", tr("A4"))))
        self.units = _choice(
            tr("Units"),
            ((System.US, tr("feet, grains")), (System.METRIC, tr("metres, grams"))),
        )
        self.units.setCurrentIndex(self.units.findData(place.system))
        chosen = paper_for(place.settings.preferences.paper, place.system)
        self.paper.setCurrentIndex(self.paper.findData(chosen))
        sizes: list[tuple[object, str]] = [(FIT_PAGE, tr("Fit page")), (FIT_WIDTH, tr("Fit width"))]
        sizes += [(each, f"{100.0 * each:.0f} %") for each in SIZES]
        self.size_shown = _choice(tr("Size"), sizes)
        self.print_button = QPushButton(tr("&Print…"))
        self.print_button.setObjectName("accept")
        self.print_button.setDefault(True)
        self.save_button = QPushButton(tr("&Save as PDF…"))
        self.close_button = QPushButton(tr("Close"))
        self.thumbs = Thumbnails()
        self.view = PageView(place.theme)
        self.said = label("", role="soft", wrap=True)
        self._lay_out()
        self._connect()
        self._set_pages()

    def _lay_out(self) -> None:
        bar = in_row(
            caption(tr("Paper")),
            self.paper,
            10,
            caption(tr("Units")),
            self.units,
            10,
            caption(tr("Size")),
            self.size_shown,
            None,
            spacing=6,
        )
        pages = QWidget()
        in_row(self.thumbs, (self.view, 1), spacing=10, of=pages)
        foot = in_row(
            (self.said, 1), self.close_button, self.save_button, self.print_button, spacing=8
        )
        column = in_column(bar, (pages, 1), foot, spacing=10, of=self)
        column.setContentsMargins(16, 14, 16, 12)
        open_as_large(self, 920, 760)
        self.thumbs.setFocus()

    def _connect(self) -> None:
        self.paper.currentIndexChanged.connect(self._set_pages)
        self.paper.activated.connect(self._keep_paper)
        self.units.currentIndexChanged.connect(self._set_pages)
        self.size_shown.currentIndexChanged.connect(self._show_page)
        self.thumbs.currentRowChanged.connect(self._show_page)
        self.view.zoomed.connect(self.zoom)
        self.print_button.clicked.connect(self._print)
        self.save_button.clicked.connect(self._ask_file)
        self.close_button.clicked.connect(self.reject)
        keys = QKeySequence.StandardKey
        for key, act in (
            (QKeySequence(keys.ZoomIn), self._larger),
            (QKeySequence("Ctrl+="), self._larger),
            (QKeySequence(keys.ZoomOut), self._smaller),
            (QKeySequence("Ctrl+0"), self._true_size),
            (QKeySequence(Qt.Key.Key_PageDown), self._next),
            (QKeySequence(Qt.Key.Key_PageUp), self._before),
        ):
            QShortcut(key, self, act)

    # -- what is shown -------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units that are chosen."""
        return System(self.units.currentData())

    @property
    def paper_name(self) -> str:
        """The paper that is chosen: ``letter`` or ``a4``."""
        return str(self.paper.currentData())

    def _keep_paper(self) -> None:
        self.place.settings.remember(paper=SheetPaper(self.paper_name))

    def _set_pages(self) -> None:
        layout = page_layout(self.system, self.paper_name)
        self.pages = pages_of(self.sheet, layout, self.system)
        self.thumbs.show_pages(self.pages, layout)
        self._show_page()

    def _show_page(self) -> None:
        number = max(self.thumbs.currentRow(), 0)
        layout = page_layout(self.system, self.paper_name)
        one, is_told = true_scale(self.screen())
        shown = self.size_shown.currentData()
        paper = layout.fullRectPoints()
        room = self.view.room()
        if shown == FIT_WIDTH:
            bar = self.view.verticalScrollBar().sizeHint().width()
            self.scale = (room.width() - bar) / paper.width() / one
        elif shown == FIT_PAGE:
            across, down = room.width() / paper.width(), room.height() / paper.height()
            self.scale = min(across, down) / one
        elif shown is not None:
            self.scale = float(shown)
        self.scale = min(max(self.scale, LEAST), MOST)
        self.view.show_page(self.pages[number], layout, self.scale * one)
        said = Sentence(
            "Page {page} of {pages} at {percent} % of its size on paper",
            page=number + 1,
            pages=len(self.pages),
            percent=round(100.0 * self.scale),
        )
        if not is_told:
            said = Sentence("{said}, as far as the screen tells its own", said=said)
        self._say(said)

    def _say(self, said: Sentence, *, role: str = "soft") -> None:
        set_role(self.said, role)
        self.said.setText(self.place.read(said))
        if role == "bad":
            announce(self, self.said.text(), at_once=True)

    def zoom(self, times: float) -> None:
        """Show the page so many times as large."""
        self.scale = min(max(self.scale * times, LEAST), MOST)
        self.size_shown.setCurrentIndex(-1)
        self._show_page()

    def _larger(self) -> None:
        self.zoom(1.25)

    def _smaller(self) -> None:
        self.zoom(0.8)

    def _true_size(self) -> None:
        self.size_shown.setCurrentIndex(self.size_shown.findData(1.0))

    def _next(self) -> None:
        self._turn(1)

    def _before(self) -> None:
        self._turn(-1)

    def _turn(self, by: int) -> None:
        row = min(max(self.thumbs.currentRow() + by, 0), len(self.pages) - 1)
        self.thumbs.setCurrentRow(row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the page into its new room, where it is to fit."""
        super().resizeEvent(event)
        self._show_page()

    def showEvent(self, event: QShowEvent) -> None:
        """Fit the page once its room is known."""
        super().showEvent(event)
        self._show_page()

    # -- where it goes -------------------------------------------------------------------------

    def _print(self) -> None:
        try:
            sent = self._send(self, self.sheet, self.system, self.paper_name)
        except NotPrinted as problem:
            self._say(problem.sentence, role="bad")
            return
        if sent:
            self._say(Sentence("Sent the sheet to the printer"))

    def _ask_file(self) -> None:
        title = plain(self.sheet.title, self.system)
        path = self.place.document.path
        folder = path.parent if path is not None else Path.home()
        start = str(folder / f"{file_name(title, 'sheet')}.pdf")
        name, _ = QFileDialog.getSaveFileName(self, tr("Save the sheet as PDF"), start, "*.pdf")
        if name:
            self.save(Path(name))

    def save(self, path: Path) -> None:
        """Write the sheet as PDF, or say why not."""
        target = path if path.suffix else path.with_suffix(".pdf")
        layout = page_layout(self.system, self.paper_name)
        try:
            write_pdf(self.sheet, target, layout, self.system)
        except FileProblem as problem:
            self._say(problem.sentence, role="bad")
            return
        self._say(Sentence("Saved the sheet as {file}", file=target.name))


def paper_for(chosen: SheetPaper, system: System) -> str:
    """The paper that a person chose, or what is usual where these units are."""
    if chosen is not SheetPaper.USUAL:
        return chosen.value
    return "letter" if system is System.US else "a4"


def _choice(name: str, entries: Sequence[tuple[object, str]]) -> QComboBox:
    made = Choice()
    for data, text in entries:
        made.addItem(text, data)
    made.setAccessibleName(name)
    made.setMinimumContentsLength(max(len(text) for _, text in entries) + 2)
    return made
