"""The card below the figures that says which water."""

from __future__ import annotations

from PySide6.QtCore import Signal

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import Card, caption, in_row, label, tool_button
from taperlab.gui.state.watch import Watch
from taperlab.model.water import Water
from taperlab.shop.wording import water_figures, water_words
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.words import capital


class WaterCard(Card):
    """The water that sink rates are worked out in. edit_water(): the person wants another."""

    edit_water = Signal()

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__(tr("Water"))
        self._place = place
        self._text = label("", wrap=True)
        self._shown: tuple[Water, System] | None = None
        edit = tool_button(tr("Edit…"), tr("Edit the water"), "", self.edit_water)
        self.add(caption(tr("Water")), in_row((self._text, 1), edit))
        watch.follow(self.refresh)

    def refresh(self) -> None:
        """Show the kind and the temperature."""
        water = self._place.document.bench.water
        if self._shown == (water, self._place.system):
            return
        self._shown = (water, self._place.system)
        self._text.setText(capital(self._place.read(water_words(water))))
        self._text.setToolTip(self._place.read(water_figures(water)))
