"""What each ± does to a head on paper: the sentence, the table, builds, and the two ways out."""

from __future__ import annotations

import html

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
from taperlab.shop.tolerance.builds import Builds, left_on
from taperlab.shop.tolerance.columns import rows_of
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
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.show import NO_BREAK

TOPICS = (Topic.BLADE, Topic.OVERLOADED_ROD)


def tolerance_sheet(found: ToleranceStudy, landed: Builds | None, system: System) -> QTextDocument:
    """The sheet of what may be off of one head."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    heading, *rows = rows_of(found, system)
    parts = [
        paragraph(f"<b>{read(weight_words(found))}</b>"),
        paragraph(f"<b>{read(summary(found))}</b>"),
        paragraph(f"{read(apart_words(found))} {read(weighed_words(found))}"),
        paragraph(read(balance_words(found))),
        title(tr("What may be off")),
        table(
            heading,
            [tuple(html.escape(cell.replace(" ", NO_BREAK)) for cell in row) for row in rows],
        ),
    ]
    if landed is not None:
        said = (landing_words(landed), alike_words(landed), shrink_words(landed, found))
        parts += [title(tr("Builds in the grain window"))]
        parts += [paragraph(" ".join(read(each) for each in said if each))]
    parts += [
        title(tr("To be sure by the scale")),
        paragraph(read(left_on_words(left_on(found), found))),
        title(tr("How it was read")),
        paragraph(read(read_with(found))),
        paragraph(read(drag_words(found))),
    ]
    return sheet_of(found.asked.line.name, today(), parts, note="", topics=TOPICS)
