"""The card that compares the line in hand with each line laid over it."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QSizePolicy, QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.swatch import Swatch
from taperlab.gui.kit.widgets import NONE, Card, Elided, caption, label
from taperlab.gui.plots.styles import Dash, overlay_style
from taperlab.gui.state.watch import Watch
from taperlab.model.line import Line
from taperlab.shop.analyse import compare_heads
from taperlab.units.language import later, tr
from taperlab.units.sentence import Length, SinkRate, Weight
from taperlab.units.show import MINUS

_NAMES = (later("weight"), later("length"), later("front taper"), later("sink"))
_BALANCE = later("balance")


@dataclass(frozen=True, slots=True)
class Differences:
    """Of one line laid over: its name, and differences with what they are of."""

    name: str
    cells: tuple[tuple[str, str], ...]


class AgainstCard(Card):
    """What the line in hand has more of than each line laid over it."""

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__(spacing=6)
        self._place = place
        self._blocks: list[_Block] = []
        self.body.addWidget(caption(tr("This line against")))
        watch.changed.connect(self.refresh)
        watch.units_changed.connect(self.refresh)
        place.theme.changed.connect(self.refresh)
        self.refresh()

    def differences(self, line: Line) -> Differences:
        """What the line in hand has more of than another line of the bench.

        Two heads that float have no sink rates worth comparing; their balance points are.
        """
        document, system = self._place.document, self._place.system
        mine, other = document.analysis(), document.analysis(line.key)
        one, two = mine.head if mine else None, other.head if other else None
        found = compare_heads(one, two)
        if one is None or two is None or found is None:
            return Differences(line.name, ((NONE, ""),) * len(_NAMES))
        both_float = one.floats and two.floats
        balance = Length(found.balance_point, signed=True)
        names = (*_NAMES[:3], _BALANCE if both_float else _NAMES[3])
        texts = (
            Weight(found.mass, signed=True).text(system),
            Length(found.length, signed=True).text(system),
            f"{found.front_taper_mass_share * 100:+.0f} %".replace("-", MINUS),
            (balance if both_float else SinkRate(found.sink, signed=True)).text(system),
        )
        return Differences(line.name, tuple(zip(texts, map(tr, names), strict=True)))

    def refresh(self) -> None:
        """Show one block for each overlay."""
        document = self._place.document
        lines = document.overlays()
        self.setVisible(bool(lines))
        while len(self._blocks) > len(lines):
            self._blocks.pop().deleteLater()
        while len(self._blocks) < len(lines):
            self._blocks.append(_Block())
            self.body.addWidget(self._blocks[-1])
        tokens = self._place.theme.tokens
        for block, line in zip(self._blocks, lines, strict=True):
            block.show_line(self.differences(line), *overlay_style(document, line, tokens))


class _Block(QWidget):
    """What the line in hand has more of than one other line. Texts change, widgets stay."""

    def __init__(self) -> None:
        super().__init__()
        self._shown: Differences | None = None
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
        for at in range(len(_NAMES)):
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

    def show_line(self, differences: Differences, colour: str, dash: Dash | None) -> None:
        """Show a line laid over, drawn as it is on the plots."""
        self._swatch.show_style(colour, dash)
        if differences == self._shown:
            return
        self._shown = differences
        self._name.setText(differences.name)
        for (text, what), (difference, name) in zip(self._cells, differences.cells, strict=True):
            text.setText(difference)
            what.setText(name)
        said = ", ".join(f"{what} {text}" for text, what in differences.cells)
        against = tr("Against {line}: {differences}")
        self.setAccessibleName(against.format(line=differences.name, differences=said))
