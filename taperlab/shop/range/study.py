"""A range worked out: each member with all its figures, or why there is no such member."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from taperlab.model.bench import Bench, keyed
from taperlab.model.range import LengthRule, Member, ThicknessRule
from taperlab.physics.grading import Reach
from taperlab.physics.head import has_tip, head_of, head_problem
from taperlab.physics.profile import Profile
from taperlab.physics.water import water_state
from taperlab.shop.goals.buildable import TOOLS
from taperlab.shop.range.grade import Counted, NoMember, grade, reach_of
from taperlab.shop.range.member import MemberFigures, Question, figures_of, letter_of, settling
from taperlab.shop.range.rounding import as_built, without_goals
from taperlab.shop.steps import Steps, finish
from taperlab.shop.tips.study import tips_of
from taperlab.trade.styles import counts_tip
from taperlab.units.finding import Impossible
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence


@dataclass(frozen=True, eq=False, slots=True)
class NotMade:
    """A member that there can't be, and why."""

    asked: Member
    letter: str
    rod: float | None
    why: Sentence


@dataclass(frozen=True, eq=False, slots=True)
class RangeStudy:
    """A range.

    parent: itself, as if it were a member; None where nothing can be graded. rows: members and
    what could not be one, in order. counts: what ratios count. falls_back: the front end could not
    be held, since the parent is nowhere thicker; its shape was kept. has_no_rod: lengths were to
    follow the rod, and that of the parent is not known. why_not: why nothing can be graded.
    """

    question: Question
    parent: MemberFigures | None
    rows: tuple[MemberFigures | NotMade, ...]
    counts: Counted
    falls_back: bool
    has_no_rod: bool
    why_not: Sentence | None = None

    @property
    def members(self) -> tuple[MemberFigures, ...]:
        """Those that there are."""
        return tuple(row for row in self.rows if isinstance(row, MemberFigures))

    @property
    def refused(self) -> tuple[NotMade, ...]:
        """Those that there can't be."""
        return tuple(row for row in self.rows if isinstance(row, NotMade))


# -- what is asked -----------------------------------------------------------------------------


def question_of(bench: Bench, key: str, system: System = System.US) -> Question | None:
    """What a range of a bench asks; None where it, or its parent, is gone.

    system: whose tape and micrometer members are rounded to, where they are.
    """
    found = keyed(bench.ranges, key)
    parent = keyed(bench.lines, found.parent) if found else None
    if found is None or parent is None:
        return None
    tips = tuple(tip for tip in tips_of(bench) if tip.key != parent.key)
    tools = TOOLS[system] if found.is_rounded else None
    parent = without_goals(parent)
    return Question(parent, found, bench.rods, bench.chosen_rod, tips, bench.water, tools)


def counted_of(question: Question) -> Counted:
    """What ratios count, of the parent."""
    parent, asked = question.parent, question.range
    tip = asked.tip
    if tip is None:
        tip = question.tips[0].length if question.tips else 0.0
    if not counts_tip(parent.style) or has_tip(parent):
        tip = 0.0
    rod = asked.rod
    if rod is None and question.chosen is not None:
        rod = question.chosen.length
    return Counted(head_of(parent).length, tip, rod)


# -- the study ---------------------------------------------------------------------------------


def study(question: Question) -> Steps[RangeStudy]:
    """All members of a range."""
    problem = head_problem(question.parent)
    if problem is not None:
        nothing = Counted(1.0, 0.0, None)
        return RangeStudy(question, None, (), nothing, False, False, problem.sentence)
    counted, asked = counted_of(question), question.range
    rules = asked.length, asked.thickness
    density = water_state(question.water).density
    own = Member(Profile.of(head_of(question.parent)).total_mass, counted.rod)
    parent = figures_of(question, counted, own, "", question.parent, density)
    rows: list[MemberFigures | NotMade] = []
    falls_back = False
    for i, member in enumerate(asked.members):
        rod = member.rod if member.rod is not None else counted.rod
        line, least = member.own, None
        try:
            if line is None:
                made = grade(question.parent, member.mass, rod, counted, rules)
                falls_back = falls_back or not made.holds
                line, least = made.line, made.reach.least if made.reach else None
                if question.tools is not None:
                    line = as_built(line, member.mass, rules, question.tools, holds=made.holds)
            found = figures_of(question, counted, member, letter_of(i), line, density, parent.mass)
            rows.append(replace(found, least=least))
        except (NoMember, Impossible) as no:
            rows.append(NotMade(member, letter_of(i), rod, no.sentence))
        yield (i + 1) / len(asked.members)
    parent, *others = settling(question.water, [parent, *_made(rows)])
    settled = iter(others)
    return RangeStudy(
        question=question,
        parent=parent,
        rows=tuple(row if isinstance(row, NotMade) else next(settled) for row in rows),
        counts=counted,
        falls_back=falls_back and asked.thickness is ThicknessRule.FRONT_END,
        has_no_rod=asked.length is LengthRule.ROD and counted.rod is None,
    )


def _made(rows: Iterable[MemberFigures | NotMade]) -> list[MemberFigures]:
    return [row for row in rows if isinstance(row, MemberFigures)]


def study_now(question: Question) -> RangeStudy:
    """The same, done here and now."""
    return finish(study(question))


def reach_for(found: RangeStudy, thickness: ThicknessRule) -> Reach | None:
    """How light and how heavy a member on the parent's own rod can be under a rule."""
    if found.why_not is not None:
        return None
    rules = found.question.range.length, thickness
    return reach_of(found.question.parent, found.counts.rod, found.counts, rules)
