"""The cut-back on paper: the drawing, the figures, the log, the order of work, the cautions."""

from __future__ import annotations

import html
from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QColor, QImage, QPainter, QTextDocument

from taperlab.gui.kit.theme import LIGHT, letters
from taperlab.gui.paper.sheet import PICTURE, paragraph, sheet_of, table, title, today
from taperlab.gui.plots.cut_sketch import cut_sketch
from taperlab.gui.plots.head_sketch import SketchPainter
from taperlab.model.cut_log import CutBack
from taperlab.model.segment import Part
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.order import in_order, work_words
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.cut_back.way_figures import ROWS, after_cut, before, now
from taperlab.shop.cut_back.words import (
    ENDS,
    give_or_take,
    loops_to_make,
    one_after_another,
)
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, SmallWeight, Value, Weight, render

BLANK = "_____________"
"""Room to write a reading."""

LINE = "_" * 34
"""Room for a name or a date."""

PICTURE_WIDTH = 2000
SHOWN_WIDTH, SHOWN_HEIGHT = 670.0, 148.0
"""Of the drawing: dots across, and how wide and high it is shown [px]."""

PAPER = replace(
    LIGHT,
    card="#FFFFFF",
    ink="#000000",
    soft="#404040",
    accent="#000000",
    accent_ink="#FFFFFF",
    edge="#000000",
    off="#FFFFFF",
    hatch="#606060",
    parts=dict.fromkeys(Part, "#E4E4E4") | {Part.BELLY: "#8C8C8C"},
)
"""Black, white and grey, for any printer."""

Read = Callable[[Sentence], str]


def cut_sheet(study: Study, system: System) -> QTextDocument:
    """The sheet of a cut-back, with room to write the weighings that are still to come.

    Raises ValueError for a study without a cut-back.
    """
    if study.line is None or study.job is None:
        raise ValueError("nothing is cut back here")

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    due = study.due()
    parts = [
        _aim(study, study.job, read),
        _picture_place(study, due, system),
        _figures(study, due, read),
        _log(study, study.job, read),
        _work(study, due, read),
        _signature(),
    ]
    return sheet_of(
        render(Sentence("Cut-back: {line}", line=study.line.name), system),
        today(),
        parts,
        note=study.job.note,
        picture=_picture(study, due, system),
    )


def _picture(study: Study, due: Due, system: System) -> QImage | None:
    """The head as it lies, what comes off it, and its two ends."""
    drawn = cut_sketch(study, due, system)
    if drawn is None:
        return None
    scale = PICTURE_WIDTH / SHOWN_WIDTH
    size = QSizeF(SHOWN_WIDTH, SHOWN_HEIGHT)
    image = QImage((size * scale).toSize(), QImage.Format.Format_Grayscale8)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.scale(scale, scale)
    room = QRectF(QPointF(0.0, 0.0), size).adjusted(0.0, 4.0, 0.0, -8.0)
    SketchPainter(drawn[0], room, PAPER, 8.0 / letters()).paint(painter)
    painter.end()
    return image


def _picture_place(study: Study, due: Due, system: System) -> str:
    if cut_sketch(study, due, system) is None:
        return ""
    return f"<p><img src='{PICTURE}' width='{SHOWN_WIDTH:.0f}'></p>"


def _figures(study: Study, due: Due, read: Read) -> str:
    """The head before any cut, now, and after the cut that is due."""
    columns = [(tr("Before any cut"), before(study))]
    if study.log:
        columns.append((tr("Now"), now(study)))
    if due.act in (Act.CUT, Act.TELL_ENDS):
        columns.append((tr("After this cut"), after_cut(study, due)))
    found = [(name, column) for name, column in columns if column is not None]
    if not found:
        return ""
    rows = [(read(row), *(read(column[i]) for _, column in found)) for i, row in enumerate(ROWS)]
    return table(["", *(name for name, _ in found)], rows)


