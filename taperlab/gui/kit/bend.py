"""Things side by side that go one below the other where there is little room."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QWidget

from taperlab.gui.kit.theme import usual

ACROSS, DOWN = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom


class Bend(QWidget):
    """Widgets in a row, or from less than ``least`` on in a column, top to bottom.

    least: width for usual letters [px]. across: their shares of a row. down: those of a column;
    where none has any, what room is left stays below them. It can always become as narrow as the
    widest of them, which a layout alone would not let it.
    """

    def __init__(
        self,
        *widgets: QWidget,
        least: float,
        across: Sequence[int] = (),
        down: Sequence[int] = (),
        spacing: tuple[int, int] = (12, 6),
    ) -> None:
        super().__init__()
        self._least, self._spacing = least, spacing
        self._across, self._down = tuple(across), tuple(down)
        self._widgets: list[QWidget] = []
        self._box = QBoxLayout(DOWN, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.addStretch(0)
        for each in widgets:
            self.add(each)

    def add(self, widget: QWidget) -> None:
        """Put another behind the others."""
        self._box.insertWidget(len(self._widgets), widget)
        self._widgets.append(widget)
        self._share()

    def bend_below(self, least: float) -> None:
        """Be a column below another width."""
        self._least = least
        self._turn()

    @property
    def is_across(self) -> bool:
        """Whether they stand in a row."""
        return self._box.direction() == ACROSS

    def minimumSizeHint(self) -> QSize:
        """As narrow as the widest of them."""
        shown = [each for each in self._widgets if not each.isHidden()]
        wide = max((each.minimumSizeHint().width() for each in shown), default=0)
        return QSize(wide, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the room."""
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        direction = ACROSS if usual(self.width()) >= self._least else DOWN
        if direction != self._box.direction():
            self._box.setDirection(direction)
            self._share()
            self._tell_above()

    def _tell_above(self) -> None:
        """Have all that hold it find their heights anew: they keep those of before the turn."""
        self.updateGeometry()
        above = self.parentWidget()
        while above is not None and (layout := above.layout()) is not None:
            layout.invalidate()
            above.updateGeometry()
            above = above.parentWidget()

    def _share(self) -> None:
        given = self._across if self.is_across else self._down
        self._box.setSpacing(self._spacing[0] if self.is_across else self._spacing[1])
        for at in range(len(self._widgets)):
            self._box.setStretch(at, given[at] if at < len(given) else int(self.is_across))
        rest = not self.is_across and not any(self._down)
        self._box.setStretch(len(self._widgets), int(rest))
