"""A cutting plan on paper: what is cut from what, how heads are built, what the scale reads."""

from __future__ import annotations

import html

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
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
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, render
from taperlab.units.show import NO_BREAK, show
from taperlab.units.words import capital

TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES)


def pieces_sheet(found: PiecesStudy, system: System) -> QTextDocument:
    """The sheet of a cutting plan, with room to tick each cut and to write what was weighed."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    def tape(length: float) -> str:
        return read(Sentence("{length}", length=OnTape(length))).replace(" ", NO_BREAK)

    parts = [title(tr("Cut from the stock"))]
    parts.append(
        table(
            [tr("Stock"), tr("Cuts, from its front"), tr("Left"), tr("Done")],
            [
                (
                    html.escape(each.stock.name),
                    ", ".join(f"<b>{tape(length)}</b>" for length in each.cuts),
                    tape(each.left),
                    "☐",
                )
                for each in found.plan
            ],
        )
    )
    parts.append(paragraph(read(gap_words(found))))
    for number, head in enumerate(found.heads):
        pieces = list(found.of_head(number))
        if not pieces:
            continue
        parts.append(title(head.name))
        parts.append(
            table(
                [
                    tr("Piece, from the fly end"),
                    tr("Cut"),
                    tr("Finished"),
                    tr("Weigh before bevel"),
                    tr("In the head"),
                    tr("Weighed"),
                ],
                [
                    (
                        f"{i}. {html.escape(capital(render(piece_name(each, head), system)))}",
                        f"<b>{tape(each.cut)}</b>",
                        tape(each.finished),
                        show(each.cut_mass, WEIGHT, system).replace(" ", NO_BREAK),
                        show(each.mass, WEIGHT, system).replace(" ", NO_BREAK),
                        "________",
                    )
                    for i, each in enumerate(pieces, 1)
                ],
            )
        )
        parts += [paragraph(f"{i}. {read(cut_words(each))}") for i, each in enumerate(pieces, 1)]
        build = found.builds[number]
        if build is not None:
            parts += [
                paragraph(f"{read(checkpoint_words(each, build))} ________")
                for each in found.checkpoints(number)
            ]
    parts += [title(tr("Order of joining")), paragraph(read(order_words()))]
    warnings = [paragraph(read(each.sentence)) for each in remarks(found)]
    names = ", ".join(dict.fromkeys(head.line.name for head in found.heads))
    return sheet_of(
        tr("Cutting plan"),
        f"{names} · {today()}",
        parts,
        note="",
        warnings=warnings,
        topics=TOPICS,
    )
