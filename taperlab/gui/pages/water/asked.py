"""How it is fished, asked for in a fisher's words: current, angle, leader and fly, river."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.gui.kit.asked import AskedCard
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.widgets import Remark, choice, in_row, label
from taperlab.gui.pages.water.desk import WaterDesk
from taperlab.gui.pages.water.plan_view import PlanView
from taperlab.model.exact_units import FOOT
from taperlab.model.rig import Fly, FlyKind, Leader
from taperlab.shop.water.asking import CLOCK, PACES, leaf_speed
from taperlab.trade.flies import flies
from taperlab.units.kinds import (
    CURRENT,
    DIAMETER,
    DRAG_AREA,
    DURATION,
    FLY_MASS,
    FLY_WEIGHT,
    LENGTH,
    RIVER_DEPTH,
    System,
)
from taperlab.units.language import tr
from taperlab.units.sentence import Current, Sentence


class Asked(AskedCard):
    """A card of fields about how rigs are fished."""

    def __init__(self, desk: WaterDesk, name: str) -> None:
        super().__init__(desk.place.settings, name)
        self.desk = desk


class CurrentCard(Asked):
    """How fast the water is: by pace, by a leaf, or typed."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk, tr("How fast is the water?"))
        self.paces = [self._pace(each.name, each.speed) for each in PACES]
        self.speed = self.field(CURRENT, tr("Current"))
        self._speed = Kept(self.speed, lambda value: bool(desk.fish(speed=value)))
        self.kept = [self._speed]
        self.leaf_length = self.field(LENGTH, tr("Length that a leaf drifts over"))
        self.leaf_length.set_value(3.0 if desk.system is System.METRIC else 10.0 * FOOT)
        self.leaf_time = self.field(DURATION, tr("Seconds that the leaf takes"), optional=True)
        self.leaf_time.set_help(tr("Time a leaf over the length above"))
        for each in (self.leaf_length, self.leaf_time):
            each.editingFinished.connect(self.take_leaf)
        self.add(
            in_row(*self.paces, None, spacing=2),
            self.named(
                (tr("Current"), self.speed),
                (tr("Or: a leaf drifts over"), self.leaf_length),
                (tr("in so many seconds"), self.leaf_time),
            ),
            self.problem,
        )
        self._timed: tuple[float, float] | None = None
        desk.follow(self.refresh, lambda: (desk.swing.speed,))

    def refresh(self) -> None:
        """Show the current as it is now."""
        speed = self.desk.swing.speed
        self._speed.show(speed)
        for button, pace in zip(self.paces, PACES, strict=True):
            button.setChecked(abs(speed - pace.speed) < 1e-6)
            about = Sentence("{pace}: about {speed}", pace=tr(pace.name), speed=Current(pace.speed))
            button.setToolTip(self.desk.place.read(about))

    def take_leaf(self) -> None:
        """Let the current be what the leaf says, once both are typed."""
        length, seconds = self.leaf_length.value(), self.leaf_time.value()
        if length is None or seconds is None or (length, seconds) == self._timed:
            return
        if seconds <= 0.0:
            return
        self._timed = length, seconds
        outcome = self.desk.fish(speed=leaf_speed(length, seconds))
        self.problem.say(self.desk.place.read(outcome.refused))

    def commit(self) -> None:
        """Take over what is being typed."""
        super().commit()
        self.take_leaf()

    def _pace(self, name: str, speed: float) -> QToolButton:
        made = QToolButton()
        made.setText(tr(name))
        made.setCheckable(True)
        made.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        made.clicked.connect(lambda: self._take_pace(speed))
        return made

    def _take_pace(self, speed: float) -> None:
        self.problem.say("")
        self.desk.fish(speed=speed)
        self.refresh()


