"""Name and style of the current line, and the table's everyday actions."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QSizePolicy, QToolButton, QWidget

from taperlab.edits import lines as line_edits
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import native
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Elided
from taperlab.gui.pages.row_commands import ROW_COMMANDS
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.gui.state.watch import Watch
from taperlab.model.line import Style
from taperlab.units.language import tr
from taperlab.units.words import heading

NAME_WIDTH = 110
MEMBER_WIDTH = 160
"""Room for the name of the line, and for the list of those of a rig [px]."""


class LineHeader(QWidget):
    """Name and style of the current line, and the table's everyday actions.

    describe(): the person wants to edit name, loops and note.
    """

    describe = Signal()

    def __init__(self, place: Workplace, watch: Watch, table: SegmentTable) -> None:
        super().__init__()
        self._place = place
        self.name = Elided(points=11.0, weight=QFont.Weight.DemiBold)
        self.name.setMinimumWidth(px(NAME_WIDTH))
        self.member = Choice()
        self.member.setAccessibleName(tr("Line of the rig"))
        self.member.setToolTip(tr("The line of the rig whose segments are shown below"))
        self.member.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.member.setMinimumWidth(px(MEMBER_WIDTH))
        self.member.activated.connect(self._member_chosen)
        self._members: list[tuple[str, str]] = []
        self.style_box = QComboBox()
        self.style_box.setAccessibleName(tr("Style"))
        self.style_box.setToolTip(
            tr("The grain window, and the reading of the ratio, follow the style")
        )
        self.style_box.addItems([heading(style) for style in Style])
        self.style_box.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.style_box.activated.connect(self._style_chosen)
        self._details = QToolButton()
        self._details.setText(tr("Loops…"))
        self._details.setToolTip(tr("Name, style, loops and note of this line"))
        self._details.clicked.connect(self.describe)
        self.joined = QCheckBox(tr("Ends joined"))
        self.joined.setToolTip(
            tr(
                "Where two segments meet at one diameter and one is given another (typed, pasted,\n"
                "filled or dragged), the other end takes it up too: a taper stays joined.\n"
                "Without it only the end that is meant changes, and the line may step there."
            )
        )
        self.joined.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.joined.clicked.connect(place.settings.join_ends)
        place.settings.ends_changed.connect(self._show_ends)
        self._show_ends()
        self._buttons: list[QToolButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 8, 10, 4)
        self._row.setSpacing(6)
        self._row.addWidget(self.name, 1)
        self._row.addWidget(self.member, 1)
        self._row.addWidget(self.style_box)
        self._row.addWidget(self._details)
        self._row.addWidget(self.joined)
        self._add_commands(table)
        watch.changed.connect(self.refresh)
        self.refresh()

    def _add_commands(self, table: SegmentTable) -> None:
        """Show buttons for the everyday commands of a table, with the window's keys for them."""
        self._row.addSpacing(8)
        for name in ("insert_below", "split_here", "merge_rows", "reverse_line"):
            command = ROW_COMMANDS[name]
            button = QToolButton()
            button.setText(command.words)
            button.setToolTip(f"{tr(command.tip)} ({native(command.keys)})")
            button.clicked.connect(getattr(table, name))
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self._row.addWidget(button)
            self.setTabOrder([self.joined, *self._buttons][-1], button)
            self._buttons.append(button)

    def minimumSizeHint(self) -> QSize:
        """Room for the name, the style and what opens the rest; buttons are left out."""
        least = super().minimumSizeHint()
        spare = sum(
            each.sizeHint().width() + self._row.spacing()
            for each in self._buttons
            if not each.isHidden()
        )
        return QSize(least.width() - spare, least.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out buttons that have no room; the menus have them too."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        margins = self._row.contentsMargins()
        named = NAME_WIDTH if self.member.isHidden() else MEMBER_WIDTH
        room = self.width() - margins.left() - margins.right() - px(named) - 14
        for widget in (self.style_box, self._details, self.joined, *self._buttons):
            room -= widget.sizeHint().width() + self._row.spacing()
            if widget in self._buttons:
                widget.setVisible(room >= 0)

    def _show_ends(self) -> None:
        self.joined.setChecked(self._place.settings.joins_ends)

    def refresh(self) -> None:
        """Show the current line."""
        line = self._place.document.line
        self.setEnabled(line is not None)
        self._show_members()
        self.name.setText(line.name if line else tr("No line on the bench"))
        if line:
            self.style_box.setCurrentIndex(list(Style).index(line.style))

    def _show_members(self) -> None:
        """Offer the lines of the rig, where one is looked at, from the fly end."""
        document = self._place.document
        rig, line = document.rig, document.line
        lines = [document.bench.line(key) for key in rig.lines] if rig else []
        members = [(each.name, each.key) for each in lines]
        if members != self._members:
            self._members = members
            self.member.clear()
            for name, key in members:
                self.member.addItem(name, key)
        if line is not None and rig is not None:
            self.member.setCurrentIndex(self.member.findData(line.key))
        if self.member.isHidden() is not (rig is None):
            self.member.setVisible(rig is not None)
            self.name.setVisible(rig is None)
            self._fit()

    def _member_chosen(self, index: int) -> None:
        rig = self._place.document.rig
        if rig is not None:
            self._place.host.commit()
            key = self.member.itemData(index)
            self._place.document.look(line=key, rig=rig.key, initiator=self)

    def _style_chosen(self, index: int) -> None:
        line = self._place.document.line
        if line:
            self._place.do(line_edits.set_style, line.key, list(Style)[index], initiator=self)
