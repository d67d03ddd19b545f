"""What a cut-back aims at, where it cuts, and what it must mind: the cards at the right."""

from __future__ import annotations

import math
from dataclasses import replace

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QCheckBox, QSizePolicy, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, caption, label
from taperlab.gui.pages.cut_back.case import CutCase, needs_rod
from taperlab.gui.pages.cut_back.fields import Kept, TapeEdit, box, pair
from taperlab.model.cut_log import CutEnd, NewLoop, Target, TargetKind
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged
from taperlab.trade.line_weights import single_hand_sizes, two_handed_class, two_handed_classes
from taperlab.units.kinds import (
    RATIO,
    SHARE,
    SHORT_LENGTH,
    SMALL_WEIGHT,
    WEIGHT,
    WEIGHT_PER_LENGTH,
)
from taperlab.units.show import show

AIMS: tuple[tuple[str, TargetKind, float], ...] = (
    ("A weight", TargetKind.WEIGHT, 0.0),
    ("Lightest of the rod's window", TargetKind.WINDOW, 0.0),
    ("Middle of the rod's window", TargetKind.WINDOW, 0.5),
    ("Heaviest of the rod's window", TargetKind.WINDOW, 1.0),
    ("A single-hand size", TargetKind.SINGLE_HAND_SIZE, 0.0),
    ("A two-handed size", TargetKind.TWO_HANDED_SIZE, 0.0),
    ("A head length", TargetKind.LENGTH, 0.0),
    ("A ratio to the rod", TargetKind.RATIO, 0.0),
)

ENDS = (("The rear", CutEnd.REAR), ("The front", CutEnd.FRONT), ("Both ends", CutEnd.BOTH))


class SetupCard(Card):
    """A card of fields that follow the cut-back."""

    def __init__(self, case: CutCase, name: str) -> None:
        super().__init__(spacing=6)
        self.case = case
        self.kept: list[Kept] = []
        self._job_key: tuple[object, object] = (None, None)
        self.body.addWidget(caption(name))
        self.problem = label("", points=8.0, role="bad", wrap=True)
        self.problem.hide()

    def finish(self) -> None:
        """Put the sentence for what is wrong last, and follow the cut-back from now on."""
        self.body.addWidget(self.problem)
        for kept in self.kept:
            kept.field.sentence_changed.connect(self._say)
        self.case.changed.connect(self.refresh)

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def commit(self) -> None:
        """Take over what is being typed."""
        for kept in self.kept:
            kept.commit()

    def refresh(self) -> None:
        """Show the cut-back."""
        job = self.case.job
        if job is None:
            return
        # A file opened anew may hold another cut-back under the same key.
        key = (job.key, self.case.line.key if self.case.line else None)
        anew, self._job_key = key != self._job_key, key
        if anew:
            self._say("")
        self.show_job(anew)

    def show_job(self, anew: bool) -> None:
        """Show the values of the cut-back; cards override this."""

    def apply(self, edit: object, *args: object) -> bool:
        """Do an edit to the cut-back."""
        job = self.case.job
        return job is not None and self.case.document.apply(edit, job.key, *args, initiator=self)


