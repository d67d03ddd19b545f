"""Plays, steps and scrubs the film, says what it is of, and exports it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QProgressBar,
    QPushButton,
    QSizePolicy,
    QSlider,
    QToolButton,
    QWidget,
)

from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.theme import SMALL, Theme
from taperlab.gui.kit.widgets import in_column, in_row, label, tool_button
from taperlab.gui.pages.air.desk import LANE, AirDesk
from taperlab.gui.pages.air.export import FilmExport
from taperlab.gui.pages.air.player import RATES, Player
from taperlab.units.language import tr

WHOLE = 1000
"""Steps of the slider and of the bar."""

RATE_NAMES = ("1", "¼", "⅒")


class FilmSlider(QSlider):
    """Scrubs: wherever the mouse goes down, there the film is."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._theme, self._ring = theme, False
        self.setMinimumHeight(26)
        self.setRange(0, WHOLE)
        self.setPageStep(WHOLE // 10)
        self.setSingleStep(WHOLE // 50)
        self.setAccessibleName(tr("Where the film stands"))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go there."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.setSliderDown(True)
            self._go(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go along."""
        if self.isSliderDown():
            self._go(event.position().x())

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go."""
        self.setSliderDown(False)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Draw a ring where the keyboard brought the focus."""
        self._ring = came_by_key(event)
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        self._ring = False
        super().focusOutEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it, and the ring."""
        super().paintEvent(event)
        if self._ring:
            paint_ring(QPainter(self), self, self._theme.tokens)

    def _go(self, x: float) -> None:
        share = (x - 8.0) / max(1.0, self.width() - 16.0)
        self.setValue(round(min(max(share, 0.0), 1.0) * WHOLE))


class FilmBar(QWidget):
    """Below the drawing: what moves its film."""

    def __init__(
        self, desk: AirDesk, player: Player, exporting: FilmExport, *, stills: bool = False
    ) -> None:
        super().__init__()
        self._desk, self._player, self._exporting = desk, player, exporting
        self.is_still = stills
        self._is_showing = False
        self.back = _square("«", tr("To the start"), lambda: player.go_to(0.0))
        self.less = _square("‹", tr("A step back"), self._step_back)
        self.play = QPushButton()
        self.play.setDefault(True)
        self.play.clicked.connect(self._pressed)
        self.more = _square("›", tr("A step on"), self._step_on)
        self.slider = FilmSlider(desk.place.theme)
        self.slider.valueChanged.connect(self._scrubbed)
        self.time = label("", points=SMALL, role="soft")
        self.rates = QButtonGroup(self)
        buttons = []
        for rate, name in zip(RATES, RATE_NAMES, strict=True):
            made = tool_button(
                name,
                tr("Speed {rate}").format(rate=name),
                tr("{rate} of the real speed").format(rate=name),
            )
            made.setCheckable(True)
            made.setChecked(rate == player.rate)
            made.clicked.connect(lambda _=False, rate=rate: player.use_rate(rate))
            self.rates.addButton(made)
            buttons.append(made)
        self.rate_buttons = buttons
        self.stills = tool_button(
            tr("Stills"),
            tr("Five stills in place of what moves"),
            tr("Five stills at once, and Next in place of Play"),
        )
        self.stills.setCheckable(True)
        self.box = QComboBox()
        self.box.setAccessibleName(tr("Filmed below it"))
        self.box.setToolTip(tr("Which of the lines laid over is filmed below it"))
        self.box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.box.setMinimumWidth(70)
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.box.activated.connect(self._chosen)
        self.below = label(tr("Below it"), points=SMALL, role="soft")
        self.export = tool_button(
            tr("Export ▾"),
            tr("Export the film"),
            tr("Save the film as an animated picture, or its frames one by one"),
            self._offer_export,
        )
        self.bar = QProgressBar()
        self.bar.setObjectName("thin")
        self.bar.setRange(0, WHOLE)
        self.bar.setTextVisible(False)
        # The drawing above keeps its size while it comes and goes: frames are taken of that.
        keeps = self.bar.sizePolicy()
        keeps.setRetainSizeWhenHidden(True)
        self.bar.setSizePolicy(keeps)
        self.bar.setAccessibleName(tr("Share of the film made"))
        in_column(
            in_row(
                self.back,
                self.less,
                self.play,
                self.more,
                6,
                (self.slider, 1),
                8,
                self.time,
                spacing=3,
            ),
            self.bar,
            in_row(
                *buttons, self.stills, 10, self.below, (self.box, 1), None, self.export, spacing=3
            ),
            spacing=4,
            of=self,
        )
        desk.follow(self.refresh, lambda: (desk.study, desk.shots, desk.is_film_late, desk.beside))
        desk.filmed.connect(self._take_films)
        player.changed.connect(self.show_place)
        desk.place.jobs.progress.connect(self._progress)
        exporting.changed.connect(self._show_export)
        self.use_stills(stills)
        self.refresh()

    # -- what is shown -------------------------------------------------------------------------

    def use_stills(self, still: bool) -> None:
        """Have Next in place of Play, or the other way round."""
        self.is_still = still
        self.stills.setChecked(still)
        if still:
            self._player.pause()
        for each in (*self.rate_buttons, self.less, self.more):
            each.setVisible(not still)
        self.show_place()

    def refresh(self) -> None:
        """Show which lines there are, and whether a film is at work."""
        desk = self._desk
        others = desk.study.others if desk.study is not None else ()
        can = [each for each in others if each.study is not None]
        named = [(tr("nothing"), None), *((each.name, each.key) for each in can)]
        if [(self.box.itemText(i), self.box.itemData(i)) for i in range(self.box.count())] != named:
            self.box.clear()
            for name, key in named:
                self.box.addItem(name, key)
        beside = desk.beside
        self.box.setCurrentIndex(self.box.findData(beside.key) if beside is not None else 0)
        for each in (self.box, self.below):
            each.setVisible(bool(can))
        self.bar.setVisible(desk.is_film_late or self._exporting.is_working)
        self.show_place()

    def show_place(self) -> None:
        """Show where the film stands."""
        player = self._player
        has_film = player.length > 0.0
        self._is_showing = True
        share = player.seconds / player.length if has_film else 0.0
        self.slider.setValue(round(WHOLE * share))
        self._is_showing = False
        said = tr("{now} of {end} s").format(
            now=f"{player.seconds:.2f}", end=f"{player.length:.2f}"
        )
        self.time.setText(said if has_film else "")
        text = tr("Next") if self.is_still else tr("Pause") if player.is_playing else tr("Play")
        if self.play.text() != text:
            self.play.setText(text)
        for each in (self.play, self.back, self.less, self.more, self.slider, self.export):
            each.setEnabled(has_film)

    def _take_films(self) -> None:
        films = [each.film for each in self._desk.shots if each.film is not None]
        self._player.take(max((each.sound_until for each in films), default=0.0))
        self.show_place()

    def _progress(self, lane: str, share: float) -> None:
        if lane == LANE:
            self.bar.setValue(round(WHOLE * share))

    def _show_export(self) -> None:
        share = self._exporting.share
        self.export.setText(tr("Export ▾") if share is None else tr("Stop"))
        self.bar.setVisible(share is not None or self._desk.is_film_late)
        if share is not None:
            self.bar.setValue(round(WHOLE * share))

    # -- what a person does --------------------------------------------------------------------

    def _offer_export(self) -> None:
        if self._exporting.is_working:
            self._exporting.stop()
            return
        menu = self._exporting.offer(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.export.mapToGlobal(self.export.rect().bottomLeft()))

    def _pressed(self) -> None:
        if self.is_still:
            self._player.next_still()
            announce(self, self.time.text())
        else:
            self._player.toggle()

    def _step_back(self) -> None:
        self._player.step(-1)

    def _step_on(self) -> None:
        self._player.step(1)

    def _scrubbed(self, value: int) -> None:
        if not self._is_showing:
            self._player.go_to(value / WHOLE * self._player.length)

    def _chosen(self, index: int) -> None:
        self._desk.film_beside(self.box.itemData(index))


def _square(text: str, name: str, pressed: object) -> QToolButton:
    made = tool_button(text, name, name)
    made.clicked.connect(pressed)
    return made
