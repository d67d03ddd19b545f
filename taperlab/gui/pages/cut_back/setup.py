"""What a cut-back aims at, where it cuts, and what it must mind: the cards at the right."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QCheckBox, QComboBox, QSizePolicy, QVBoxLayout, QWidget

from taperlab.edits import cut_back as edits
from taperlab.edits.edited import Edited
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, caption, label
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.fields import Kept, TapeEdit, box, pair
from taperlab.model.cut_log import CutBack, CutEnd, NewLoop, Target, TargetKind
from taperlab.shop.cut_back.goal import Limit, NoPlan
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
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence, Share, Weight

AIMS: tuple[tuple[str, TargetKind, float], ...] = (
    (later("A weight"), TargetKind.WEIGHT, 0.0),
    (later("Lightest of the rod's window"), TargetKind.WINDOW, 0.0),
    (later("Middle of the rod's window"), TargetKind.WINDOW, 0.5),
    (later("Heaviest of the rod's window"), TargetKind.WINDOW, 1.0),
    (later("A single-hand size"), TargetKind.SINGLE_HAND_SIZE, 0.0),
    (later("A two-handed size"), TargetKind.TWO_HANDED_SIZE, 0.0),
    (later("A head length"), TargetKind.LENGTH, 0.0),
    (later("A ratio to the rod"), TargetKind.RATIO, 0.0),
)

ENDS = (
    (later("The rod end"), CutEnd.REAR),
    (later("The fly end"), CutEnd.FRONT),
    (later("Both ends"), CutEnd.BOTH),
)

ON_ROD = (TargetKind.WINDOW, TargetKind.RATIO)
"""Targets that are worked out on the chosen rod."""

NARROW = 96
"""Width of a field beside its name [px]."""


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
        self.case.asked.connect(self.refresh)
        self.case.changed.connect(self.show_study)
        self.case.place.settings.units_changed.connect(self.show_study)

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def commit(self) -> None:
        """Take over what is being typed."""
        for kept in self.kept:
            kept.commit()

    def refresh(self) -> None:
        """Show the cut-back as the bench has it."""
        job = self.case.job
        if job is None:
            return
        # A file opened anew may hold another cut-back under the same key.
        key = (job.key, self.case.line.key if self.case.line else None)
        anew, self._job_key = key != self._job_key, key
        if anew:
            self._say("")
        self.show_job(job, anew)

    def show_job(self, job: CutBack, anew: bool) -> None:
        """Show the values of the cut-back; cards override this."""

    def show_study(self) -> None:
        """Show what is worked out of it; cards may override this."""

    def do(self, edit: Callable[..., Edited], *args: Any) -> bool:
        """Do an edit to the cut-back; whether it was done."""
        return bool(self.case.do(edit, *args))


class TargetCard(SetupCard):
    """What to cut to."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Cut to"))
        settings = case.place.settings
        self.kind = box(tr("What to cut to"), [tr(name) for name, _, _ in AIMS])
        self.kind.activated.connect(self._kind_chosen)
        self.weight = QuantityEdit(WEIGHT, settings, name=tr("Target weight"))
        self.length = TapeEdit(settings, name=tr("Target head length"))
        self.ratio = QuantityEdit(RATIO, settings, name=tr("Target ratio"))
        self.single = box(tr("Single-hand size"), [str(s.number) for s in single_hand_sizes()])
        classes = [f"{each.letter}, {tr(each.name)}" for each in two_handed_classes()]
        self.letter = box(tr("Two-handed class"), [tr("by its length"), *classes])
        numbers = sorted(two_handed_classes()[0].targets)
        self.number = box(tr("Two-handed size"), [str(n) for n in numbers])
        self.goal = label("", points=8.0, role="soft", wrap=True)
        self.kept = [
            Kept(field, self._taker(kind))
            for field, kind in (
                (self.weight, TargetKind.WEIGHT),
                (self.length, TargetKind.LENGTH),
                (self.ratio, TargetKind.RATIO),
            )
        ]
        self.single.activated.connect(self._single_chosen)
        self.letter.activated.connect(self._two_handed_chosen)
        self.number.activated.connect(self._two_handed_chosen)
        sizes = (self.single, self.letter, self.number)
        for field in (self.kind, self.weight, self.length, self.ratio, *sizes):
            field.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            self.body.addWidget(field)
        self.body.addWidget(self.goal)
        self.finish()

    def show_job(self, job: CutBack, anew: bool) -> None:
        """Show the target."""
        kind, value = job.target.kind, job.target.value
        self._show_kind(job.target)
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
            group = job.target.group
            self.letter.setCurrentIndex(letters.index(group) + 1 if group in letters else 0)
            self.number.setCurrentText(str(round(value)))

    def _show_kind(self, target: Target) -> None:
        places = (
            i
            for i, (_, kind, place) in enumerate(AIMS)
            if kind is target.kind and (kind is not TargetKind.WINDOW or place == target.value)
        )
        at = next(places, len(AIMS))
        with QSignalBlocker(self.kind):
            while self.kind.count() > len(AIMS):
                self.kind.removeItem(self.kind.count() - 1)
            if at == len(AIMS):
                place = Sentence("{share} up the rod's window", share=Share(target.value))
                self.kind.addItem(self.case.place.read(place))
            self.kind.setCurrentIndex(at)

    def show_study(self) -> None:
        """Show what the target comes to."""
        study = self.case.study
        if study is None or study.job is None:
            return
        words = None
        kind, rod = study.job.target.kind, study.rod
        on_rod = rod is not None and kind in ON_ROD
        if isinstance(study.staged, Staged):
            mass = Weight(study.staged.target)
            words = Sentence("aims at {mass}", mass=mass)
            if rod is not None and on_rod:
                words = Sentence("aims at {mass} on {rod}", mass=mass, rod=rod.name)
        elif rod is not None and on_rod:
            words = Sentence("on {rod}", rod=rod.name)
        self.goal.setText(self.case.place.read(words) if words else "")
        self.goal.setVisible(words is not None and kind is not TargetKind.WEIGHT)

    def _kind_chosen(self, index: int) -> None:
        job = self.case.job
        if job is None or index >= len(AIMS):
            return
        _, kind, place = AIMS[index]
        if kind is not job.target.kind or kind is TargetKind.WINDOW:
            target = self._first(kind, place)
            if target is not None:
                self.do(edits.set_target, target)

    def _first(self, kind: TargetKind, place: float) -> Target | None:
        """A target of this kind near to the one there was."""
        study = self.case.study
        analysis = study.described.analysis if study and study.described else None
        if study is None or analysis is None or analysis.head is None:
            return None
        head = analysis.head
        if kind is TargetKind.WINDOW:
            return Target(kind, place)
        if kind is TargetKind.WEIGHT:
            staged = study.staged
            return Target(kind, staged.target if isinstance(staged, Staged) else 0.95 * head.mass)
        if kind is TargetKind.SINGLE_HAND_SIZE:
            rating = analysis.single_hand
            return Target(kind, float(rating.size if rating else 6))
        if kind is TargetKind.TWO_HANDED_SIZE:
            column, size = two_handed_class(head.length), analysis.two_handed
            letter = column.letter if column else ""
            return Target(kind, float(size.size if size else 8), letter)
        plan = study.staged.plan if isinstance(study.staged, Staged) else None
        length = plan.after.length if isinstance(plan, Plan) else 0.95 * head.length
        if kind is TargetKind.LENGTH:
            return Target(kind, length)
        return Target(kind, length / study.rod.length if study.rod else 2.5)

    def _taker(self, kind: TargetKind) -> Callable[[float | None], bool]:
        def take(value: float | None) -> bool:
            return value is not None and self.do(edits.set_target, Target(kind, value))

        return take

    def _single_chosen(self) -> None:
        size = float(self.single.currentText())
        self.do(edits.set_target, Target(TargetKind.SINGLE_HAND_SIZE, size))

    def _two_handed_chosen(self) -> None:
        at = self.letter.currentIndex()
        group = two_handed_classes()[at - 1].letter if at else ""
        size = float(self.number.currentText())
        self.do(edits.set_target, Target(TargetKind.TWO_HANDED_SIZE, size, group))


