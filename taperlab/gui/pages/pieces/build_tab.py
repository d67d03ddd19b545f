"""The tab Build: the head as it grows, its steps, the one that is due, what the scale reads."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QBoxLayout,
    QComboBox,
    QFrame,
    QWidget,
)

from taperlab.edits.builds import joined
from taperlab.gui.kit.label_grid import LabelGrid
from taperlab.gui.kit.open_area import OpenArea
from taperlab.gui.kit.rail import Rail
from taperlab.gui.kit.theme import px, usual
from taperlab.gui.kit.widgets import (
    GAP,
    Card,
    in_column,
    in_row,
    label,
)
from taperlab.gui.pages.pieces.begin_card import Invitation
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.gui.pages.pieces.build_panel import BuildPanel
from taperlab.gui.pages.pieces.built_drawing import BuiltDrawing, DrawnPiece
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.pages.pieces.planned_drawing import loops_of
from taperlab.shop.errors import WeightError
from taperlab.shop.pieces.as_made import segments_of
from taperlab.shop.pieces.build_rail import rows_of
from taperlab.shop.pieces.progress import Act, Progress
from taperlab.shop.pieces.welding import weld_problems
from taperlab.shop.pieces.words import lap_words
from taperlab.units.kinds import WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence, Weight
from taperlab.units.show import show, shown_unit

RAIL, NARROW_RAIL, NARROW = 200, 150, 640
"""Width of the steps, and from where on they take less, for usual letters [px]."""

SPENT = 58
"""What margins and the rule take of the width of the steps [px]."""

WIDEST = (1 << 24) - 1
"""Qt’s own limit [px]."""


class WeighTable(Card):
    """What the scale should read after each joint, what that adds, and what it read."""

    def __init__(self, flow: BuildFlow) -> None:
        super().__init__(tr("What the scale should read"))
        self._flow = flow
        self.rows = LabelGrid((2, 1, 1, 1))
        self.add(self.rows)

    def refresh(self) -> None:
        """Show what is known now."""
        progress, case = self._flow.progress, self._flow.case
        if progress is None:
            return
        read, system = case.place.read, case.system
        unit = shown_unit(WEIGHT, system)
        texts = [
            (
                tr("Weigh, {unit}").format(unit=unit),
                tr("expected"),
                tr("the joint adds"),
                tr("read"),
            )
        ]
        count = len(progress.pieces)
        for each in progress.points:
            name = Sentence("after joint {number}", number=each.after - 1)
            if each.after > count:
                name = Sentence("finished, loops on")
            expected = Sentence(
                "{mass} {reach}", mass=Weight(each.mass, unit=False), reach=WeightError(each.reach)
            )
            adds = show(each.adds, WEIGHT, system, unit=False) if each.after <= count else ""
            if progress.is_asking and each.after > progress.due.after:
                # What is foreseen hangs on a reading that is in question.
                expected, adds = NOTHING, ""
            reading = ""
            if each.reading is not None:
                reading = show(each.reading, WEIGHT, system, unit=False)
            elif each.after <= len(progress.log.joints) + 1:
                reading = tr("not weighed")
            texts.append((read(name), read(expected), adds, reading))
        self.rows.show_rows(texts)


class BuildTab(QWidget):
    """The head that is built; without one, where to begin.

    rested(): nothing is due, and no other head is in work.
    """

    rested = Signal()

    def __init__(self, case: PiecesCase, flow: BuildFlow) -> None:
        super().__init__()
        self.case, self.flow = case, flow
        self.head = QComboBox()
        self.head.setAccessibleName(tr("Head that is built"))
        self.drawing = BuiltDrawing(case.place.theme)
        self.drawing.setAccessibleName(tr("The head as it is built"))
        self.rail = Rail(case.place.theme)
        self.panel = BuildPanel(flow)
        self.weigh = WeighTable(flow)
        self.top = QWidget()
        in_row(label(tr("Head")), (self.head, 1), spacing=8, of=self.top)
        drawn = Card(tr("The head as it is built"), spacing=2)
        drawn.body.setContentsMargins(8, 8, 8, 6)
        drawn.add(self.top, self.drawing)
        rule = QFrame()
        rule.setObjectName("rule")
        rule.setFixedWidth(1)
        self._rule = rule
        self.steps = Card(tr("Steps"))
        self._beside = in_row(self.rail, rule, (self.panel, 1), spacing=14)
        self.steps.body.addLayout(self._beside)
        self.inner = QWidget()
        in_column(drawn, (self.steps, 1), self.weigh, spacing=GAP, of=self.inner)
        self.area = OpenArea(self.inner, tr("Work of the build"))
        self.empty = Invitation(case)
        in_column(self.empty, (self.area, 1), of=self)
        self.head.activated.connect(self._choose)
        self.rail.change_step.connect(lambda step: flow.weigh_again(step + 2))
        flow.changed.connect(self.refresh)
        flow.went_on.connect(self.go_on)
        case.place.theme.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show how far it is."""
        flow, read = self.flow, self.case.place.read
        progress = flow.progress
        self.empty.setVisible(progress is None)
        self.area.setVisible(progress is not None)
        if progress is None:
            return
        self._show_heads()
        self._draw(progress)
        self.rail.show_rows(rows_of(progress), read)
        had_keys = self._has_keys()
        self.panel.show_step()
        self.weigh.refresh()
        self._use_room()
        QTimer.singleShot(0, self, self._use_room)
        if had_keys and not self._has_keys():
            self.go_on()

    def _show_heads(self) -> None:
        builds, log = self.flow.builds, self.flow.log
        names = []
        for each in builds:
            said = Sentence("{head}, built", head=each.name) if each.is_finished else each.name
            names.append(self.case.place.read(Sentence("{head}", head=said)))
        if names != [self.head.itemText(i) for i in range(self.head.count())]:
            self.head.clear()
            self.head.addItems(names)
        if log is not None:
            self.head.setCurrentIndex(builds.index(log))
        self.top.setVisible(len(builds) > 1)

    def _choose(self, index: int) -> None:
        if 0 <= index < len(self.flow.builds):
            self.flow.choose(self.flow.builds[index].key)

    def _draw(self, progress: Progress) -> None:
        pieces, laps = drawn_pieces(progress)
        loops = loops_of(progress.log.head) if progress.log.has_loops else (False, False)
        lap = self.case.place.read(lap_words(laps))
        on = joined(progress.log)
        said = Sentence("{count} pieces; {on} joined from the fly end.", count=len(pieces), on=on)
        self.drawing.show_head(pieces, self.case.place.read(said), loops=loops, lap=lap)

    # -- keys ------------------------------------------------------------------------------------

    def go_on(self) -> None:
        """Put the keys where the work goes on, and scroll there."""
        if self.isVisible() and self.window().isActiveWindow():
            if not self.panel.take_keys():
                # Nothing is due: on to the next head, or back to the tabs.
                if self.top.isVisible():
                    self.head.setFocus(Qt.FocusReason.TabFocusReason)
                else:
                    self.rested.emit()
            QTimer.singleShot(0, self, self._show_due)

    def _has_keys(self) -> bool:
        held = QApplication.focusWidget()
        return held is not None and self.panel.isAncestorOf(held) and held.isVisible()

    def _show_due(self) -> None:
        self.area.ensureWidgetVisible(self.panel.button, 0, 60)

    def commit(self) -> None:
        """Take over what is being typed."""
        self.panel.list.commit()

    def _use_room(self) -> None:
        """Give the steps less room where there is little; they go below if all else fails."""
        narrow = usual(self.width()) < NARROW
        wide = px(NARROW_RAIL if narrow else RAIL)
        self.panel.use_narrow(narrow)
        room = self.area.viewport().width() - SPENT
        stacked = wide + self.panel.minimumSizeHint().width() > room
        across, up = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.BottomToTop
        self._beside.setDirection(up if stacked else across)
        self._rule.setVisible(not stacked)
        self.rail.setMinimumWidth(0 if stacked else wide)
        self.rail.setMaximumWidth(WIDEST if stacked else wide)

    # -- Qt --------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the room that there is."""
        super().resizeEvent(event)
        self._use_room()
        # What all needs is known once it has been laid out.
        QTimer.singleShot(0, self, self._use_room)


def drawn_pieces(progress: Progress) -> tuple[list[DrawnPiece], list[float]]:
    """The pieces as they are drawn, and the overlaps of their laps [m]."""
    on, due = joined(progress.log), progress.due
    now = {due.index} if due.act in (Act.TRIM, Act.JOIN) else set()
    if due.act is Act.JOIN and not on:
        now = {0, 1}
    warned = weld_problems(progress.log.head, progress.pieces)
    laps = [each.overlap for each in progress.build.joints if each.overlap]
    pieces = [
        DrawnPiece(
            tuple(segments_of(progress, at)),
            progress.build.joints[at - 1].overlap if at else 0.0,
            is_on=at < on,
            is_now=at in now,
            warned=at in warned,
            name=str(at + 1),
        )
        for at in range(len(progress.pieces))
    ]
    return pieces, laps
