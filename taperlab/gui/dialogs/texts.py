"""Dialogs that only tell: cautions, how the figures are worked out, about."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QScrollArea, QVBoxLayout, QWidget

from taperlab import __version__
from taperlab.gui.kit.widgets import label
from taperlab.gui.pages.shape.readouts import HELP
from taperlab.trade.cautions import cautions


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
        scroll.setAccessibleName(title)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
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
    rows = [(each.title, f"{each.text} {each.defer}") for each in cautions()]
    return TextDialog("Cautions", rows, parent)


def methods_dialog(parent: QWidget | None) -> TextDialog:
    """How each figure is worked out, and from which source."""
    names = {
        "weight": "Head weight",
        "ratio": "Ratio",
        "front": "Front-taper share",
        "balance": "Balance point",
        "mean": "Weight per length",
        "sink": "Sink rate",
        "standard": "Standard",
    }
    rows = [(names[key], _without(names[key], HELP[key])) for key in names]
    rows.append(
        (
            "Water",
            "Fresh: density after Tanaka and others (2001), Metrologia 38, 301. Sea: density by "
            "EOS-80 (Fofonoff and Millard 1983, UNESCO 44). Viscosity after Sharqawy, Lienhard and "
            "Zubair (2010), Desalin. Water Treat. 16, 354.",
        )
    )
    rows.append(
        (
            "How far to trust a sink rate",
            "The drag formula lies within about 8 % of measurements for lines in water, so a sink "
            "rate is good to about 5 %. Real lines bend, hang from the rod tip and lie in moving "
            "water; labels printed on stock differ by up to an inch per second for the same type.",
        )
    )
    return TextDialog("How the figures are worked out", rows, parent)


def about_dialog(parent: QWidget | None) -> TextDialog:
    """Version and licences."""
    return TextDialog(
        f"Taperlab {__version__}",
        [
            (
                "",
                "Turns lengths, diameters and densities into a head of the right weight, with the "
                "right front taper, at a length that the rod and the bank allow, before a blade "
                "or a weld makes it final.",
            ),
            ("Licence", "MIT. The typeface is Inter, under the SIL Open Font License 1.1."),
            (
                "No warranty",
                "Figures are as good as what was typed. Weigh before you cut, and follow the "
                "instructions of the makers of your line, your rod and your materials.",
            ),
        ],
        parent,
    )


def _without(name: str, sentence: str) -> str:
    """A tooltip's sentence below a heading that names the thing already."""
    rest = sentence.removeprefix(f"{name}: ")
    return rest[:1].upper() + rest[1:]
