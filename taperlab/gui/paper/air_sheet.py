"""What is told of a line in the air, on paper: figures, room, how it is cast, what is not in it."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtSvg import QSvgRenderer

from taperlab.gui.paper.layout.blocks import (
    Block,
    Column,
    HeadBlock,
    Heading,
    Painted,
    Paragraph,
    Sheet,
    Table,
    number,
)
from taperlab.gui.paper.parts import cautions_of, today
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

TOPICS = (Topic.HOOK, Topic.OVERLOADED_ROD)

HEIGHT = 200.0
"""Of the picture on paper [points]."""


def _told(one: TurnoverStudy) -> list[Block]:
    said = [time_words(one), *shot_words(one), *goes_words(one)]
    if look := look_again_words(one):
        said.append(look)
    return [
        Paragraph(needed_words(one), bold=True),
        Paragraph(verdict_words(one), bold=True),
        *(Paragraph(each) for each in said),
    ]


def air_sheet(found: AirStudy, films: tuple[Film, ...], pictures: Mapping[System, bytes]) -> Sheet:
    """The sheet of what is thrown. films: of the first, if there is one. pictures: as SVG."""
    one, name = found.first.study, found.first.name
    blocks: list[Block] = [HeadBlock(name, tr("In the air"), today()), _pictured(pictures)]
    if one is not None:
        blocks += [Paragraph(thrown_as_words(found.throw)), *_told(one)]
    else:
        blocks.append(Paragraph(found.first.problem))
    blocks.append(Paragraph(kick_words(found)))
    rows = tuple(
        (
            each.name,
            figure_words(each.study) if each.study else each.problem,
            energy_words(each.study) if each.study else "",
        )
        for each in found.all
    )
    columns = (
        Column(tr("Line")),
        number(tr("Line speed needed")),
        number(tr("Energy left at the fly")),
    )
    blocks.append(Table(columns, rows))
    blocks += [
        Paragraph(tie_words(each.name, against))
        for each, against in zip(found.others, found.against, strict=True)
        if against is not None
    ]
    blocks += [Paragraph(each) for film in films[:1] for each in film_words(film)]
    if found.behind is not None and found.longest is not None:
        blocks += [
            Heading(tr("Room behind")),
            Paragraph(room_words(found.behind), bold=True),
            Paragraph(longest_words(found.longest)),
            Paragraph(ESTIMATE),
        ]
    blocks.append(Heading(tr("How it is cast")))
    if found.first.rig is not None:
        blocks.append(Paragraph(tied_words(found.first.rig)))
    blocks += [
        Table((Column(tr("What")), number(tr("How much"))), cast_rows(found)),
        Heading(tr("To keep in mind")),
        *(Paragraph(each) for each in (NO_SCORE, NOT_COUNTED, NOT_WET)),
        *cautions_of(TOPICS),
    ]
    return Sheet(name, tuple(blocks), subject=tr("In the air"))


def _pictured(pictures: Mapping[System, bytes]) -> Painted:
    """What the page draws, as large as it fits."""

    def paint(painter: QPainter, room: QRectF, system: System) -> None:
        drawn = QSvgRenderer(pictures[system])
        size = QSizeF(drawn.defaultSize()).scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
        left = room.left() + (room.width() - size.width()) / 2.0
        drawn.render(painter, QRectF(QPointF(left, room.top()), size))

    return Painted(HEIGHT, paint)
