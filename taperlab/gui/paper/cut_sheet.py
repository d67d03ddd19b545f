"""The cut-back on paper: the drawing, the figures, the log, the order of work, the cautions."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from taperlab.gui.paper.layout.blocks import (
    FIGURE,
    Block,
    Cell,
    Column,
    FillIn,
    Form,
    HeadBlock,
    Heading,
    Paragraph,
    ScaleRule,
    Sheet,
    Table,
    Together,
    WriteIn,
    number,
)
from taperlab.gui.paper.layout.drawing import Blade, Bracket, Drawing, Stretch, Tone
from taperlab.gui.paper.parts import (
    FOR_BUILDING,
    note_of,
    outline_of,
    short_cautions_of,
    signature,
    stretches_of,
    today,
)
from taperlab.model.cut_log import CutBack, CutEnd
from taperlab.model.line import Line
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.order import in_order, work_words
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.cut_back.way_figures import ROWS, after_cut, before, now
from taperlab.shop.cut_back.words import ENDS, loops_to_make
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, OnTape, Sentence, SmallWeight, Value, Weight

_Cut = tuple[CutEnd, float, Value, int]
"""A cut as it is drawn: its end, how far from that [m], the same in words, its number."""


def cut_sheet(study: Study) -> Sheet:
    """The sheet of a cut-back, with room to write the weighings that are still to come.

    Raises ValueError for a study without a cut-back.
    """
    if study.line is None or study.job is None:
        raise ValueError("nothing is cut back here")
    due = study.due()
    title = Sentence("Cut-back: {line}", line=study.line.name)
    blocks: list[Block] = [
        _top(study, study.job, title),
        *_drawing(study, study.job, due),
        *_figures(study, due),
        *_log(study, study.job),
        *_work(study, due),
        signature(Sentence("Cut and weighed by")),
        *note_of(study.job.note),
        *short_cautions_of(FOR_BUILDING),
        ScaleRule(),
    ]
    return Sheet(title, tuple(blocks), subject=tr("Cut-back"))


def _top(study: Study, job: CutBack, title: Value) -> HeadBlock:
    staged = study.staged
    if not isinstance(staged, Staged):
        return HeadBlock(title, today(), staged.sentence if staged else "")
    aim = Sentence("Cut to {target} from {end}", target=Weight(staged.target), end=ENDS[job.end])
    if study.rod:
        aim = Sentence("{aim}, for {rod}", aim=aim, rod=study.rod.name)
    tools = Sentence(
        "The scale reads to {scale}, the tape to {tape}.",
        scale=SmallWeight(job.instruments.scale),
        tape=OnTape(job.instruments.tape),
    )
    under = Sentence("{aim}. {tools}", aim=aim, tools=tools)
    return HeadBlock(title, today(), under, Weight(staged.target), Sentence("loops on, at the end"))


# -- the drawing ------------------------------------------------------------------------------


def _drawing(study: Study, job: CutBack, due: Due) -> tuple[Block, ...]:
    """The head as it lies, what comes off it, dashed, and what stays; nothing without a head."""
    if due.act is Act.ASK and study.described is not None:
        line = study.described.line
        title = Sentence("As it is described")
        cuts = _cut_already(job)
        if cuts:
            title = Sentence("Cut so far, on the head as described")
    elif study.left is not None:
        line, title, cuts = study.left.line, Sentence("As it lies now"), _cuts_due(due)
        tried = study.trial.plan if study.trial is not None else None
        if isinstance(tried, Plan):
            title, cuts = Sentence("A cut that is tried"), _cuts_tried(tried)
    else:
        return ()
    blades = []
    dimensions = []
    kept = [0.0, line.length]
    for end, length, words, count in cuts:
        at = length if end is CutEnd.FRONT else line.length - length
        first = due.act is Act.CUT and count == due.made + 1
        blades.append(Blade(at, str(count), next=first))
        if end is CutEnd.FRONT:
            dimensions.append(Bracket(0.0, at, words))
            kept[0] = max(kept[0], at)
        else:
            dimensions.append(Bracket(at, line.length, words))
            kept[1] = min(kept[1], at)
    outline = replace(
        outline_of(line, title=title),
        stretches=_going(line, kept[0], kept[1]),
        blades=tuple(blades),
    )
    under = NOTHING
    if cuts:
        under = Sentence("{length} stays", length=OnTape(max(0.0, kept[1] - kept[0])))
    return (Drawing((outline,), dimensions=tuple(dimensions), under=under),)


def _cuts_due(due: Due) -> list[_Cut]:
    if due.act is not Act.CUT:
        return []
    return [
        (each.end, each.mark, each.how_far, due.made + 1 + i) for i, each in enumerate(due.cuts)
    ]


def _cuts_tried(plan: Plan) -> list[_Cut]:
    off = ((CutEnd.REAR, plan.rear_cut), (CutEnd.FRONT, plan.front_cut))
    return _numbered(off)


def _cut_already(job: CutBack) -> list[_Cut]:
    off = (
        (CutEnd.REAR, sum(each.rear for each in job.steps)),
        (CutEnd.FRONT, sum(each.front for each in job.steps)),
    )
    return _numbered(off)


def _numbered(off: tuple[tuple[CutEnd, float], ...]) -> list[_Cut]:
    cut = [each for each in off if each[1] > 0.0]
    return [(end, length, OnTape(length), i) for i, (end, length) in enumerate(cut, start=1)]


def _going(line: Line, first: float, last: float) -> tuple[Stretch, ...]:
    """The stretches of a head, parted where the blades go; what comes off is marked as that."""
    found = []
    for each in stretches_of(line):
        places = [
            each.front,
            *(at for at in (first, last) if each.front < at < each.rear),
            each.rear,
        ]
        slope = (each.rear_diameter - each.front_diameter) / (each.rear - each.front)
        for front, rear in pairwise(places):
            stays = first <= (front + rear) / 2.0 <= last
            found.append(
                Stretch(
                    front,
                    rear,
                    each.front_diameter + slope * (front - each.front),
                    each.front_diameter + slope * (rear - each.front),
                    each.tone if stays else Tone.GONE,
                )
            )
    return tuple(found)


# -- figures, log, work -----------------------------------------------------------------------


def _figures(study: Study, due: Due) -> tuple[Block, ...]:
    """The head before any cut, now, and after the cut that is due."""
    told = [(tr("Before any cut"), before(study))]
    if study.log:
        told.append((tr("Now"), now(study)))
    if due.act in (Act.CUT, Act.TELL_ENDS):
        told.append((tr("After this cut"), after_cut(study, due)))
    found = [(name, column) for name, column in told if column is not None]
    if not found:
        return ()
    rows = tuple((row, *(column[i] for _, column in found)) for i, row in enumerate(ROWS))
    columns = (Column(""), *(number(name) for name, _ in found))
    return Heading(tr("The head")), Table(columns, rows)


def _log(study: Study, job: CutBack) -> list[Block]:
    blocks: list[Block] = [Heading(tr("Log"))]
    if job.first_reading is None:
        blocks.append(Form((FillIn(Sentence("The head before the first cut, on the scale")),)))
    else:
        reading = Weight(job.first_reading)
        blocks.append(
            Paragraph(
                Sentence("The head before the first cut: {reading} on the scale.", reading=reading)
            )
        )
    if study.log:
        rows = tuple((each.title, Cell(each.detail, below=each.doubts)) for each in study.log)
        blocks.append(Table((Column(tr("Cut")), Column(tr("On the scale"))), rows))
    return blocks


def _work(study: Study, due: Due) -> list[Block]:
    """What is still to be done, in the order of work, with room for what the scale says."""
    staged = study.staged
    if not isinstance(staged, Staged):
        return []
    loops = [Paragraph(each) for each in loops_to_make(study.terms)]
    last = staged.last
    if due.act in (Act.MAKE_LOOPS, Act.WEIGH_LAST, Act.FINISHED, Act.STOPPED):
        where: list[Block] = [Heading(tr("Where it stands"))]
        if staged.stop:
            where.append(Paragraph(staged.stop.sentence))
        if last is not None and last.reading is None:
            return [
                *where,
                Paragraph(last.sentence),
                *loops,
                Form((FillIn(Sentence("with its loops on it reads")),)),
            ]
        return where
    rows = _rows(study, due)
    columns = (
        Column(tr("In this order"), grow=2.0),
        number(tr("Should read"), points=FIGURE, bold=True),
        Column(tr("Head read")),
        Column(tr("Offcut read")),
    )
    heading = tr("Still to cut") if due.cuts or study.stages else tr("Still to weigh")
    blocks: list[Block] = [Heading(heading)]
    if rows:
        blocks.append(Table(columns, rows))
    blocks += [
        *loops,
        Together((Form((FillIn(Sentence("with its loops on it reads")),)),)),
    ]
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
    return [*blocks, *(Paragraph(each) for each in remarks)]


def _rows(study: Study, due: Due) -> tuple[tuple[Cell | WriteIn | Value, ...], ...]:
    """A row for the rest of the stage that was begun, and for each stage to come."""
    rows: list[tuple[Cell | WriteIn | Value, ...]] = []
    tape = study.job.instruments.tape if study.job else 1.0

    def row(work: tuple[Sentence, ...], should: Cell) -> None:
        said = work[0] if work else Sentence("Weigh head and offcut.")
        for each in work[1:]:
            said = Sentence("{said}\n{more}", said=said, more=each)
        rows.append((said, should, WriteIn(), WriteIn()))

    if due.act is Act.WEIGH or due.made:
        should = _should(due.head.mass, due.head.plus_minus) if due.head else Cell("")
        row(work_words(due.cuts), should)
    for stage in study.stages:
        work = work_words(in_order(stage.front, stage.rear, tape))
        row(work, _should(stage.before_loops, stage.plus_minus))
    return tuple(rows)


def _should(mass: float, error: float) -> Cell:
    """What the scale should read, large, and how far off that may be, small [kg]."""
    return Cell(Weight(mass), beside=Sentence("± {error}", error=Weight(error)))
