"""Plays a film: where it is, whether it runs, how fast; it shows nothing itself."""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

TICK = 16
"""Milliseconds between two pictures of a film that runs."""

STEP = 0.02
"""One step forward or back [s]."""

HELD = 0.05
"""So long a film stands, faded, where its model has ended [s]."""

STILLS = 5
"""So many stills stand for a film where less motion is wanted."""

FIRST_SEEN = 0.62
"""Where a film stands before anybody has moved it, as a share of it: a line half turned over."""

RATES = (1.0, 0.25, 0.1)
"""How fast it can run, as a share of the real speed."""


class Player(QObject):
    """A place in a film that is moved by a clock, by steps and by hand.

    seconds: where it is [s]; length: of the film [s], 0 without one. rate: of the real speed.
    changed(): any of it is another. clock: seconds that go by.
    """

    changed = Signal()

    def __init__(
        self, parent: QObject | None = None, clock: Callable[[], float] = time.monotonic
    ) -> None:
        super().__init__(parent)
        self.clock = clock
        self.length, self.seconds, self.rate = 0.0, 0.0, RATES[1]
        self._touched = False
        self._shown = 0.0
        self._last = 0.0
        self._timer = QTimer(self)
        self._timer.setInterval(TICK)
        self._timer.timeout.connect(self.tick)

    @property
    def is_playing(self) -> bool:
        """Whether it runs."""
        return self._timer.isActive()

    @property
    def stills(self) -> tuple[float, ...]:
        """The times of the stills that stand for the film [s]."""
        return tuple(self._shown * (i + 1) / STILLS for i in range(STILLS)) if self._shown else ()

    def take(self, shown: float) -> None:
        """Play a film that shows something for so long [s], from the same share as the last."""
        length = shown + HELD if shown else 0.0
        self._shown = shown
        if length == self.length:
            return
        share = self.seconds / self.length if self.length and self._touched else FIRST_SEEN
        self.length = length
        self.seconds = share * length
        if not length:
            self.pause()
        self.changed.emit()

    def play(self) -> None:
        """Run, from the start where it is at its end or nobody has moved it."""
        if not self.length:
            return
        if self.seconds >= self.length or not self._touched:
            self.seconds = 0.0
        self._touched = True
        self._last = self.clock()
        self._timer.start()
        self.changed.emit()

    def pause(self) -> None:
        """Stand."""
        self._timer.stop()
        self.changed.emit()

    def toggle(self) -> None:
        """Run if it stands, stand if it runs."""
        self.pause() if self.is_playing else self.play()

    def tick(self) -> None:
        """Go on by what the clock has gone on."""
        if not self.is_playing:
            return
        now = self.clock()
        self.seconds = min(self.length, self.seconds + (now - self._last) * self.rate)
        self._last = now
        if self.seconds >= self.length:
            self._timer.stop()
        self.changed.emit()

    def go_to(self, seconds: float) -> None:
        """Stand at a time [s]."""
        self._timer.stop()
        self._touched = True
        self.seconds = min(max(seconds, 0.0), self.length)
        self.changed.emit()

    def step(self, steps: int) -> None:
        """Stand so many steps further, or back."""
        self.go_to(self.seconds + steps * STEP)

    def next_still(self, by: int = 1) -> None:
        """Stand at the next still, after the last at the first; or at the one before."""
        stills = self.stills
        if not stills:
            return
        near = 1e-9 * self.length
        later = [each for each in stills if each > self.seconds + near]
        before = [each for each in stills if each < self.seconds - near]
        if by > 0:
            self.go_to(later[0] if later else stills[0])
        else:
            self.go_to(before[-1] if before else stills[-1])

    def use_rate(self, rate: float) -> None:
        """Run so fast."""
        self.rate = rate
        self.changed.emit()
