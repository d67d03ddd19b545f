"""The step that is due: which end, one large figure, what to do, and where to type it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QFrame,
    QLabel,
    QPushButton,
    QWidget,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.end_tag import EndTag
from taperlab.gui.kit.large import STEP_FIGURE, STEP_NARROW, LargeFigure
from taperlab.gui.kit.widgets import Link, Remark, in_column, in_row, label, set_role
from taperlab.gui.pages.cut_back.flow import CutFlow
from taperlab.gui.pages.cut_back.step_fields import StepFields
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.rail import StepWords
from taperlab.trade.cautions import Topic, caution
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import one_after_another

DO = {
    Act.WEIGH_FIRST: later("That is it"),
    Act.TELL_ENDS: later("It lies like this"),
    Act.CUT: later("It is cut"),
    Act.WEIGH: later("Log the weighing"),
    Act.MAKE_LOOPS: later("Loops are made"),
    Act.WEIGH_LAST: later("That is it"),
    Act.FINISHED: later("Put the cut head on the bench"),
}
"""What the one filled button says."""


class Badge(QLabel):
    """The number of a cut: filled for the one to make now."""

    def __init__(self, points: float) -> None:
        super().__init__()
        self.setFont(theming.font(points, weight=QFont.Weight.DemiBold))
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setFixedWidth(theming.px(points * 2.6))
        self.setObjectName("badge")


class StepPanel(QWidget):
    """The step that is due. finished(): the cut head was put on the bench."""

    finished = Signal()

    def __init__(self, flow: CutFlow) -> None:
        super().__init__()
        self.flow = flow
        theme = flow.case.place.theme
        self.badge = Badge(10.0)
        self.lead = label("", points=13.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.tag = EndTag(theme, 11.0)
        self.figure = LargeFigure(STEP_FIGURE, role="accent")
        self.verb = label("", points=12.0)
        self.next_badge = Badge(9.0)
        set_role(self.next_badge, "hollow")
        self.next_lead = label(tr("Then, from the"))
        self.next_tag = EndTag(theme, 9.0)
        self.next_figure = LargeFigure(15.0)
        self.next = QWidget()
        in_row(
            self.next_badge,
            self.next_lead,
            self.next_tag,
            (self.next_figure, 1),
            spacing=8,
            of=self.next,
        )
        self.fields = StepFields(flow, points=11.0)
        self.button = QPushButton(tr("Go on"))
        self.button.setDefault(True)
        self.back = QPushButton(tr("Back"))
        self.back.setToolTip(
            tr("Take the last step back; what was typed stands in its field again")
        )
        self.skip = Link(tr("Go on without weighing"))
        self.right = Link(tr("The reading is right"), tr("Go on with it, however far it lies"))
        self.keep = QCheckBox(tr("Keep the line that it was cut from"))
        self.keep.setChecked(True)
        self.problem = Remark("bad")
        self.amiss = Remark("warn")
        self.more = Remark("soft")
        self.blade = Remark("warn", points=8.5)
        blade = caution(Topic.BLADE)
        self._blade_words = f"{tr(blade.title)}: {tr(blade.text)}"
        self.blade.setToolTip(tr(blade.defer))
        rule = QFrame()
        rule.setObjectName("rule")
        rule.setFixedHeight(1)
        head = in_row(self.badge, self.lead, self.tag, None, spacing=9)
        head.setStretchFactor(self.lead, 0)
        self._act = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._act.setSpacing(10)
        buttons = in_row(self.button, self.back, None, spacing=8)
        self._act.addWidget(self.fields)
        self._act.addLayout(buttons, 1)
        buttons.setAlignment(self.button, Qt.AlignmentFlag.AlignBottom)
        buttons.setAlignment(self.back, Qt.AlignmentFlag.AlignBottom)
        in_column(
            head,
            self.figure,
            self.verb,
            self.next,
            rule,
            2,
            self.more,
            self._act,
            self.problem,
            self.keep,
            in_row(self.skip, self.right, None, spacing=14),
            2,
            self.amiss,
            self.blade,
            None,
            spacing=3,
            of=self,
        )
        self.fields.problem.connect(self.problem.say)
        self.button.clicked.connect(self._do)
        self.back.clicked.connect(flow.back)
        self.skip.clicked.connect(flow.skip_weighing)
        self.right.clicked.connect(flow.trust_last)

    def use_narrow(self, narrow: bool) -> None:
        """Write the large figure smaller where there is less room."""
        self.figure.want(STEP_NARROW if narrow else STEP_FIGURE)
        beside, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._act.setDirection(below if narrow else beside)
        self.fields.use_narrow(narrow)

    def put_buttons_below(self) -> None:
        """Put the buttons below the fields that they have no room beside."""
        self._act.setDirection(QBoxLayout.Direction.TopToBottom)

    def settle(self) -> None:
        """Let its sizes be those of what it shows now, and not of the step before."""
        for each in (self.fields, self):
            layout = each.layout()
            if layout is not None:
                layout.activate()

    def show_step(self, due: Due, words: StepWords) -> None:
        """Show the step that is due."""
        read = self.flow.case.place.read
        several = len(due.cuts) > 1 or due.made > 0
        self.badge.setText(str(due.made + 1))
        self.badge.setVisible(due.act is Act.CUT and several)
        self.lead.setText(read(words.lead))
        self.lead.setWordWrap(words.end is None)
        self.tag.setVisible(words.end is not None)
        if words.end is not None:
            self.tag.show_end(words.end)
        set_role(self.lead, words.role if words.figure is None and words.role != "accent" else "")
        figure = words.figure.text(self.flow.case.system) if words.figure else ""
        self.figure.setVisible(bool(figure))
        set_role(self.figure, words.role)
        self.figure.setText(figure)
        verb = read(words.verb)
        self.verb.setText(verb)
        self.verb.setVisible(bool(verb))
        self._show_next(due)
        self.fields.show_step()
        self.fields.setVisible(bool(self.fields.shown))
        if due.act in DO:
            self.button.setText(tr(DO[due.act]))
        study = self.flow.study
        can_finish = bool(study and study.can_finish)
        self.button.setVisible(due.act in DO and (due.act is not Act.FINISHED or can_finish))
        self.keep.setVisible(due.act is Act.FINISHED and can_finish)
        self.back.setVisible(self.flow.can_go_back)
        odd = due.act is Act.WEIGH_LAST and self.flow.is_last_odd
        self.right.setVisible(odd)
        self.skip.setVisible(_may_skip(due, study) and not odd)
        self.more.say(one_after_another(read(each) for each in words.more))
        self.amiss.say("\n".join(read(each) for each in words.amiss))
        self.blade.say(self._blade_words if due.act is Act.CUT else "")

    def _show_next(self, due: Due) -> None:
        after = due.cuts[1] if due.act is Act.CUT and len(due.cuts) > 1 else None
        self.next.setVisible(after is not None)
        if after is not None:
            self.next_badge.setText(str(due.made + 2))
            self.next_tag.show_end(after.end)
            self.next_figure.setText(after.how_far.text(self.flow.case.system))

    def take_keys(self) -> None:
        """Put the keys where the work goes on."""
        if self.fields.take_keys():
            return
        if self.button.isVisible():
            self.button.setFocus(Qt.FocusReason.TabFocusReason)

    def _do(self) -> None:
        if self.flow.due.act is not Act.FINISHED:
            self.fields.go_on()
            return
        study = self.flow.study
        if study is None or study.line is None:
            return
        keep = self.keep.isChecked()
        cut = self.flow.case.place.read(Sentence("{line}, cut", line=study.line.name))
        if self.flow.put_on_bench(keep=keep, name=cut if keep else study.line.name):
            self.finished.emit()


def _may_skip(due: Due, study: Study | None) -> bool:
    """Whether the work goes on without the weighing that is due."""
    if due.act is Act.WEIGH:
        return due.offcut is not None
    return due.act is Act.WEIGH_LAST or (
        due.act is Act.WEIGH_FIRST and bool(study and study.stages)
    )
