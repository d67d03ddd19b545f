"""The card that compares the line in hand with each line laid over it."""

from __future__ import annotations

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.figure_texts import NONE
from taperlab.gui.kit.swatch import Swatch
from taperlab.gui.kit.widgets import Card, Elided, caption, label
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.shop.analyse import compare_heads
from taperlab.units.kinds import LENGTH, SINK_RATE, WEIGHT
from taperlab.units.show import show


class AgainstCard(Card):
    """What the line in hand has more of than each line laid over it."""

    def __init__(self, document: Document, settings: Settings, theme: theming.Theme) -> None:
        super().__init__(spacing=6)
        self._document = document
        self._settings = settings
        self._theme = theme
        self._blocks: list[_Differences] = []
        self.body.addWidget(caption("This line against"))
        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        theme.changed.connect(self.refresh)
        self.refresh()

    def texts(self) -> list[list[tuple[str, str]]]:
        """The differences as shown: for each overlay its name, then differences and their names.

        Two heads that float have no sink rates worth comparing; their balance points are.
        """
        mine = self._document.analysis()
        rows = []
        system = self._settings.system
        for line in self._document.overlays():
            other = self._document.analysis(line.key)
            difference = compare_heads(mine.head if mine else None, other.head if other else None)
            if difference is None:
                rows.append([(line.name, "")] + [(NONE, "")] * 4)
                continue
            share = f"{difference.front_taper_mass_share * 100:+.0f} %".replace("-", "−")
            both_float = mine.head.floats and other.head.floats
            last = (
                (show(difference.balance_point, LENGTH, system, signed=True), "balance")
                if both_float
                else (show(difference.sink, SINK_RATE, system, signed=True), "sink")
            )
            rows.append(
                [
                    (line.name, ""),
                    (show(difference.mass, WEIGHT, system, signed=True), "weight"),
                    (show(difference.length, LENGTH, system, signed=True), "length"),
                    (share, "front taper"),
                    last,
                ]
            )
        return rows

    def refresh(self, _change: object = None) -> None:
        """Show one block for each overlay."""
        rows = self.texts()
        styles = [overlay_style(self._document, line) for line in self._document.overlays()]
        self.setVisible(bool(rows))
        while len(self._blocks) > len(rows):
            self._blocks.pop().deleteLater()
        while len(self._blocks) < len(rows):
            self._blocks.append(_Differences())
            self.body.addWidget(self._blocks[-1])
        for block, texts, style in zip(self._blocks, rows, styles, strict=True):
            block.show_texts(texts, style)


class _Differences(QWidget):
    """What the line in hand has more of than one other line. Texts change, widgets stay."""

    def __init__(self) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        self._swatch = Swatch("black", None)
        self._name = Elided(points=9.0, weight=QFont.Weight.Medium)
        head = QHBoxLayout()
        head.setContentsMargins(0, 2, 0, 0)
        head.setSpacing(7)
        head.addWidget(self._swatch)
        head.addWidget(self._name, 1)
        grid.addLayout(head, 0, 0, 1, 2)
        self._cells: list[tuple[QLabel, QLabel]] = []
        for at in range(4):
            cell = label(points=9.0), label(points=8.0, role="soft")
            pair = QHBoxLayout()
            pair.setSpacing(3)
            pair.addWidget(cell[0])
            pair.addWidget(cell[1], 1)
            # Even columns, whatever stands in them.
            cell[1].setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            grid.addLayout(pair, 1 + at // 2, at % 2)
            grid.setColumnStretch(at % 2, 1)
            self._cells.append(cell)

    def show_texts(
        self, texts: list[tuple[str, str]], style: tuple[str, tuple[float, ...] | None]
    ) -> None:
        """Show a name, then differences and what they are of."""
        self._swatch.show_style(*style)
        self._name.setText(texts[0][0])
        for shown, given in zip(self._cells, texts[1:], strict=True):
            for part, text in zip(shown, given, strict=True):
                if part.text() != text:
                    part.setText(text)
        said = ", ".join(f"{what} {text}" for text, what in texts[1:])
        self.setAccessibleName(f"Against {texts[0][0]}: {said}")
