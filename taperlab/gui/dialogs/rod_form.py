"""The fields of one rod, and of the windows of head weight that it takes."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QLineEdit,
    QPushButton,
    QWidget,
)

from taperlab.edits.bench import check_rod, make_window
from taperlab.edits.edited import Refused
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import caption, choice, in_column, in_row, label, tool_button
from taperlab.gui.state.settings import Settings
from taperlab.model.line import Style
from taperlab.model.rod import Rod, Window
from taperlab.units.kinds import ROD_LENGTH, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import verbatim


class WindowFields(QWidget):
    """One window, in a row."""

    def __init__(self, window: Window | None, settings: Settings) -> None:
        super().__init__()
        self._extra = window.extra if window else {}
        self.style_box = choice(Style, window.style if window else Style.SKAGIT)
        self.style_box.setItemText(self.style_box.findData(Style.OTHER), tr("Any style"))
        self.style_box.setAccessibleName(tr("Style of the window"))
        self.lightest = QuantityEdit(WEIGHT, settings, name=tr("Lightest head"))
        self.heaviest = QuantityEdit(WEIGHT, settings, name=tr("Heaviest head"))
        self.source = QLineEdit()
        self.source.setAccessibleName(tr("Who says so"))
        self.source.setPlaceholderText(tr("who says so"))
        self.remove = tool_button("×", tr("Remove this window"), "")
        if window is not None:
            self.lightest.set_value(window.lightest)
            self.heaviest.set_value(window.heaviest)
            self.source.setText(window.source)
            self.source.setCursorPosition(0)  # who says so begins with a name
        heads = (self.lightest, 1), (self.heaviest, 1)
        in_row(self.style_box, *heads, (self.source, 3), self.remove, spacing=6, of=self)

    def window_of_rod(self) -> Window:
        """The window as filled in. Raises Refused."""
        lightest, heaviest = _required(self.lightest), _required(self.heaviest)
        style, source = Style(self.style_box.currentData()), self.source.text().strip()
        return replace(make_window(style, lightest, heaviest, source), extra=self._extra)


class RodForm(QWidget):
    """The fields of one rod, which is shown by ``set_rod``."""

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
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
        add = QPushButton(tr("Add a window"))
        add.clicked.connect(self._add_empty)
        add.setAutoDefault(False)
        maker = tr(
            "A window is what the rod's maker or owner says; a head above it can break the rod. "
            "Keep to the maker's figures."
        )
        in_column(
            form,
            caption(tr("Windows: lightest and heaviest head, by style")),
            self._rows,
            in_row(add, None),
            label(maker, points=8.0, role="soft", wrap=True),
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
            self._add(window)

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
        check_rod(rod)
        return rod

    def _add_empty(self) -> None:
        self._add(None).lightest.setFocus()

    def _add(self, window: Window | None) -> WindowFields:
        fields = WindowFields(window, self._settings)
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
