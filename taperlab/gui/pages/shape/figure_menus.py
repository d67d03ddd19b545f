"""What can be done with a figure: its menu, and the arrow keys that go from one to the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QGuiApplication,
    QKeyEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from taperlab.gui.dialogs.texts import TextDialog
from taperlab.gui.kit.focus_ring import paint_ring
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import Theme
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence

HINT = later("Right-click: copy this figure, or read how it is worked out")

_WAYS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1}

Rows = Callable[[], list[tuple[str, str, str]]]
"""Gives name, value and remark of each figure as it is shown."""


class FigureMenus(QObject):
    """Menus for the figures that lie in one widget.

    figures: the widgets, in order, each by the name of its figure; the tooltip of each says how it
    is worked out. offers: what the window puts into the menus.
    """

    def __init__(
        self, home: QWidget, figures: Mapping[str, QWidget], rows: Rows, place: Workplace
    ) -> None:
        super().__init__(home)
        self._home, self._figures, self._rows, self._place = home, dict(figures), rows, place
        self._ring = _Ring(home, place.theme)
        self.offers: list[QAction] = []
        home.installEventFilter(self)
        for widget in self._figures.values():
            widget.setStatusTip(tr(HINT))
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Open the menu of the figure there; go to the next one; show which has the keys."""
        kind = event.type()
        if kind in (QEvent.Type.FocusIn, QEvent.Type.FocusOut) and isinstance(watched, QWidget):
            self._ring.surround(watched if kind is QEvent.Type.FocusIn else None)
        if watched is not self._home:
            return False
        if isinstance(event, QContextMenuEvent):
            self.menu_at(event.pos()).popup(event.globalPos())
            return True
        if kind is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            way = _WAYS.get(Qt.Key(event.key()), 0)
            return bool(way) and not event.modifiers() and self._go(way)
        return False

    def menu_at(self, where: QPoint) -> QMenu:
        """What can be done with the figure at a point, and with all of them."""
        menu, name = QMenu(self._home), self._name_of(self._home.childAt(where))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if name:
            menu.addAction(tr("Copy this figure")).triggered.connect(partial(self._copy, name))
            how = menu.addAction(tr("How it is worked out…"))
            how.triggered.connect(partial(self._explain, name))
            menu.addSeparator()
        menu.addActions(self.offers)
        return menu

    def _name_of(self, widget: QWidget | None) -> str:
        """The name of the figure that a widget is of."""
        while widget is not None and widget is not self._home:
            for name, figure in self._figures.items():
                if figure is widget:
                    return name
            widget = widget.parentWidget()
        return ""

    def _copy(self, name: str, _checked: bool = False) -> None:
        self._place.host.commit()
        value = next((value for each, value, _ in self._rows() if each == name), "")
        QGuiApplication.clipboard().setText(value)
        self._place.host.say(Sentence("Copied {value}", value=value))

    def _explain(self, name: str, _checked: bool = False) -> None:
        text = self._figures[name].toolTip()
        TextDialog(name, [("", text)], self._place.host.parent_widget).open()

    def _go(self, way: int) -> bool:
        """Give the keys to the figure before or behind the one that has them."""
        names = [name for name, each in self._figures.items() if each.isVisible()]
        now = self._name_of(QApplication.focusWidget())
        if now not in names:
            return False
        at = min(max(names.index(now) + way, 0), len(names) - 1)
        self._stop_in(self._figures[names[at]]).setFocus(Qt.FocusReason.ShortcutFocusReason)
        return True

    @staticmethod
    def _stop_in(figure: QWidget) -> QWidget:
        """What of a figure takes the keys: what can be typed in it, or all of it."""
        inside = figure.findChildren(QWidget)
        typed = (each for each in inside if each.focusPolicy() & Qt.FocusPolicy.TabFocus)
        return next(typed, figure)


class _Ring(QWidget):
    """Shows which figure has the keys."""

    def __init__(self, home: QWidget, theme: Theme) -> None:
        super().__init__(home)
        self._home, self._theme = home, theme
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def surround(self, figure: QWidget | None) -> None:
        """Stand round a figure, or nowhere."""
        if figure is None:
            self.hide()
            return
        box = figure.rect().translated(figure.mapTo(self._home, QPoint()))
        self.setGeometry(box.adjusted(-5, -3, 5, 3))
        self.show()
        self.raise_()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it."""
        painter = QPainter(self)
        paint_ring(painter, self, self._theme.tokens)
