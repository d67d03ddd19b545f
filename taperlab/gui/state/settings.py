"""What the person prefers, as the window sees it: units and theme now, the rest on disk."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from taperlab.edits.edited import Solve
from taperlab.units.kinds import System


class Settings(QObject):
    """Choices that hold for every bench. Views redraw when ``units_changed`` is emitted."""

    units_changed = Signal()
    solve_changed = Signal()
    sink_shown_changed = Signal()

    def __init__(
        self,
        system: System = System.US,
        parent: QObject | None = None,
        *,
        solve: Solve = Solve.DENSITY,
        sink_shown: bool = False,
    ) -> None:
        super().__init__(parent)
        self._system = system
        self._solve = solve
        self._sink_shown = sink_shown

    @property
    def system(self) -> System:
        """The units shown and taken for bare numbers."""
        return self._system

    def use_system(self, system: System) -> None:
        """Show and read the other system from now on."""
        if system is not self._system:
            self._system = system
            self.units_changed.emit()

    @property
    def solve(self) -> Solve:
        """What a typed weight or weight per length moves: density or diameter."""
        return self._solve

    def use_solve(self, solve: Solve) -> None:
        """Let typed weights move the other number from now on."""
        if solve is not self._solve:
            self._solve = solve
            self.solve_changed.emit()

    @property
    def sink_shown(self) -> bool:
        """Whether the fourth plot, sink rate, is shown."""
        return self._sink_shown

    def show_sink(self, shown: bool) -> None:
        """Show or hide the sink-rate plot."""
        if shown != self._sink_shown:
            self._sink_shown = shown
            self.sink_shown_changed.emit()
