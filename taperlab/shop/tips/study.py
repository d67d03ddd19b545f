"""Which of the tips on a bench suits a head, and how deep each fishes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from taperlab.model.bench import Bench, keyed
from taperlab.model.line import Line
from taperlab.model.rig import Fly, Leader, Rig
from taperlab.model.rod import Rod
from taperlab.physics.head import head_of, head_problem, is_tip
from taperlab.physics.tight_line import State
from taperlab.shop.analyse import LineAnalysis, analyse_line
from taperlab.shop.rig import Carry, Looped, RigJoint, looped, tied
from taperlab.shop.steps import Steps, finish, part
from taperlab.shop.water import study as water
from taperlab.shop.water.band import Against
from taperlab.shop.water.fishing import Fishing
from taperlab.shop.water.study import WaterStudy
from taperlab.trade.styles import counts_tip
from taperlab.units.finding import Finding


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: these tips on this head, on this rod, fished like this with these tied on."""

    head: Line
    tips: tuple[Line, ...]
    rod: Rod | None
    fishing: Fishing
    leader: Leader | None = None
    fly: Fly | None = None

    def is_like(self, other: Question | None) -> bool:
        """Whether it asks the same of the same things."""
        return (
            other is not None
            and self.wets_like(other)
            and self.rod is other.rod
            and len(self.tips) == len(other.tips)
            and all(mine is theirs for mine, theirs in zip(self.tips, other.tips, strict=True))
        )

    def wets_like(self, other: Question) -> bool:
        """Whether a tip that both ask of lies alike in the water of both."""
        mine, theirs = ((q.fishing, q.leader, q.fly) for q in (self, other))
        return self.head is other.head and mine == theirs


@dataclass(frozen=True, eq=False, slots=True)
class TipRow:
    """One tip on the head.

    line: as it lies on the bench. analysis: of the tip alone, without any running line. joint:
    where it meets the head. mass, length: of the tip [kg], [m]. rig_mass: of what is cast
    [kg]. ratio: length of what practice counts over that of the rod; nan without a rod. slowest,
    fastest: sink rate over its length [m/s]. water: as it is fished. against: its depth over that
    of the deepest that does not hinge; None for that one itself, and where one of both has none.
    """

    line: Line
    analysis: LineAnalysis
    joint: RigJoint
    mass: float
    length: float
    rig_mass: float
    ratio: float
    slowest: float
    fastest: float
    water: WaterStudy
    against: Against | None = None

    @property
    def front(self) -> float:
        """Mass per length at its fly end [kg/m]."""
        return self.analysis.segments[0].front_linear_density

    @property
    def carry(self) -> Carry:
        """Whether the head carries it; a step within a caliper's error is not judged."""
        return self.joint.carry

    @property
    def middle(self) -> float:
        """The middle of its depth [m], for whatever sorts or finds by depth; nan on the bottom."""
        return middle_of(self.water)


@dataclass(frozen=True, eq=False, slots=True)
class TipsStudy:
    """All tips on a head. head: its analysis, without any running line.

    deepest: row of the deepest that does not hinge, None where there is none with a depth.
    """

    question: Question
    head: LineAnalysis
    rows: tuple[TipRow, ...]
    deepest: int | None

    @property
    def best(self) -> TipRow | None:
        """The deepest tip that does not hinge."""
        return None if self.deepest is None else self.rows[self.deepest]

    def row(self, key: str) -> TipRow | None:
        """The row of a tip, if it is there."""
        return next((row for row in self.rows if row.line.key == key), None)


# -- what of a bench is a tip ------------------------------------------------------------------


def tips_of(bench: Bench) -> tuple[Line, ...]:
    """The tips of a bench that can be looped to a head."""
    return tuple(
        line for line in bench.lines if is_tip(line, bench.water) and not head_problem(line)
    )


