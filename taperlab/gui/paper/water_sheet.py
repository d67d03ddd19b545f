"""How deep a rig fishes, on paper: the figure, how sure it is, how it is fished, what it omits."""

from __future__ import annotations

import html

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
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
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.words import heading

TOPICS = (Topic.HOOK, Topic.OVERLOADED_ROD)


def water_sheet(found: Together, names: tuple[str, ...], system: System) -> QTextDocument:
    """The sheet of rigs in one current, by their names, the one looked at first."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    focus = found.focus
    parts = [
        paragraph(f"{read(swing_words(found.fishing))}."),
        paragraph(f"<b>{read(depth_words(focus))}</b>"),
        paragraph(read(aside_words(found.aside))),
    ]
    if effects := causes(focus):
        rows = [(html.escape(heading(each.cause)), read(effect_words(each))) for each in effects]
        parts += [title(tr("What makes it so wide")), table((tr("Cause"), tr("Moves it")), rows)]
    parts.append(title(tr("How it is fished")))
    parts += [paragraph(read(each)) for each in fished_words(focus)]
    others = list(zip(names[1:], found.against, strict=True))
    if others:
        rows = [(html.escape(name), read(ratio_words(ratio))) for name, ratio in others]
        parts += [title(tr("Beside it")), table((tr("Rig"), tr("Depth")), rows)]
    parts.append(title(tr("To keep in mind")))
    parts += [paragraph(read(each)) for each in remarks(focus)]
    return sheet_of(
        names[0],
        today(),
        parts,
        note="",
        warnings=[paragraph(f"<b>{read(LOCAL_RULES)}</b>")],
        topics=TOPICS,
    )
