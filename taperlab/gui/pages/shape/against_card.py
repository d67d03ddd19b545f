"""The card that compares what is looked at with each line, rig or version laid over it."""

from __future__ import annotations

from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QSizePolicy, QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.swatch import Swatch
from taperlab.gui.kit.theme import SMALL, usual
from taperlab.gui.kit.widgets import NONE, Card, Elided, caption, label, show_only_if
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Thing
from taperlab.gui.state.watch import Watch
from taperlab.shop.analyse import compare_heads
from taperlab.shop.whole import Whole
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, SinkRate, Weight
from taperlab.units.show import MINUS

CELLS = 4


class AgainstCard(Card):
    """What the current line has more of than each line laid over it."""

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__(tr("This line against"), spacing=6)
        self._place = place
        self._blocks: list[_Block] = []
        self._title = caption(tr("This line against"))
        self.body.addWidget(self._title)
        for changed in (watch.changed, watch.units_changed, place.theme.changed):
            changed.connect(self.refresh)
        self.refresh()

    def differences(self, other: Whole) -> tuple[dict[str, str], str]:
        """What is looked at has more of than another line or rig, by name, and in words.

        Two heads that float have no sink rates worth comparing; their balance points are.
        """
        mine, read, system = self._place.document.whole, self._place.read, self._place.system
        one, two = mine.head if mine else None, other.head
        found = compare_heads(one, two)
        if one is None or two is None or found is None:
            return {}, read(Sentence("Against {line}: no head to compare", line=other.name))
        taper = f"{found.front_taper_mass_share * 100:+.0f} %".replace("-", MINUS)
        if one.floats and two.floats:
            by_last, name = OnTape(found.balance_point, signed=True).text(system), tr("balance")
        else:
            by_last, name = SinkRate(found.sink, signed=True).text(system), tr("sink")
        by_weight = Weight(found.mass, signed=True).text(system)
        by_length = OnTape(found.length, signed=True).text(system)
        said = Sentence(
            "Against {line}: weight {weight}, length {length}, front taper {taper}, {name} {last}",
            line=other.name,
            weight=by_weight,
            length=by_length,
            taper=taper,
            name=name,
            last=by_last,
        )
        shown = {tr("weight"): by_weight, tr("length"): by_length, tr("front taper"): taper}
        return shown | {name: by_last}, read(said)

    def _since(self, thing: Thing) -> str:
        """Row by row what became of the line in hand since a version of it; of others nothing."""
        said = self._place.document.told_since(thing)
        # The figures stand above, those of a line that is as it was apart.
        return "\n".join(map(self._place.read, said if len(said) == 1 else said[1:]))

    def refresh(self) -> None:
        """Show one block for each overlay."""
        document = self._place.document
        laid = document.laid_over()
        show_only_if(self, bool(laid))
        self._title.setText(tr("This rig against") if document.rig else tr("This line against"))
        while len(self._blocks) > len(laid):
            self._blocks.pop().deleteLater()
        while len(self._blocks) < len(laid):
            self._blocks.append(_Block())
            self.body.addWidget(self._blocks[-1])
        for block, (thing, whole) in zip(self._blocks, laid, strict=True):
            block.swatch.show_style(*overlay_style(document, thing, self._place.theme.tokens))
            block.show_line(whole.name, *self.differences(whole), self._since(thing))


TWO_BY_TWO = 300
"""Width in which differences stand two by two, for usual letters [px]."""


class _Block(QWidget):
    """What the current line has more of than one other line. Texts change, widgets stay."""

    def __init__(self) -> None:
        super().__init__()
        self._grid = grid = QGridLayout(self)
        self._across = 0
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(2)
        self.swatch = Swatch("black", None)
        self._name = Elided(points=9.0, weight=QFont.Weight.Medium)
        head = QHBoxLayout()
        head.setContentsMargins(0, 2, 0, 0)
        head.setSpacing(7)
        head.addWidget(self.swatch)
        head.addWidget(self._name, 1)
        grid.addLayout(head, 0, 0, 1, 2)
        self._cells: list[tuple[QLabel, QLabel]] = []
        self._pairs: list[QHBoxLayout] = []
        for _ in range(CELLS):
            cell = label(points=8.5), label(points=SMALL, role="soft")
            pair = QHBoxLayout()
            pair.setSpacing(2)
            pair.addWidget(cell[0])
            pair.addWidget(cell[1], 1)
            # Even columns, whatever stands in them.
            cell[1].setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            self._pairs.append(pair)
            self._cells.append(cell)
        self._since = label("", points=SMALL, role="soft", wrap=True)
        self._since.hide()
        grid.addWidget(self._since, 1 + CELLS, 0, 1, 2)
        self._use_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand two by two where there is room."""
        super().resizeEvent(event)
        self._use_room()

    def _use_room(self) -> None:
        across = 2 if usual(self.width()) >= TWO_BY_TWO else 1
        if across == self._across:
            return
        self._across = across
        for at, pair in enumerate(self._pairs):
            self._grid.removeItem(pair)
            self._grid.addLayout(pair, 1 + at // across, at % across)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, across - 1)

    def show_line(self, name: str, differences: dict[str, str], said: str, since: str = "") -> None:
        """Show a line laid over: its name, the differences by name, and all of them in words.

        since: of a version, what became of the line row by row.
        """
        self._name.setText(name)
        shown = list(differences.items()) or [("", NONE)] * CELLS
        for (text, what), (of, difference) in zip(self._cells, shown, strict=True):
            text.setText(difference)
            what.setText(of)
        self._since.setText(since)
        self._since.setVisible(bool(since))
        self.setAccessibleName(f"{said}. {since}" if since else said)