class LoopFields(QWidget):
    """What the new loop at one end takes and adds."""

    def __init__(self, fold: QuantityEdit, mass: QuantityEdit, name: str) -> None:
        super().__init__()
        self.fold, self.mass = fold, mass
        fold.set_help(tr("Length of line that re-making the loop uses up."))
        mass.set_help(tr("Weight of tube, braid or adhesive that the new loop adds."))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(pair(name, fold, NARROW))
        column.addLayout(pair(tr("and adds"), mass, NARROW))

    def loop(self, old: NewLoop) -> NewLoop:
        """The loop as it is typed; what cannot be read stays as it was."""
        fold, mass = self.fold.value(), self.mass.value()
        return replace(
            old,
            fold=old.fold if fold is None else fold,
            mass=old.mass if mass is None else mass,
        )


class EndCard(SetupCard):
    """Where line comes off, and what each new loop takes."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Cut from"))
        settings = case.place.settings
        self.end: QComboBox = box(tr("Where to cut"), [tr(name) for name, _ in ENDS])
        self.end.activated.connect(self._end_chosen)
        self.share = QuantityEdit(SHARE, settings, name=tr("Share off the fly end"))
        self.front = LoopFields(
            TapeEdit(settings, name=tr("Fly-end loop, folded back"), kind=SHORT_LENGTH),
            QuantityEdit(SMALL_WEIGHT, settings, name=tr("Fly-end loop, weight added")),
            tr("Fly-end loop folds back"),
        )
        self.rear = LoopFields(
            TapeEdit(settings, name=tr("Rod-end loop, folded back"), kind=SHORT_LENGTH),
            QuantityEdit(SMALL_WEIGHT, settings, name=tr("Rod-end loop, weight added")),
            tr("Rod-end loop folds back"),
        )
        self._share_row = QWidget()
        row = pair(tr("Off the fly end"), self.share, NARROW)
        row.setContentsMargins(0, 0, 0, 0)
        self._share_row.setLayout(row)
        for each in (self.end, self._share_row, self.front, self.rear):
            self.body.addWidget(each)
        loops = (self.front.fold, self.rear.fold, self.front.mass, self.rear.mass)
        self.kept = [
            Kept(self.share, self._share_typed),
            *(Kept(field, self._loops_typed) for field in loops),
        ]
        self.finish()

    def show_job(self, job: CutBack, anew: bool) -> None:
        """Show end, share and loops."""
        self.end.setCurrentIndex([end for _, end in ENDS].index(job.end))
        front, rear = job.front_loop, job.rear_loop
        values = (job.front_share, front.fold, rear.fold, front.mass, rear.mass)
        for kept, value in zip(self.kept, values, strict=True):
            kept.show(value, anew=anew)
        self._share_row.setVisible(job.end is CutEnd.BOTH)
        self.front.setVisible(job.end is not CutEnd.REAR)
        self.rear.setVisible(job.end is not CutEnd.FRONT)

    def _end_chosen(self, index: int) -> None:
        self.do(edits.set_end, ENDS[index][1])

    def _share_typed(self, value: float | None) -> bool:
        job = self.case.job
        return job is not None and self.do(edits.set_end, job.end, value)

    def _loops_typed(self, _value: float | None) -> bool:
        job = self.case.job
        return job is not None and self.do(
            edits.set_new_loops, self.front.loop(job.front_loop), self.rear.loop(job.rear_loop)
        )


class LimitsCard(SetupCard):
    """What the cut must respect."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Limits"))
        settings = case.place.settings
        self.shortest = TapeEdit(settings, name=tr("Shortest head"), optional=True)
        self.step = QuantityEdit(RATIO, settings, name=tr("Largest joint step"), optional=True)
        self.step.set_help(
            tr(
                "Weight per length of the tip at its joint ÷ that of the head behind it. Over "
                "about 1 the tip is heavier than what must carry it, and the rig hinges."
            )
        )
        self.tip = QuantityEdit(
            WEIGHT_PER_LENGTH, settings, name=tr("Tip looped ahead, at its rear"), optional=True
        )
        self.tip.set_help(
            tr("Weight per length of a tip that is looped to the front of this head.")
        )
        for field in (self.shortest, self.step, self.tip):
            field.setPlaceholderText(tr("none"))
        self.whole = QCheckBox(tr("Keep the front taper whole"))
        self.whole.clicked.connect(self._whole_clicked)
        self.body.addLayout(pair(tr("Shortest head"), self.shortest, NARROW))
        self.body.addLayout(pair(tr("Largest joint step"), self.step, NARROW))
        self.body.addLayout(pair(tr("Tip looped ahead"), self.tip, NARROW))
        self.body.addWidget(self.whole)
        self.kept = [Kept(field, self._typed) for field in (self.shortest, self.step, self.tip)]
        self.finish()

    def show_job(self, job: CutBack, anew: bool) -> None:
        """Show the limits."""
        limits = job.limits
        step = None if math.isinf(limits.largest_step) else limits.largest_step
        values = (limits.shortest or None, step, limits.tip_linear_density)
        for kept, value in zip(self.kept, values, strict=True):
            kept.show(value, anew=anew)
        self.whole.setChecked(limits.keep_front_taper)

    def show_study(self) -> None:
        """Say which limit stops the cut."""
        staged = self.case.study.staged if self.case.study else None
        stops = staged.limit if isinstance(staged, NoPlan) else None
        for field, limit in (
            (self.shortest, Limit.SHORTEST_HEAD),
            (self.step, Limit.JOINT_STEP),
            (self.whole, Limit.FRONT_TAPER),
        ):
            words = tr("This limit stops the cut.") if limit is stops else ""
            field.setAccessibleDescription(words)

    def _typed(self, _value: float | None) -> bool:
        job = self.case.job
        step = self.step.value()
        return job is not None and self.do(
            edits.set_limits,
            replace(
                job.limits,
                shortest=self.shortest.value() or 0.0,
                largest_step=math.inf if step is None else step,
                tip_linear_density=self.tip.value(),
            ),
        )

    def _whole_clicked(self, checked: bool) -> None:
        job = self.case.job
        if job is not None:
            self.do(edits.set_limits, replace(job.limits, keep_front_taper=checked))


