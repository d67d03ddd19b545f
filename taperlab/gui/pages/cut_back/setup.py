"""What a cut-back aims at, where it cuts, and what it must mind: the cards at the right."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QBoxLayout, QCheckBox, QComboBox, QSizePolicy, QWidget

from taperlab.edits import cut_back as edits
from taperlab.edits.edited import Edited
from taperlab.gui.kit.fold import Fold
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import Check, QuantityEdit
from taperlab.gui.kit.tape_edit import TapeEdit
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import Card, Item, Remark, caption, fill, in_column, in_row, label
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.model.cut_log import CutBack, CutEnd, Limits, NewLoop, Target, TargetKind
from taperlab.shop.cut_back.goal import Limit, NoPlan
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.words import ENDS
from taperlab.trade.line_weights import single_hand_sizes, two_handed_class, two_handed_classes
from taperlab.units.kinds import (
    LENGTH,
    RATIO,
    SHARE,
    SHORT_LENGTH,
    SMALL_WEIGHT,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
)
from taperlab.units.language import later, tr
from taperlab.units.sentence import NOTHING, Mark, Sentence, Share, SmallWeight, Weight
from taperlab.units.words import capital

AIMS: tuple[tuple[str, TargetKind, float], ...] = (
    (later("A weight"), TargetKind.WEIGHT, 0.0),
    (later("Lightest of the rod’s grain window"), TargetKind.WINDOW, 0.0),
    (later("Middle of the rod’s grain window"), TargetKind.WINDOW, 0.5),
    (later("Heaviest of the rod’s grain window"), TargetKind.WINDOW, 1.0),
    (later("A single-hand size"), TargetKind.SINGLE_HAND_SIZE, 0.0),
    (later("A two-handed size"), TargetKind.TWO_HANDED_SIZE, 0.0),
    (later("A head length"), TargetKind.LENGTH, 0.0),
    (later("A ratio to the rod"), TargetKind.RATIO, 0.0),
)

ON_ROD = (TargetKind.WINDOW, TargetKind.RATIO)
"""Targets that are worked out on the chosen rod."""

Take = Callable[[float | None], bool]


class SetupCard(Card):
    """A card of fields that follow the cut-back."""

    def __init__(self, case: CutCase, name: str, *, folded: bool = False) -> None:
        super().__init__(name, spacing=6)
        self.case = case
        self.kept: list[Kept] = []
        self.fold: Fold | None = None
        self._rows: QBoxLayout = self.body
        if folded:
            content = QWidget()
            self._rows = in_column(spacing=6, of=content)
            self.fold = Fold(name, content)
            self.body.addWidget(self.fold)
        else:
            self.body.addWidget(caption(name))
        self.problem = Remark(points=SMALL)

    def add(self, *items: Item) -> None:
        """Put items into the card, one below the other; into its fold, if it has one."""
        fill(self._rows, *items)

    def field(
        self,
        kind: Kind,
        name: str,
        take: Take,
        *,
        tip: str = "",
        optional: bool = False,
        check: Check | None = None,
    ) -> QuantityEdit:
        """A field for a value of the bench; a length is typed as a tape reads it."""
        edit = TapeEdit if kind in (LENGTH, SHORT_LENGTH) else QuantityEdit
        settings = self.case.place.settings
        made = edit(kind, settings, name=name, optional=optional, check=check)
        if tip:
            made.set_help(tip)
        if made.is_optional:
            made.setPlaceholderText(tr("none"))
        made.sentence_changed.connect(self.problem.say)
        self.kept.append(Kept(made, take))
        return made

    def row(self, name: str, field: QuantityEdit) -> QWidget:
        """A field with its name at the left, as a row of the card."""
        words = label(name, wrap=True)
        words.setBuddy(field)
        field.keep_width(96)
        row = QWidget()
        in_row((words, 1), field, spacing=8, of=row)
        self.add(row)
        return row

    def finish(self) -> None:
        """Put the sentence for what is wrong last, and follow the cut-back from now on."""
        self.add(self.problem)
        self.case.asked.connect(self.refresh)
        self.case.follow(self.show_study)

    def commit(self) -> None:
        """Take over what is being typed."""
        for kept in self.kept:
            kept.commit()

    def refresh(self, anew: bool) -> None:
        """Show the cut-back as the bench has it; ``anew``: another than before."""
        job = self.case.job
        if job is None:
            return
        if anew:
            self.problem.say("")
        for kept, value in zip(self.kept, self.values(job), strict=True):
            kept.show(value, anew=anew)
        self.show_job(job)

    def values(self, job: CutBack) -> tuple[float | None, ...]:
        """What the fields show of a cut-back, in order; cards override this."""
        return ()

    def show_job(self, job: CutBack) -> None:
        """Show the rest of the cut-back; cards may override this."""

    def show_study(self) -> None:
        """Show what is worked out of it; cards may override this."""

    def do(self, edit: Callable[..., Edited], *args: Any) -> bool:
        """Do an edit to the cut-back; whether it was done."""
        return bool(self.case.do(edit, *args))


def _box(name: str, items: list[str]) -> QComboBox:
    """A list to choose from."""
    made = QComboBox()
    made.setAccessibleName(name)
    made.addItems(items)
    return made


class TargetCard(SetupCard):
    """What to cut to."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Cut to"))
        self.kind = _box(tr("What to cut to"), [tr(name) for name, _, _ in AIMS])
        self.kind.activated.connect(self._kind_chosen)
        aimed = self._aimed
        self.weight = self.field(WEIGHT, tr("Target weight"), aimed(TargetKind.WEIGHT))
        self.length = self.field(LENGTH, tr("Target head length"), aimed(TargetKind.LENGTH))
        self.ratio = self.field(RATIO, tr("Target ratio"), aimed(TargetKind.RATIO))
        self.single = _box(tr("Single-hand size"), [str(s.number) for s in single_hand_sizes()])
        classes = [f"{each.letter}, {tr(each.name)}" for each in two_handed_classes()]
        self.letter = _box(tr("Two-handed class"), [tr("by its length"), *classes])
        numbers = sorted(two_handed_classes()[0].targets)
        self.number = _box(tr("Two-handed size"), [str(n) for n in numbers])
        self.goal = Remark("soft", points=SMALL)
        self.single.activated.connect(self._single_chosen)
        self.letter.activated.connect(self._two_handed_chosen)
        self.number.activated.connect(self._two_handed_chosen)
        self._shown = {
            TargetKind.WEIGHT: (self.weight,),
            TargetKind.LENGTH: (self.length,),
            TargetKind.RATIO: (self.ratio,),
            TargetKind.SINGLE_HAND_SIZE: (self.single,),
            TargetKind.TWO_HANDED_SIZE: (self.letter, self.number),
        }
        for field in (self.kind, *(each for fields in self._shown.values() for each in fields)):
            field.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            self.add(field)
        self.add(self.goal)
        self.finish()

    def values(self, job: CutBack) -> tuple[float | None, ...]:
        """The target's value, in the field of its kind."""
        kinds = (TargetKind.WEIGHT, TargetKind.LENGTH, TargetKind.RATIO)
        return tuple(job.target.value if job.target.kind is each else None for each in kinds)

    def show_job(self, job: CutBack) -> None:
        """Show the target."""
        target = job.target
        self._show_kind(target)
        for kind, fields in self._shown.items():
            for field in fields:
                field.setVisible(kind is target.kind)
        size = str(round(target.value))
        if target.kind is TargetKind.SINGLE_HAND_SIZE:
            self.single.setCurrentText(size)
        if target.kind is TargetKind.TWO_HANDED_SIZE:
            letters = ["", *(each.letter for each in two_handed_classes())]
            self.letter.setCurrentIndex(max(0, letters.index(target.group)))
            self.number.setCurrentText(size)

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
                place = Sentence("{share} up the rod’s grain window", share=Share(target.value))
                self.kind.addItem(self.case.place.read(place))
            self.kind.setCurrentIndex(at)

    def show_study(self) -> None:
        """Show what the target comes to."""
        study = self.case.study
        if study is None or study.job is None:
            return
        kind, rod, words = study.job.target.kind, study.rod, NOTHING
        if isinstance(study.staged, Staged) and kind is not TargetKind.WEIGHT:
            words = Sentence("aims at {mass}", mass=Weight(study.staged.target))
        if words and rod is not None and kind in ON_ROD:
            words = Sentence("{aim} on {rod}", aim=words, rod=rod.name)
        self.goal.say(self.case.place.read(words))

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
        head, staged = analysis.head, study.staged
        if kind is TargetKind.WINDOW:
            return Target(kind, place)
        if kind is TargetKind.WEIGHT:
            return Target(kind, staged.target if isinstance(staged, Staged) else 0.95 * head.mass)
        if kind is TargetKind.SINGLE_HAND_SIZE:
            rating = analysis.single_hand
            return Target(kind, float(rating.nearest.number if rating else 6))
        if kind is TargetKind.TWO_HANDED_SIZE:
            column, size = two_handed_class(head.length), analysis.two_handed
            return Target(kind, float(size.size if size else 8), column.letter if column else "")
        plan = staged.plan if isinstance(staged, Staged) else None
        length = plan.after.length if isinstance(plan, Plan) else 0.95 * head.length
        if kind is TargetKind.LENGTH:
            return Target(kind, length)
        return Target(kind, length / study.rod.length if study.rod else 2.5)

    def _aimed(self, kind: TargetKind) -> Take:
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


