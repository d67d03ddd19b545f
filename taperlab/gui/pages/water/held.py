"""A drawing in which one number is taken hold of, by the mouse or by keys."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent

from taperlab.gui.kit.painted import Painted
from taperlab.gui.pages.water.desk import Grasp, WaterDesk


class Held(Painted):
    """Moves a number of how rigs are fished; all moves until it is let go are one step.

    name: of the number. Escape puts a drag back.
    """

    def __init__(self, desk: WaterDesk, name: str) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk = desk
        self.grasp = Grasp(desk, name)
        self._held = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def take_hold(self) -> None:
        """Remember what holds for the whole drag."""

    def value_at(self, point: QPointF) -> float:
        """The number that a place of the drawing stands for [SI]."""
        raise NotImplementedError

    def value_by(self, event: QKeyEvent) -> float | None:
        """The number that a key makes of it [SI]; None where the key does nothing to it."""
        raise NotImplementedError

    def move_to(self, value: float) -> None:
        """Let it be the nearest number that can be."""
        raise NotImplementedError

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of it."""
        if event.button() == Qt.MouseButton.LeftButton and self._desk.focus is not None:
            self._held = True
            self.take_hold()
            self.move_to(self.value_at(event.position()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move it."""
        if self._held:
            self.move_to(self.value_at(event.position()))

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go."""
        self._held = False
        self.grasp.let_go()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move it by keys; Escape puts a drag back."""
        to = self.value_by(event) if self._desk.focus is not None else None
        if to is not None:
            self.move_to(to)
        elif event.key() == Qt.Key.Key_Escape and self._held:
            self._held = False
            self.grasp.put_back()
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A row of steps ends when its key is let go."""
        if not event.isAutoRepeat() and not self._held:
            self.grasp.let_go()
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """What moves it next is another step."""
        self._held = False
        self.grasp.let_go()
        super().focusOutEvent(event)
