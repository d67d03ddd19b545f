"""What was done to a customer's head: before and after, what that means, how to look after it."""

from __future__ import annotations

from dataclasses import replace

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
from taperlab.shop.before_after.study import BeforeAfter, Off, told
from taperlab.shop.before_after.words import after_care, figure_rows, meaning, small_print
from taperlab.shop.cut_back.study import State
from taperlab.shop.steps import finish
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
    return sheet_of(*finish(told(bench, None, job)))


def sheet_of(found: BeforeAfter | Sentence, job: Job | None = None) -> Sheet | Sentence:
    """The sheet of what was done to a head, by a job if it was one; or why there is none."""
    return found if isinstance(found, Sentence) else _sheet(found, job)


def _sheet(found: BeforeAfter, job: Job | None) -> Sheet:
    over = Sentence("What was done to your rig")
    if not found.is_rig:
        over = Sentence("What was done to your head")
    if found.off is not None and found.rod is not None:
        length = RodLength(found.rod.length)
        over = Sentence("{what}: cut back for a {length} rod", what=over, length=length)
    if job is not None and job.ticket:
        over = Sentence("{what} · job {ticket}", what=over, ticket=job.ticket)
    under: list[Value] = []
    if job is not None and job.customer:
        under.append(Sentence("For {customer}", customer=job.customer))
    if found.rod is not None:
        under.append(Sentence("rod: {rod}", rod=found.rod.name))
    cast = job.cast if job is not None else ""
    title = _title(found)
    blocks: list[Block] = [
        HeadBlock(found.name, over, in_a_row(under), figure_note=today()),
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
