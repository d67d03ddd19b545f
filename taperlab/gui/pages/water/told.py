"""What is told of the rig: its depth in large letters, why that is unsure, what is left out."""

from __future__ import annotations

import math

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.range_bar import Range, RangeBar
from taperlab.gui.kit.widgets import Card, Remark, caption, in_column, label
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.shop.water.words import (
    aside_words,
    causes,
    caveats,
    effect_words,
    figure_words,
    remarks,
)
from taperlab.units.language import tr
from taperlab.units.words import heading

LARGE, SMALLER = 30.0, 15.0
"""Of the figure of the page, and of one beside it [points]."""


class DepthCard(Card):
    """How deep the fly is."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(tr("Depth of the fly"))
        self._desk = desk
        self.title = caption(tr("The fly swims about"))
        self.figure = LargeFigure(LARGE)
        self.below = label("", role="soft", wrap=True)
        self.aside = label("", weight=QFont.Weight.Medium, wrap=True)
        self.why = caption(tr("What makes it so wide"))
        self.bars = [RangeBar(desk.place.theme) for _ in range(2)]
        self.names = [label("", wrap=True) for _ in range(2)]
        self.caveats = Remark("warn")
        self._causes = QWidget()
        rows = [each for pair in zip(self.names, self.bars, strict=True) for each in pair]
        in_column(self.why, 2, *rows, spacing=2, of=self._causes)
        self.add(self.title, self.figure, self.below, 2, self.aside, self.caveats, 4, self._causes)
        desk.follow(self.refresh, lambda: (desk.shown, desk.is_depth_late, desk.focus))

    def refresh(self) -> None:
        """Show the last answer."""
        desk, read = self._desk, self._desk.place.read
        found = desk.shown
        self.title.setText(
            tr("Before the change the fly swam about")
            if desk.is_depth_late and found is not None
            else tr("The fly swims about")
        )
        self.below.setVisible(found is not None)
        self._causes.setVisible(False)
        if found is None:
            self.figure.setText("…" if desk.focus is not None else "")
            self.below.setText("")
            self.aside.hide()
            self.caveats.say("")
            return
        figure, below = figure_words(found.focus)
        self.figure.setText(read(figure))
        self.below.setText(read(below))
        aside = read(aside_words(found.aside))
        self.aside.setText(aside)
        self.aside.setVisible(bool(aside))
        self.caveats.say("\n".join(read(each) for each in caveats(found.focus)))
        effects = causes(found.focus)
        if not effects:
            self.title.setText(tr("The fly is"))
        self._causes.setVisible(bool(effects))
        widest = max((max(each.minus, _known(each.plus)) for each in effects), default=1.0)
        for i, (name, bar) in enumerate(zip(self.names, self.bars, strict=True)):
            name.setVisible(i < len(effects))
            bar.setVisible(i < len(effects))
            if i < len(effects):
                effect = effects[i]
                name.setText(heading(effect.cause))
                words = read(effect_words(effect))
                shown = Range(-effect.minus, effect.plus, 0.0, words)
                bar.show_range(shown, (-1.1 * widest, 1.1 * widest), desk.place.theme.tokens.accent)


class RemarksCard(Card):
    """What else is to be said, and what is not counted."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(tr("To keep in mind"), spacing=6)
        self._desk = desk
        self.said = Remark("soft")
        self.add(caption(tr("To keep in mind")), self.said)
        desk.follow(self.refresh, lambda: (desk.shown,))

    def refresh(self) -> None:
        """Say it."""
        found = self._desk.shown
        said = remarks(found.focus) if found is not None else ()
        if found is not None:
            said = said[len(caveats(found.focus)) :]  # those stand beside the figure
        self.said.say("\n\n".join(self._desk.place.read(each) for each in said))
        self.setVisible(bool(said))


def _known(value: float) -> float:
    return 0.0 if math.isnan(value) else value
