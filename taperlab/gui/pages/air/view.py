"""What the drawing to scale is made from, as a value, so that it can be painted anywhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QFontMetricsF

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, Tokens
from taperlab.gui.pages.air.desk import Shot
from taperlab.gui.pages.air.scene import Forward, Reach, ToScale, forward_rod, reach_of
from taperlab.shop.air.study import AirStudy
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence

ROOM_FOR_TWO = 205
"""A drawing lower than this shows the film of one line alone, for usual letters [px]."""

Style = tuple[str, tuple[float, ...] | None]
"""Colour and dash of a line."""


@dataclass(frozen=True, eq=False)
class View:
    """What is drawn, in which colours, words and units, how large [px].

    rod: its length [m], if there is one. styles: of what is thrown, by its key.
    """

    found: AirStudy
    shots: tuple[Shot, ...]
    rod: float | None
    tokens: Tokens
    system: System
    read: Callable[[Sentence], str]
    styles: dict[str, Style]
    width: float
    height: float

    @cached_property
    def reach(self) -> Reach:
        """Which stretch is seen."""
        return reach_of(self.found, self.rod)

    @cached_property
    def forward(self) -> Forward:
        """The rod as it is stopped ahead."""
        return forward_rod(self.found, self.rod)

    @property
    def row(self) -> float:
        """Height of a line of small letters [px]."""
        return QFontMetricsF(theming.font(SMALL)).height()

    @cached_property
    def grounds(self) -> tuple[ToScale, ...]:
        """A scale for each of the lines that are filmed, one below the other."""
        count = max(1, len(self.shots))
        if theming.usual(self.height) < ROOM_FOR_TWO:
            count = 1
        top = self.row * (2.9 if self.found.behind else 1.6)
        room = QRectF(0.0, 0.0, self.width, self.height)
        room.adjust(6.0, top, -6.0, -0.9 * self.row)
        first = ToScale.fitted(room, self.reach, count)
        by = self.reach.loop_high + self.reach.deep
        return tuple(first.lower(i * by) for i in range(count))

    def size(self, text: str) -> QSizeF:
        """Room that small letters take."""
        metrics = QFontMetricsF(theming.font(SMALL))
        return QSizeF(metrics.horizontalAdvance(text) + 4.0, metrics.height())

    def style(self, shot: Shot) -> Style:
        """Colour and dash of a line that is filmed."""
        return self.styles.get(shot.key, (self.tokens.soft, None))

    @property
    def stays(self) -> tuple[object, ...]:
        """All that the drawing without its films hangs on; another diameter moves none of it."""
        found = self.found
        behind = found.behind, found.drawn, found.behind_as, found.room
        throw = found.throw.launch, found.throw.rod_tip, found.throw.loop_height
        names = tuple((each.name, each.key, self.style(each)) for each in self.shots)
        return *behind, *throw, self.reach, self.rod, names, self.system
