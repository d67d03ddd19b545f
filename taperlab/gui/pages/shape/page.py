"""The Shape page: the line drawn across the page, its table below, its figures at the right."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFont, QKeySequence, QTextDocument
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QSizePolicy, QToolButton, QWidget

from taperlab.edits import lines as line_edits
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.rod_card import RodCard
from taperlab.gui.kit.widgets import GAP, Card, Elided, side_column, upper_and_lower
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.shape.against_card import AgainstCard
from taperlab.gui.pages.shape.cards import FindingsCard, WaterCard
from taperlab.gui.pages.shape.profile_plots import ProfilePlots
from taperlab.gui.pages.shape.readouts import Readouts
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.gui.state.document import Document
from taperlab.model.line import Style
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

NAME_WIDTH = 110


class LineHeader(QWidget):
    """Name and style of the line in hand, and the table's everyday actions."""

    describe = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self.name = Elided(points=11.0, weight=QFont.Weight.DemiBold)
        self.name.setMinimumWidth(NAME_WIDTH)
        self.style_box = QComboBox()
        self.style_box.setAccessibleName("Style")
        self.style_box.setToolTip("The window, and the reading of the ratio, follow the style")
        self.style_box.addItems([str(style)[0].upper() + str(style)[1:] for style in Style])
        self.style_box.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.style_box.activated.connect(self._style_chosen)
        self._buttons: list[QToolButton] = []
        details = QToolButton()
        details.setText("Loops…")
        details.setToolTip("Name, style, loops and note of this line")
        details.clicked.connect(self.describe)
        self._details = details
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 8, 10, 4)
        self._row.setSpacing(6)
        self._row.addWidget(self.name, 1)
        self._row.addWidget(self.style_box)
        self._row.addWidget(details)
        document.changed.connect(self.refresh)
        self.refresh()

    def add_commands(self, table: SegmentTable) -> None:
        """Show buttons for the everyday commands of a table."""
        self._row.addSpacing(8)
        for text, tip, keys, do in (
            (
                tr("Insert"),
                tr("Insert a segment below this one"),
                "Ctrl+Return",
                table.insert_below,
            ),
            (tr("Split…"), tr("Split the segment at a distance"), "Ctrl+T", table.split_here),
            (tr("Merge"), tr("Make one segment of those selected"), "Ctrl+M", table.merge_rows),
            (tr("Reverse"), tr("Turn the line end for end"), "Ctrl+Shift+R", table.reverse_line),
        ):
            button = QToolButton()
            button.setText(text)
            shown = QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)
            button.setToolTip(f"{tip} ({shown})")
            button.clicked.connect(do)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            before = self._row.itemAt(self._row.count() - 1).widget() or self._details
            self._row.addWidget(button)
            self.setTabOrder(before, button)
            self._buttons.append(button)
        self._fit()

    def minimumSizeHint(self) -> QSize:
        """Room for the name, the style and what opens the rest; buttons are left out."""
        least = super().minimumSizeHint()
        spare = sum(
            each.sizeHint().width() + self._row.spacing()
            for each in self._buttons
            if not each.isHidden()
        )
        return QSize(least.width() - spare, least.height())

    def resizeEvent(self, event: object) -> None:
        """Leave out buttons that have no room; the menus have them too."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        margins = self._row.contentsMargins()
        room = self.width() - margins.left() - margins.right() - NAME_WIDTH - 14
        for widget in (self.style_box, self._details, *self._buttons):
            room -= widget.sizeHint().width() + self._row.spacing()
            if widget in self._buttons:
                widget.setVisible(room >= 0)

    def refresh(self, _change: object = None) -> None:
        """Show the line in hand."""
        line = self._document.line
        self.setEnabled(line is not None)
        self.name.setText(line.name if line else "No line on the bench")
        if line:
            self.style_box.setCurrentIndex(list(Style).index(line.style))

    def _style_chosen(self, index: int) -> None:
        line = self._document.line
        if line:
            self._document.apply(line_edits.set_style, line.key, list(Style)[index])


class ShapePage(Page):
    """Plots above, table below, figures at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        document, settings, theme = place.document, place.settings, place.theme
        self.plots = ProfilePlots(document, settings, theme)
        self.table = SegmentTable(document, settings, theme)
        self.header = LineHeader(document)
        self.rod_card = RodCard(document, settings)
        self.readouts = Readouts(document, settings, theme)
        self.against = AgainstCard(document, settings, theme)
        self.findings = FindingsCard(document)
        self.water = WaterCard(document, settings)

        plot_card = Card()
        plot_card.body.setContentsMargins(8, 8, 8, 6)
        plot_card.body.addWidget(self.plots)
        table_card = Card()
        table_card.body.setContentsMargins(1, 1, 1, 6)
        table_card.body.setSpacing(2)
        table_card.body.addWidget(self.header)
        table_card.body.addWidget(self.table, 1)
        self.splitter = upper_and_lower(plot_card, table_card, stretch=(3, 2), sizes=(430, 290))
        side = side_column(self.rod_card, self.readouts, self.findings, self.against, self.water)

        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.splitter, 1)
        row.addWidget(side)

        dialogs = self._dialogs = Dialogs(place)
        self.header.add_commands(self.table)
        self.header.describe.connect(dialogs.describe_line)
        self.rod_card.edit_rods.connect(dialogs.edit_rods)
        self.water.edit_water.connect(dialogs.edit_water)
        self.table.problem.connect(place.host.say_problem)
        self.table.said.connect(place.host.say)

    def table_in_hand(self) -> SegmentTable:
        """The table that the Edit menu acts on."""
        return self.table

    def segments_in_hand(self) -> SegmentTable:
        """The table that the Segment menu acts on."""
        return self.table

    def plots_in_hand(self) -> ProfilePlots:
        """The plots that copying and saving a picture mean."""
        return self.plots

    def readouts_in_hand(self) -> list[tuple[str, str, str]]:
        """The figures at the right."""
        return self.readouts.as_rows()

    def sheet(self) -> QTextDocument | Sentence:
        """The build sheet of the line in hand."""
        from taperlab.gui.paper.sheet import build_sheet

        line = self.place.document.line
        if line is None:
            return Sentence("There is no line to print.")
        return build_sheet(self.place.document.bench, line, self.place.system)

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.table.commit_open_editor()
