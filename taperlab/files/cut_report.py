"""A planned cut-back: as text to read, as JSON for scripts."""

from __future__ import annotations

from typing import Any

from taperlab.files.figures import figure
from taperlab.model.line import Line
from taperlab.shop.cut_back.plan import Plan
from taperlab.shop.cut_back.staging import Staged, Stop, Why
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import LENGTH, RATIO, SHARE, WEIGHT, System
from taperlab.units.sentences import in_units
from taperlab.units.show import show, show_eighths

SCHEMA = 1


def as_json(plan: Plan, staged: Staged, end: str, *, weighed: bool) -> dict[str, Any]:
    """The plan for scripts. Weights and lengths are those of the head.

    weighed: whether a reading of the scale is in it. The stages take it that the head is weighed
    before the first cut.

    Names, units and meaning of these keys never change; more may be added.
    """
    return {
        "schema": SCHEMA,
        "target_gr": figure(staged.target, "gr", WEIGHT),
        "from": end,
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
        "remarks": [str(finding.sentence) for finding in plan.findings],
    }


def as_text(
    line: Line, plan: Plan, staged: Staged, end: str, system: System, *, weighed: bool
) -> str:
    """The plan for reading, ending in a line break."""
    before, after = plan.before, plan.after
    ratio = "" if after.ratio is None else f", ratio {show(after.ratio, RATIO, system)}"
    rows = [
        f"{' '.join(line.name.split())}: cut back to {show(staged.target, WEIGHT, system)} "
        f"from the {end}",
        "",
        f"Before    {show_eighths(before.length, system)}, {show(before.mass, WEIGHT, system)}",
        f"Cut       {show_eighths(plan.cut_length, system)} off the {end}, "
        f"{show(plan.cut_mass, WEIGHT, system)}: blade at {show_eighths(_blade(plan), system)} "
        "from the fly end",
        f"After     {show_eighths(after.length, system)}, {show(after.mass, WEIGHT, system)}{ratio}"
        f", front taper {show(after.front_taper_mass_share, SHARE, system)} of the weight",
        "",
        "A cut is final: go there in stages and weigh after each."
        if weighed
        else "A cut is final: weigh the head first and give the reading with --scale; then go "
        "there in stages and weigh after each.",
    ]
    length = before.length
    for number, stage in enumerate(staged.stages, start=1):
        where = stage.front if end == "front" else length - stage.rear
        length -= stage.length
        rows.append(
            f"Stage {number}   {show_eighths(stage.length, system)} off the {end}, at "
            f"{show_eighths(where, system)} from the fly end of what is left: then "
            f"{show(stage.expected, WEIGHT, system)} "
            f"± {show(stage.plus_minus, WEIGHT, system)}"
        )
    remarks = [finding.sentence for finding in plan.findings]
    if isinstance(staged.stop, Stop) and (staged.stop.why is not Why.DONE or not staged.stages):
        remarks.append(staged.stop.sentence)
    rows += ["", *(in_units(remark, system) for remark in remarks)] if remarks else []
    blade, fumes = caution(Topic.BLADE), caution(Topic.FUMES)
    rows += ["", f"Caution: {blade.text} {fumes.text} {blade.defer}"]
    return "\n".join(rows) + "\n"


def _blade(plan: Plan) -> float:
    return plan.front_blade if plan.front_cut > 0.0 else plan.rear_blade
