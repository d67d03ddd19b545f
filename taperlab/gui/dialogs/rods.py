"""The rods of the bench, and the windows of head weight that each takes."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QWidget,
)

from taperlab.edits import bench as bench_edits
from taperlab.edits.edited import Refused
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.dialogs.kept import KeptButton
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import (
    caption,
    choice,
    in_column,
    in_row,
    label,
    scrolling,
    tool_button,
)
from taperlab.gui.state.settings import Settings
from taperlab.model.bench import fresh_key
from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style
from taperlab.model.rod import Measured, Rod, Window
from taperlab.trade.starters import starter_rods
from taperlab.units.kinds import ROD_LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, verbatim

ROD = Qt.ItemDataRole.UserRole
"""Where an item of the list holds its rod."""

USUAL_LENGTH = 13.0 * FOOT


class WindowFields(QWidget):
    """One window, in a row; of a new one only the style is known."""

    def __init__(self, style: Style, window: Window | None, settings: Settings) -> None:
        super().__init__()
        self._extra = window.extra if window else {}
        self.style_box = choice(Style, style)
        self.style_box.setItemText(self.style_box.findData(Style.OTHER), tr("Any style"))
        self.style_box.setAccessibleName(tr("Style of the grain window"))
        self.lightest = QuantityEdit(WEIGHT, settings, name=tr("Lightest head"))
        self.heaviest = QuantityEdit(WEIGHT, settings, name=tr("Heaviest head"))
        self.source = QLineEdit()
        self.source.setAccessibleName(tr("Who says so"))
        self.source.setPlaceholderText(tr("who says so"))
        measured = window.measured_on if window else Measured.HEAD
        self.measured = choice(Measured, measured, tr("What the grain window was measured on"))
        self.measured.setToolTip(
            tr("What was weighed for it: the head alone, or head and tip together")
        )
        self.remove = tool_button("×", tr("Remove this grain window"), "")
        if window is not None:
            self.lightest.set_value(window.lightest)
            self.heaviest.set_value(window.heaviest)
            self.source.setText(window.source)
            self.source.setCursorPosition(0)  # who says so begins with a name
        heads = (self.lightest, 1), (self.heaviest, 1)
        last = (self.source, 3), self.remove
        in_row(self.style_box, *heads, self.measured, *last, spacing=6, of=self)

    def window_of_rod(self) -> Window:
        """The window as filled in. Raises Refused."""
        lightest, heaviest = _required(self.lightest), _required(self.heaviest)
        style, source = Style(self.style_box.currentData()), self.source.text().strip()
        measured = Measured(self.measured.currentData())
        made = bench_edits.make_window(style, lightest, heaviest, source, measured)
        return replace(made, extra=self._extra)


class RodForm(QWidget):
    """The fields of one rod, which is shown by ``set_rod``. usual: style of a new grain window."""

    def __init__(self, settings: Settings, usual: Style) -> None:
        super().__init__()
        self._settings, self._usual = settings, usual
        self._rod: Rod | None = None
        self._windows: list[WindowFields] = []
        self.name = QLineEdit()
        self.name.setAccessibleName(tr("Rod name"))
        self.length = QuantityEdit(ROD_LENGTH, settings)
        self.line_class = QLineEdit()
        self.line_class.setAccessibleName(tr("Line class written on the rod"))
        self.line_class.setPlaceholderText(tr("as written on the rod, such as 7/8"))
        self.two_handed = QCheckBox(tr("Two-handed"))
        form = QFormLayout()
        form.setHorizontalSpacing(14)
        form.setVerticalSpacing(8)
        form.addRow(tr("Name"), self.name)
        form.addRow(tr("Length"), self.length)
        form.addRow(tr("Class"), self.line_class)
        form.addRow("", self.two_handed)
        self._rows = in_column(spacing=6)
        add = QPushButton(tr("Add a grain window"))
        add.clicked.connect(self._add_empty)
        add.setAutoDefault(False)
        maker = tr(
            "A grain window is what the rod’s maker or owner says; a head above it can break the "
            "rod. Keep to the maker’s figures."
        )
        in_column(
            form,
            caption(tr("Grain windows by style: lightest and heaviest, and what was weighed")),
            self._rows,
            in_row(add, None),
            label(maker, points=SMALL, role="soft", wrap=True),
            None,
            spacing=10,
            of=self,
        )

    def set_rod(self, rod: Rod) -> None:
        """Show a rod."""
        self._rod = rod
        self.name.setText(rod.name)
        self.length.set_value(rod.length)
        self.line_class.setText(rod.line_class)
        self.two_handed.setChecked(rod.two_handed)
        for fields in tuple(self._windows):
            self._remove(fields)
        for window in rod.windows:
            self._add(window.style, window)

    def rod(self) -> Rod:
        """The rod as filled in. Raises Refused; only to be asked once a rod is shown."""
        assert self._rod is not None
        rod = replace(
            self._rod,
            name=self.name.text().strip(),
            length=_required(self.length),
            line_class=self.line_class.text().strip(),
            two_handed=self.two_handed.isChecked(),
            windows=tuple(fields.window_of_rod() for fields in self._windows),
        )
        bench_edits.check_rod(rod)
        return rod

    def _add_empty(self) -> None:
        taken = {each.style_box.currentData() for each in self._windows}
        free = (each for each in (self._usual, *Style) if each not in taken)
        self._add(next(free, self._usual), None).lightest.setFocus()

    def _add(self, style: Style, window: Window | None) -> WindowFields:
        fields = WindowFields(style, window, self._settings)
        fields.remove.clicked.connect(partial(self._remove, fields))
        self._windows.append(fields)
        self._rows.addWidget(fields)
        fields.show()  # now, so that it can take the focus
        return fields

    def _remove(self, fields: WindowFields, *_checked: object) -> None:
        self._windows.remove(fields)
        self._rows.removeWidget(fields)
        fields.hide()
        fields.deleteLater()


def _required(edit: QuantityEdit) -> float:
    """What a field holds. Raises Refused."""
    value = edit.require()
    if value is None:
        raise Refused(verbatim(edit.sentence))
    return value


class RodsDialog(FormDialog):
    """List of rods and the fields of one; all of it is one step when accepted.

    The rod shown is taken over from its fields before another is: a rod that cannot be stays.
    """

    def __init__(self, place: Workplace) -> None:
        super().__init__(tr("Rods"), place)
        self._shown: QListWidgetItem | None = None
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Rods on the bench"))
        self.list.setFixedWidth(px(200))
        line = place.document.line
        self.fields = RodForm(place.settings, line.style if line else Style.SKAGIT)
        self._lay_out()
        self.list.currentItemChanged.connect(self._turned)
        self.fields.name.textEdited.connect(self._named)
        for rod in place.document.bench.rods:
            self.list.addItem(_item(rod))
        chosen = place.document.rod
        rods = place.document.bench.rods
        self.list.setCurrentRow(rods.index(chosen) if chosen in rods else 0)
        self.fields.setEnabled(bool(rods))

    def _lay_out(self) -> None:
        add, remove = QPushButton(tr("Add")), QPushButton(tr("Remove"))
        add.setMenu(self._add_menu(add))
        remove.clicked.connect(self._remove)
        for button in (add, remove):
            button.setAutoDefault(False)  # Enter means Done
        self.own = KeptButton(
            self.place, Rod, _name_of, self._rod_shown, self._add_rod, self.problem
        )
        left = in_column((self.list, 1), in_row(add, remove), self.own, spacing=-1)
        scroll = scrolling(self.fields, tr("The rod"))
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.column.addLayout(in_row(left, (scroll, 1), spacing=18), 1)
        self.finish_layout()
        self.resize(900, 480)

    def _add_menu(self, parent: QWidget) -> QMenu:
        menu = QMenu(parent)
        menu.addAction(tr("New rod")).setData(Rod("", tr("New rod"), USUAL_LENGTH))
        menu.addSeparator()
        for rod in starter_rods():
            menu.addAction(rod.name).setData(rod)
        menu.triggered.connect(self._add)
        return menu

    def try_accept(self) -> None:
        """Apply all rods as one step; the rod shown becomes the chosen one."""
        if not self._take_over():
            return
        chosen = self._shown.data(ROD).key if self._shown is not None else None
        self.finish_with(bench_edits.set_rods, tuple(self._rods()), chosen)

    def _rods(self) -> list[Rod]:
        return [self.list.item(row).data(ROD) for row in range(self.list.count())]

    def _rod_shown(self) -> Rod | None:
        """The rod as its fields hold it. Raises Refused."""
        return self.fields.rod() if self._shown is not None else None

    def _add(self, action: QAction) -> None:
        self._add_rod(action.data())

    def _add_rod(self, rod: Rod) -> None:
        if self._take_over():
            key = fresh_key({rod.key for rod in self._rods()}, "rod")
            item = _item(replace(rod, key=key))
            self.list.addItem(item)
            self.list.setCurrentItem(item)
            self.fields.name.setFocus()
            self.fields.name.selectAll()

    def _remove(self) -> None:
        if self._shown is not None:
            row, self._shown = self.list.row(self._shown), None
            self.list.takeItem(row)

    def _turned(self, item: QListWidgetItem | None) -> None:
        if item is self._shown:
            return
        if self._shown is not None and not self._take_over():
            self.list.setCurrentItem(self._shown)
            return
        self._shown = item
        self.fields.setEnabled(item is not None)
        if item is not None:
            self.fields.set_rod(item.data(ROD))

    def _named(self, name: str) -> None:
        if self._shown is not None:
            self._shown.setText(name)

    def _take_over(self) -> bool:
        """Put what the fields hold into the list; False where they hold no rod that can be."""
        if self._shown is None:
            return True
        try:
            rod = self.fields.rod()
        except Refused as problem:
            self.problem(self.place.read(problem.sentence))
            return False
        self.problem("")
        self._shown.setData(ROD, rod)
        self._shown.setText(rod.name)
        return True


def _name_of(rod: Rod) -> Sentence:
    return verbatim(rod.name)


def _item(rod: Rod) -> QListWidgetItem:
    item = QListWidgetItem(rod.name)
    item.setData(ROD, rod)
    return item
