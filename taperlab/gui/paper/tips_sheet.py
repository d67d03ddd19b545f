"""The tips of a head on paper: one row a tip, with its verdict and its depth."""

from __future__ import annotations

import html
import math

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
from taperlab.shop.tips.study import TipRow, TipsStudy
from taperlab.shop.tips.words import fished_words, sink_words, verdict
from taperlab.shop.water.words import LOCAL_RULES, NOT_COUNTED, depth_in_short
from taperlab.trade.cautions import Topic
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import (
    OnTape,
    Ratio,
    Sentence,
    Weight,
    WeightPerLength,
    render,
)

TOPICS = (Topic.BLADE, Topic.TUNGSTEN_DUST, Topic.LEAD, Topic.OVERLOADED_ROD, Topic.HOOK)


def tips_sheet(study: TipsStudy, system: System) -> QTextDocument:
    """The sheet of all tips on a head, the deepest first."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    question = study.question
    fishing, rod = question.fishing, question.rod
    fished = fished_words(fishing.speed, fishing.angle, question.leader, question.fly)
    how = Sentence("Depth of the fly {fished}.", fished=fished)
    headings = (
        tr("Tip"),
        tr("Length"),
        tr("Weight"),
        tr("Front"),
        tr("Rear"),
        tr("Step"),
        tr("Rig"),
        tr("Ratio"),
        tr("Sinks"),
        tr("Depth"),
    )
    rows = sorted(study.rows, key=lambda row: (math.isnan(row.middle), -row.middle))
    parts = [
        paragraph(read(how)),
        table(headings, [_row(row, study, system) for row in rows]),
        title(tr("What the depths leave out")),
        paragraph(read(NOT_COUNTED)),
    ]
    on = Sentence("On {rod}", rod=rod.name) if rod is not None else None
    about = f"{render(on, system)} · {today()}" if on is not None else today()
    name = render(Sentence("Tips on {head}", head=study.question.head.name), system)
    rules = paragraph(f"<b>{read(LOCAL_RULES)}</b>")
    return sheet_of(name, about, parts, note="", warnings=[rules], topics=TOPICS)


def _row(row: TipRow, study: TipsStudy, system: System) -> tuple[str, ...]:
    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    def value(of: Weight | OnTape | Ratio | WeightPerLength) -> str:  # type: ignore[valid-type]
        return read(Sentence("{value}", value=of))

    name = f"<b>{html.escape(row.line.name)}</b><br>{read(verdict(row, study).words)}"
    return (
        name,
        value(OnTape(row.length)),
        value(Weight(row.mass)),
        value(WeightPerLength(row.front)),
        value(WeightPerLength(row.joint.ahead)),
        value(Ratio(row.joint.step)),
        value(Weight(row.rig_mass)),
        "–" if math.isnan(row.ratio) else value(Ratio(row.ratio)),
        read(sink_words(row)),
        read(depth_in_short(row.water)),
    )
