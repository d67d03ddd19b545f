"""Which head suits a rod and its water, on paper: the answer, the points, what is ruled out."""

from __future__ import annotations

from taperlab.gui.paper.layout.blocks import (
    Block,
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
from taperlab.gui.paper.layout.said import begun
from taperlab.gui.paper.parts import cautions_of, note_of, today
from taperlab.shop.which_head.changes import Change
from taperlab.shop.which_head.points import point_rows, points_text, totals
from taperlab.shop.which_head.study import HeadChoice
from taperlab.shop.which_head.words import (
    ESTIMATE,
    POINTS,
    change_words,
    length_words,
    out_words,
    outcome_words,
    room_in_short,
    sum_words,
    tip_words,
    weight_words,
)
from taperlab.trade.cautions import Topic
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import heading

TOPICS = (Topic.OVERLOADED_ROD, Topic.HOOK)


def which_head_sheet(found: HeadChoice, others: tuple[Change, ...]) -> Sheet:
    """The sheet of what suits, with the arithmetic that it stands on."""
    figure, remark = outcome_words(found)
    name = Sentence("Which head for {rod}", rod=found.rod.name)
    blocks: list[Block] = [
        HeadBlock(name, tr("Which head"), today(), begun(figure), remark),
    ]
    if found.winners:
        columns = (
            Column(tr("Style"), bold=True),
            Column(tr("Head length")),
            Column(tr("Head weight")),
            Column(tr("Tip")),
        )
        rows: tuple[tuple[Entry, ...], ...] = tuple(
            (heading(each.style), *(_lines(words(each)) for words in _WORDS))
            for each in found.winners
        )
        blocks.append(Table(columns, rows))
    if found.left:
        styles = (number(heading(style)) for style, _ in totals(found))
        points: list[tuple[Cell, ...]] = [
            (
                Cell(row.answered, below=(row.why,), bold=True),
                *(Cell(points_text(each)) for each in row.points),
            )
            for row in point_rows(found)
        ]
        sums = (Cell(points_text(each), bold=True) for _, each in totals(found))
        points.append((Cell(tr("Together"), bold=True), *sums))
        blocks += [
            Heading(tr("What speaks for each")),
            Table((Column(tr("Answer"), grow=2.0), *styles), tuple(points)),
            Paragraph(sum_words(found)),
        ]
    rooms = [
        Sentence("{style}: {room}.", style=each.style, room=room_in_short(each))
        for each in found.left
    ]
    out = [out_words(each, found) for each in found.ruled_out]
    blocks.append(Heading(tr("What is ruled out")))
    blocks += [Paragraph(begun(each)) for each in (*out, *rooms, ESTIMATE)]
    if others:
        blocks.append(Heading(tr("What would change it")))
        blocks += [Paragraph(begun(change_words(each))) for each in others]
    blocks += [*note_of(POINTS), *cautions_of(TOPICS)]
    return Sheet(name, tuple(blocks), subject=tr("Which head"))


def _lines(said: tuple[Sentence, ...]) -> Cell:
    """Sentences of one cell, one below the other."""
    if not said:
        return Cell("")
    text = said[0]
    for each in said[1:]:
        text = Sentence("{said}\n{more}", said=text, more=each)
    return Cell(text)


_WORDS = (length_words, weight_words, tip_words)