class AngleCard(Asked):
    """Where the line hangs: from above, or by the clock."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk, tr("Where does the line hang?"))
        self.plan = PlanView(desk)
        self.clock = QComboBox()
        self.clock.setAccessibleName(tr("By the clock, upstream at 12"))
        self.clock.setToolTip(tr("By the clock, upstream at 12; from the other bank it runs back"))
        self.clock.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.clock.addItem("")
        self.clock.addItems([tr(each.name) for each in CLOCK])
        self.clock.activated.connect(self._by_clock)
        self.add(self.plan, in_row(label(tr("By the clock")), (self.clock, 1), spacing=8))
        desk.follow(self.refresh, lambda: (desk.swing.angle,))

    def refresh(self) -> None:
        """Show the hour, where the angle is that of one."""
        angle = self.desk.swing.angle
        found = [i for i, each in enumerate(CLOCK, 1) if abs(each.angle - angle) < 1e-6]
        self.clock.setItemText(0, f"{round(math.degrees(angle))}°")
        self.clock.setCurrentIndex(found[0] if found else 0)

    def _by_clock(self, index: int) -> None:
        if index > 0:
            self.desk.fish(angle=CLOCK[index - 1].angle)


class TiedCard(Asked):
    """Leader and fly of all rigs that have none of their own."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk, tr("What is tied to it?"))
        self.kind = choice(FlyKind, FlyKind.USUAL, tr("Fly"))
        self.kind.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.kind.activated.connect(self._take_kind)
        self.weight = self.field(FLY_WEIGHT, tr("Weight of the fly in water"))
        self.mass = self.field(FLY_MASS, tr("Weight of the fly in air"))
        self.area = self.field(DRAG_AREA, tr("Drag area of the fly"))
        self.numbers = QWidget()
        rows = QVBoxLayout(self.numbers)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addLayout(
            self.named(
                (tr("Weight in water"), self.weight),
                (tr("Weight in air"), self.mass),
                (tr("Drag area"), self.area),
            )
        )
        self.leader = self.field(LENGTH, tr("Length of the leader"), optional=True)
        self.leader.setPlaceholderText(tr("none"))
        self.thickness = self.field(DIAMETER, tr("Diameter of the leader"))
        self.own = Remark("soft")
        self._weight = Kept(self.weight, lambda value: self._take_fly(weight=value))
        self._mass = Kept(self.mass, lambda value: self._take_fly(mass=value))
        self._area = Kept(self.area, lambda value: self._take_fly(drag_area=value))
        self._length = Kept(self.leader, self._take_length)
        self._thick = Kept(self.thickness, self._take_thickness)
        self.kept = [self._weight, self._mass, self._area, self._length, self._thick]
        self.add(
            in_row(label(tr("Fly")), 6, (self.kind, 1)),
            self.numbers,
            self.named((tr("Leader"), self.leader), (tr("Its diameter"), self.thickness)),
            self.own,
            self.problem,
        )
        desk.follow(self.refresh, lambda: (desk.swing.fly, desk.swing.leader, desk.focus))

    @property
    def fly(self) -> Fly:
        """The fly as the bench has it."""
        return self.desk.swing.fly or flies()[FlyKind.USUAL].fly

    def refresh(self) -> None:
        """Show what is tied now."""
        fly, leader = self.fly, self.desk.swing.leader
        self.kind.setCurrentIndex(list(FlyKind).index(fly.kind))
        self.numbers.setVisible(fly.kind is FlyKind.OWN)
        self._weight.show(fly.weight)
        self._mass.show(fly.mass)
        self._area.show(fly.drag_area)
        self._length.show(leader.length if leader else None)
        self._thick.show(leader.diameter if leader else Leader(1.0).diameter)
        self.thickness.setEnabled(leader is not None)
        focus = self.desk.focus
        has_own = focus is not None and (focus.kept and (focus.rig.leader or focus.rig.fly))
        self.own.say(tr("The rig shown has a leader or a fly of its own.") if has_own else "")

    def _take_kind(self, index: int) -> None:
        kind = list(FlyKind)[index]
        fly = replace(self.fly, kind=kind) if kind is FlyKind.OWN else flies()[kind].fly
        self.desk.fish(fly=fly)

    def _take_fly(self, **number: Any) -> bool:
        return bool(self.desk.fish(fly=replace(self.fly, **number)))

    def _take_length(self, value: float | None) -> bool:
        before = self.desk.swing.leader
        if value is None:
            return bool(self.desk.fish(leader=None))
        leader = replace(before, length=value) if before else Leader(value)
        return bool(self.desk.fish(leader=leader))

    def _take_thickness(self, value: float | None) -> bool:
        leader = self.desk.swing.leader
        if value is None or leader is None:
            return False
        return bool(self.desk.fish(leader=replace(leader, diameter=value)))


class RiverCard(Asked):
    """The bed, and a free drift before the line comes tight."""

    def __init__(self, desk: WaterDesk) -> None:
        super().__init__(desk, tr("And the river?"))
        self.bed = self.field(RIVER_DEPTH, tr("Depth of the river"), optional=True)
        self.bed.setPlaceholderText(tr("not known"))
        self.slackens = QCheckBox(tr("Slackens toward the bed"))
        self.slackens.clicked.connect(lambda on: desk.fish(slackens=on))
        self.drift = self.field(DURATION, tr("Free drift before it tightens"))
        self._bed = Kept(self.bed, self._take_bed)
        self._drift = Kept(self.drift, lambda value: bool(desk.fish(drift=value or 0.0)))
        self.kept = [self._bed, self._drift]
        self.add(
            self.named((tr("Depth of the bed"), self.bed), (tr("Free drift"), self.drift)),
            self.slackens,
            self.problem,
        )
        desk.follow(self.refresh, lambda: (desk.swing.bed, desk.swing.drift, desk.swing.slackens))

    def refresh(self) -> None:
        """Show the river as it is now."""
        swing = self.desk.swing
        self._bed.show(swing.bed)
        self._drift.show(swing.drift)
        self.slackens.setChecked(swing.slackens)
        self.slackens.setEnabled(swing.bed is not None)

    def _take_bed(self, value: float | None) -> bool:
        keeps = self.desk.swing.slackens and value is not None
        return bool(self.desk.fish(bed=value, slackens=keeps))
