"""Dialogs that only tell: cautions, how the figures are worked out, about."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QScrollArea, QVBoxLayout, QWidget

from taperlab import __version__
from taperlab.gui.kit.methods import method
from taperlab.gui.kit.widgets import label, without_pictures
from taperlab.trade.cautions import cautions
from taperlab.units.language import tr


class TextDialog(QDialog):
    """Headings and paragraphs, with a button to close."""

    def __init__(
        self, title: str, paragraphs: list[tuple[str, str]], parent: QWidget | None
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        body = QWidget()
        text = QVBoxLayout(body)
        text.setContentsMargins(4, 0, 12, 0)
        text.setSpacing(3)
        for heading, paragraph in paragraphs:
            if heading:
                text.addWidget(label(heading, weight=QFont.Weight.DemiBold))
            shown = label(paragraph, wrap=True)
            shown.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            text.addWidget(shown)
            text.addSpacing(9)
        text.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(body)
        scroll.setObjectName("read")
        scroll.setAccessibleName(title)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        without_pictures(buttons)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(12)
        column.addWidget(label(title, points=13.0, weight=QFont.Weight.DemiBold))
        column.addWidget(scroll, 1)
        column.addWidget(buttons)
        self.resize(620, 560)


def cautions_dialog(parent: QWidget | None) -> TextDialog:
    """What to mind at the bench."""
    rows = [(tr(each.title), f"{tr(each.text)} {tr(each.defer)}") for each in cautions()]
    return TextDialog(tr("Cautions"), rows, parent)


def methods_dialog(parent: QWidget | None) -> TextDialog:
    """How each figure is worked out, and from which source."""
    rows = [
        (tr("Head weight"), method("weight")),
        (tr("Head length"), method("length")),
        (tr("Ratio"), method("ratio")),
        (tr("Front-taper share"), method("front")),
        (tr("Balance point"), method("balance")),
        (tr("Weight per length"), method("mean")),
        (tr("Sink rate"), method("sink")),
        (tr("Standard"), method("standard")),
        (tr("Water"), method("water")),
        (tr("How far to trust a sink rate"), method("trust")),
    ]
    return TextDialog(tr("How the figures are worked out"), rows, parent)


def about_dialog(parent: QWidget | None) -> TextDialog:
    """Version and licences."""
    rows = [
        (
            "",
            tr(
                "Turns lengths, diameters and densities into a head of the right weight, with the "
                "right front taper, at a length that the rod and the bank allow, before a blade "
                "or a weld makes it final."
            ),
        ),
        (
            tr("Licence"),
            tr("MIT. The typeface is Inter, under the SIL Open Font License 1.1."),
        ),
        (
            tr("No warranty"),
            tr(
                "Figures are as good as what was typed. Weigh before you cut, and follow the "
                "instructions of the makers of your line, your rod and your materials."
            ),
        ),
    ]
    return TextDialog(f"Taperlab {__version__}", rows, parent)
