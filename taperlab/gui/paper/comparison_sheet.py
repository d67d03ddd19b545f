"""What is looked at beside what is laid over it, on paper: drawn to one scale, figure by figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from taperlab.gui.paper.layout.blocks import (
    Block,
    Cell,
    Column,
    Entry,
    HeadBlock,
    Heading,
    Paragraph,
    Sheet,
    Table,
    number,
)
from taperlab.gui.paper.layout.drawing import Drawing
from taperlab.gui.paper.parts import cautions_of, outline_of, today
from taperlab.model.bench import Bench
from taperlab.shop.analyse import HeadFigures, compare_heads
from taperlab.shop.whole import Whole
from taperlab.shop.wording import head_sink, place_on_rod
from taperlab.trade.cautions import Topic
from taperlab.units.kinds import SHARE, WEIGHT_PER_LENGTH
from taperlab.units.language import tr
from taperlab.units.sentence import (
    Length,
    OnTape,
    Quantity,
    Ratio,
    Sentence,
    SinkRate,
    Value,
    Weight,
    WeightPerLength,
)

TOPICS = (Topic.OVERLOADED_ROD,)

DRAWN = 7
"""As many are drawn; the table has them all."""


def comparison_sheet(
    this: Whole, others: Sequence[Whole], bench: Bench, told: Sequence[Sentence] = ()
) -> Sheet:
    """The sheet of a line or rig beside others. told: what became of it since a version of it."""
    title = Sentence("{line}, compared", line=this.name)
    rod = bench.chosen_rod
    under = Sentence("On {rod} · {date}", rod=rod.name, date=today()) if rod else today()
    wholes = [this, *others]
    blocks: list[Block] = [
        HeadBlock(title, tr("Comparison"), under),
        _drawing(wholes),
        Heading(tr("Figures")),
        _table(wholes, bench),
    ]
    if told:
        blocks.append(Heading(tr("What changed")))
        blocks += [Paragraph(each) for each in told]
    return Sheet(title, (*blocks, *cautions_of(TOPICS)), subject=tr("Comparison"))


def _drawing(wholes: Sequence[Whole]) -> Drawing:
    """Each from its fly end, to one scale."""
    outlines = []
    for each in wholes[:DRAWN]:
        length = Length(each.head.length if each.head else each.line.length)
        title = Sentence("{line}: {length}", line=each.name, length=length)
        if each.head is not None:
            mass = Weight(each.head.mass)
            title = Sentence("{title}, {weight}", title=title, weight=mass)
        outlines.append(replace(outline_of(each.line), title=title))
    return Drawing(tuple(outlines))


def _table(wholes: Sequence[Whole], bench: Bench) -> Table:
    columns = (
        Column(tr("Line"), bold=True),
        number(tr("Head weight")),
        number(tr("Head length")),
        number(tr("Front taper, of weight")),
        number(tr("Balance point")),
        number(tr("Mean weight per length")),
        number(tr("Sinks")),
        number(tr("Ratio")),
    )
    first = wholes[0].head
    rows = tuple(_row(each, first if i else None, bench) for i, each in enumerate(wholes))
    below = tr("Below each figure of the others: what the first one has more, or less, than it.")
    return Table(columns, rows, below=below if len(wholes) > 1 else "")


def _row(whole: Whole, first: HeadFigures | None, bench: Bench) -> tuple[Entry, ...]:
    head, fit = whole.head, whole.on_rod(bench.chosen_rod, bench)
    if head is None:
        return (Cell(whole.name, below=(Sentence("no head to compare"),)), *[""] * 7)
    more = compare_heads(first, head)
    sinks: tuple[Value, ...] = ()
    if more is not None and first is not None and not (first.floats and head.floats):
        sinks = (SinkRate(more.sink, signed=True),)
    where = (place_on_rod(fit),) if fit else ()
    return (
        Cell(whole.name, below=where),
        Cell(Weight(head.mass), (Weight(more.mass, signed=True),) if more else ()),
        Cell(OnTape(head.length), (OnTape(more.length, signed=True),) if more else ()),
        Cell(
            Quantity(SHARE, head.front_taper_mass_share),
            (Quantity(SHARE, more.front_taper_mass_share, signed=True),) if more else (),
        ),
        Cell(
            OnTape(head.balance_point),
            (OnTape(more.balance_point, signed=True),) if more else (),
        ),
        Cell(
            WeightPerLength(head.mean_linear_density),
            (Quantity(WEIGHT_PER_LENGTH, more.mean_linear_density, signed=True),) if more else (),
        ),
        Cell(head_sink(head), sinks),
        Ratio(fit.ratio) if fit else "–",
    )
