"""Places names in a drawing by search: where they cover neither a line nor another name."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF

from taperlab.physics.frustum import Array

APART = 5.0
"""How near to a line no name is written [px]."""


class Naming:
    """Where names may still be written inside a room [px].

    What is drawn is told by ``ink``; what is written is remembered.
    """

    def __init__(self, room: QRectF) -> None:
        self._room = room
        self._taken: list[QRectF] = []
        self._x = np.zeros(0)
        self._y = np.zeros(0)

    def ink(self, line: Iterable[QPointF]) -> None:
        """A line is drawn there: through these points."""
        points = np.array([(each.x(), each.y()) for each in line]).reshape(-1, 2)
        self.ink_places(points[:, 0], points[:, 1])

    def ink_places(self, x: Array, y: Array) -> None:
        """A line is drawn there: through points (n,) from the left and from above [px]."""
        if len(x) < 2:
            return
        way = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
        fine: Array = np.linspace(0.0, way[-1], int(way[-1] / APART) + 2)
        self._x = np.concatenate((self._x, np.interp(fine, way, x)))
        self._y = np.concatenate((self._y, np.interp(fine, way, y)))

    def take(self, rect: QRectF) -> None:
        """Something is written or drawn there."""
        self._taken.append(rect)

    def is_free(self, rect: QRectF) -> bool:
        """Whether a name would cover nothing there."""
        box = rect.adjusted(-3.0, -1.0, 3.0, 1.0)
        if not self._room.contains(rect) or any(box.intersects(each) for each in self._taken):
            return False
        inside = (
            (self._x > box.left())
            & (self._x < box.right())
            & (self._y > box.top())
            & (self._y < box.bottom())
        )
        return not bool(inside.any())

    def place(self, size: QSizeF, centres: Iterable[QPointF]) -> QRectF | None:
        """The first of these places where a name covers nothing; it is taken then."""
        for centre in centres:
            rect = QRectF(
                centre.x() - size.width() / 2.0,
                centre.y() - size.height() / 2.0,
                size.width(),
                size.height(),
            )
            if self.is_free(rect):
                self.take(rect)
                return rect
        return None


def around(at: QPointF, size: QSizeF, reach: float = 3.0) -> Iterable[QPointF]:
    """Centres of a name round a point, the nearest first, out to ``reach`` times its height."""
    half = size.width() / 2.0 + 6.0
    high = size.height()
    steps = [i * 0.5 for i in range(int(2 * reach) + 1)]
    for far in steps:
        for across in (1.0, -1.0, 0.0):
            for down in (-1.0, 1.0):
                if across == 0.0 and far < 0.5:
                    continue
                yield at + QPointF(across * (half + far * 4.0), down * far * high)
