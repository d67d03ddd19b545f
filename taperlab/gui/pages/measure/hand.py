"""Where is pointed on a measured line, which breakpoint is in hand, what can be done to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from taperlab.edits import measure as edits
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.plots.scales import COARSE, FINE
from taperlab.model.measurement import Measurement
from taperlab.shop.measure.shape import Placed
from taperlab.shop.measure.study import Study


@dataclass(frozen=True, slots=True)
class Breakpoint:
    """An inner node of the fit: where [m], how thick [m], and whether the user holds it there."""

    position: float
    diameter: float
    fixed: bool


def breakpoints_of(measurement: Measurement | None, study: Study | None) -> tuple[Breakpoint, ...]:
    """The breakpoints as fitted; fixed ones that wait for a fit included."""
    if measurement is None or study is None or study.fit is None:
        return ()
    shape = study.fit.shape
    made = []
    for position, diameter, placed in zip(
        shape.positions[1:-1].tolist(), shape.diameters[1:-1].tolist(), shape.placed, strict=True
    ):
        held = placed is Placed.FIXED
        if not held or any(abs(position - t) < 1e-6 for t in measurement.breakpoints):
            made.append(Breakpoint(position, diameter, held))
    for t in measurement.breakpoints:
        if not any(abs(t - each.position) < 1e-6 for each in made):
            made.append(Breakpoint(t, float(shape.state.diameter(np.array([t]))[0]), True))
    return tuple(sorted(made, key=lambda each: each.position))


class Hand:
    """Points [m], chooses a breakpoint and moves, holds or lets go of it.

    A move is asked of the desk at once, but its fit takes a while: meanwhile ``ghost`` is where
    the breakpoint will be [m]. A drag, or a row of nudges, makes one step to undo.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.pointer: float | None = None
        self.ghost: float | None = None
        self._chosen: float | None = None
        self._grabbed: float | None = None
        self._merge: int | None = None
        self._before: tuple[float, ...] = ()

    @property
    def breakpoints(self) -> tuple[Breakpoint, ...]:
        """The breakpoints as fitted; fixed ones that wait for a fit included."""
        return breakpoints_of(self._desk.measurement, self._desk.study)

    @property
    def chosen(self) -> Breakpoint | None:
        """The breakpoint chosen by key or in hand."""
        at = self._chosen
        if at is None:
            return None
        near = min(self.breakpoints, key=lambda each: abs(each.position - at), default=None)
        if near is not None and abs(near.position - at) < 0.02 * self._length:
            return near
        return None

    @property
    def has_grabbed(self) -> bool:
        """Whether a breakpoint is held by the mouse, or by a row of nudges."""
        return self._grabbed is not None

    @property
    def is_dragging(self) -> bool:
        """Whether a breakpoint is being moved."""
        return self._grabbed is not None and self._merge is not None

    @property
    def _length(self) -> float:
        measurement = self._desk.measurement
        return measurement.length if measurement else 1.0

    # -- pointing and choosing ----------------------------------------------------------------

    def point_at(self, position: float) -> None:
        """Point at a distance [m], on the line, and choose nothing."""
        self.pointer = min(max(position, 0.0), self._length)
        self._chosen = None

    def step(self, way: int, *, coarse: bool) -> None:
        """Point one step along."""
        step = (COARSE if coarse else FINE)[self._desk.system]
        start = self.pointer if self.pointer is not None else 0.0
        self.point_at((round(start / step) + way) * step)

    def choose(self, breakpoint_: Breakpoint | None) -> None:
        """Choose a breakpoint, or none."""
        self._chosen = breakpoint_.position if breakpoint_ else None

    def choose_next(self, way: int) -> None:
        """Choose the next breakpoint, and point at it."""
        found = self.breakpoints
        if not found:
            return
        chosen = self.chosen
        if chosen is None:
            number = 0 if way > 0 else len(found) - 1
        else:
            number = min(max(found.index(chosen) + way, 0), len(found) - 1)
        self._chosen = self.pointer = found[number].position

    # -- moving -------------------------------------------------------------------------------

    def grab(self, breakpoint_: Breakpoint) -> None:
        """Take hold of a breakpoint."""
        self._chosen = self._grabbed = breakpoint_.position
        self._merge = None
        measurement = self._desk.measurement
        self._before = measurement.breakpoints if measurement else ()

    def drag(self) -> None:
        """Take what is held to where is pointed."""
        if self._grabbed is not None and self.pointer is not None:
            self._move(self._grabbed, self.rounded(self.pointer))

    def nudge(self, way: int) -> None:
        """Move the chosen breakpoint by one step."""
        chosen = self.chosen
        if chosen is not None:
            # While a fit is at work the ring is where the last nudge put it.
            was = self._grabbed if self._grabbed is not None else chosen.position
            step = FINE[self._desk.system]
            self._move(was, (round(was / step) + way) * step)
            self.pointer = self._chosen

    def release(self) -> None:
        """Let go of what is held: the move is done."""
        self._grabbed = self._merge = self.ghost = None

    def escape(self) -> None:
        """Call a move off; choose nothing and point nowhere."""
        if self.is_dragging:
            # The same merge id: the step that the drag made vanishes, as it now changes nothing.
            self._desk.apply(edits.set_breakpoints, self._before, merge=self._merge)
            self.release()
        self._chosen = self.pointer = None

    def _move(self, was: float, position: float) -> None:
        if self._merge is None:
            self._merge = self._desk.document.new_merge_id()
        length = self._length
        position = min(max(position, 0.002 * length), 0.998 * length)
        if not self._desk.apply(edits.move_breakpoint, was, position, merge=self._merge):
            self._chosen = self._grabbed = position
            self.ghost = position

    # -- holding and letting go ---------------------------------------------------------------

    def fix_here(self, position: float | None = None) -> None:
        """Fix a breakpoint at a distance [m], by default where is pointed."""
        position = self.pointer if position is None else position
        if position is None:
            return
        if not self._desk.apply(edits.fix_breakpoint, self.rounded(position)):
            self._chosen = self.rounded(position)

    def toggle_hold(self) -> None:
        """Hold the chosen breakpoint where it is, or let the stations place it."""
        chosen = self.chosen
        if chosen is None:
            return
        if chosen.fixed:
            self._desk.apply(edits.release_breakpoint, chosen.position)
        else:
            self._chosen = self.rounded(chosen.position)
            self._desk.apply(edits.fix_breakpoint, self._chosen)

    def let_go(self) -> None:
        """Let the stations place the chosen breakpoint, if it is held."""
        chosen = self.chosen
        if chosen is not None and chosen.fixed:
            self._desk.apply(edits.release_breakpoint, chosen.position)

    def toggle_only(self) -> None:
        """Take the fixed breakpoints alone, or look for others as well."""
        measurement = self._desk.measurement
        if measurement is not None:
            self._desk.apply(edits.set_only_fixed, not measurement.only_fixed)

    def rounded(self, position: float) -> float:
        """To the tape's own step: nobody can point finer than he can measure."""
        measurement = self._desk.measurement
        if measurement is None:
            return position
        step = measurement.instruments.tape
        rounded = round(position / step) * step
        return rounded if 0.0 < rounded < measurement.length else position
