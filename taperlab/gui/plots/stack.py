"""A stack of plots as a widget: what every page that plots anything is built from.

A page makes a :class:`~taperlab.gui.plots.chart.Chart` and shows it; mouse, keys, crosshair,
screen readers and pictures come with the stack.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent, QRectF, QSize, Qt
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QFocusEvent,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QStatusTipEvent,
)
from PySide6.QtWidgets import QLabel, QMenu, QSizePolicy, QVBoxLayout, QWidget

from taperlab.files.disk import write_bytes
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.key_names import Help, help_on, native, with_key
from taperlab.gui.kit.speech import say, speaks
from taperlab.gui.kit.theme import Theme
from taperlab.gui.plots import keys, pictures
from taperlab.gui.plots.canvas import Canvas
from taperlab.gui.plots.chart import HINT, Chart, Words
from taperlab.gui.plots.grips import Handle
from taperlab.gui.plots.panel import LEFT
from taperlab.gui.plots.pointer import MORE
from taperlab.units.kinds import System
from taperlab.units.language import later, tr

EDGE, GAP, PATCH = 8.0, 8.0, 15.0
"""Beside the columns of a crowded strip, between them, and for the patch of colour [px]."""


class ReadoutStrip(QWidget):
    """One line of text in fixed columns, so that numbers do not jump about as they change."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._hint = ""
        self.words = Words()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Reading at the crosshair"))

    def sizeHint(self) -> QSize:
        """One line high."""
        return QSize(400, theming.px(24))

    def show_words(self, words: Words, hint: str) -> None:
        """Show these columns; without any, the hint."""
        if (words, hint) != (self.words, self._hint):
            self.words, self._hint = words, hint
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the columns."""
        tokens, words = self._theme.tokens, self.words
        painter = QPainter(self)
        painter.setFont(theming.font(9.0))
        metrics = painter.fontMetrics()
        align = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        height = float(self.height())
        columns = words.columns
        if not words.shares:
            columns = ("  ·  ".join(columns) or self._hint,)
        painter.setPen(QColor(tokens.ink if words.columns else tokens.soft))
        for number, (text, (x, room)) in enumerate(
            zip(columns, self.places(columns, metrics), strict=True)
        ):
            if number == 1 and words.colour:
                painter.fillRect(QRectF(x, height / 2.0 - 4.5, 9.0, 9.0), QColor(words.colour))
                x, room = x + PATCH, room - PATCH
            shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, int(room + 1.0))
            painter.drawText(QRectF(x, 0.0, room + 4.0, height), align, shown)

    def places(self, columns: tuple[str, ...], metrics: QFontMetrics) -> list[tuple[float, float]]:
        """Where each column begins and how much room it has [px].

        Where a number does not fit into its share, the columns follow one another; if that is too
        much, the words of the second give way, never a number.
        """
        left = theming.px(LEFT)
        width = self.width() - left - 14.0
        shares = self.words.shares or (0.0, 1.0)
        fixed = [
            (left + share * width, (end - share) * width - 8.0)
            for share, end, _ in zip(shares, shares[1:], columns, strict=False)
        ]
        needs = [float(metrics.horizontalAdvance(text)) for text in columns]
        if len(columns) < 2 or all(n <= room for n, (_, room) in zip(needs, fixed, strict=True)):
            return fixed
        needs[1] += PATCH
        spare = self.width() - 2.0 * EDGE - sum(needs)
        gap = min(max(spare / (len(needs) - 1), GAP), 3.0 * GAP)
        needs[1] = max(needs[1] + min(spare - gap * (len(needs) - 1), 0.0), 2.0 * PATCH)
        starts = accumulate((each + gap for each in needs[:-1]), initial=EDGE)
        return list(zip(starts, needs, strict=True))


@dataclass(frozen=True, slots=True)
class Command:
    """What a further key does on the plots of a page."""

    does: str
    act: Callable[[], object]


class PlotStack(QWidget):
    """Plots one below the other that share an axis.

    What happens to handles, the ``canvas`` tells. grips: the handles. panels: the plots
    by their keys; those not in the chart are hidden. commands: what further keys do, for those who
    inherit. free_of_steps: whether a drag can leave the steps. TWICE: what pressing twice does.
    offers: what the window puts into the menu of the plots.
    """

    TWICE = later("see all of it")
    free_of_steps = True

    def __init__(
        self, theme: Theme, system: System = System.US, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.theme = theme
        self._ring = False
        self._hinted = ""
        self.offers: list[QAction] = []
        self.commands: dict[Qt.Key, Command] = {}
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Plots of the line"))
        self.strip = ReadoutStrip(theme, self)
        self.canvas = Canvas(theme, system, self)
        self.grips, self.panels = self.canvas.grips, self.canvas.stage.panels
        self.empty = QLabel(self)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setProperty("role", "soft")
        column = QVBoxLayout(self)
        column.setContentsMargins(3, 2, 3, 3)
        column.setSpacing(0)
        column.addWidget(self.strip)
        column.addWidget(self.canvas, 1)
        column.addWidget(self.empty, 1)
        self.canvas.pointed.connect(self._read)
        self.canvas.doubled.connect(self.pressed_twice)
        self.canvas.hovered.connect(self._hint_at)
        self.canvas.left.connect(self._hint_no_more)
        theme.changed.connect(self._theme_changed)
        self.show_chart(Chart())
        self._theme_changed()

    # -- what is shown -------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.canvas.stage.system

    @property
    def chart(self) -> Chart:
        """What is shown now."""
        return self.canvas.stage.chart

    @property
    def position(self) -> float | None:
        """Where the crosshair stands [SI], or None."""
        return self.canvas.pointer.position

    @property
    def spoken(self) -> str:
        """All that the crosshair reads, in one text; what is plotted while it reads nothing."""
        return self.canvas.pointer.spoken or self.chart.told(self.system)

    @property
    def is_dragging(self) -> bool:
        """Whether a handle is being dragged."""
        return self.canvas.is_dragging

    def show_chart(self, chart: Chart, handles: tuple[Handle, ...] = ()) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        empty = not chart.plots
        self.empty.setText(chart.empty)
        self.empty.setVisible(empty)
        self.canvas.setVisible(not empty)
        self.strip.setVisible(not empty)
        self.canvas.show_chart(chart, handles)

    def set_system(self, system: System) -> None:
        """Show another system's units."""
        if system is not self.system:
            self.canvas.stage.use_system(system)
            self.redraw()

    def redraw(self) -> None:
        """Draw all that has changed."""
        self.canvas.arrange()

    # -- where is looked and pointed -------------------------------------------------------------

    def reset_view(self) -> None:
        """See the whole of everything, with axes that fit."""
        self.canvas.see_whole()

    def point_at(self, position: float | None) -> None:
        """Put the crosshair at a position [SI], or take it away."""
        self.canvas.point_at(position)

    def go_to(self, position: float) -> None:
        """Put the crosshair at a position [SI] that is wanted in sight."""
        self.canvas.bring_in_sight(position)
        self.canvas.point_at(position)

    def pressed_twice(self, position: float, handle: Handle | None) -> None:
        """See the whole again; a stack of another kind may do otherwise."""
        if handle is None:
            self.reset_view()

    # -- what can be done ------------------------------------------------------------------------

    @property
    def ring_help(self) -> tuple[Help, ...]:
        """What can be done to a ring with the mouse."""
        canvas, steps = self.canvas, self.drag_steps()
        rows = [Help(tr("Drag"), tr("move it, in steps of {steps}").format(steps=steps))]
        if any(each.along and each.across for each in self.grips.handles):
            rows.append(Help(native(canvas.FREES), tr("both ways at once")))
        if self.free_of_steps:
            rows.append(Help(native(canvas.UNSTEPPED), tr("without steps")))
        rows.append(Help(native(Qt.Key.Key_Escape), tr("put it back")))
        return tuple(rows)

    @property
    def mouse_help(self) -> tuple[Help, ...]:
        """What can be done with the mouse on the plots."""
        return (
            Help(tr("Wheel"), tr("zoom")),
            Help(tr("Drag"), tr("shift what is seen, once zoomed")),
            Help(tr("Double-click"), tr(self.TWICE)),
            Help(tr("Right-click"), tr("all that can be done there")),
        )

    @property
    def key_help(self) -> tuple[Help, ...]:
        """What the keys do on these plots."""
        own: dict[str, list[Qt.Key]] = {}
        for key, command in self.commands.items():
            own.setdefault(command.does, []).append(key)
        used = (use for use in keys.USES if use.alt or not set(use.keys) <= set(self.commands))
        return (
            *(use.help for use in used),
            *(help_on(found, tr(does)) for does, found in own.items()),
        )

    def drag_steps(self) -> str:
        """What a drag goes in steps of, in words."""
        stage, plots = self.canvas.stage, {each.plot for each in self.grips.handles}
        axes = [self.chart.across, *(p.plot.axis for p in stage.shown if p.plot.key in plots)]
        return ", ".join(axis.drag_step_text(stage.system) for axis in axes)

    def _hint_at(self, handle: Handle | None) -> None:
        rows = self.ring_help if handle is not None else self.mouse_help
        self._hint("; ".join(row.text for row in rows))

    def _hint_no_more(self) -> None:
        self._hint("")

    def _hint(self, text: str) -> None:
        """Have the window show a hint; also where a hint of a page that is gone still stands."""
        if text != self._hinted:
            self._hinted = text
            QCoreApplication.sendEvent(self, QStatusTipEvent(text))

    def _read(self) -> None:
        words = self.canvas.pointer.words
        self.strip.show_words(words, self.chart.hint or tr(HINT))
        said = ", ".join(words.columns)
        say(self, said)
        if self.hasFocus():  # with the mouse, what is read is not for the ear
            announce(self, said)

    # -- the menu ------------------------------------------------------------------------------

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done to the handle there, or to the place."""
        canvas = self.canvas
        if canvas.stage.is_empty:
            return
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            chosen = self.grips.in_hand
            point = self.grips.point_of(chosen).toPoint() if chosen else canvas.rect().center()
            self.context_menu().popup(canvas.mapToGlobal(point))
            return
        point = canvas.mapFrom(self, event.pos())
        handle = self.grips.hit(canvas.mapToScene(point))
        canvas.choose_handle(handle.key if handle else None)
        if handle is None:
            self.point_at(canvas.place_at(canvas.mapToScene(point)))
        self.context_menu().popup(event.globalPos())

    def context_menu(self) -> QMenu:
        """What can be done to the chosen handle or the place pointed at, and to the plots."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.fill_menu(menu)
        if self.canvas.pointer.tells_part:
            more = self.canvas.pointer.tell_more
            menu.addAction(with_key(tr("More of the lines laid over"), MORE), more)
        menu.addSeparator()
        menu.addActions(self.offers)
        return menu

    def fill_menu(self, menu: QMenu) -> None:
        """Put in what a page can do there; those who inherit do."""

    # -- pictures ------------------------------------------------------------------------------

    def export_png(self, path: Path, scale: float = 2.0) -> None:
        """Save the plots as a PNG file. Raises FileProblem."""
        write_bytes(path, pictures.png(self.canvas, scale))

    def export_svg(self, path: Path) -> None:
        """Save the plots as an SVG file. Raises FileProblem."""
        write_bytes(path, pictures.svg(self.canvas))

    def copy_picture(self) -> None:
        """Put the plots on the clipboard, as an image."""
        QGuiApplication.clipboard().setImage(pictures.image(self.canvas))

    # -- Qt ------------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        """Room for plots in which something can be told."""
        return QSize(theming.px(280), theming.px(24) + self.canvas.stage.least_height())

    def _theme_changed(self) -> None:
        self.empty.setFont(theming.font(10.0))
        self.canvas.use_theme()
        self.canvas.arrange()
        self.strip.updateGeometry()
        self.strip.update()

    def event(self, event: QEvent) -> bool:
        """Keep keys used here from the window's shortcuts."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and (self._command(event) is not None or keys.use_of(event) is not None)
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the crosshair, choose a handle and nudge it, zoom; or what the page does."""
        command = self._command(event)
        if command is not None and not self.canvas.stage.is_empty:
            command.act()
        elif not keys.press(self.canvas, event):
            super().keyPressEvent(event)

    def _command(self, event: QKeyEvent) -> Command | None:
        held = event.modifiers() & (
            Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        )
        return None if held else self.commands.get(Qt.Key(event.key()))

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A row of nudges ends when its key is let go."""
        if not event.isAutoRepeat() and not self.is_dragging:
            self.canvas.nudges_ended.emit()
            self.canvas.show_tag(None)
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring, if the keyboard brought the focus here."""
        self._ring = came_by_key(event)
        self.update()
        self.canvas.draw_handles()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the ring."""
        self._ring = False
        self.update()
        self.canvas.nudges_ended.emit()
        self.canvas.draw_handles()
        super().focusOutEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the ring round the plots that have the focus."""
        super().paintEvent(event)
        if self._ring:
            painter = QPainter(self)
            paint_ring(painter, self, self.theme.tokens)


speaks(PlotStack)
