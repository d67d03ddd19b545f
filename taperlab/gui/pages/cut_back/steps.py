"""The staged cut-back, one step below the other: done, now, still to come."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.edits import cut_back as edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, caption, label, set_role
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.fields import Kept, TapeEdit
from taperlab.gui.pages.cut_back.words import cut_words, log_texts
from taperlab.model.cut_log import CutStep
from taperlab.model.exact_units import GRAIN
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Stage, Stop, Why
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.sentences import in_units
from taperlab.units.show import show, show_eighths

ODD = 0.3
"""A reading further off than this share of what is expected is a slip of the pen."""

MARK = 22


class StepMark(QWidget):
    """The dot of a step on the line that joins them: filled when done, a ring when due."""

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self.state = "next"
        self.setFixedWidth(MARK)
        theme.changed.connect(self.update)

    def set_state(self, state: str) -> None:
        """done, now or next."""
        self.state = state
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the line and the dot."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        x, y = 6.0, 10.0
        painter.setPen(theming.pen(tokens.rule, 1.0))
        painter.drawLine(int(x), 0, int(x), self.height())
        now = self.state == "now"
        colour = QColor(tokens.accent if self.state != "next" else tokens.soft)
        painter.setPen(theming.pen(colour.name(), 2.0 if now else 1.2))
        painter.setBrush(colour if self.state == "done" else QColor(tokens.card))
        radius = 5.0 if now else 3.5
        painter.drawEllipse(QRectF(x - radius, y - radius, 2 * radius, 2 * radius))


class StepRow(QWidget):
    """A step that is done or still to come, in a line or two."""

    pressed = Signal(int)

    def __init__(self, theme: theming.Theme, number: int) -> None:
        super().__init__()
        self._number = number
        self.mark = StepMark(theme)
        self.head = label("", weight=QFont.Weight.Medium, wrap=True)
        self.detail = label("", points=8.5, role="soft", wrap=True)
        self.change = QToolButton()
        self.change.setText("Change…")
        self.change.setFont(theming.font(8.5))
        self.change.clicked.connect(self._press)
        self.change.setMaximumHeight(20)
        top = QHBoxLayout()
        top.setSpacing(6)
        top.addWidget(self.head, 1)
        top.addWidget(self.change)
        words = QVBoxLayout()
        words.setContentsMargins(0, 1, 0, 7)
        words.setSpacing(0)
        words.addLayout(top)
        words.addWidget(self.detail)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(self.mark)
        row.addLayout(words, 1)

    def _press(self) -> None:
        self.pressed.emit(self._number)

    def show_step(
        self, head: str, detail: str, state: str, *, can_change: bool = False, role: str = "soft"
    ) -> None:
        """Show a step; role colours its detail."""
        self.head.setText(head)
        set_role(self.detail, role)
        self.detail.setText(detail)
        self.detail.setVisible(bool(detail))
        self.mark.set_state(state)
        self.change.setVisible(can_change)
        self.change.setAccessibleName(f"Change {head}")
        self.setAccessibleName(f"{head}. {detail}")


class StepsCard(Card):
    """Weigh, cut, weigh again: every step in order, the next one with fields to type into.

    change_step(int): a logged cut is to be changed. finished(): the cut head was put on the bench.
    """

    change_step = Signal(int)
    finished = Signal()

    def __init__(self, case: CutCase, theme: theming.Theme) -> None:
        super().__init__(spacing=0)
        self.case = case
        self._theme = theme
        settings = case.settings
        self.body.addWidget(caption("In stages: cut short, weigh, look again"))
        self.body.addSpacing(6)

        self.first = QuantityEdit(
            WEIGHT, settings, name="The head on the scale, before the first cut", optional=True
        )
        self.first.setPlaceholderText("not weighed")
        self.first.set_help("The head alone, dry, its loops on.")
        self._first_kept = Kept(self.first, self._first_typed)
        self.first.returnPressed.connect(self._first_entered)
        self.first_mark = StepMark(theme)
        self._first_words = label("The head on the scale", weight=QFont.Weight.Medium)
        self._first_words.setBuddy(self.first)
        self._first_detail = label("", points=8.5, role="soft", wrap=True)
        self._add_row(self.first_mark, self._first_row())

        self._done: list[StepRow] = []
        self._done_column = QVBoxLayout()
        self._done_column.setSpacing(0)
        self.body.addLayout(self._done_column)

        self.now_mark = StepMark(theme)
        self.now_mark.set_state("now")
        self.now_box = self._now_box()
        self._now_row = self._add_row(self.now_mark, self.now_box)

        self._ahead: list[StepRow] = []
        self._ahead_column = QVBoxLayout()
        self._ahead_column.setSpacing(0)
        self.body.addLayout(self._ahead_column)
        self.loop_row = StepRow(theme, -1)
        self.body.addWidget(self.loop_row)
        self.body.addStretch(1)
        self._job_key: object = None
        case.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)

    # -- layout --------------------------------------------------------------------------------

    def _add_row(self, mark: StepMark, content: QWidget) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(mark)
        row.addWidget(content, 1)
        self.body.addWidget(holder)
        return holder

    def _first_row(self) -> QWidget:
        box = QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 8)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        self.first.setFixedWidth(104)
        grid.addWidget(self._first_words, 0, 0)
        grid.addWidget(self.first, 0, 1)
        grid.addWidget(self._first_detail, 1, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        return box

    def _now_box(self) -> QWidget:
        settings = self.case.settings
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 10)
        column.setSpacing(3)
        self.now_title = label("", weight=QFont.Weight.Medium)
        self.now_large = label("", points=17.0, weight=QFont.Weight.DemiBold, role="accent")
        self.now_large.setWordWrap(True)
        self.now_where = label("", wrap=True)
        self.now_expect = label("", role="soft", wrap=True)
        for each in (self.now_title, self.now_large, self.now_where, self.now_expect):
            column.addWidget(each)
        self.front_cut = TapeEdit(settings, name="Cut off the front", optional=True)
        self.rear_cut = TapeEdit(settings, name="Cut off the rear", optional=True)
        self.head_reading = QuantityEdit(
            WEIGHT, settings, name="The head now weighs", optional=True, check=self._head_fault
        )
        self.offcut_reading = QuantityEdit(
            WEIGHT, settings, name="The offcut weighs", optional=True, check=self._offcut_fault
        )
        self.front_cut.setPlaceholderText("–")
        self.rear_cut.setPlaceholderText("–")
        self.head_reading.setPlaceholderText("–")
        self.offcut_reading.setPlaceholderText("–")
        self.head_reading.set_help("Before anything is added for a new loop. Enter goes on.")
        self.offcut_reading.set_help("All that came off in this step. Enter logs the cut.")
        self.form = QWidget()
        row = QHBoxLayout(self.form)
        row.setContentsMargins(0, 6, 0, 0)
        row.setSpacing(6)
        self._form_cells = []
        fields = (self.front_cut, self.rear_cut, self.head_reading, self.offcut_reading)
        names = ("Off the front", "Off the rear", "Head weighs", "Offcut weighs")
        for field, name in zip(fields, names, strict=True):
            words = label(name, points=8.0, role="soft")
            words.setBuddy(field)
            cell = QWidget()
            stack = QVBoxLayout(cell)
            stack.setContentsMargins(0, 0, 0, 0)
            stack.setSpacing(2)
            stack.addWidget(words)
            stack.addWidget(field)
            field.setMinimumWidth(62)
            row.addWidget(cell, 1)
            self._form_cells.append(cell)
            field.sentence_changed.connect(self._say)
        self.front_cut.returnPressed.connect(self._front_entered)
        self.rear_cut.returnPressed.connect(self._rear_entered)
        self.head_reading.returnPressed.connect(self._head_entered)
        self.offcut_reading.returnPressed.connect(self.log)
        self.problem = label("", points=8.5, role="bad", wrap=True)
        self.problem.hide()
        self.log_button = QPushButton("Log this cut")
        self.log_button.setDefault(True)
        self.log_button.clicked.connect(self.log)
        self.blade_caution = label("", points=8.5, role="warn", wrap=True)
        blade = caution(Topic.BLADE)
        self.blade_caution.setText(f"{blade.title}: {blade.text}")
        self.blade_caution.setToolTip(blade.defer)
        buttons = QHBoxLayout()
        buttons.setContentsMargins(0, 4, 0, 0)
        buttons.setSpacing(8)
        buttons.addWidget(self.log_button)
        buttons.addStretch(1)
        column.addWidget(self.form)
        column.addWidget(self.problem)
        column.addLayout(buttons)
        self.put_button = QPushButton("Put the cut head on the bench")
        self.put_button.setDefault(True)
        self.put_button.clicked.connect(self.put_on_bench)
        self.in_place = QCheckBox("in place of the line it was cut from, log and all")
        self.in_place.setToolTip(
            "Otherwise the head becomes a line of its own, and the line and its log stay"
        )
        column.addWidget(self.put_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.in_place)
        column.addWidget(self.blade_caution)
        return box

    # -- showing -------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the log, the next cut and what is still to come."""
        case = self.case
        job = case.job
        if job is None:
            return
        key = (job.key, case.line.key if case.line else None)
        anew, self._job_key = key != self._job_key, key
        self._first_kept.show(job.first_reading, anew=anew)
        weighed = job.first_reading is not None
        self.first_mark.set_state("done" if weighed or job.steps else "now")
        doubts = self._doubts(None)
        advice = (
            "" if weighed else "Weigh it first, dry and with its loops: the margins stand on it."
        )
        set_role(self._first_detail, "warn" if doubts else "soft")
        self._first_detail.setText(doubts or advice)
        self._first_detail.setVisible(bool(doubts or advice))
        self._show_log()
        self._show_now()
        self._show_ahead()
        self._show_loop()

    @property
    def due(self) -> QWidget:
        """The step that is due, for a page that must show it."""
        return self._now_row

    def _rows(self, rows: list[StepRow], column: QVBoxLayout, count: int) -> None:
        while len(rows) < count:
            row = StepRow(self._theme, len(rows))
            row.pressed.connect(self.change_step)
            rows.append(row)
            column.addWidget(row)
        for i, row in enumerate(rows):
            row.setVisible(i < count)

    def _show_log(self) -> None:
        steps = self.case.job.steps
        self._rows(self._done, self._done_column, len(steps))
        standing = self.case.standing
        for i, step in enumerate(steps):
            head, detail = log_texts(
                i, step, standing.beliefs[i + 1] if standing else None, self.case.settings.system
            )
            doubts = self._doubts(i)
            if doubts:
                detail = f"{detail}. {doubts}"
            role = "warn" if doubts else "soft"
            self._done[i].show_step(head, detail, "done", can_change=True, role=role)

    def _doubts(self, step: int | None) -> str:
        """What does not fit of a weighing: of a step, or with None of the first."""
        staged = self.case.staged
        found = staged.findings if isinstance(staged, Staged) else ()
        return " ".join(
            in_units(each.sentence, self.case.settings.system)
            for each in found
            if each.segment == step
        )

    def _show_now(self) -> None:
        case, system = self.case, self.case.settings.system
        staged = case.staged
        stage = staged.stages[0] if isinstance(staged, Staged) and staged.stages else None
        stop = case.stop
        self._now_row.setVisible(isinstance(staged, Staged))
        done = case.is_done
        can_log = stage is not None or (stop is not None and stop.why is Why.SCALE_TOO_COARSE)
        self.form.setVisible(can_log)
        self.log_button.setVisible(can_log)
        self.blade_caution.setVisible(stage is not None)
        self.put_button.setVisible(bool(case.job.steps) and not can_log)
        self.in_place.setVisible(bool(case.job.steps) and not can_log)
        self.now_mark.set_state("done" if done else "now")
        share = case.terms.share
        self._form_cells[0].setVisible(share > 0.0)
        self._form_cells[1].setVisible(share < 1.0)
        self.head_reading.set_value(None)
        self.offcut_reading.set_value(None)
        self._say("")
        if stage is not None:
            self._show_stage(staged, stage, system)
        elif stop is not None:
            self.front_cut.set_value(None)
            self.rear_cut.set_value(None)
            self._show_stop(staged, stop, system)

    def _show_stage(self, staged: Staged, stage: Stage, system: System) -> None:
        count = len(self.case.job.steps)
        many = len(staged.stages)
        ahead = f", about {many - 1} more after it" if many > 1 else ", and the last"
        self.now_title.setText(f"Cut {count + 1}{ahead}")
        self.now_large.setText(cut_words(stage.front, stage.rear, system).replace(", ", "\n"))
        set_role(self.now_large, "accent")
        left = self.case.left
        places = []
        if stage.front > 0.0:
            places.append(show_eighths(stage.front, system))
        if stage.rear > 0.0:
            places.append(show_eighths(left.length - stage.rear, system))
        self.now_where.setText(f"Blade at {' and '.join(places)} from the fly end as it lies now.")
        margin = stage.expected - staged.target
        if stage.last:
            tail = "It goes straight to the target."
        else:
            tail = (
                f"That leaves {show(margin, WEIGHT, system)} above the target, in case the line is "
                "lighter here than it is described."
            )
        self.now_expect.setText(
            f"Then the scale should read {show(stage.before_loops, WEIGHT, system)} ± "
            f"{show(stage.plus_minus, WEIGHT, system)}. {tail}"
        )
        self.now_where.show()
        self.now_expect.show()
        self.front_cut.set_value(stage.front or None)
        self.rear_cut.set_value(stage.rear or None)
        self.log_button.setText("Log this cut")

    def _show_stop(self, staged: Staged, stop: Stop, system: System) -> None:
        weight = show(staged.target + stop.off, WEIGHT, system)
        target = show(staged.target, WEIGHT, system)
        by = show(abs(stop.off), WEIGHT, system)
        side = "over" if stop.off > 0.0 else "under"
        exact = abs(stop.off) < 0.05 * GRAIN
        off = f"At the target of {target}." if exact else f"{by} {side} the target of {target}"
        logged = bool(self.case.job.steps)
        if stop.why is Why.DONE:
            title = "Done" if logged else "Nothing to cut"
            text = off if exact else f"{off}: near enough."
            role = "good"
        elif stop.why is Why.TOO_LIGHT:
            title, text, role = "Too light", f"{off}; nothing more to cut.", "bad"
        elif stop.why is Why.TOO_SHORT_TO_CUT:
            title = "Done"
            text, role = f"{off}; the cut that is left is too short to make.", "good"
        elif stop.why is Why.NOT_WEIGHED:
            title, role = "Weigh the head first", "accent"
            text = "Its description alone is not known well enough to cut on."
        else:
            title = "Weigh again" if stop.why is Why.SCALE_TOO_COARSE else "A limit is reached"
            text, role = in_units(stop.sentence, system), "warn"
        self.now_title.setText("")
        self.now_title.hide()
        named = stop.why not in (Why.LIMIT, Why.NOT_WEIGHED)
        self.now_large.setText(f"{title}: {weight}" if named else title)
        set_role(self.now_large, role)
        self.now_where.setText(text)
        self.now_expect.setVisible(logged and stop.why is not Why.SCALE_TOO_COARSE)
        finished = self.case.finished
        if finished is not None:
            self.now_expect.setText(
                f"{show_eighths(finished.length, system)} long with its loops made."
            )
        self.log_button.setText("Log the weighing")

    def _show_ahead(self) -> None:
        staged, system = self.case.staged, self.case.settings.system
        stages = staged.stages[1:] if isinstance(staged, Staged) else ()
        count = len(self.case.job.steps)
        self._rows(self._ahead, self._ahead_column, len(stages))
        self.now_title.setVisible(bool(isinstance(staged, Staged) and staged.stages))
        for i, stage in enumerate(stages):
            self._ahead[i].show_step(
                f"Cut {count + 2 + i}: about {cut_words(stage.front, stage.rear, system)}",
                f"down to {show(stage.expected, WEIGHT, system)} ± "
                f"{show(stage.plus_minus, WEIGHT, system)}, if the scale reads what is expected",
                "next",
            )

    def _show_loop(self) -> None:
        system = self.case.settings.system
        terms = self.case.terms
        texts = []
        for name, loop, cut in (
            ("front", terms.front_loop, terms.share > 0.0),
            ("rear", terms.rear_loop, terms.share < 1.0),
        ):
            if cut and (loop.fold > 0.0 or loop.mass > 0.0):
                texts.append(
                    f"{name} loop, {show_eighths(loop.fold, system)} folded back, "
                    f"{show(loop.mass, WEIGHT, system)} added"
                )
        heat, fumes = caution(Topic.HEAT), caution(Topic.FUMES)
        self.loop_row.setVisible(bool(texts) and isinstance(self.case.staged, Staged))
        self.loop_row.show_step(
            f"Make the {'; '.join(texts)}",
            f"{heat.title}: {heat.text} {fumes.title}: {fumes.text}",
            "next",
            role="warn",
        )
        self.loop_row.setToolTip(f"{heat.defer} {fumes.defer}")

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    # -- typing --------------------------------------------------------------------------------

    def commit(self) -> None:
        """Take over the first weighing; a cut half typed waits for its Enter."""
        self._first_kept.commit()

    def _first_typed(self, value: float | None) -> bool:
        return self._apply(edits.set_first_reading, value)

    def _first_entered(self) -> None:
        if not self.first.sentence and self.form.isVisible():
            self.head_reading.setFocus(Qt.FocusReason.TabFocusReason)

    def _front_entered(self) -> None:
        following = self.rear_cut if self.rear_cut.isVisible() else self.head_reading
        self._go_on(self.front_cut, following)

    def _rear_entered(self) -> None:
        self._go_on(self.rear_cut, self.head_reading)

    def _head_entered(self) -> None:
        self._go_on(self.head_reading, self.offcut_reading)

    def _go_on(self, field: QuantityEdit, following: QuantityEdit) -> None:
        if not field.sentence:
            following.setFocus(Qt.FocusReason.TabFocusReason)
            following.selectAll()

    def log(self) -> None:
        """Log the cut and its weighings, and show the next one."""
        fields = (self.front_cut, self.rear_cut, self.head_reading, self.offcut_reading)
        for field in fields:
            if field.isVisible() and field.sentence:
                field.setFocus(Qt.FocusReason.OtherFocusReason)
                field.selectAll()
                return
        front, rear, head, offcut = (
            field.value() if field.isVisible() else None for field in fields
        )
        step = CutStep(front or 0.0, rear or 0.0, head, offcut)
        done = self._apply(edits.record_cut, step)
        self._say(str(done.refused))
        if done and self.form.isVisible():
            self.head_reading.setFocus(Qt.FocusReason.TabFocusReason)
        elif done and self.put_button.isVisible():
            self.put_button.setFocus(Qt.FocusReason.TabFocusReason)

    def _apply(self, edit: object, *args: object) -> bool:
        job = self.case.job
        return job is not None and self.case.document.apply(edit, job.key, *args, initiator=self)

    def _head_fault(self, value: float) -> str | None:
        standing, staged = self.case.standing, self.case.staged
        if standing is None:
            return None
        system = self.case.settings.system
        before, _ = standing.belief.head_mass()
        if value > before * 1.05:
            return (
                f"More than before the cut, {show(before, WEIGHT, system)}: read the scale again."
            )
        stages = staged.stages if isinstance(staged, Staged) else ()
        expected = stages[0].before_loops if stages else before
        if abs(value - expected) > ODD * expected:
            return (
                f"About {show(expected, WEIGHT, system)} is expected: read the scale again, or put "
                "the length that was cut right."
            )
        return None

    def _offcut_fault(self, value: float) -> str | None:
        standing = self.case.standing
        if standing is None:
            return None
        before, _ = standing.belief.head_mass()
        if value >= before:
            return "More than the head weighed before: read the scale again."
        return None

    def put_on_bench(self) -> None:
        """Put the cut head on the bench, as a line of its own or in place of the old one."""
        case = self.case
        made = case.finished
        if made is None or case.job is None:
            return
        system = case.settings.system
        head = case.analysis(made).head
        weight = show(head.mass, WEIGHT, system)
        name = case.line.name if self.in_place.isChecked() else f"{case.line.name}, cut"
        note = (
            f"Cut back from {show_eighths(case.standing.uncut.length, system)} to "
            f"{show_eighths(made.length, system)} and {weight}, in {len(case.job.steps)} "
            f"{'cut' if len(case.job.steps) == 1 else 'cuts'}."
        )
        key = case.job.key
        if case.document.apply(
            edits.put_on_bench, key, made, name, note, keep=not self.in_place.isChecked()
        ):
            self.finished.emit()