class TargetCard(SetupCard):
    """What to cut to."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, "Cut to")
        settings = case.settings
        self.kind = box("What to cut to", [name for name, _, _ in AIMS])
        self.kind.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.kind.activated.connect(self._kind_chosen)
        self.weight = QuantityEdit(WEIGHT, settings, name="Target weight")
        self.length = TapeEdit(settings, name="Target head length")
        self.ratio = QuantityEdit(RATIO, settings, name="Target ratio")
        self.single = box("Single-hand size", [str(s.number) for s in single_hand_sizes()])
        self.letter = box(
            "Two-handed class",
            ["by its length", *(f"{each.letter}, {each.name}" for each in two_handed_classes())],
        )
        self.number = box(
            "Two-handed size", [str(n) for n in sorted(two_handed_classes()[0].targets)]
        )
        self.goal = label("", points=8.0, role="soft", wrap=True)
        self.kept = [
            Kept(self.weight, self._weight_typed),
            Kept(self.length, self._length_typed),
            Kept(self.ratio, self._ratio_typed),
        ]
        for each in (self.single, self.letter, self.number):
            each.activated.connect(self._size_chosen)
        self.body.addWidget(self.kind)
        for field in (
            self.weight,
            self.length,
            self.ratio,
            self.single,
            self.letter,
            self.number,
        ):
            field.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            self.body.addWidget(field)
        self.body.addWidget(self.goal)
        case.settings.units_changed.connect(self._show_goal)
        self.finish()

    def show_job(self, anew: bool) -> None:
        """Show the target."""
        target = self.case.job.target
        kind, value = target.kind, target.value
        at = next(
            (
                i
                for i, (_, each, place) in enumerate(AIMS)
                if each is kind and (kind is not TargetKind.WINDOW or place == value)
            ),
            -1,
        )
        with QSignalBlocker(self.kind):
            while self.kind.count() > len(AIMS):
                self.kind.removeItem(self.kind.count() - 1)
            if at < 0:
                at = len(AIMS)
                self.kind.addItem(f"{value * 100:.0f} % up the rod's window")
            self.kind.setCurrentIndex(at)
        for kept, each in zip(
            self.kept, (TargetKind.WEIGHT, TargetKind.LENGTH, TargetKind.RATIO), strict=True
        ):
            kept.field.setVisible(kind is each)
            if kind is each:
                kept.show(value, anew=anew)
        self.single.setVisible(kind is TargetKind.SINGLE_HAND_SIZE)
        self.letter.setVisible(kind is TargetKind.TWO_HANDED_SIZE)
        self.number.setVisible(kind is TargetKind.TWO_HANDED_SIZE)
        if kind is TargetKind.SINGLE_HAND_SIZE:
            self.single.setCurrentText(str(round(value)))
        if kind is TargetKind.TWO_HANDED_SIZE:
            letters = [each.letter for each in two_handed_classes()]
            group = target.group
            self.letter.setCurrentIndex(letters.index(group) + 1 if group in letters else 0)
            self.number.setCurrentText(str(round(value)))
        self._show_goal()

    def _show_goal(self) -> None:
        job, staged, rod = self.case.job, self.case.staged, self.case.document.rod
        if job is None:
            return
        words = ""
        if isinstance(staged, Staged):
            words = f"aims at {show(staged.target, WEIGHT, self.case.settings.system)}"
        if needs_rod(job.target.kind) and rod:
            words += f" on {rod.name}"
        self.goal.setText(words.strip())
        self.goal.setVisible(bool(words) and job.target.kind is not TargetKind.WEIGHT)

    def _kind_chosen(self, index: int) -> None:
        if index >= len(AIMS):
            return
        _, kind, place = AIMS[index]
        if kind is self.case.job.target.kind and kind is not TargetKind.WINDOW:
            return
        self.apply(edits.set_target, self._first(kind, place))

    def _first(self, kind: TargetKind, place: float) -> Target:
        """A target of this kind near to the one there was."""
        case = self.case
        staged, head = case.staged, case.analysis(case.head)
        plan = staged.plan if isinstance(staged, Staged) else None
        length = plan.after.length if isinstance(plan, Plan) else 0.95 * case.head.length
        if kind is TargetKind.WINDOW:
            return Target(kind, place)
        if kind is TargetKind.WEIGHT:
            mass = staged.target if isinstance(staged, Staged) else 0.95 * head.mass
            return Target(kind, mass)
        if kind is TargetKind.LENGTH:
            return Target(kind, length)
        if kind is TargetKind.RATIO:
            rod = case.document.rod
            return Target(kind, length / rod.length if rod else 2.5)
        if kind is TargetKind.SINGLE_HAND_SIZE:
            return Target(kind, float(head.single_hand.size if head.single_hand else 6))
        column = two_handed_class(case.head.length)
        size = head.two_handed.size if head.two_handed else 8
        return Target(kind, float(size), column.letter if column else "")

    def _weight_typed(self, value: float) -> bool:
        return self.apply(edits.set_target, Target(TargetKind.WEIGHT, value))

    def _length_typed(self, value: float) -> bool:
        return self.apply(edits.set_target, Target(TargetKind.LENGTH, value))

    def _ratio_typed(self, value: float) -> bool:
        return self.apply(edits.set_target, Target(TargetKind.RATIO, value))

    def _size_chosen(self, _index: int) -> None:
        kind = self.case.job.target.kind
        if kind is TargetKind.SINGLE_HAND_SIZE:
            self.apply(edits.set_target, Target(kind, float(self.single.currentText())))
        else:
            at = self.letter.currentIndex()
            group = two_handed_classes()[at - 1].letter if at else ""
            self.apply(edits.set_target, Target(kind, float(self.number.currentText()), group))


class EndCard(SetupCard):
    """Where line comes off, and what each new loop takes."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, "Cut from")
        settings = case.settings
        self.end = box("Where to cut", [name for name, _ in ENDS])
        self.end.activated.connect(self._end_chosen)
        self.body.addWidget(self.end)
        self.share = QuantityEdit(SHARE, settings, name="Share off the front")
        self.rows: dict[QuantityEdit, QWidget] = {}
        self.folds = {
            "front": TapeEdit(settings, name="Front loop, folded back", kind=SHORT_LENGTH),
            "rear": TapeEdit(settings, name="Rear loop, folded back", kind=SHORT_LENGTH),
        }
        self.adds = {
            "front": QuantityEdit(SMALL_WEIGHT, settings, name="Front loop, weight added"),
            "rear": QuantityEdit(SMALL_WEIGHT, settings, name="Rear loop, weight added"),
        }
        self._row("Off the front", self.share)
        for end in ("front", "rear"):
            self._row(f"{end.capitalize()} loop folds back", self.folds[end])
            self.folds[end].set_help("Length of line that re-making the loop uses up.")
            self._row("and adds", self.adds[end])
            self.adds[end].set_help("Weight of tube, braid or adhesive that the new loop adds.")
        self.kept = [
            Kept(self.share, self._share_typed),
            *(Kept(field, self._loops_typed) for field in (*self.folds.values(),)),
            *(Kept(field, self._loops_typed) for field in (*self.adds.values(),)),
        ]
        self.finish()

    def _row(self, name: str, field: QuantityEdit) -> None:
        holder = QWidget()
        row = pair(name, field, 96)
        row.setContentsMargins(0, 0, 0, 0)
        holder.setLayout(row)
        self.rows[field] = holder
        self.body.addWidget(holder)

    def show_job(self, anew: bool) -> None:
        """Show end, share and loops."""
        job = self.case.job
        self.end.setCurrentIndex([end for _, end in ENDS].index(job.end))
        front, rear = job.front_loop, job.rear_loop
        values = (job.front_share, front.fold, rear.fold, front.mass, rear.mass)
        for kept, value in zip(self.kept, values, strict=True):
            kept.show(value, anew=anew)
        self.rows[self.share].setVisible(job.end is CutEnd.BOTH)
        for end, other in (("front", CutEnd.REAR), ("rear", CutEnd.FRONT)):
            for field in (self.folds[end], self.adds[end]):
                self.rows[field].setVisible(job.end is not other)

    def _end_chosen(self, index: int) -> None:
        self.apply(edits.set_end, ENDS[index][1])

    def _share_typed(self, value: float) -> bool:
        return self.apply(edits.set_end, self.case.job.end, value)

    def _loops_typed(self, _value: float) -> bool:
        job = self.case.job
        made = {}
        for end, old in (("front", job.front_loop), ("rear", job.rear_loop)):
            fold, mass = self.folds[end].value(), self.adds[end].value()
            made[end] = NewLoop(
                old.fold if fold is None else fold, old.mass if mass is None else mass, old.extra
            )
        return self.apply(edits.set_new_loops, made["front"], made["rear"])


