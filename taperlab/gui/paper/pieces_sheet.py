"""A cutting plan on paper: what is cut from what, how heads are built, what the scale reads."""

from __future__ import annotations

from taperlab.gui.paper.layout.blocks import (
    Block,
    Cell,
    Column,
    HeadBlock,
    Heading,
    Paragraph,
    Sheet,
    Table,
    Tick,
    WriteIn,
    number,
)
from taperlab.gui.paper.parts import cautions_of, today
from taperlab.shop.pieces.outcome import PiecesStudy
from taperlab.shop.pieces.remarks import remarks
from taperlab.shop.pieces.words import (
    checkpoint_words,
    cut_words,
    gap_words,
    order_words,
    piece_name,
)
from taperlab.trade.cautions import Topic
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, Several, Unbroken, Weight

TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES)


def pieces_sheet(found: PiecesStudy) -> Sheet:
    """The sheet of a cutting plan, with room to tick each cut and to write what was weighed."""
    names = Several(tuple(dict.fromkeys(head.line.name for head in found.heads)))
    columns = (
        Column(tr("Stock")),
        Column(tr("Cuts, from its front"), bold=True, grow=2.0),
        number(tr("Left")),
        Column(tr("Done")),
    )
    rows = tuple(
        (
            each.stock.name,
            Several(tuple(Unbroken(OnTape(length)) for length in each.cuts)),
            OnTape(each.left),
            Tick(),
        )
        for each in found.plan
    )
    blocks: list[Block] = [
        HeadBlock(
            tr("Cutting plan"), under=Sentence("{names} · {date}", names=names, date=today())
        ),
        Heading(tr("Cut from the stock")),
        Table(columns, rows),
        Paragraph(gap_words(found)),
    ]
    for at, head in enumerate(found.heads):
        blocks += _head(found, at, head.name)
    blocks += [Heading(tr("Order of joining")), Paragraph(order_words())]
    blocks += cautions_of(TOPICS, [each.sentence for each in remarks(found)])
    return Sheet(tr("Cutting plan"), tuple(blocks), subject=tr("Cutting plan"))


def _head(found: PiecesStudy, at: int, name: str) -> list[Block]:
    pieces = list(found.of_head(at))
    if not pieces:
        return []
    columns = (
        Column("", bold=True, grow=0.0),
        Column(tr("Piece, from the fly end"), grow=2.0),
        number(tr("Cut"), bold=True),
        number(tr("Finished")),
        number(tr("Weigh before bevel")),
        number(tr("In the head")),
        Column(tr("Weighed")),
    )
    rows = tuple(
        (
            str(i),
            Cell(piece_name(each, found.heads[at]), below=(cut_words(each),)),
            OnTape(each.cut),
            OnTape(each.finished),
            Weight(each.cut_mass),
            Weight(each.mass),
            WriteIn(),
        )
        for i, each in enumerate(pieces, 1)
    )
    blocks: list[Block] = [Heading(name), Table(columns, rows)]
    build = found.builds[at]
    if build is not None:
        points = tuple((checkpoint_words(each, build), WriteIn()) for each in found.checkpoints(at))
        blocks.append(Table((Column(tr("On the scale"), grow=2.0), Column(tr("reads"))), points))
    return blocks
