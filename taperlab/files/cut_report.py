"""A planned cut-back: as text to read, as JSON for scripts, as rows of a table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from taperlab.files.report import figure
from taperlab.model.cut_log import CutBack, CutEnd
from taperlab.model.line import Line
from taperlab.shop.cut_back.goal import Goal, NoPlan
from taperlab.shop.cut_back.last_weighing import cannot_see
from taperlab.shop.cut_back.one_cut import Figures, Plan
from taperlab.shop.cut_back.order import EndCut, in_order, work_words
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Stage, Why
from taperlab.shop.cut_back.terms import terms_of
from taperlab.shop.cut_back.words import give_or_take, loops_to_make
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import LENGTH, WEIGHT, Kind, System
from taperlab.units.sentence import (
    NOTHING,
    OnTape,
    Ratio,
    Sentence,
    Share,
    Value,
    Weight,
    listed,
    of_table,
    one_after_another,
    render,
)
from taperlab.units.show import show_mark

SCHEMA = 1

END_NAMES = {CutEnd.FRONT: "fly", CutEnd.REAR: "rod"}


def as_json(
    job: CutBack,
    goal: Goal,
    before: Figures,
    answer: Staged | NoPlan,
    *,
    weighed: bool,
    doubt: Sentence | None = None,
) -> dict[str, Any]:
    """The plan for scripts. Weights and lengths are those of the head.

    before: the uncut head. answer: the plan, or why there is none. weighed: whether a reading of
    the scale is in it. doubt: why the line's measurement is not. The stages take it that
    the head is weighed before the first cut.

    Names, units and meaning of these keys never change; more may be added.
    """
    staged = answer if isinstance(answer, Staged) else None
    plan = staged.whole if staged and isinstance(staged.whole, Plan) else None
    no = no_answer(answer)
    mass = staged.target if staged else None if goal.by_length else goal.value
    cuts = _whole_way(job, plan) if plan else ()
    return {
        "schema": SCHEMA,
        "target_gr": figure(mass, "gr", WEIGHT),
        "from": str(job.end),
        "weighed": weighed,
        "before": {
            "length_ft": figure(before.length, "ft", LENGTH),
            "weight_gr": figure(before.mass, "gr", WEIGHT),
        },
        "cut": _single(plan) if plan and len(cuts) == 1 else None,
        "cuts": [_cut(each) for each in cuts],
        "after": _after_json(plan) if plan else None,
        "stages": [_stage(stage, job) for stage in staged.stages] if staged and not no else [],
        "remarks": [str(sentence) for sentence in _remarks(job, plan, doubt)],
        "cannot_see": [str(each) for each in cannot_see(mass, terms_of(job))] if mass else [],
        "why": str(no.sentence) if no else None,
    }


def no_answer(answer: Staged | NoPlan) -> NoPlan | None:
    """Why no cut does what was asked, where none does."""
    if isinstance(answer, NoPlan):
        return answer
    return answer.whole if isinstance(answer.whole, NoPlan) else None


def _single(plan: Plan) -> dict[str, Any]:
    blade = plan.front_blade if plan.front_cut > 0.0 else plan.rear_blade
    return {
        "length_ft": figure(plan.cut_length, "ft", LENGTH),
        "weight_gr": figure(plan.cut_mass, "gr", WEIGHT),
        "position_ft": figure(blade, "ft", LENGTH),
    }


def _cut(cut: EndCut) -> dict[str, Any]:
    """A cut of the whole way; from_that_end_ft is in whole steps of the tape."""
    return {
        "end": END_NAMES[cut.end],
        "length_ft": figure(cut.length, "ft", LENGTH),
        "weight_gr": figure(cut.mass, "gr", WEIGHT),
        "from_that_end_ft": figure(cut.mark, "ft", LENGTH),
    }


def _after_json(plan: Plan) -> dict[str, Any]:
    return {
        "length_ft": figure(plan.after.length, "ft", LENGTH),
        "weight_gr": figure(plan.after.mass, "gr", WEIGHT),
        "ratio": plan.after.ratio,
        "front_taper_weight_share": plan.after.front_taper_mass_share,
    }


def _stage(stage: Stage, job: CutBack) -> dict[str, Any]:
    work = in_order(stage.front, stage.rear, job.instruments.tape)
    return {
        "cut_length_ft": figure(stage.length, "ft", LENGTH),
        "expected_weight_gr": figure(stage.expected, "gr", WEIGHT),
        "plus_minus_gr": figure(stage.plus_minus, "gr", WEIGHT),
        "should_read_gr": figure(stage.before_loops, "gr", WEIGHT),
        "cuts": [
            {"end": END_NAMES[cut.end], "from_that_end_ft": figure(cut.mark, "ft", LENGTH)}
            for cut in work
        ],
    }


def _whole_way(job: CutBack, plan: Plan) -> tuple[EndCut, ...]:
    masses = plan.front_offcut, plan.rear_offcut
    return in_order(plan.front_cut, plan.rear_cut, job.instruments.tape, masses)


def as_text(
    name: str,
    job: CutBack,
    staged: Staged,
    system: System,
    *,
    weighed: bool,
    doubt: Sentence | None = None,
) -> str:
    """The plan of the line of this name for reading, ending in a line break.

    The stages come first: they are what is to be done. Raises ValueError where there is no plan.
    """
    plan = staged.whole
    if not isinstance(plan, Plan):
        raise ValueError("there is no plan")
    before = plan.before
    rows = [
        Sentence(
            "{line}: cut back to {target}",
            line=" ".join(name.split()),
            target=Weight(staged.target),
        ),
        NOTHING,
        Sentence(
            "Before    {length}, {mass}", length=OnTape(before.length), mass=Weight(before.mass)
        ),
        NOTHING,
        *([doubt] if doubt else []),
        Sentence("A cut is final: go there in stages and weigh after each.")
        if weighed
        else Sentence(
            "A cut is final: weigh the head first and give the reading with --scale; then go there "
            "in stages and weigh after each."
        ),
    ]
    for number, stage in enumerate(staged.stages, start=1):
        cuts = in_order(stage.front, stage.rear, job.instruments.tape)
        rows.append(
            Sentence(
                "Stage {number}   {work} Then the scale should read {mass}.",
                number=number,
                work=one_after_another(work_words(cuts)),
                mass=give_or_take(stage.before_loops, stage.plus_minus),
            )
        )
    if staged.stop and (staged.stop.why is not Why.DONE or not staged.stages):
        rows.append(staged.stop.sentence)
    rows += [
        NOTHING,
        Sentence("If you cut all the way"),
        Sentence(
            "Cut       {work} {mass} comes off.",
            work=one_after_another(work_words(_whole_way(job, plan))),
            mass=Weight(plan.cut_mass),
        ),
        _after(plan),
        NOTHING,
        *_remarks(job, plan),
        *cannot_see(staged.target, terms_of(job)),
    ]
    blade, fumes = caution(Topic.BLADE), caution(Topic.FUMES)
    cautions = Sentence(
        "Caution: {blade} {fumes} {defer}",
        blade=of_table(blade.text),
        fumes=of_table(fumes.text),
        defer=of_table(blade.defer),
    )
    return "\n".join(render(row, system) for row in [*rows, NOTHING, cautions]) + "\n"


def _after(plan: Plan) -> Sentence:
    after = plan.after
    share = Share(after.front_taper_mass_share)
    figures: list[Value] = [OnTape(after.length), Weight(after.mass)]
    if after.ratio is not None:
        figures.append(Sentence("ratio {ratio}", ratio=Ratio(after.ratio)))
    figures.append(Sentence("front taper {share} of the weight", share=share))
    return Sentence("After     {figures}", figures=listed(*figures))


def _remarks(job: CutBack, plan: Plan | None, doubt: Sentence | None = None) -> list[Sentence]:
    said = [doubt] if doubt else []
    if plan is None:
        return said
    return [*said, *(finding.sentence for finding in plan.findings), *loops_to_make(terms_of(job))]


# -- a table of plans --------------------------------------------------------------------------

PLANS = (
    "name",
    "line",
    "before [ft]",
    "before [gr]",
    "to [gr]",
    "stage",
    "from rod end",
    "from fly end",
    "from rod end [ft]",
    "from fly end [ft]",
    "should read [gr]",
    "plus minus [gr]",
    "remark",
)


def plan_rows(
    name: str,
    line: Line,
    job: CutBack,
    before: Figures,
    answer: Staged | NoPlan,
    *,
    doubt: Sentence | None = None,
) -> Sequence[tuple[str, ...]]:
    """The rows of a head in a table of plans: one for each stage, or one that says why not."""
    start: tuple[str, ...] = (
        name,
        line.name,
        _plain(before.length, "ft", LENGTH),
        _plain(before.mass, "gr", WEIGHT),
    )
    if no := no_answer(answer):
        return [(*start, *("",) * 8, str(no.sentence))]
    assert isinstance(answer, Staged)
    start = (*start, _plain(answer.target, "gr", WEIGHT))
    plan = answer.whole if isinstance(answer.whole, Plan) else None
    remark = " ".join(map(str, _remarks(job, plan, doubt)))
    if not answer.stages:
        stop = str(answer.stop.sentence) if answer.stop else ""
        return [(*start, *("",) * 7, f"{stop} {remark}".strip())]
    tape = job.instruments.tape
    rows = []
    for number, stage in enumerate(answer.stages, start=1):
        ends = (stage.rear, stage.front)
        marks = (show_mark(length, tape) if length else "" for length in ends)
        feet = (_plain(length, "ft", LENGTH) if length else "" for length in ends)
        rows.append(
            (
                *start,
                str(number),
                *marks,
                *feet,
                _plain(stage.before_loops, "gr", WEIGHT),
                _plain(stage.plus_minus, "gr", WEIGHT),
                remark if number == 1 else "",
            )
        )
    return rows


def _plain(value: float, unit: str, kind: Kind) -> str:
    return f"{figure(value, unit, kind):.4f}"
