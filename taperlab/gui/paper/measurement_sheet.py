"""A measured line on paper: how it was measured, what was found with its ±, what was left out."""

from __future__ import annotations

from dataclasses import replace

from taperlab.gui.paper.layout.blocks import (
    FIGURE,
    NOTE,
    Block,
    Cell,
    Column,
    Entry,
    HeadBlock,
    Heading,
    Paragraph,
    ScaleRule,
    Sheet,
    Table,
    number,
)
from taperlab.gui.paper.layout.drawing import Drawing, Label, Numbered
from taperlab.gui.paper.layout.said import begun
from taperlab.gui.paper.parts import cautions_of, note_of, outline_of, today
from taperlab.model.line import LoopKind
from taperlab.model.measurement import Measurement
from taperlab.shop.errors import CONFIDENT, ErrorOf, WeightError
from taperlab.shop.instruments import instrument_words
from taperlab.shop.measure.as_built import Amount
from taperlab.shop.measure.drawn import RowRead, rows_read
from taperlab.shop.measure.study import Measured, Study
from taperlab.shop.wording import loop_words
from taperlab.trade.cautions import Topic
from taperlab.units import kinds
from taperlab.units.kinds import Kind
from taperlab.units.language import tr
from taperlab.units.sentence import (
    Density,
    Diameter,
    Length,
    OnTape,
    Quantity,
    Sentence,
    Several,
    Unbroken,
    Value,
    Weight,
    one_after_another,
)
from taperlab.units.words import heading

TOPICS = (Topic.BLADE, Topic.OVERLOADED_ROD)

ONE_BESIDE_OTHER = 12
"""From so many stations on, their table goes on beside itself."""


def measurement_sheet(found: Study) -> Sheet:
    """The sheet of a measurement; of one that nothing could be fitted to, what was read and why."""
    asked = found.measurement
    blocks: list[Block] = [_top(found)]
    if found.fit is not None:
        blocks += _fitted(found, found.fit)
    else:
        blocks.append(Paragraph(found.why_not, bold=True))
    blocks += [*_method(asked), *_weighed(asked), *_stations(found), *_left_out(found)]
    blocks += _against(found)
    blocks.append(Heading(tr("What would sharpen it")))
    blocks += [Paragraph(begun(each)) for each in found.advice]
    blocks += [*note_of(asked.note), *cautions_of(TOPICS), ScaleRule()]
    return Sheet(asked.name, tuple(blocks), subject=tr("Measurement"))


def _top(found: Study) -> HeadBlock:
    asked = found.measurement
    under = Sentence("{length} long · {date}", length=OnTape(asked.length), date=today())
    if found.fit is None:
        return HeadBlock(asked.name, tr("Measurement"), under)
    total, half = found.total
    told = Sentence("{error}, the whole line, loops counted", error=WeightError(half))
    if found.head is not None:
        mass, reach = found.head
        told = Sentence(
            "{told}\nhead {weight} {error}, {length} long",
            told=told,
            weight=Weight(mass),
            error=WeightError(reach),
            length=Length(found.head_length),
        )
    return HeadBlock(asked.name, tr("Measurement"), under, Weight(total), told)


# -- what was found ---------------------------------------------------------------------------


def _fitted(found: Study, fit: Measured) -> list[Block]:
    """The line that was found, drawn and in figures, each with its ±."""
    line, weights = fit.line, fit.weights
    outline = outline_of(line)
    outline = replace(
        outline,
        numbers=tuple(
            Numbered(each.front, each.rear, str(i)) for i, each in enumerate(outline.stretches, 1)
        ),
        labels=tuple(Label(at, OnTape(at)) for at in line.starts[1:-1]),
    )
    under = Sentence("{length}, measured from the fly end", length=OnTape(line.length))
    columns = (
        Column("", bold=True, grow=0.0),
        Column(tr("Part")),
        number(tr("Length"), points=FIGURE, bold=True),
        number(tr("Front diameter")),
        number(tr("Rear diameter")),
        number(tr("Density")),
        number(tr("Weight"), bold=True),
    )
    _, lengths = weights.lengths
    diameters = CONFIDENT * weights.shape.errors.diameters
    rows: list[tuple[Entry, ...]] = [
        (
            str(i + 1),
            heading(segment.part),
            _with(Length(segment.length), kinds.LENGTH, lengths[i]),
            _with(Diameter(segment.front_diameter), kinds.DIAMETER, diameters[i]),
            _with(Diameter(segment.rear_diameter), kinds.DIAMETER, diameters[i + 1]),
            _with(Density(segment.density), kinds.DENSITY, weights.density_halves[i]),
            _with(Weight(float(weights.masses[i])), kinds.WEIGHT, weights.mass_halves[i]),
        )
        for i, segment in enumerate(line.segments)
    ]
    below = Sentence(
        "The ± cover 95 in 100 lines and measurements like this one. Weights of segments are "
        "without loops."
    )
    return [
        Drawing((outline,), under=under),
        Heading(tr("What was found")),
        Table(columns, tuple(rows), below=below),
    ]


