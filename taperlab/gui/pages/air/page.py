"""The Air page: the room behind, whether it turns over, and a film of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QHideEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, HelpGroup, help_on
from taperlab.gui.kit.motion import less_motion
from taperlab.gui.kit.room import Halves, PageBody, SideColumn
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import Card, in_row, label
from taperlab.gui.pages.air.asked import CastCard
from taperlab.gui.pages.air.cards import NeededCard, RemarksCard, RoomCard
from taperlab.gui.pages.air.desk import AirDesk
from taperlab.gui.pages.air.drawing import AirDrawing
from taperlab.gui.pages.air.export import FilmExport
from taperlab.gui.pages.air.film_bar import FilmBar
from taperlab.gui.pages.air.player import Player
from taperlab.gui.pages.air.plots import AirPlots
from taperlab.gui.pages.page import Page
from taperlab.shop.air.words import energy_words
from taperlab.shop.room.words import figure_words
from taperlab.shop.turnover.words import figure_words as needed_figure
from taperlab.shop.turnover.words import verdict_words
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from taperlab.gui.paper.layout.blocks import Sheet

MOST_OF_PLOTS = 0.46
"""The plots take no larger share of the page unless a person drags the border."""


class AirPage(Page):
    """The drawing to scale above, two plots below, what is told and asked at the right."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place)
        self.desk = desk = AirDesk(place, self.watch, self)
        self.player = Player(self)
        self.drawing = AirDrawing(desk, self.player)
        self.exporting = FilmExport(place, self.drawing, self.player)
        self.film_bar = FilmBar(desk, self.player, self.exporting)
        self.plots = self.air_plots = AirPlots(desk, self.player)
        self.needed = NeededCard(desk)
        self.room = RoomCard(desk)
        self.cast = CastCard(desk)
        self.remarks = RemarksCard(desk)
        hook = caution(Topic.HOOK)
        said = f"{tr(hook.text)} {tr(hook.defer)}"
        self.hook = label(said, points=SMALL, role="warn", wrap=True)
        self._lay_out()
        self.use_stills(place.settings.preferences.stills or less_motion())
        self.film_bar.stills.clicked.connect(self._choose_stills)
        desk.follow(self._show_right_one, lambda: (desk.study, desk.problem))

    def _lay_out(self) -> None:
        above = Card(tr("Room and loop"), spacing=6)
        above.body.setContentsMargins(10, 8, 10, 8)
        above.add((self.drawing, 1), self.film_bar, self.hook)
        below = Card(tr("Speed and energy"))
        below.body.setContentsMargins(4, 4, 4, 4)
        below.add((self.air_plots, 1))
        self.splitter = Halves(above, below, MOST_OF_PLOTS)
        side = SideColumn(self.needed, self.room, self.cast, self.remarks)
        self.missing = label("", points=11.0, wrap=True)
        self.missing.setMaximumWidth(560)
        nothing = Card(tr("Nothing to cast"), margin=24, spacing=8)
        title = label(tr("Nothing to cast"), points=13.0, weight=QFont.Weight.DemiBold)
        nothing.add(title, self.missing, None)
        self._whole = QStackedWidget()
        self._whole.addWidget(nothing)
        self._whole.addWidget(PageBody(self.splitter, side))
        in_row(self._whole, of=self)

    def _show_right_one(self) -> None:
        self._whole.setCurrentIndex(0 if self.desk.study is None else 1)
        self.missing.setText(self.place.read(self.desk.problem))

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the bench as it is now."""
        return self.desk.is_settled

    @property
    def more_help(self) -> tuple[HelpGroup, ...]:
        """What keys do to the film."""
        key = Qt.Key
        rows: tuple[Help, ...] = (
            help_on([key.Key_Space], tr("Play and pause; with stills, the next one")),
            help_on([key.Key_Left, key.Key_Right], tr("A step back or on; with stills, a still")),
            help_on([key.Key_Home, key.Key_End], tr("To the start or the end of the film")),
        )
        return (HelpGroup(tr("Keys on the film"), rows),)

    # -- what the window asks ------------------------------------------------------------------

    def use_stills(self, still: bool) -> None:
        """Show five stills in place of what moves."""
        self.film_bar.use_stills(still)
        self.drawing.use_stills(still)

    def _choose_stills(self, still: bool) -> None:
        self.place.settings.remember(stills=still)
        self.use_stills(still)

    def commit(self) -> None:
        """Take over what is being typed, before a save or a page change."""
        self.cast.commit()

    def has_readouts(self) -> bool:
        """Once something is thrown."""
        return self.desk.study is not None

    def current_readouts(self) -> list[tuple[str, str, str]]:
        """Speed needed and energy left of all that is thrown, and the room behind."""
        found, read = self.desk.study, self.place.read
        if found is None:
            return []
        rows = []
        for each in found.all:
            if each.study is None:
                rows.append((each.name, read(each.problem), ""))
                continue
            verdict = read(verdict_words(each.study))
            rows.append((each.name, read(needed_figure(each.study)), verdict))
            rows.append((tr("Energy left at the fly"), read(energy_words(each.study)), ""))
        if found.behind is not None:
            figure, below = figure_words(found.behind)
            rows.append((tr("Room behind"), read(figure), read(below)))
        return rows

    def sheet(self) -> Sheet | Sentence:
        """What is told of it, on paper."""
        from taperlab.gui.paper.air_sheet import air_sheet
        from taperlab.gui.paper.parts import PAPER

        if self.desk.study is None:
            return Sentence("There is nothing in the air to print.")
        films = tuple(each.film for each in self.desk.shots if each.film is not None)
        # In either system: the sheet may be printed in the other one.
        pictures = {
            system: self.drawing.vectors(self.player.seconds, PAPER, system) for system in System
        }
        return air_sheet(self.desk.study, films, pictures)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up, and have the film made."""
        super().showEvent(event)
        self.desk.wake()

    def hideEvent(self, event: QHideEvent) -> None:
        """Play nothing that is not seen."""
        super().hideEvent(event)
        self.player.pause()
        self.desk.sleep()
