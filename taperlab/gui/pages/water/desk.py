"""What the Water page looks at: the rigs, how they are fished, and what is known of them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from PySide6.QtCore import QObject, Signal

from taperlab.edits import rigs as edits
from taperlab.gui.kit.following import follow
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.document import Change, Outcome
from taperlab.gui.state.watch import Watch
from taperlab.model.exact_units import FOOT
from taperlab.model.swing import Swing
from taperlab.shop.rig import Looped
from taperlab.shop.steps import finish
from taperlab.shop.water import choices as shop
from taperlab.shop.water.choices import Choice
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.study import DepthCurve, depths_against_current
from taperlab.shop.water.together import Lying, Together, as_studied, lying, together
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING

LANE, CHART = "water", "water chart"

REACH = 6.0 * FOOT
"""The chart goes up to such a current at least [m/s]."""

STEP = 0.25 * FOOT
"""Between the currents of the chart, whose first is twice that [m/s]."""


class WaterDesk(QObject):
    """Follows the bench, has what is asked worked out, and keeps the last answers.

    choices: what can be fished; problem: why something cannot. changed(): something to be shown
    is another.
    """

    changed = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place, self.watch = place, watch
        self.choices: tuple[Choice, ...] = ()
        self.problem = NOTHING
        self.together: Together | None = None
        self.line: Lying | None = None
        self.curves: tuple[DepthCurve, ...] = ()
        self._late: set[str] = set()
        self._chosen: str | None = None
        self._in_hand: str | None = None  # the rig that the window shows, which is looked at first
        self._source: tuple[object, ...] = ()
        self._asked: tuple[tuple[Looped, ...], Fishing] | None = None
        self._charted: tuple[tuple[Looped, ...], Fishing, float] | None = None
        self.awake = self.is_chart_stopped = False
        watch.changed.connect(self._bench_changed)
        watch.units_changed.connect(self.changed)
        place.jobs.busy.connect(self._busy)

    # -- what there is -------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def swing(self) -> Swing:
        """How rigs are fished, as the bench has it now."""
        return self.place.document.bench.swing

    @property
    def fishing(self) -> Fishing:
        """The same, with the water."""
        return Fishing.of(self.swing, self.place.document.bench.water)

    @property
    def focus(self) -> Choice | None:
        """The rig looked at: the one chosen, else the first."""
        found = (each for each in self.choices if each.key == self._chosen)
        return next(found, next(iter(self.choices), None))

    @property
    def compared(self) -> tuple[Choice, ...]:
        """The rig looked at, and what it is compared with."""
        focus = self.focus
        return shop.compared(self.choices, focus) if focus else ()

    @property
    def shown(self) -> Together | None:
        """The last answer about the rigs that are looked at, if there is one."""
        found, focus = self.together, self.focus
        return found if found and focus and found.rigs[0] is focus.looped else None

    @property
    def is_depth_late(self) -> bool:
        """Whether the depth shown is that of before a change, and has been for a moment."""
        return LANE in self._late

    @property
    def is_chart_late(self) -> bool:
        """Whether new curves are being worked out, and have been for a moment."""
        return CHART in self._late

    @property
    def is_chart_old(self) -> bool:
        """Whether the curves are those of before a change: new ones are late, or were stopped."""
        return self.is_chart_late or self.is_chart_stopped

    @property
    def is_settled(self) -> bool:
        """Whether all that is shown is of the bench as it is now."""
        if self._asked is None or self._charted is None:
            return self.focus is None
        found = self.together
        current = found is not None and _same((found.rigs, found.fishing), self._asked)
        return current and not self.place.jobs.is_busy(CHART)

    def found_now(self) -> Together:
        """What there is to tell of the bench as it is now, worked out at once if need be.

        Raises ValueError where no rig is looked at.
        """
        rigs, fishing = tuple(each.looped for each in self.compared), self.fishing
        if not rigs:
            raise ValueError("there is no rig")
        found = self.together
        if found is None or not _same((found.rigs, found.fishing), (rigs, fishing)):
            found = finish(together(rigs, fishing))
        return found

    @property
    def reach(self) -> float:
        """The fastest current of the chart [m/s]."""
        return max(REACH, math.ceil(self.swing.speed / FOOT + 1.0) * FOOT)

    def follow(
        self, refresh: Callable[[], None], of: Callable[[], tuple[object, ...]] | None = None
    ) -> None:
        """Call this whenever something to be shown is another.

        of: what of all that it shows; then it is called only where that is another, or the units.
        """
        follow(self.changed, self.place, refresh, of)

    # -- changing it ---------------------------------------------------------------------------

    def look_at(self, key: str) -> None:
        """Look at another rig."""
        if key != self._chosen:
            self._chosen = key
            self.refresh()

    def look_at_lines(self, lines: tuple[str, ...]) -> None:
        """Look at the rig of these lines, by their keys from the fly end, if there is one."""
        self._look_at_bench()
        found = next((each for each in self.choices if each.rig.lines == lines), None)
        if found is not None:
            self.look_at(found.key)

    def fish(self, merge: int | None = None, **changes: Any) -> Outcome:
        """Fish all rigs otherwise, as one undoable step."""
        swing = replace(self.swing, **changes)
        return self.place.do(edits.set_swing, swing, merge=merge, initiator=self)

    def stop_chart(self) -> None:
        """Work no new curves out; those of before the change stay."""
        self.place.jobs.cancel(CHART)
        self.is_chart_stopped = True
        self.changed.emit()

    def work_chart_out(self) -> None:
        """Work them out after all."""
        self._charted = None
        self.refresh()

    # -- keeping up ----------------------------------------------------------------------------

    def wake(self) -> None:
        """Ask for what is to be shown."""
        self.awake = True
        self.refresh()

    def sleep(self) -> None:
        """Want no answers any more; what came is kept."""
        self.awake = False
        if not self.is_settled:
            self._asked = self._charted = None
            for lane in (LANE, CHART):
                self.place.jobs.cancel(lane)

    def refresh(self) -> None:
        """Ask for what differs from what was asked last."""
        if not self.awake:
            return
        self._look_at_bench()
        rigs, fishing = tuple(each.looped for each in self.compared), self.fishing
        if not rigs:
            self._asked = self._charted = self.together = self.line = None
            self.curves = ()
            self.is_chart_stopped = False
            for lane in (LANE, CHART):
                self.place.jobs.cancel(lane)
        else:
            self._ask(rigs, fishing)
        self.changed.emit()

    def _look_at_bench(self) -> None:
        bench = self.place.document.bench
        source = (bench.lines, bench.rigs, bench.swing.leader, bench.swing.fly, bench.current_line)
        if len(source) != len(self._source) or any(
            mine is not theirs for mine, theirs in zip(source, self._source, strict=True)
        ):
            self._source = source
            self.choices, self.problem = shop.choices(bench)
        if bench.view.rig != self._in_hand:
            self._in_hand = bench.view.rig
            self._chosen = self._in_hand or self._chosen

    def _ask(self, rigs: tuple[Looped, ...], fishing: Fishing) -> None:
        jobs = self.place.jobs
        if self._asked is None or not _same((rigs, fishing), self._asked):
            self._asked = rigs, fishing
            self.line = lying(rigs[0], fishing)
            jobs.run(LANE, together, rigs, fishing, done=self._answered, interim=True)
        alike = replace(fishing, speed=1.0, drift=None)
        reach = self.reach
        before = self._charted
        if before is None or not _same((rigs, alike), before[:2]) or reach != before[2]:
            self._charted = rigs, alike, reach
            self.is_chart_stopped = False
            speeds = np.arange(2.0 * STEP, reach + STEP / 2.0, STEP)
            jobs.run(CHART, depths_against_current, rigs, alike, speeds, done=self._charts)

    def _answered(self, found: Together) -> None:
        self.together = found
        if self._asked is not None and _same((found.rigs, found.fishing), self._asked):
            self.line = as_studied(found.focus)
        self.changed.emit()

    def _charts(self, found: tuple[DepthCurve, ...]) -> None:
        self.curves = found
        self.changed.emit()

    def _busy(self, lane: str, is_busy: bool) -> None:
        if lane in (LANE, CHART):
            (self._late.add if is_busy else self._late.discard)(lane)
            self.changed.emit()

    def _bench_changed(self, _change: Change) -> None:
        self.refresh()


class Grasp(QObject):
    """Moves one number of how rigs are fished, by mouse or by keys, as one undoable step."""

    def __init__(self, desk: WaterDesk, name: str) -> None:
        super().__init__(desk)
        self._desk, self._name = desk, name
        self._merge: int | None = None
        self._before = 0.0

    @property
    def value(self) -> float:
        """The number as the bench has it [SI]."""
        return float(getattr(self._desk.swing, self._name))

    def move(self, value: float) -> None:
        """Let it be another [SI]; all moves until it is let go are one step."""
        if self._merge is None:
            self._merge, self._before = self._desk.place.document.new_merge_id(), self.value
        self._desk.fish(self._merge, **{self._name: value})

    def put_back(self) -> None:
        """Call the moves off: it is as it was, and nothing is left to undo."""
        if self._merge is not None:
            self._desk.fish(self._merge, **{self._name: self._before})
            self.let_go()

    def let_go(self) -> None:
        """What moves it next is another step."""
        self._merge = None


def _same(
    one: tuple[tuple[Looped, ...], Fishing], other: tuple[tuple[Looped, ...], Fishing]
) -> bool:
    """Whether two questions are about the very same rigs, fished alike."""
    (rigs, fishing), (others, how) = one, other
    alike = len(rigs) == len(others) and all(a is b for a, b in zip(rigs, others, strict=True))
    return alike and fishing == how