class LimitsCard(SetupCard):
    """What the cut must respect."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, "Limits")
        settings = case.settings
        self.shortest = TapeEdit(settings, name="Shortest head", optional=True)
        self.step = QuantityEdit(RATIO, settings, name="Largest joint step", optional=True)
        self.step.set_help(
            "Weight per length of the tip at its joint ÷ that of the head behind it. Over about 1 "
            "the tip is heavier than what must carry it, and the rig hinges."
        )
        self.tip = QuantityEdit(
            WEIGHT_PER_LENGTH, settings, name="Tip looped ahead, at its rear", optional=True
        )
        self.tip.set_help("Weight per length of a tip that is looped to the front of this head.")
        for field in (self.shortest, self.step, self.tip):
            field.setPlaceholderText("none")
        self.whole = QCheckBox("Keep the front taper whole")
        self.whole.clicked.connect(self._whole_clicked)
        self.body.addLayout(pair("Shortest head", self.shortest, 96))
        self.body.addLayout(pair("Largest joint step", self.step, 96))
        self.body.addLayout(pair("Tip looped ahead", self.tip, 96))
        self.body.addWidget(self.whole)
        self.kept = [Kept(field, self._typed) for field in (self.shortest, self.step, self.tip)]
        self.finish()

    def show_job(self, anew: bool) -> None:
        """Show the limits."""
        limits = self.case.job.limits
        step = None if math.isinf(limits.largest_step) else limits.largest_step
        values = (limits.shortest or None, step, limits.tip_linear_density)
        for kept, value in zip(self.kept, values, strict=True):
            kept.show(value, anew=anew)
        self.whole.setChecked(limits.keep_front_taper)
        staged = self.case.staged
        stops = staged.limit if isinstance(staged, NoPlan) else None
        for field, limit in (
            (self.shortest, "shortest head"),
            (self.step, "joint step"),
            (self.whole, "front taper"),
        ):
            field.setAccessibleDescription("This limit stops the cut." if limit == stops else "")

    def _typed(self, _value: float | None) -> bool:
        limits = self.case.job.limits
        step = self.step.value()
        return self.apply(
            edits.set_limits,
            replace(
                limits,
                shortest=self.shortest.value() or 0.0,
                largest_step=math.inf if step is None else step,
                tip_linear_density=self.tip.value(),
            ),
        )

    def _whole_clicked(self, checked: bool) -> None:
        limits = self.case.job.limits
        self.apply(edits.set_limits, replace(limits, keep_front_taper=checked))


class InstrumentsCard(SetupCard):
    """What scale and tape read to: the margins follow from it."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, "Scale and tape")
        self.scale = QuantityEdit(
            SMALL_WEIGHT, case.settings, name="The scale reads to", check=_above_zero
        )
        self.scale.set_help("The smallest step that the scale shows.")
        self.tape = TapeEdit(
            case.settings, name="The tape reads to", kind=SHORT_LENGTH, check=_above_zero
        )
        self.tape.set_help("The smallest step of the tape; cuts are rounded to it.")
        self.body.addLayout(pair("The scale reads to", self.scale, 96))
        self.body.addLayout(pair("The tape reads to", self.tape, 96))
        self.kept = [Kept(self.scale, self._typed), Kept(self.tape, self._typed)]
        self.finish()

    def show_job(self, anew: bool) -> None:
        """Show the steps."""
        instruments = self.case.job.instruments
        self.kept[0].show(instruments.scale, anew=anew)
        self.kept[1].show(instruments.tape, anew=anew)

    def _typed(self, _value: float) -> bool:
        old = self.case.job.instruments
        scale, tape = self.scale.value(), self.tape.value()
        return self.apply(
            edits.set_instruments,
            replace(old, scale=scale or old.scale, tape=tape or old.tape),
        )


def _above_zero(value: float) -> str | None:
    return None if value > 0.0 else "This must be more than nothing."
