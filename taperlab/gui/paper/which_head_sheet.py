"""Which head suits a rod and its water, on paper: the answer, the points, what is ruled out."""

from __future__ import annotations

import html

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
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
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.words import capital, heading

TOPICS = (Topic.OVERLOADED_ROD, Topic.HOOK)


def which_head_sheet(
    found: HeadChoice, others: tuple[Change, ...], system: System
) -> QTextDocument:
    """The sheet of what suits, with the arithmetic that it stands on."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    figure, remark = outcome_words(found)
    parts = [paragraph(f"<span class='figure'>{capital(read(figure))}</span>, {read(remark)}")]
    if found.winners:
        headings = (tr("Style"), tr("Head length"), tr("Head weight"), tr("Tip"))
        rows = [
            (
                html.escape(heading(each.style)),
                *("<br>".join(map(read, words(each))) for words in _WORDS),
            )
            for each in found.winners
        ]
        parts.append(table(headings, rows))
    if found.left:
        styles = tuple(heading(style) for style, _ in totals(found))
        points = [
            (
                f"<b>{read(row.answered)}</b><br>{read(row.why)}",
                *(points_text(each) for each in row.points),
            )
            for row in point_rows(found)
        ]
        sums = (
            f"<b>{html.escape(tr('Together'))}</b>",
            *(points_text(n) for _, n in totals(found)),
        )
        parts += [
            title(tr("What speaks for each")),
            table((tr("Answer"), *styles), [*points, sums]),
            paragraph(read(sum_words(found))),
        ]
    parts.append(title(tr("What is ruled out")))
    parts += [paragraph(capital(read(out_words(each, found)))) for each in found.ruled_out]
    rooms = [
        Sentence("{style}: {room}.", style=each.style, room=room_in_short(each))
        for each in found.left
    ]
    parts += [paragraph(capital(read(each))) for each in (*rooms, ESTIMATE)]
    if others:
        parts.append(title(tr("What would change it")))
        parts += [paragraph(capital(read(change_words(each)))) for each in others]
    name = render(Sentence("Which head for {rod}", rod=found.rod.name), system)
    return sheet_of(name, today(), parts, note=render(POINTS, system), topics=TOPICS)


_WORDS = (length_words, weight_words, tip_words)