def left_out(bench: Bench) -> tuple[tuple[Line, Finding], ...]:
    """The tips of a bench that can't be looped, each with why."""
    return tuple(
        (line, problem)
        for line in bench.lines
        if is_tip(line, bench.water) and (problem := head_problem(line))
    )


def heads_of(bench: Bench) -> tuple[Line, ...]:
    """The lines of a bench that tips can be looped to."""
    return tuple(
        line for line in bench.lines if not is_tip(line, bench.water) and not head_problem(line)
    )


def head_in_hand(bench: Bench) -> Line | None:
    """The head that tips are looped to: that of the rig shown, the current line, or the first."""
    heads = heads_of(bench)
    current, rig = bench.current_line, bench.current_rig
    if rig is not None:
        current = keyed(bench.lines, rig.head)
    if any(each is current for each in heads):
        return current
    return next(iter(heads), None)


def question_of(bench: Bench) -> Question | None:
    """What is asked of a bench; None without a head."""
    head = head_in_hand(bench)
    if head is None:
        return None
    rig = tied(Rig("tips", head.name, head.key), bench)
    fishing = Fishing.of(bench.swing, bench.water)
    return Question(head, tips_of(bench), bench.chosen_rod, fishing, rig.leader, rig.fly)


# -- the study ---------------------------------------------------------------------------------


def study(question: Question, known: TipsStudy | None = None) -> Steps[TipsStudy]:
    """Every tip on the head. known: an older answer, whose rows serve where nothing changed."""
    head = analyse_line(head_of(question.head), question.fishing.water)
    serves = known is not None and known.question.wets_like(question)
    rows = []
    for i, tip in enumerate(question.tips):
        old = known.row(tip.key) if known is not None and serves else None
        waters = old.water if old is not None and _lies_like(old.line, tip) else None
        start, end = (each / len(question.tips) for each in (i, i + 1))
        rows.append((yield from part(row_of(question, tip, waters), start, end)))
    deepest = _deepest(rows)
    if deepest is not None:
        best = rows[deepest].water
        rows = [
            row if i == deepest else replace(row, against=water.compare(row.water, best))
            for i, row in enumerate(rows)
        ]
    return TipsStudy(question, head, tuple(rows), deepest)


def _lies_like(one: Line, other: Line) -> bool:
    """Whether two lines differ by no more than what they are called."""
    return one is other or replace(one, name=other.name, note=other.note) == other


def study_now(question: Question) -> TipsStudy:
    """The same, done here and now."""
    return finish(study(question))


def row_of(question: Question, tip: Line, known: WaterStudy | None = None) -> Steps[TipRow]:
    """One tip on the head. known: how it is fished, where that is known already."""
    rig = looped(question.head, [tip], leader=question.leader, fly=question.fly)
    alone = analyse_line(rig.spans[0].line, question.fishing.water)
    sink = alone.curves.sink
    rod = question.rod
    fished = known if known is not None else (yield from water.study(rig, question.fishing))
    return TipRow(
        line=tip,
        analysis=alone,
        joint=rig.joints[0],
        mass=alone.mass,
        length=alone.length,
        rig_mass=rig.mass,
        ratio=_counted(question.head, rig) / rod.length if rod is not None else math.nan,
        slowest=float(sink.min()),
        fastest=float(sink.max()),
        water=fished,
    )


def _counted(head: Line, rig: Looped) -> float:
    """The length [m] that the practice of a head's style counts."""
    return rig.cast.length if counts_tip(head.style) else head_of(head).length


def middle_of(found: WaterStudy) -> float:
    """The middle of the band of a depth [m]; nan where it lies on the bottom."""
    if found.state is State.BOTTOM:
        return math.nan
    return float(found.depths[1])


def _deepest(rows: Iterable[TipRow]) -> int | None:
    """The deepest that does not hinge and does not float; one on the bottom has no depth."""
    able = [
        (row.middle, -i)
        for i, row in enumerate(rows)
        if row.carry is not Carry.HINGES and row.middle > 0.0
    ]
    return -max(able)[1] if able else None
