"""The step that is due in a build: one large figure, what to do, and where to type it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QBoxLayout, QPushButton, QWidget

from taperlab.gui.kit.ask_box import AskBox
from taperlab.gui.kit.deliberate import Deliberate
from taperlab.gui.kit.end_tag import EndTag
from taperlab.gui.kit.large import STEP_FIGURE, STEP_NARROW, LargeFigure
from taperlab.gui.kit.ruler import WeightRuler
from taperlab.gui.kit.widgets import Link, Remark, in_column, in_row, label, set_role
from taperlab.gui.pages.pieces.build_fields import BuildFields
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.gui.pages.pieces.build_ruler import ruler_of
from taperlab.gui.pages.pieces.cut_list import CutList
from taperlab.gui.pages.pieces.tape_drawing import TapeDrawing
from taperlab.shop.pieces.build_words import both_ways
from taperlab.shop.pieces.progress import TAPE, Act, Progress
from taperlab.shop.pieces.scale_words import scale_holds
from taperlab.shop.pieces.trimming import Trim
from taperlab.shop.rail import StepWords
from taperlab.units.language import later, tr
from taperlab.units.sentence import OnTape, Sentence
from taperlab.units.words import one_after_another

DO = {
    Act.WEIGH_STOCK: later("That is it"),
    Act.CUT: later("They are cut"),
    Act.TRIM: later("It is trimmed"),
    Act.TRIM_REAR: later("It is trimmed"),
    Act.JOIN: later("It is joined and weighed"),
    Act.ASK: later("Weigh again"),
    Act.MAKE_LOOPS: later("Loops are made"),
    Act.WEIGH_LAST: later("That is it"),
    Act.PUT_ON_BENCH: later("Put the built head on the bench"),
}
"""What the one filled button says."""


class BuildPanel(QWidget):
    """The step that is due. finished(): the built head was put on the bench."""

    finished = Signal()

    def __init__(self, flow: BuildFlow) -> None:
        super().__init__()
        self.flow = flow
        theme = flow.case.place.theme
        self.box = AskBox()
        self.lead = label("", points=12.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.fields = BuildFields(flow, only=("length", "mass"))
        self.trim = BuildFields(flow, only=("trim",))
        self.holds = label("", role="soft", wrap=True)
        self.ruler = WeightRuler(theme)
        self.ruler.setAccessibleName(tr("What the scale should read"))
        self.figure = LargeFigure(STEP_FIGURE, role="accent")
        self.verb = label("", points=11.0)
        self.tag = EndTag(theme, 9.5)
        self.aside = label("", points=11.0, wrap=True)
        self.tape = TapeDrawing(theme)
        self.tape.setAccessibleName(tr("What comes off, against a tape"))
        self.list = CutList(flow)
        self.both = Remark("")
        self.more = Remark("soft")
        self.amiss = Remark("warn")
        self.problem = Remark("bad")
        self.button = QPushButton(tr("Go on"))
        self.button.setDefault(True)
        self.back = QPushButton(tr("Back"))
        self.back.setToolTip(
            tr("Take the last step back; what was typed stands in its field again")
        )
        self.skip = Link(tr("Go on without weighing"), "", self._skip)
        self.right = Link(tr("It is right"), tr("Go on with it, however far it lies"), self._trust)
        self.leave = Link(tr("Leave it as it is"), "", self._leave)
        self.balance = Link(tr("Keep balance instead…"), "", self._turn_balance)
        self._words = QWidget()
        end = in_row(self.verb, self.tag, spacing=8)
        self._said = in_row(end, (self.aside, 1), spacing=8, of=self._words)
        end.addStretch(1)
        self._typed = QWidget()
        self._reading = in_row(self.fields, (self.holds, 1), spacing=18, of=self._typed)
        self._reading.setAlignment(self.holds, Qt.AlignmentFlag.AlignBottom)
        pressed, links = QWidget(), QWidget()
        in_row(self.button, self.back, None, spacing=8, of=pressed)
        in_row(self.balance, self.skip, self.right, self.leave, None, spacing=8, of=links)
        self._buttons = QWidget()
        self._pressed = in_row(pressed, (links, 1), spacing=8, of=self._buttons)
        for each in (pressed, links):
            self._pressed.setAlignment(each, Qt.AlignmentFlag.AlignBottom)
        self._act = QWidget()
        self._acts = in_row(self.trim, (self._buttons, 1), spacing=8, of=self._act)
        self._acts.setAlignment(self._buttons, Qt.AlignmentFlag.AlignBottom)
        in_column(
            self.box,
            self.lead,
            self._typed,
            self.ruler,
            self.figure,
            self._words,
            self.tape,
            self.list,
            self.both,
            self.more,
            self.amiss,
            self.problem,
            4,
            self._act,
            None,
            spacing=5,
            of=self,
        )
        for fields in (self.fields, self.trim):
            fields.problem.connect(self.problem.say)
        self.list.problem.connect(self.problem.say)
        self.button.clicked.connect(self.go_on)
        Deliberate(self, self.button, self.trim.trim)
        self.back.clicked.connect(flow.back)

    def use_narrow(self, narrow: bool) -> None:
        """Write the large figure smaller, and words below fields, where there is less room."""
        self.figure.want(STEP_NARROW if narrow else STEP_FIGURE)
        across, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._reading.setDirection(below if narrow else across)
        self._reading.setSpacing(4 if narrow else 18)
        self._acts.setDirection(below if narrow else across)
        self._said.setDirection(below if narrow else across)
        self._pressed.setDirection(below if narrow else across)

    def show_step(self) -> None:
        """Show the step that is due."""
        progress, words = self.flow.progress, self.flow.words
        if progress is None or words is None:
            return
        read, act = self.flow.case.place.read, self.flow.act
        asks = progress.due.act is Act.ASK
        self.box.setVisible(asks)
        if asks:
            self.box.ask(read(words.lead), "\n".join(read(each) for each in words.more))
        self.lead.setText(read(words.lead))
        self.lead.setVisible(not asks)
        set_role(self.lead, "warn" if words.role == "warn" else "")
        trim = self.flow.trim
        self._show_figure(progress, words, trim)
        self._show_typed(progress)
        # A piece that is in question is weighed where all are, and nothing is unmade for it.
        lists = act is Act.CUT or progress.asked_piece is not None
        self.list.setVisible(lists)
        if lists:
            self.list.show_pieces()
        ways = both_ways(progress) if act is Act.TRIM else None
        self.both.say(read(ways[0 if self.flow.keeps_balance else 1]) if ways else "")
        self.more.say("" if asks else one_after_another(read(each) for each in words.more))
        self.amiss.say("\n".join(read(each) for each in words.amiss))
        self._show_buttons(progress, act, trim)
        # Its width is asked for at once, and Qt would still count what was hidden just now.
        for row in (self._buttons, self._act, self._typed, self._words, self):
            if (inner := row.layout()) is not None:
                inner.invalidate()
            row.updateGeometry()

    def _show_figure(self, progress: Progress, words: StepWords, trim: Trim | None) -> None:
        read, system = self.flow.case.place.read, self.flow.case.system
        figure = words.figure.text(system) if words.figure else ""
        self.figure.setVisible(bool(figure))
        set_role(self.figure, words.role)
        self.figure.setText(figure)
        self.verb.setText(read(words.verb))
        self.aside.setText(read(words.aside))
        self.tag.setVisible(words.end is not None)
        if words.end is not None:
            self.tag.show_end(words.end)
        self._words.setVisible(bool(words.verb) or words.end is not None)
        can = trim is not None and not trim.stop and trim.length >= TAPE / 2.0
        self.tape.setVisible(can and progress.due.act in (Act.TRIM, Act.TRIM_REAR))
        if trim is not None and can:
            number = trim.index + 1
            name = read(Sentence("piece {number}", number=number))
            said = Sentence(
                "{off} comes off piece {number} at the rod end.",
                off=OnTape(trim.length),
                number=number,
            )
            row = progress.pieces[trim.index].log.last_row
            part = progress.log.head.segments[row].part
            self.tape.show_trim(trim.length, part, name, read(said), system)

    def _show_typed(self, progress: Progress) -> None:
        read, act, after = self.flow.case.place.read, self.flow.act, self.flow.after
        self.fields.show_step()
        self.trim.show_step()
        self.trim.setVisible(bool(self.trim.shown))
        weighs = act in (Act.JOIN, Act.WEIGH_LAST)
        self._typed.setVisible(bool(self.fields.shown))
        self.holds.setVisible(weighs)
        self.holds.setText(read(scale_holds(progress, after)) if weighs else "")
        if act in (Act.TRIM, Act.TRIM_REAR):
            # The reading that the trim goes by stays in sight.
            joints = progress.log.joints
            after = len(joints) + 1
            was_read = bool(joints) and joints[-1].mass is not None
            weighs = was_read and bool(self.trim.shown)
        elif act is Act.ASK:
            weighs = progress.asked is not None
        ruler = ruler_of(progress, after, self.flow.case.system) if weighs else None
        self.ruler.setVisible(ruler is not None)
        self.ruler.show_ruler(ruler)

    def _show_buttons(self, progress: Progress, act: Act, trim: Trim | None) -> None:
        stopped = act is Act.TRIM and trim is not None and bool(trim.stop)
        text = DO.get(act, "")
        if self.flow.again is not None:
            text = later("Log the reading")
        elif len(progress.pieces) == 1 and act is Act.CUT:
            text = later("It is cut")
        elif stopped:
            text = later("Weigh again")
        self.button.setText(tr(text) if text else "")
        self.button.setVisible(bool(text) and (not stopped or bool(progress.log.joints)))
        self.back.setVisible(self.flow.can_go_back)
        is_due = self.flow.again is None
        self.skip.setVisible(is_due and act in (Act.WEIGH_STOCK, Act.JOIN, Act.WEIGH_LAST))
        self.right.setVisible(act is Act.ASK)
        self.leave.setVisible(stopped or act is Act.TRIM_REAR)
        planned = stopped and trim is not None and trim.otherwise > 0.0
        self.leave.setText(tr("Trim it as planned") if planned else tr("Leave it as it is"))
        self.leave.setToolTip(tr("Go on, and have the pieces behind it make up for the rest"))
        can = progress.balanced is not None and not progress.balanced.stop
        self.balance.setVisible(act is Act.TRIM and can)
        self.balance.setText(
            tr("Keep weight instead…") if self.flow.keeps_balance else tr("Keep balance instead…")
        )

    # -- what is done ----------------------------------------------------------------------------

    def take_keys(self) -> bool:
        """Put the keys where the work goes on; whether there is such a place."""
        # A bench may be opened before the window is on the screen.
        if any(each.isVisibleTo(self) and each.take_keys() for each in (self.fields, self.trim)):
            return True
        for each in (self.button, self.leave):
            if each.isVisibleTo(self):
                each.setFocus(Qt.FocusReason.TabFocusReason)
                return True
        return False

    def go_on(self) -> None:
        """Do the step that is due."""
        act, trim = self.flow.act, self.flow.trim
        if act is Act.ASK:
            progress = self.flow.progress
            asked = progress.asked_piece if progress is not None else None
            if asked is not None:
                self.list.take_keys(asked.index)
            else:
                self.flow.weigh_again()
        elif act is Act.TRIM and trim is not None and trim.stop:
            log = self.flow.log
            self.flow.weigh_again(len(log.joints) + 1 if log is not None else None)
        elif act is Act.PUT_ON_BENCH:
            if self.flow.put_on_bench():
                self.finished.emit()
        else:
            self.list.commit()
            (self.trim if self.trim.shown else self.fields).go_on()

    def _skip(self) -> None:
        act = self.flow.act
        if act is Act.WEIGH_STOCK:
            self.flow.skip_stock()
        elif act is Act.JOIN:
            self.flow.read(None)
        elif act is Act.WEIGH_LAST and self.flow.put_on_bench():
            self.finished.emit()

    def _trust(self) -> None:
        self.flow.trust()

    def _leave(self) -> None:
        act, trim = self.flow.act, self.flow.trim
        is_planned = act is Act.TRIM and trim is not None
        self.flow.trim_off(trim.otherwise if is_planned and trim is not None else 0.0)

    def _turn_balance(self) -> None:
        self.flow.keep_balance(not self.flow.keeps_balance)
