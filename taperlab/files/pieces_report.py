"""Pieces for scripts, and as text to read."""

from __future__ import annotations

from typing import Any

from taperlab.files.report import aligned, figure
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.shop.pieces.material import Fit
from taperlab.shop.pieces.outcome import PiecesStudy
from taperlab.shop.pieces.words import (
    checkpoint_words,
    cut_words,
    gap_words,
    left_out_words,
    order_words,
    piece_name,
    weigh_first_words,
)
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import LENGTH, WEIGHT, WEIGHT_PER_LENGTH, System
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, WeightPerLength, of_table, render
from taperlab.units.show import show

SCHEMA = 1

_FITS = {
    Fit.GOOD: "good",
    Fit.CLOSE: "close",
    Fit.COMPROMISE: "compromise",
    Fit.NONE: "none",
    Fit.STEP: "step",
}


def as_json(found: PiecesStudy) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added."""
    return {
        "schema": SCHEMA,
        "pieces": [
            {
                "line": found.heads[each.head].name,
                "segment": each.row + 1,
                "last_segment": each.last_row + 1,
                "step": each.step + 1,
                "steps": each.steps,
                "stock": each.stock.name,
                "from_ft": figure(each.begin, "ft", LENGTH),
                "reversed": each.turned,
                "cut_length_ft": figure(each.cut, "ft", LENGTH),
                "finished_length_ft": figure(each.finished, "ft", LENGTH),
                "weight_gr": figure(each.mass, "gr", WEIGHT),
                "weigh_before_bevel_gr": figure(each.cut_mass, "gr", WEIGHT),
                "worst_gr_per_ft": figure(abs(each.worst), "gr/ft", WEIGHT_PER_LENGTH),
                "fit": _FITS[each.fit],
            }
            for each in found.pieces
        ],
        "plan": [
            {
                "stock": each.stock.name,
                "cuts": [figure(length, "ft", LENGTH) for length in each.cuts],
                "left_ft": figure(each.left, "ft", LENGTH),
            }
            for each in found.plan
        ],
        "short": [
            {
                "kind": each.kind,
                "uncut_ft": [figure(length, "ft", LENGTH) for length in each.uncut],
                "why": str(each.why),
            }
            for each in found.short
        ],
        "left_out": [
            {"line": head.name, "segment": row + 1, "part": str(segment.part)}
            for number, head in enumerate(found.heads)
            for (_, row, _), segment in found.left_out(number)
        ],
        "proved": found.proved,
        "gap_ft": figure(found.gap, "ft", LENGTH),
        "checkpoints": [
            {
                "line": head.name,
                "after_piece": point.after,
                "weight_gr": figure(point.mass, "gr", WEIGHT),
                "pm_gr": figure(point.reach, "gr", WEIGHT),
                "adds_gr": figure(point.adds, "gr", WEIGHT),
                "adds_pm_gr": figure(point.adds_reach, "gr", WEIGHT),
                "not_bevelled_gr": figure(point.spare, "gr", WEIGHT),
                "trim_in_per_gr": None if point.trim is None else point.trim * GRAIN / INCH,
            }
            for number, head in enumerate(found.heads)
            for point in found.checkpoints(number)
        ],
    }


def as_text(found: PiecesStudy, system: System) -> str:
    """For reading, ending in a line break."""
    blocks: list[str] = []
    names = [tr("piece"), tr("cut"), tr("finished"), tr("weighs"), tr("before bevel"), tr("off by")]
    for number, head in enumerate(found.heads):
        rows = [names]
        ways: list[str] = []
        for each in found.of_head(number):
            rows.append(
                [
                    render(piece_name(each, head), system),
                    render(Sentence("{length}", length=OnTape(each.cut)), system),
                    render(Sentence("{length}", length=OnTape(each.finished)), system),
                    show(each.mass, WEIGHT, system),
                    show(each.cut_mass, WEIGHT, system),
                    render(Sentence("{off}", off=WeightPerLength(abs(each.worst))), system),
                ]
            )
            ways.append(render(cut_words(each), system))
        said = [head.name]
        if len(rows) > 1:
            said += [aligned(rows, right_from=1), *ways]
        build = found.builds[number]
        if build is not None:
            said += [
                render(checkpoint_words(point, build), system)
                for point in found.checkpoints(number)
            ]
            if first := weigh_first_words(found, number):
                said.append(render(first, system))
        blocks.append("\n".join(said))
    stock = [
        [
            each.stock.name,
            ", ".join(render(Sentence("{a}", a=OnTape(cut)), system) for cut in each.cuts),
            render(Sentence("{left} left", left=OnTape(each.left)), system),
        ]
        for each in found.plan
    ]
    if stock:
        blocks.append("\n".join([aligned(stock, right_from=2), render(gap_words(found), system)]))
    if found.pieces:
        blocks += [render(each, system) for each in left_out_words(found)]
        blocks.append(render(order_words(), system))
        blocks.append(render(_cautions(found), system))
    return "\n\n".join(blocks) + "\n" if blocks else ""


def _cautions(found: PiecesStudy) -> Sentence:
    """What to mind: the blade, and where pieces are welded, heat and fumes."""
    blade, heat, fumes = (caution(each) for each in (Topic.BLADE, Topic.HEAT, Topic.FUMES))
    cutting = Sentence(
        "Caution: {blade} {defer}", blade=of_table(blade.text), defer=of_table(blade.defer)
    )
    if not any(end.lap or end.strip for each in found.pieces for end in each.ends):
        return cutting
    return Sentence(
        "{cutting} {heat} {defer} {fumes} {also}",
        cutting=cutting,
        heat=of_table(heat.text),
        defer=of_table(heat.defer),
        fumes=of_table(fumes.text),
        also=of_table(fumes.defer),
    )
