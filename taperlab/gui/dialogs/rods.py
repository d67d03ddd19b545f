"""The rods of the bench: lengths, classes and the windows of head weight they take."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QMenu,
    QPushButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.edits import rods as rod_edits
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import caption, label
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.model.bench import fresh_key
from taperlab.model.line import Style
from taperlab.model.rod import Rod, Window
from taperlab.trade.starters import starter_rods
from taperlab.units.kinds import ROD_LENGTH, WEIGHT


class WindowRow:
    """The fields of one window of a rod."""

    def __init__(self, window: Window | None, settings: Settings) -> None:
        self._window = window
        self.style = QComboBox()
        self.style.addItems(
            [
                "Any style" if style is Style.OTHER else str(style)[0].upper() + str(style)[1:]
                for style in Style
            ]
        )
        self.style.setAccessibleName("Style of the window")
        self.lightest = QuantityEdit(WEIGHT, settings, name="Lightest head")
        self.heaviest = QuantityEdit(WEIGHT, settings, name="Heaviest head")
        self.source = QLineEdit()
        self.source.setAccessibleName("Who says so")
        self.source.setPlaceholderText("who says so")
        self.remove = QToolButton()
        self.remove.setText("×")
        self.remove.setAccessibleName("Remove this window")
        if window:
            self.style.setCurrentIndex(list(Style).index(window.style))
            self.lightest.set_value(window.lightest)
            self.heaviest.set_value(window.heaviest)
            self.source.setText(window.source)
        self.widgets = (self.style, self.lightest, self.heaviest, self.source, self.remove)

    def window(self) -> Window | str:
        """The window as filled in, or what is wrong with it."""
        lightest, heaviest = self.lightest.require(), self.heaviest.require()
        if lightest is None or heaviest is None:
            return self.lightest.sentence or self.heaviest.sentence
        if lightest > heaviest:
            return "The lightest head of a window must not be heavier than its heaviest."
        style = list(Style)[self.style.currentIndex()]
        source = self.source.text().strip()
        if self._window is not None:
            return replace(
                self._window, style=style, lightest=lightest, heaviest=heaviest, source=source
            )
        return Window(style, lightest, heaviest, source)


class RodForm(QWidget):
    """The fields of one rod."""

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
        self._rod: Rod | None = None
        self._rows: list[WindowRow] = []
        self.name = QLineEdit()
        self.name.setAccessibleName("Rod name")
        self.length = QuantityEdit(ROD_LENGTH, settings)
        self.line_class = QLineEdit()
        self.line_class.setAccessibleName("Line class written on the rod")
        self.line_class.setPlaceholderText("as written on the rod, such as 7/8")
        self.two_handed = QCheckBox("Two-handed")
        form = QFormLayout()
        form.setHorizontalSpacing(14)
        form.setVerticalSpacing(8)
        form.addRow("Name", self.name)
        form.addRow("Length", self.length)
        form.addRow("Class", self.line_class)
        form.addRow("", self.two_handed)
        self._windows = QGridLayout()
        self._windows.setHorizontalSpacing(6)
        self._windows.setVerticalSpacing(6)
        add = QPushButton("Add a window")
        add.clicked.connect(self._add_empty)
        add.setAutoDefault(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addLayout(form)
        column.addWidget(caption("Windows: lightest and heaviest head, by style"))
        column.addLayout(self._windows)
        row = QHBoxLayout()
        row.addWidget(add)
        row.addStretch(1)
        column.addLayout(row)
        column.addWidget(
            label(
                "A window is what the rod's maker or owner says; a head above it can break the "
                "rod. Keep to the maker's figures.",
                points=8.0,
                role="soft",
                wrap=True,
            )
        )
        column.addStretch(1)

    def set_rod(self, rod: Rod) -> None:
        """Show a rod."""
        self._rod = rod
        self.name.setText(rod.name)
        self.length.set_value(rod.length)
        self.line_class.setText(rod.line_class)
        self.two_handed.setChecked(rod.two_handed)
        self._rows = [self._row(window) for window in rod.windows]
        self._lay_out()

    def rod(self) -> Rod | str:
        """The rod as filled in, or what is wrong with it."""
        name = self.name.text().strip()
        if not name:
            return "A rod needs a name."
        length = self.length.require()
        if length is None:
            return self.length.sentence
        windows = []
        for row in self._rows:
            window = row.window()
            if isinstance(window, str):
                return window
            windows.append(window)
        styles = [window.style for window in windows]
        if len(set(styles)) < len(styles):
            return "Two windows of this rod are for the same style: keep one of them."
        return replace(
            self._rod,
            name=name,
            length=length,
            line_class=self.line_class.text().strip(),
            two_handed=self.two_handed.isChecked(),
            windows=tuple(windows),
        )

    def _add_empty(self) -> None:
        self._rows.append(self._row(None))
        self._lay_out()
        self._rows[-1].lightest.setFocus()

    def _row(self, window: Window | None) -> WindowRow:
        row = WindowRow(window, self._settings)
        row.remove.clicked.connect(self._remove_clicked)
        return row

    def _remove_clicked(self) -> None:
        self._rows = [row for row in self._rows if row.remove is not self.sender()]
        self._lay_out()

    def _lay_out(self) -> None:
        keep = {widget for row in self._rows for widget in row.widgets}
        while self._windows.count():
            widget = self._windows.takeAt(0).widget()
            if widget not in keep:
                widget.deleteLater()
        for i, row in enumerate(self._rows):
            for j, widget in enumerate(row.widgets):
                self._windows.addWidget(widget, i, j)
                widget.show()  # now, so that it can take the focus
        self._windows.setColumnStretch(3, 1)


class RodsDialog(FormDialog):
    """List of rods and the fields of one; all of it is one step when accepted."""

    def __init__(self, document: Document, settings: Settings, parent: QWidget | None) -> None:
        super().__init__("Rods", parent)
        self._document = document
        self._rods = list(document.bench.rods)
        self._at = -1
        self.list = QListWidget()
        self.list.setAccessibleName("Rods on the bench")
        self.list.setFixedWidth(200)
        self.fields = RodForm(settings)
        add = QPushButton("Add")
        menu = QMenu(add)
        menu.addAction("New rod", self.add_new)
        menu.addSeparator()
        for rod in starter_rods():
            menu.addAction(rod.name).setData(rod.key)
        menu.triggered.connect(self._add_starter)
        add.setMenu(menu)
        remove = QPushButton("Remove")
        remove.clicked.connect(self.remove_current)
        for button in (add, remove):
            button.setAutoDefault(False)  # Enter means Done
        left = QVBoxLayout()
        left.addWidget(self.list, 1)
        buttons = QHBoxLayout()
        buttons.addWidget(add)
        buttons.addWidget(remove)
        left.addLayout(buttons)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(self.fields)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        row = QHBoxLayout()
        row.setSpacing(18)
        row.addLayout(left)
        row.addWidget(scroll, 1)
        self.column.addLayout(row, 1)
        self.finish_layout()
        self.resize(760, 480)
        self._fill()
        self.list.currentRowChanged.connect(self._row_changed)
        chosen = document.rod
        self._go_to(self._rods.index(chosen) if chosen in self._rods else 0)

    def add_new(self) -> None:
        """Add a rod with plausible values to fill in."""
        key = fresh_key({rod.key for rod in self._rods}, "rod")
        self._add(Rod(key=key, name="New rod", length=3.9624))

    def remove_current(self) -> None:
        """Take the rod shown off the list."""
        if not 0 <= self._at < len(self._rods):
            return
        at = self._at
        self._at = -1
        del self._rods[at]
        self._fill()
        self._go_to(min(at, len(self._rods) - 1))

    def try_accept(self) -> None:
        """Apply all rods as one step; the rod shown becomes the chosen one."""
        if not self._keep_current():
            return
        chosen = self._rods[self._at].key if 0 <= self._at < len(self._rods) else None
        self._document.apply(rod_edits.set_rods, tuple(self._rods), chosen)
        self.accept()

    def _add_starter(self, action: object) -> None:
        for rod in starter_rods():
            if rod.key == action.data():
                key = fresh_key({each.key for each in self._rods}, "rod")
                self._add(replace(rod, key=key))

    def _add(self, rod: Rod) -> None:
        if not self._keep_current():
            return
        self._rods.append(rod)
        self._fill()
        self._go_to(len(self._rods) - 1)
        self.fields.name.setFocus()
        self.fields.name.selectAll()

    def _fill(self) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([rod.name for rod in self._rods])
        self.list.blockSignals(False)
        self.fields.setEnabled(bool(self._rods))

    def _go_to(self, row: int) -> None:
        self._at = row if row < len(self._rods) else -1
        if self._at < 0:
            return
        self.list.blockSignals(True)
        self.list.setCurrentRow(row)
        self.list.blockSignals(False)
        self.fields.set_rod(self._rods[row])

    def _row_changed(self, row: int) -> None:
        if row == self._at or row < 0:
            return
        if self._keep_current():
            self._go_to(row)
        else:
            self.list.blockSignals(True)
            self.list.setCurrentRow(self._at)
            self.list.blockSignals(False)

    def _keep_current(self) -> bool:
        if not 0 <= self._at < len(self._rods):
            return True
        rod = self.fields.rod()
        if isinstance(rod, str):
            self.problem(rod)
            return False
        self.problem("")
        self._rods[self._at] = rod
        item = self.list.item(self._at)
        if item and item.text() != rod.name:
            item.setText(rod.name)
            item.setData(Qt.ItemDataRole.DisplayRole, rod.name)
        return True
