"""How deep a rig fishes, on paper: the figure, how sure it is, how it is fished, what it omits."""

from __future__ import annotations

from taperlab.gui.paper.layout.blocks import (
    Block,
    Column,
    HeadBlock,
    Heading,
    Paragraph,
    Sheet,
    Table,
    number,
)
from taperlab.gui.paper.parts import cautions_of, today
from taperlab.shop.water.together import Together
from taperlab.shop.water.words import (
    LOCAL_RULES,
    aside_words,
    causes,
    depth_words,
    effect_words,
    fished_words,
    ratio_words,
    remarks,
    swing_words,
)
from taperlab.trade.cautions import Topic
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import heading

TOPICS = (Topic.HOOK, Topic.OVERLOADED_ROD)


def water_sheet(found: Together, names: tuple[str, ...]) -> Sheet:
    """The sheet of rigs in one current, by their names, the one looked at first."""
    focus = found.focus
    blocks: list[Block] = [
        HeadBlock(names[0], tr("In the water"), today()),
        Paragraph(Sentence("{how}.", how=swing_words(found.fishing))),
        Paragraph(depth_words(focus), bold=True),
        Paragraph(aside_words(found.aside)),
    ]
    if effects := causes(focus):
        rows = tuple((heading(each.cause), effect_words(each)) for each in effects)
        columns = Column(tr("Cause")), number(tr("Moves it"))
        blocks += [Heading(tr("What makes it so wide")), Table(columns, rows)]
    blocks.append(Heading(tr("How it is fished")))
    blocks += [Paragraph(each) for each in fished_words(focus)]
    others = tuple(
        (name, ratio_words(ratio)) for name, ratio in zip(names[1:], found.against, strict=True)
    )
    if others:
        blocks += [
            Heading(tr("Beside it")),
            Table((Column(tr("Rig")), number(tr("Depth"))), others),
        ]
    blocks.append(Heading(tr("To keep in mind")))
    blocks += [Paragraph(each) for each in remarks(focus)]
    blocks += cautions_of(TOPICS, [LOCAL_RULES])
    return Sheet(names[0], tuple(blocks), subject=tr("In the water"))
