"""What each ± does to a head on paper: the sentence, the table, builds, and the two ways out."""

from __future__ import annotations

from functools import partial

from taperlab.gui.paper.layout.blocks import (
    NOTE,
    Align,
    Block,
    Column,
    HeadBlock,
    Heading,
    Paragraph,
    Sheet,
    Table,
)
from taperlab.gui.paper.layout.said import InSystem
from taperlab.gui.paper.parts import cautions_of, today
from taperlab.shop.tolerance.builds import Builds, left_on
from taperlab.shop.tolerance.columns import COLUMNS
from taperlab.shop.tolerance.study import ToleranceStudy
from taperlab.shop.tolerance.words import (
    alike_words,
    apart_words,
    balance_words,
    drag_words,
    landing_words,
    left_on_words,
    read_with,
    shrink_words,
    summary,
    weighed_words,
    weight_words,
)
from taperlab.trade.cautions import Topic
from taperlab.units.language import tr

TOPICS = (Topic.BLADE, Topic.OVERLOADED_ROD)


def tolerance_sheet(found: ToleranceStudy, landed: Builds | None) -> Sheet:
    """The sheet of what may be off of one head."""
    columns = tuple(
        Column(InSystem(each.heading), Align.RIGHT if each.is_number else Align.LEFT, points=NOTE)
        for each in COLUMNS
    )
    rows = tuple(
        tuple(InSystem(partial(each.says, cause, found)) for each in COLUMNS)
        for cause in found.causes
    )
    name = found.asked.line.name
    blocks: list[Block] = [
        HeadBlock(name, tr("Tolerances"), today()),
        Paragraph(weight_words(found), bold=True),
        Paragraph(summary(found), bold=True),
        Paragraph(apart_words(found)),
        Paragraph(weighed_words(found)),
        Paragraph(balance_words(found)),
        Heading(tr("What may be off")),
        Table(columns, rows),
    ]
    if landed is not None:
        said = (landing_words(landed), alike_words(landed), shrink_words(landed, found))
        blocks.append(Heading(tr("Builds in the grain window")))
        blocks += [Paragraph(each) for each in said if each]
    blocks += [
        Heading(tr("To be sure by the scale")),
        Paragraph(left_on_words(left_on(found), found)),
        Heading(tr("How it was read")),
        Paragraph(read_with(found)),
        Paragraph(drag_words(found)),
        *cautions_of(TOPICS),
    ]
    return Sheet(name, tuple(blocks), subject=tr("Tolerances"))