def _with(value: Quantity, kind: Kind, half: float) -> Cell:
    """A figure with its ± below."""
    return Cell(value, below=(ErrorOf(kind, float(half)),))


# -- how it was measured ----------------------------------------------------------------------


def _method(asked: Measurement) -> list[Block]:
    count = sum(len(each.readings) for each in asked.stations)
    read = Sentence(
        "{count} diameters at {stations} stations, places from the fly end.",
        count=count,
        stations=len(asked.stations),
    )
    said = [
        Sentence("{tools}.", tools=instrument_words(asked.instruments)),
        read,
        Sentence("Material: {material}.", material=asked.material),
    ]
    ends = ((Sentence("Fly end"), asked.front_loop), (Sentence("Rod end"), asked.rear_loop))
    for end, loop in ends:
        if loop.kind is not LoopKind.NONE:
            said.append(Sentence("{end}: {loop}.", end=end, loop=loop_words(loop)))
    return [Heading(tr("How it was measured")), Paragraph(one_after_another(said))]


def _weighed(asked: Measurement) -> list[Block]:
    if not asked.sections:
        return [Paragraph(tr("Nothing was weighed."))]
    columns = (
        Column(tr("Weighed")),
        number(tr("From")),
        number(tr("To")),
        number(tr("On the scale"), bold=True),
    )
    rows: list[tuple[Entry, ...]] = []
    for each in asked.sections:
        whole = each.front <= 0.0 and abs(each.rear - asked.length) < asked.instruments.tape
        said = Sentence("the whole line") if whole else Sentence("a stretch of it")
        if each.span:
            said = Sentence("{what}, {span} hung free", what=said, span=OnTape(each.span))
        rows.append((said, OnTape(each.front), OnTape(each.rear), Weight(each.mass)))
    return [Table(columns, tuple(rows))]


def _stations(found: Study) -> list[Block]:
    """What was read at each place, and how far that lies off what was found."""
    asked = found.measurement
    if not asked.stations:
        return []
    rows = sorted(
        zip(asked.stations, rows_read(found), strict=True), key=lambda each: each[0].distance
    )
    cells: list[tuple[Entry, ...]] = [
        (
            OnTape(station.distance),
            Several(tuple(Unbroken(Diameter(each)) for each in station.readings)),
            _off(read),
        )
        for station, read in rows
    ]
    columns: tuple[Column, ...] = (
        number(tr("Place"), points=NOTE),
        number(tr("Diameter"), points=NOTE),
        number(tr("Off what was found"), points=NOTE),
    )
    shown = cells
    if len(cells) >= ONE_BESIDE_OTHER:
        half = (len(cells) + 1) // 2
        beside: list[tuple[Entry, ...]] = [*cells[half:], ("", "", "")]
        shown = [(*cells[i], "", *beside[i]) for i in range(half)]
        columns = (*columns, Column("", grow=0.4), *columns)
    return [Heading(tr("Stations")), Table(columns, tuple(shown))]


def _off(read: RowRead) -> Value:
    if read.off is None:
        return Sentence("takes no part")
    off: Value = Diameter(read.off, signed=True)
    if read.left_out:
        return Sentence("{off}, left out", off=off)
    if read.in_doubt:
        return Sentence("{off}, read again", off=off)
    return off


def _left_out(found: Study) -> list[Block]:
    """What was left out, and what else is to be known of the fit."""
    told = found.fit.findings if found.fit else ()
    if not told:
        return []
    return [
        Heading(tr("Left out, and to be known")),
        *(Paragraph(each.sentence) for each in told),
    ]


def _against(found: Study) -> list[Block]:
    """What was found beside the design, if it was built to one."""
    if not found.rows:
        return []
    columns = (
        Column(tr("Against the design"), grow=1.5),
        number(tr("Length designed")),
        number(tr("built")),
        number(tr("Weight designed")),
        number(tr("built")),
        Column(""),
    )
    rows: list[tuple[Entry, ...]] = []
    for each in found.rows:
        name = Cell(begun(each.name), bold=each.is_whole)
        length, mass = each.length, each.mass
        rows.append(
            (
                name,
                _value(length.designed, kinds.LENGTH),
                _built(length, kinds.LENGTH),
                _value(mass.designed, kinds.WEIGHT),
                _built(mass, kinds.WEIGHT),
                each.verdict,
            )
        )
    return [Heading(tr("As designed and as built")), Table(columns, tuple(rows))]


def _value(value: float | None, kind: Kind) -> Value:
    return "–" if value is None else Quantity(kind, value)


def _built(amount: Amount, kind: Kind) -> Cell:
    below: tuple[Value, ...] = ()
    if amount.difference is not None:
        below = (Quantity(kind, amount.difference, signed=True),)
        if amount.error is not None:
            error = ErrorOf(kind, amount.error)
            below = (Sentence("{off} {error}", off=below[0], error=error),)
    return Cell(_value(amount.built, kind), below=below)
