"""What was done to a customer's head: before and after, what that means, how to look after it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from taperlab.edits.cut_back import cut_back_of, measured_for
from taperlab.gui.paper.layout.blocks import (
    NOTE,
    Block,
    Cell,
    Column,
    HeadBlock,
    Heading,
    Paragraph,
    Sheet,
    Table,
    Together,
    WriteLines,
    number,
)
from taperlab.gui.paper.layout.drawing import Bracket, Drawing
from taperlab.gui.paper.parts import cautions_of, outline_of, signature, today
from taperlab.model.bench import Bench
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.shop.before_after.study import BeforeAfter, Off, of_cut_back, of_job
from taperlab.shop.before_after.words import after_care, figure_rows, meaning, small_print
from taperlab.shop.cut_back.study import State, Study, study_now
from taperlab.shop.versions.words import row_words
from taperlab.trade.cautions import Topic
from taperlab.trade.windows import Place
from taperlab.units.language import tr
from taperlab.units.sentence import (
    OnTape,
    RodLength,
    Sentence,
    Value,
    Weight,
    in_a_row,
    one_after_another,
)

TOPICS = (Topic.OVERLOADED_ROD, Topic.HOOK)

LINES_TO_WRITE = 2

WORDS, AFTER = 10.0, 12.0
"""Letters of what is told, and of the figures after: all stays on one page of a usual cut."""


def customer_sheet(bench: Bench, job: Job) -> Sheet | Sentence:
    """The sheet that goes with a job's head to the customer, or why there is none."""
    found = of_job(bench, job)
    if isinstance(found, Sentence):
        return found
    rod = found.rod
    under: list[Value] = []
    if job.customer:
        under.append(Sentence("For {customer}", customer=job.customer))
    if rod is not None:
        under.append(Sentence("rod: {rod}", rod=rod.name))
    return _sheet(found, job.ticket, under, job.cast)


def sheet_for_line(bench: Bench, line: Line | None) -> Sheet | Sentence:
    """The sheet of the last job of a line that was begun, else of its cut-back, or why none."""
    if line is None:
        return Sentence("There is no line to print.")
    begun = [job for job in bench.jobs if job.line == line.key and job.before is not None]
    if begun:
        return customer_sheet(bench, begun[-1])
    cut_back = cut_back_of(bench, line)
    if cut_back is None:
        return Sentence(
            "Nothing was done to {line} yet: begin a job of it, or cut it back.", line=line.name
        )
    rod, measured = bench.chosen_rod, measured_for(bench, line)
    return cut_back_sheet(study_now(line, cut_back, rod, bench.water, measured))


def cut_back_sheet(study: Study) -> Sheet | Sentence:
    """The same of a cut-back that no job was taken in for."""
    found = of_cut_back(study)
    if isinstance(found, Sentence):
        return found
    rod = study.rod
    return _sheet(found, "", [Sentence("rod: {rod}", rod=rod.name)] if rod else [], "")


def _sheet(found: BeforeAfter, ticket: str, under: Iterable[Value], cast: str) -> Sheet:
    over = Sentence("What was done to your head")
    if ticket:
        over = Sentence("{what} · job {ticket}", what=over, ticket=ticket)
    title = _title(found)
    blocks: list[Block] = [
        HeadBlock(title, over, in_a_row(under), figure_note=today()),
        _drawing(found),
        _figures(found),
        _heading(tr("What that means")),
        Paragraph(one_after_another(meaning(found)), points=WORDS),
        *_what_changed(found),
        _heading(tr("How it casts")),
        *([Paragraph(cast, points=WORDS)] if cast else [WriteLines(LINES_TO_WRITE)]),
        Together(
            (
                _heading(tr("Look after it")),
                Paragraph(one_after_another(after_care(found)), points=WORDS),
                signature(Sentence("weighed and cut by")),
                Paragraph(small_print(found), points=NOTE),
                *_cautions(found),
            )
        ),
    ]
    return Sheet(title, tuple(blocks), subject=tr("Before and after"))


def _cautions(found: BeforeAfter) -> list[Block]:
    """Short, so that all stays on one page; that of the rod where the head is not in its window."""
    fit = found.after.fit
    inside = fit is not None and fit.place is Place.INSIDE
    _, *said = cautions_of(TOPICS[1:] if inside else TOPICS)
    return said


def _heading(text: str) -> Heading:
    return Heading(text, ruled=False)


def _title(found: BeforeAfter) -> Sentence:
    if found.off is None:
        return Sentence("{line}", line=found.name)
    if found.rod is None:
        return Sentence("{line}, cut back", line=found.name)
    return Sentence(
        "{line}, cut back for a {length} rod",
        line=found.name,
        length=RodLength(found.rod.length),
    )


def _drawing(found: BeforeAfter) -> Drawing:
    """The head before above the head after, which lies where it was cut from."""
    before, after, off = found.before, found.after, found.off
    outlines = (
        outline_of(before.line, title=_side(Sentence("Before"), before)),
        replace(
            outline_of(after.line, title=_side(Sentence("After"), after)),
            begins=off.begins if off else 0.0,
        ),
    )
    if off is None:
        return Drawing(outlines)
    return Drawing(outlines, *_blades(off, before.line.length))


def _side(when: Sentence, side: State) -> Sentence:
    return Sentence(
        "{when}: {length}, {weight}",
        when=when,
        length=OnTape(side.length),
        weight=Weight(side.mass),
    )


def _blades(off: Off, length: float) -> tuple[tuple[float, ...], tuple[Bracket, ...]]:
    """Where the blade went, and how much came off there."""
    ends = ((0.0, off.front), (length - off.rear, length))
    cut = [each for each in ends if each[1] - each[0] > 0.0]
    uprights = tuple(off.front if front == 0.0 else front for front, _ in cut)
    return uprights, tuple(
        Bracket(front, rear, Sentence("{length} off", length=OnTape(rear - front)))
        for front, rear in cut
    )


def _figures(found: BeforeAfter) -> Table:
    columns = (
        Column("", grow=2.0),
        number(tr("before")),
        number(tr("after"), points=AFTER, bold=True),
        number(tr("change")),
    )
    rows = tuple((Cell(what), *values) for what, *values in figure_rows(found))
    return Table(columns, rows)


def _what_changed(found: BeforeAfter) -> list[Block]:
    """Row by row, where it is more than a cut."""
    if found.off is not None or found.changes.is_none:
        return []
    said = row_words(found.changes)
    return [_heading(tr("What was changed")), *(Paragraph(each, points=WORDS) for each in said)]
