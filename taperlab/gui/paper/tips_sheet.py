"""The tips of a head on paper: one row a tip, with its verdict and its depth."""

from __future__ import annotations

import math

from taperlab.gui.paper.layout.blocks import (
    NOTE,
    Cell,
    Column,
    Entry,
    HeadBlock,
    Heading,
    Paragraph,
    Sheet,
    Table,
    number,
)
from taperlab.gui.paper.parts import cautions_of, today
from taperlab.shop.tips.study import TipRow, TipsStudy
from taperlab.shop.tips.words import fished_words, sink_words, verdict
from taperlab.shop.water.words import LOCAL_RULES, NOT_COUNTED, depth_in_short
from taperlab.trade.cautions import Topic
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Ratio, Sentence, Weight, WeightPerLength

TOPICS = (Topic.BLADE, Topic.TUNGSTEN_DUST, Topic.LEAD, Topic.OVERLOADED_ROD, Topic.HOOK)


def tips_sheet(study: TipsStudy) -> Sheet:
    """The sheet of all tips on a head, the deepest first."""
    question = study.question
    fishing, rod = question.fishing, question.rod
    fished = fished_words(fishing.speed, fishing.angle, question.leader, question.fly)
    columns = (
        Column(tr("Tip"), grow=2.0),
        number(tr("Length"), points=NOTE),
        number(tr("Weight"), points=NOTE),
        number(tr("Front"), points=NOTE),
        number(tr("Rear"), points=NOTE),
        number(tr("Step"), points=NOTE),
        number(tr("Rig"), points=NOTE),
        number(tr("Ratio"), points=NOTE),
        number(tr("Sinks"), points=NOTE),
        number(tr("Depth"), bold=True),
    )
    rows = sorted(study.rows, key=lambda row: (math.isnan(row.middle), -row.middle))
    name = Sentence("Tips on {head}", head=question.head.name)
    under = Sentence("On {rod} · {date}", rod=rod.name, date=today()) if rod else today()
    blocks = (
        HeadBlock(name, tr("Tips"), under),
        Paragraph(Sentence("Depth of the fly {fished}.", fished=fished)),
        Table(columns, tuple(_row(row, study) for row in rows)),
        Heading(tr("What the depths leave out")),
        Paragraph(NOT_COUNTED, points=NOTE),
        *cautions_of(TOPICS, [LOCAL_RULES]),
    )
    return Sheet(name, blocks, subject=tr("Tips"))


def _row(row: TipRow, study: TipsStudy) -> tuple[Entry, ...]:
    return (
        Cell(row.line.name, below=(verdict(row, study).words,), bold=True),
        OnTape(row.length),
        Weight(row.mass),
        WeightPerLength(row.front),
        WeightPerLength(row.joint.ahead),
        Ratio(row.joint.step),
        Weight(row.rig_mass),
        "–" if math.isnan(row.ratio) else Ratio(row.ratio),
        sink_words(row),
        depth_in_short(row.water),
    )
