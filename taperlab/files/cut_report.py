"""A planned cut-back: as text to read, as JSON for scripts."""

from __future__ import annotations

from typing import Any

from taperlab.files.report import figure
from taperlab.model.cut_log import CutBack
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Why
from taperlab.shop.cut_back.terms import terms_of
from taperlab.shop.cut_back.words import (
    blade_words,
    cut_words,
    give_or_take,
    listed,
    loops_to_make,
)
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import LENGTH, WEIGHT, System
from taperlab.units.sentence import (
    NOTHING,
    OnTape,
    Ratio,
    Sentence,
    Share,
    Value,
    Weight,
    of_table,
    render,
)

SCHEMA = 1


def as_json(job: CutBack, plan: Plan, staged: Staged, *, weighed: bool) -> dict[str, Any]:
    """The plan for scripts. Weights and lengths are those of the head.

    plan: the cut of the uncut head in one go. weighed: whether a reading of the scale is in it. The
    stages take it that the head is weighed before the first cut.

    Names, units and meaning of these keys never change; more may be added.
    """
    return {
        "schema": SCHEMA,
        "target_gr": figure(staged.target, "gr", WEIGHT),
        "from": str(job.end),
        "weighed": weighed,
        "before": {
            "length_ft": figure(plan.before.length, "ft", LENGTH),
            "weight_gr": figure(plan.before.mass, "gr", WEIGHT),
        },
        "cut": {
            "length_ft": figure(plan.cut_length, "ft", LENGTH),
            "weight_gr": figure(plan.cut_mass, "gr", WEIGHT),
            "position_ft": figure(_blade(plan), "ft", LENGTH),
        },
        "after": {
            "length_ft": figure(plan.after.length, "ft", LENGTH),
            "weight_gr": figure(plan.after.mass, "gr", WEIGHT),
            "ratio": plan.after.ratio,
            "front_taper_weight_share": plan.after.front_taper_mass_share,
        },
        "stages": [
            {
                "cut_length_ft": figure(stage.length, "ft", LENGTH),
                "expected_weight_gr": figure(stage.expected, "gr", WEIGHT),
                "plus_minus_gr": figure(stage.plus_minus, "gr", WEIGHT),
            }
            for stage in staged.stages
        ],
        "remarks": [str(sentence) for sentence in _remarks(job, plan)],
    }


def as_text(
    name: str, job: CutBack, plan: Plan, staged: Staged, system: System, *, weighed: bool
) -> str:
    """The plan of the line of this name for reading, ending in a line break."""
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
        Sentence(
            "Cut       {cut}, {mass}: blade at {blade} from the fly end",
            cut=cut_words(plan.front_cut, plan.rear_cut),
            mass=Weight(plan.cut_mass),
            blade=blade_words(plan.front_cut, plan.rear_cut, before.length),
        ),
        _after(plan),
        NOTHING,
        Sentence("A cut is final: go there in stages and weigh after each.")
        if weighed
        else Sentence(
            "A cut is final: weigh the head first and give the reading with --scale; then go there "
            "in stages and weigh after each."
        ),
    ]
    length = before.length
    for number, stage in enumerate(staged.stages, start=1):
        rows.append(
            Sentence(
                "Stage {number}   {cut}, at {blade} from the fly end of what is left: then {mass}",
                number=number,
                cut=cut_words(stage.front, stage.rear),
                blade=blade_words(stage.front, stage.rear, length),
                mass=give_or_take(stage.expected, stage.plus_minus),
            )
        )
        length -= stage.length
    remarks = _remarks(job, plan)
    if staged.stop and (staged.stop.why is not Why.DONE or not staged.stages):
        remarks.append(staged.stop.sentence)
    rows += [NOTHING, *remarks] if remarks else []
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


def _remarks(job: CutBack, plan: Plan) -> list[Sentence]:
    return [*(finding.sentence for finding in plan.findings), *loops_to_make(terms_of(job))]


def _blade(plan: Plan) -> float:
    return plan.front_blade if plan.front_cut > 0.0 else plan.rear_blade