def _aim(study: Study, job: CutBack, read: Read) -> str:
    if not isinstance(study.staged, Staged):
        return paragraph(read(study.staged.sentence)) if study.staged else ""
    target, end = Weight(study.staged.target), ENDS[job.end]
    aim = Sentence("Cut to {target} from {end}", target=target, end=end)
    if study.rod:
        aim = Sentence("{aim}, for {rod}", aim=aim, rod=study.rod.name)
    tools = Sentence(
        "The scale reads to {scale}, the tape to {tape}.",
        scale=SmallWeight(job.instruments.scale),
        tape=OnTape(job.instruments.tape),
    )
    return f"<p class='figure'>{read(aim)}.</p><p>{read(tools)}</p>"


def _log(study: Study, job: CutBack, read: Read) -> str:
    first: Value = BLANK if job.first_reading is None else Weight(job.first_reading)
    before = Sentence("The head before the first cut: {reading} on the scale.", reading=first)
    text = title(tr("Log")) + paragraph(read(before))
    if not study.log:
        return text
    rows = [
        (read(each.title), one_after_another(read(said) for said in (each.detail, *each.doubts)))
        for each in study.log
    ]
    text += table((tr("Cut"), tr("On the scale")), rows)
    return text


def _work(study: Study, due: Due, read: Read) -> str:
    """What is still to be done, in the order of work, with room for what the scale says."""
    staged = study.staged
    if not isinstance(staged, Staged):
        return ""
    loops = [paragraph(read(each)) for each in loops_to_make(study.terms)]
    last = staged.last
    if due.act in (Act.MAKE_LOOPS, Act.WEIGH_LAST, Act.FINISHED, Act.STOPPED):
        said = [staged.stop.sentence] if staged.stop else []
        if last is not None and last.reading is None:
            said.append(Sentence("{what} It reads {blank}.", what=last.sentence, blank=BLANK))
        text = title(tr("Where it stands")) + "".join(paragraph(read(each)) for each in said)
        return text + "".join(loops if last is not None and last.reading is None else ())
    rows = _rows(study, due, read)
    headings = (tr("In this order"), tr("Should read"), tr("Head read"), tr("Offcut read"))
    text = title(tr("Still to cut") if due.cuts or study.stages else tr("Still to weigh"))
    text += table(headings, rows) + "".join(loops)
    text += paragraph(read(Sentence("With its loops on it reads {blank}.", blank=BLANK)))
    remarks = [
        each.sentence for each in ([] if isinstance(staged.plan, NoPlan) else staged.plan.findings)
    ]
    if len(rows) > 1:
        later = Sentence(
            "The later cuts hold if the scale reads what is expected: after each weighing, look at "
            "the plan again."
        )
        remarks.insert(0, later)
    remarks.extend(study.cannot_see)
    return text + "".join(paragraph(read(each)) for each in remarks)


def _rows(study: Study, due: Due, read: Read) -> list[tuple[str, ...]]:
    """A row for the rest of the stage that was begun, and for each stage to come."""
    rows: list[tuple[str, ...]] = []
    tape = study.job.instruments.tape if study.job else 1.0
    if due.act is Act.WEIGH or due.made:
        work = "<br>".join(read(each) for each in work_words(due.cuts))
        should = read(give_or_take(due.head.mass, due.head.plus_minus)) if due.head else ""
        rows.append((work or read(Sentence("Weigh head and offcut.")), should, BLANK, BLANK))
    for stage in study.stages:
        work = "<br>".join(
            read(each) for each in work_words(in_order(stage.front, stage.rear, tape))
        )
        rows.append((work, read(give_or_take(stage.before_loops, stage.plus_minus)), BLANK, BLANK))
    return rows


def _signature() -> str:
    """Room for whoever cut it, and when."""
    cells = (
        f"<td width='50%'>{html.escape(name)}<br><br>{LINE}</td>"
        for name in (tr("Cut and weighed by"), tr("Date"))
    )
    return f"<p></p><table width='100%'><tr>{''.join(cells)}</tr></table>"