class EndCard(SetupCard):
    """Where line comes off, and what each new loop takes."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Cut from"))
        ends = [capital(case.place.read(ENDS[end])) for end in CutEnd]
        self.end = _box(tr("Where to cut"), ends)
        self.end.activated.connect(self._end_chosen)
        self.add(self.end)
        self.share = self.field(SHARE, tr("Share off the fly end"), self._share_typed)
        self._share_row = self.row(tr("Off the fly end"), self.share)
        self.front_fold = self._fold(tr("Fly-end loop, folded back"))
        self.front_mass = self._mass(tr("Fly-end loop, weight added"))
        self.rear_fold = self._fold(tr("Rod-end loop, folded back"))
        self.rear_mass = self._mass(tr("Rod-end loop, weight added"))
        self._front_rows = (
            self.row(tr("Fly-end loop takes"), self.front_fold),
            self.row(tr("and adds"), self.front_mass),
        )
        self._rear_rows = (
            self.row(tr("Rod-end loop takes"), self.rear_fold),
            self.row(tr("and adds"), self.rear_mass),
        )
        self.finish()

    def _fold(self, name: str) -> QuantityEdit:
        words = tr("Length of line that re-making the loop uses up.")
        return self.field(SHORT_LENGTH, name, self._loops_typed, tip=words)

    def _mass(self, name: str) -> QuantityEdit:
        words = tr("Weight of tube, braid or adhesive that the new loop adds.")
        return self.field(SMALL_WEIGHT, name, self._loops_typed, tip=words)

    def values(self, job: CutBack) -> tuple[float | None, ...]:
        """Share and loops."""
        front, rear = job.front_loop, job.rear_loop
        return job.front_share, front.fold, front.mass, rear.fold, rear.mass

    def show_job(self, job: CutBack) -> None:
        """Show the end, and the loops that are made there."""
        self.end.setCurrentIndex(list(CutEnd).index(job.end))
        self._share_row.setVisible(job.end is CutEnd.BOTH)
        for rows, other in ((self._front_rows, CutEnd.REAR), (self._rear_rows, CutEnd.FRONT)):
            for row in rows:
                row.setVisible(job.end is not other)

    def _end_chosen(self, index: int) -> None:
        self.do(edits.set_end, list(CutEnd)[index])

    def _share_typed(self, value: float | None) -> bool:
        job = self.case.job
        return job is not None and self.do(edits.set_end, job.end, value)

    def _loops_typed(self, _value: float | None) -> bool:
        job = self.case.job
        if job is None:
            return False
        front = _loop(self.front_fold, self.front_mass, job.front_loop)
        rear = _loop(self.rear_fold, self.rear_mass, job.rear_loop)
        return self.do(edits.set_new_loops, front, rear)


def _loop(fold: QuantityEdit, mass: QuantityEdit, old: NewLoop) -> NewLoop:
    """The loop as it is typed; what cannot be read stays as it was."""
    length, added = fold.value(), mass.value()
    return replace(
        old,
        fold=old.fold if length is None else length,
        mass=old.mass if added is None else added,
    )


class LimitsCard(SetupCard):
    """What the cut must respect."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(case, tr("Limits"), folded=True)
        typed = self._typed
        self.shortest = self.field(LENGTH, tr("Shortest head"), typed, optional=True)
        tip = tr(
            "Weight per length of the tip at its joint ÷ that of the head behind it. Over about 1 "
            "the tip is heavier than what must carry it, and the rig hinges."
        )
        self.step = self.field(RATIO, tr("Largest joint step"), typed, optional=True, tip=tip)
        name = tr("Tip looped ahead, at its rod end")
        tip = tr("Weight per length of a tip that is looped to the fly end of this head.")
        self.tip = self.field(WEIGHT_PER_LENGTH, name, typed, optional=True, tip=tip)
        self.whole = QCheckBox(tr("Keep the front taper whole"))
        self.whole.clicked.connect(self._whole_clicked)
        self.row(tr("Shortest head"), self.shortest)
        self.row(tr("Largest joint step"), self.step)
        self.row(tr("Tip looped ahead"), self.tip)
        self.add(self.whole)
        self.finish()

    def values(self, job: CutBack) -> tuple[float | None, ...]:
        """The limits; nothing where there is none."""
        limits = job.limits
        step = None if math.isinf(limits.largest_step) else limits.largest_step
        return limits.shortest or None, step, limits.tip_linear_density

    def show_job(self, job: CutBack) -> None:
        """Show whether the front taper is to stay whole."""
        self.whole.setChecked(job.limits.keep_front_taper)
        if self.fold is not None:
            given = replace(job.limits, extra={}) != Limits()
            self.fold.summarize(tr("set") if given else tr("none"))

    def show_study(self) -> None:
        """Say which limit stops the cut."""
        staged = self.case.study.staged if self.case.study else None
        stops = staged.limit if isinstance(staged, NoPlan) else None
        for field, limit in (
            (self.shortest, Limit.SHORTEST_HEAD),
            (self.step, Limit.JOINT_STEP),
            (self.whole, Limit.FRONT_TAPER),
        ):
            field.setAccessibleDescription(
                tr("This limit stops the cut.") if limit is stops else ""
            )
        if stops is not None and self.fold is not None:
            self.fold.open()

    def _typed(self, _value: float | None) -> bool:
        job, step = self.case.job, self.step.value()
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
        super().__init__(case, tr("Scale and tape"), folded=True)
        scale, tape, check = tr("The scale reads to"), tr("The tape reads to"), _above_zero
        tip = tr("The smallest step that the scale shows.")
        self.scale = self.field(SMALL_WEIGHT, scale, self._typed, tip=tip, check=check)
        tip = tr("The smallest step of the tape; cuts are rounded to it.")
        self.tape = self.field(SHORT_LENGTH, tape, self._typed, tip=tip, check=check)
        self.row(scale, self.scale)
        self.row(tape, self.tape)
        self.finish()

    def values(self, job: CutBack) -> tuple[float | None, ...]:
        """The steps."""
        return job.instruments.scale, job.instruments.tape

    def show_study(self) -> None:
        """Say in the one line what they read to."""
        job = self.case.job
        if job is not None and self.fold is not None:
            steps = Sentence(
                "{scale}, {tape}",
                scale=SmallWeight(job.instruments.scale),
                tape=Mark(job.instruments.tape, job.instruments.tape),
            )
            self.fold.summarize(self.case.place.read(steps))

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
