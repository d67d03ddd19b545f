"""The room behind and the loop ahead, to scale, from the side; the film runs in it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QBuffer, QByteArray, QSize, Qt
from PySide6.QtGui import QColor, QImage, QKeyEvent, QPainter
from PySide6.QtSvg import QSvgGenerator

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.painted import Painted
from taperlab.gui.kit.theme import SMALL, Tokens
from taperlab.gui.pages.air.desk import AirDesk
from taperlab.gui.pages.air.film_ink import FilmInk
from taperlab.gui.pages.air.player import Player
from taperlab.gui.pages.air.still_ink import StillInk
from taperlab.gui.pages.air.view import View
from taperlab.shop.air.words import shown_words
from taperlab.shop.room.words import room_words
from taperlab.shop.turnover.words import film_words
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import render

STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}


class AirDrawing(Painted):
    """The caster, both loops, and the film where its player stands."""

    def __init__(self, desk: AirDesk, player: Player) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk, self._player = desk, player
        self.is_still = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("The room behind and the loop ahead, from the side"))
        desk.follow(self.refresh, lambda: (desk.study, desk.shots, desk.is_film_late))
        player.changed.connect(self.update)

    def use_stills(self, still: bool) -> None:
        """Show five stills at once instead of what moves."""
        self.is_still = still
        self.update()

    def refresh(self) -> None:
        """Show what is looked at now."""
        desk, read = self._desk, self._desk.place.read
        if desk.study is None:
            self.say_all("")
            return
        said = [shown_words(desk.study)]
        if desk.study.behind is not None:
            said.append(room_words(desk.study.behind))
        for shot in desk.shots[:1]:
            said += film_words(shot.film) if shot.film is not None else [shot.problem]
        self.say_all(" ".join(read(each) for each in said))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Play, step and go to the ends by keys."""
        player, key = self._player, Qt.Key(event.key())
        if key == Qt.Key.Key_Space:
            player.next_still() if self.is_still else player.toggle()
        elif key in STEPS:
            player.next_still(STEPS[key]) if self.is_still else player.step(STEPS[key])
        elif key == Qt.Key.Key_Home:
            player.go_to(0.0)
        elif key == Qt.Key.Key_End:
            player.go_to(player.length)
        else:
            super().keyPressEvent(event)

    # -- drawing -------------------------------------------------------------------------------

    def _view(self, tokens: Tokens | None = None, system: System | None = None) -> View | None:
        """What is drawn now; tokens, system: in other colours or units than those in force."""
        desk, document = self._desk, self._desk.place.document
        found = desk.study
        if found is None:
            return None
        colours = tokens or self.tokens
        rod = document.rod
        return View(
            found,
            desk.shots,
            rod.length if rod is not None else None,
            colours,
            system or desk.system,
            partial(render, system=system) if system else desk.place.read,
            {each.key: desk.style(each, colours) for each in found.all},
            float(self.width()),
            float(self.height()),
        )

    def still_by(self) -> tuple[object, ...]:
        """All that the drawing without its films hangs on."""
        view = self._view()
        return view.stays if view is not None else ()

    def draw_still(self, painter: QPainter) -> None:
        """Draw water, bank, caster, rods and the loop behind."""
        view = self._view()
        if view is not None:
            StillInk(view).paint(painter)

    def draw(self, painter: QPainter) -> None:
        """Draw the films where their player stands."""
        view = self._view()
        if view is not None:
            self._films(view, self._player.seconds).paint(painter)

    def _films(self, view: View, seconds: float) -> FilmInk:
        stills = self._player.stills if self.is_still else ()
        return FilmInk(view, seconds, stills, is_old=self._desk.is_film_late)

    def picture(self, seconds: float, scale: float = 1.0, tokens: Tokens | None = None) -> QImage:
        """The drawing with its films at a time [s]; tokens: in other colours than usual."""
        size = QSize(round(self.width() * scale), round(self.height() * scale))
        image = QImage(size, QImage.Format.Format_RGB32)
        image.setDevicePixelRatio(scale)
        image.fill(QColor((tokens or self.tokens).card))
        painter = QPainter(image)
        self._paint_all(painter, seconds, tokens)
        painter.end()
        return image

    def vectors(self, seconds: float, tokens: Tokens, system: System) -> bytes:
        """The same as lines and letters, an SVG picture that is as sharp on any paper."""
        content = QByteArray()
        buffer = QBuffer(content)
        # Version 1.1 knows clipping.
        maker = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
        maker.setOutputDevice(buffer)
        maker.setSize(self.size())
        maker.setViewBox(self.rect())
        maker.setResolution(round(theming.PIXELS_AN_INCH))
        painter = QPainter(maker)
        self._paint_all(painter, seconds, tokens, system)
        painter.end()
        return bytes(content.data())

    def _paint_all(
        self,
        painter: QPainter,
        seconds: float,
        tokens: Tokens | None,
        system: System | None = None,
    ) -> None:
        view = self._view(tokens, system)
        if view is not None:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setFont(theming.font(SMALL))
            StillInk(view).paint(painter)
            self._films(view, seconds).paint(painter)

    def sizeHint(self) -> QSize:
        """As on a usual screen."""
        return QSize(theming.px(760), theming.px(300))

    def minimumSizeHint(self) -> QSize:
        """In which something can be told."""
        return QSize(theming.px(300), theming.px(170))
