"""What is told of a line in the air, on paper: figures, room, how it is cast, what is not in it."""

from __future__ import annotations

import html

from PySide6.QtGui import QImage, QTextDocument

from taperlab.gui.paper.sheet import PICTURE, paragraph, sheet_of, table, title, today
from taperlab.shop.air.study import AirStudy
from taperlab.shop.air.words import (
    NOT_WET,
    cast_rows,
    energy_words,
    kick_words,
    thrown_as_words,
    tie_words,
    tied_words,
)
from taperlab.shop.room.words import ESTIMATE, longest_words, room_words
from taperlab.shop.turnover.film import Film
from taperlab.shop.turnover.study import TurnoverStudy
from taperlab.shop.turnover.words import (
    NO_SCORE,
    NOT_COUNTED,
    figure_words,
    film_words,
    goes_words,
    look_again_words,
    needed_words,
    shot_words,
    time_words,
    verdict_words,
)
from taperlab.trade.cautions import Topic
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render

TOPICS = (Topic.HOOK, Topic.OVERLOADED_ROD)

WIDE = 600
"""Of the picture on paper [px]."""


def _goes(one: TurnoverStudy) -> tuple[Sentence, ...]:
    return time_words(one), *shot_words(one), *goes_words(one)


def air_sheet(
    found: AirStudy, films: tuple[Film, ...], picture: QImage, system: System
) -> QTextDocument:
    """The sheet of what is thrown. films: of the first, if there is one. picture: to scale."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    one = found.first.study
    parts = [f"<p><img src='{PICTURE}' width='{WIDE}'></p>"]
    if one is not None:
        parts += [
            paragraph(f"<b>{read(needed_words(one))} {read(verdict_words(one))}</b>"),
            paragraph(read(thrown_as_words(found.throw))),
            paragraph(" ".join(read(each) for each in _goes(one))),
        ]
        look = look_again_words(one)
        parts += [paragraph(read(look))] if look is not None else []
    else:
        parts.append(paragraph(read(found.first.problem)))
    if kicks := read(kick_words(found)):
        parts.append(paragraph(kicks))
    rows = [
        (
            html.escape(each.name),
            read(figure_words(each.study)) if each.study else read(each.problem),
            read(energy_words(each.study)) if each.study else "",
        )
        for each in found.all
    ]
    headings = (tr("Line"), tr("Line speed needed"), tr("Energy left at the fly"))
    parts.append(table(headings, rows))
    parts += [
        paragraph(read(tie_words(each.name, against)))
        for each, against in zip(found.others, found.against, strict=True)
        if against is not None
    ]
    parts += [paragraph(read(each)) for film in films[:1] for each in film_words(film)]
    if found.behind is not None and found.longest is not None:
        parts += [
            title(tr("Room behind")),
            paragraph(f"<b>{read(room_words(found.behind))}</b>"),
            paragraph(read(longest_words(found.longest))),
            paragraph(read(ESTIMATE)),
        ]
    parts.append(title(tr("How it is cast")))
    if found.first.rig is not None:
        parts.append(paragraph(read(tied_words(found.first.rig))))
    told = [(read(name), read(value)) for name, value in cast_rows(found)]
    parts.append(table((tr("What"), tr("How much")), told))
    parts.append(title(tr("To keep in mind")))
    parts += [paragraph(read(each)) for each in (NO_SCORE, NOT_COUNTED, NOT_WET)]
    return sheet_of(found.first.name, today(), parts, note="", picture=picture, topics=TOPICS)