class InstrumentsCard(SetupCard):
    """What scale and tape read to: the margins follow from it."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Scale and tape"))
        settings = case.place.settings
        self.scale = QuantityEdit(
            SMALL_WEIGHT, settings, name=tr("The scale reads to"), check=_above_zero
        )
        self.scale.set_help(tr("The smallest step that the scale shows."))
        self.tape = TapeEdit(
            settings, name=tr("The tape reads to"), kind=SHORT_LENGTH, check=_above_zero
        )
        self.tape.set_help(tr("The smallest step of the tape; cuts are rounded to it."))
        self.body.addLayout(pair(tr("The scale reads to"), self.scale, NARROW))
        self.body.addLayout(pair(tr("The tape reads to"), self.tape, NARROW))
        self.kept = [Kept(self.scale, self._typed), Kept(self.tape, self._typed)]
        self.finish()

    def show_job(self, job: CutBack, anew: bool) -> None:
        """Show the steps."""
        self.kept[0].show(job.instruments.scale, anew=anew)
        self.kept[1].show(job.instruments.tape, anew=anew)

    def _typed(self, _value: float | None) -> bool:
        job = self.case.job
        if job is None:
            return False
        old = job.instruments
        scale, tape = self.scale.value(), self.tape.value()
        steps = replace(old, scale=scale or old.scale, tape=tape or old.tape)
        return self.do(edits.set_instruments, steps)


def _above_zero(value: float) -> Sentence | None:
    return None if value > 0.0 else Sentence("This must be more than nothing.")
