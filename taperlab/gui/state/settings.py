"""What the person prefers, as the window sees it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits.edited import Ends, Solve
from taperlab.files.preferences import Preferences
from taperlab.units.kinds import System


class Settings(QObject):
    """Choices that hold for every bench; ``preferences`` is all of them.

    Views redraw at ``units_changed``. keep: called with all choices before and after, whenever
    one is another.
    """

    units_changed = Signal()
    solve_changed = Signal()
    sink_shown_changed = Signal()
    head_only_changed = Signal()
    ends_changed = Signal()
    recent_changed = Signal()

    def __init__(
        self,
        preferences: Preferences | None = None,
        keep: Callable[[Preferences, Preferences], object] | None = None,
    ) -> None:
        super().__init__()
        self.preferences = preferences or Preferences()
        self._keep = keep

    def use(self, preferences: Preferences) -> None:
        """Take these choices from now on."""
        before, self.preferences = self.preferences, preferences
        for name, signal in (
            ("system", self.units_changed),
            ("solve", self.solve_changed),
            ("sink_shown", self.sink_shown_changed),
            ("head_only", self.head_only_changed),
            ("ends", self.ends_changed),
            ("recent_files", self.recent_changed),
        ):
            if getattr(preferences, name) != getattr(before, name):
                signal.emit()
        if self._keep is not None and preferences != before:
            self._keep(before, preferences)

    def remember(self, **choices: Any) -> None:
        """Take some choices, by the names of :class:`Preferences`."""
        self.use(replace(self.preferences, **choices))

    @property
    def system(self) -> System:
        """The units shown and taken for bare numbers."""
        return self.preferences.system

    def use_system(self, system: System) -> None:
        """Show and read the other system from now on."""
        self.remember(system=system)

    @property
    def solve(self) -> Solve:
        """What a typed weight or weight per length moves: density or diameter."""
        return self.preferences.solve

    def use_solve(self, solve: Solve) -> None:
        """Let typed weights move the other number from now on."""
        self.remember(solve=solve)

    @property
    def ends(self) -> Ends:
        """Whether an end that meets another, as thick, follows it: joined or stepped."""
        return self.preferences.ends

    @property
    def joins_ends(self) -> bool:
        """Whether ends that meet stay joined."""
        return self.ends is Ends.JOINED

    def join_ends(self, joined: bool) -> None:
        """Keep ends that meet joined, or let them step, from now on."""
        self.remember(ends=Ends.JOINED if joined else Ends.STEPPED)

    @property
    def sink_shown(self) -> bool:
        """Whether the fourth plot, sink rate, is shown."""
        return self.preferences.sink_shown

    def show_sink(self, shown: bool) -> None:
        """Show or hide the sink-rate plot."""
        self.remember(sink_shown=shown)

    @property
    def head_only(self) -> bool:
        """Whether the plots of a line show its head alone."""
        return self.preferences.head_only

    def show_head_only(self, only: bool) -> None:
        """Show the head alone, or the whole line."""
        self.remember(head_only=only)
