"""The cut-back on paper: the plan, the log of every cut and weighing, the cautions."""

from __future__ import annotations

import html
from collections.abc import Callable

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
from taperlab.model.cut_log import CutBack
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.order import in_order, work_words
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Stage
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.words import (
    ENDS,
    cut_words,
    give_or_take,
    loops_to_make,
    one_after_another,
)
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, SmallWeight, Value, Weight, render

BLANK = "_____________"
"""Room to write a reading."""

Read = Callable[[Sentence], str]


def cut_sheet(study: Study, system: System) -> QTextDocument:
    """The sheet of a cut-back, with room to write the weighings that are still to come.

    Raises ValueError for a study without a cut-back.
    """
    if study.line is None or study.job is None:
        raise ValueError("nothing is cut back here")

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    return sheet_of(
        render(Sentence("Cut-back: {line}", line=study.line.name), system),
        today(),
        [
            _aim(study, study.job, read),
            _log(study, study.job, read),
            _plan(study, read),
            *(paragraph(read(each)) for each in loops_to_make(study.terms)),
        ],
        note=study.job.note,
    )


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
    if study.finished is not None and study.uncut is not None:
        now = Sentence(
            "Now, with its loops made: {mass} at {length}, cut from {uncut}.",
            mass=Weight(study.finished.mass),
            length=OnTape(study.finished.line.length),
            uncut=OnTape(study.uncut.line.length),
        )
        text += paragraph(read(now))
    return text


def _plan(study: Study, read: Read) -> str:
    staged = study.staged
    if not isinstance(staged, Staged):
        return ""
    if not staged.stages:
        said = [staged.stop.sentence] if staged.stop else []
        if staged.last is not None and staged.last.reading is None:
            said.append(
                Sentence("{what} It reads {blank}.", what=staged.last.sentence, blank=BLANK)
            )
        return title(tr("Where it stands")) + "".join(paragraph(read(each)) for each in said)
    text = title(tr("Still to cut"))
    if isinstance(staged.plan, Plan):
        way = Sentence(
            "All the way: {cut}, {mass}. In stages, weighing after each:",
            cut=cut_words(staged.plan.front_cut, staged.plan.rear_cut),
            mass=Weight(staged.plan.cut_mass),
        )
        text += paragraph(read(way))
    headings = (
        tr("In this order"),
        tr("Should read"),
        tr("Head read"),
        tr("Offcut read"),
    )
    tape = staged.standing.belief.instruments.tape
    rows = [_stage_row(stage, tape, read) for stage in staged.stages]
    text += table(headings, rows)
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


def _stage_row(stage: Stage, tape: float, read: Read) -> tuple[str, ...]:
    work = work_words(in_order(stage.front, stage.rear, tape))
    return (
        "<br>".join(read(each) for each in work),
        read(give_or_take(stage.before_loops, stage.plus_minus)),
        BLANK,
        BLANK,
    )
