"""The Water page: how deep the rig fishes, how sure that is, and what it hangs on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QFont, QHideEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.room import PageBody, SideColumn
from taperlab.gui.kit.water_card import WaterCard
from taperlab.gui.kit.widgets import GAP, Card, in_column, in_row, label
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.water.asked import AngleCard, CurrentCard, RiverCard, TiedCard
from taperlab.gui.pages.water.chart_work import ChartWork
from taperlab.gui.pages.water.compared import ComparedCard
from taperlab.gui.pages.water.depth_plot import DepthPlot
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.gui.pages.water.drawing import WaterDrawing
from taperlab.gui.pages.water.rig_bar import RigBar
from taperlab.gui.pages.water.settle_plot import SettlePlot
from taperlab.gui.pages.water.told import DepthCard, RemarksCard
from taperlab.shop.water.words import aside_words, figure_words
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet


class WaterPage(Page):
    """The rig in the water above, two charts below, what is asked and told at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.desk = desk = WaterDesk(place, self.watch, self)
        self.rig_bar = RigBar(desk)
        self.drawing = WaterDrawing(desk)
        self.depth_plot = DepthPlot(desk)
        self.chart_work = ChartWork(desk)
        self.settle_plot = SettlePlot(desk)
        self.depth_card = DepthCard(desk)
        self.current = CurrentCard(desk)
        self.angle = AngleCard(desk)
        self.tied = TiedCard(desk)
        self.river = RiverCard(desk)
        self.compared = ComparedCard(desk)
        self.water = WaterCard(place, self.watch)
        self.remarks = RemarksCard(desk)
        self._dialogs = Dialogs(place)
        self.water.edit_water.connect(self._dialogs.edit_water)
        self._lay_out()
        desk.follow(self._show_right_one, lambda: (desk.focus, desk.problem))

    def _lay_out(self) -> None:
        drawn = _card(tr("Drawing of the rig"), self.rig_bar, self.drawing)
        charts = in_row(
            (_card(tr("Depth against the current"), self.chart_work, self.depth_plot), 3),
            (_card(tr("Settling"), self.settle_plot), 2),
            spacing=GAP,
        )
        work = QWidget()
        column = in_column((drawn, 5), spacing=GAP, of=work)
        column.addLayout(charts, 5)
        side = SideColumn(
            self.depth_card,
            self.current,
            self.angle,
            self.compared,
            self.tied,
            self.river,
            self.water,
            self.remarks,
        )
        self.missing = label("", points=11.0, wrap=True)
        self.missing.setMaximumWidth(560)
        nothing = Card(tr("No rig to fish"), margin=24, spacing=8)
        title = label(tr("No rig to fish"), points=13.0, weight=QFont.Weight.DemiBold)
        nothing.add(title, self.missing, None)
        self._whole = QStackedWidget()
        self._whole.addWidget(nothing)
        self._whole.addWidget(PageBody(work, side))
        in_row(self._whole, of=self)

    def _show_right_one(self) -> None:
        self._whole.setCurrentIndex(0 if self.desk.focus is None else 1)
        self.missing.setText(self.place.read(self.desk.problem))

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        return self.desk.is_settled

    # -- what the window asks ------------------------------------------------------------------

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        for card in (self.current, self.tied, self.river):
            card.commit()

    def has_readouts(self) -> bool:
        """Once a rig has been worked out."""
        return self.desk.shown is not None and self.desk.focus is not None

    def look_at(self, lines: tuple[str, ...]) -> None:
        """Look at the rig of these lines."""
        self.desk.look_at_lines(lines)

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """The depth, and that at another angle."""
        found, focus, read = self.desk.shown, self.desk.focus, self.place.read
        if found is None or focus is None:
            return []
        figure, below = figure_words(found.focus)
        return [
            (focus.name, read(figure), read(below)),
            (tr("At another angle"), read(aside_words(found.aside)), ""),
        ]

    def sheet(self) -> Sheet | Sentence:
        """How deep the rig fishes, on paper."""
        from taperlab.gui.paper.water_sheet import water_sheet

        if self.desk.focus is None:
            return Sentence("There is no rig to print.")
        names = tuple(each.name for each in self.desk.compared)
        return water_sheet(self.desk.found_now(), names)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up, and work out what is looked at now."""
        super().showEvent(event)
        self.desk.wake()

    def hideEvent(self, event: QHideEvent) -> None:
        """Work nothing out that is not seen."""
        super().hideEvent(event)
        self.desk.sleep()


def _card(name: str, *drawn: QWidget) -> Card:
    made = Card(name, spacing=6)
    made.body.setContentsMargins(10, 8, 10, 8)
    made.add(*drawn[:-1], (drawn[-1], 1))
    return made
