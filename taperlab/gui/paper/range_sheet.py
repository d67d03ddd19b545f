"""A range on paper: one row a member, as it is to be built."""

from __future__ import annotations

import math

from taperlab.gui.paper.layout.blocks import (
    NOTE,
    Align,
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
from taperlab.gui.paper.layout.said import InSystem
from taperlab.gui.paper.parts import FOR_BUILDING, cautions_of, note_of, outline_of, today
from taperlab.shop.range.member import MemberFigures
from taperlab.shop.range.study import RangeStudy
from taperlab.shop.range.words import (
    findings,
    length_reason,
    rounded_words,
    thickness_reason,
    verdict,
)
from taperlab.units.finding import Level
from taperlab.units.kinds import LENGTH, ROD_LENGTH, Kind, System
from taperlab.units.language import tr
from taperlab.units.sentence import (
    Density,
    Diameter,
    Length,
    Ratio,
    Sentence,
    Share,
    Weight,
    WeightPerLength,
)
from taperlab.units.show import show
from taperlab.units.words import heading

DRAWN = 8
"""As many members are drawn; the table has them all."""


def range_sheet(found: RangeStudy) -> Sheet:
    """The sheet of all members: their figures, then the segments of each."""
    asked, parent = found.question.range, found.question.parent
    keeps = Sentence(
        "Graded from {parent}. Length {length}: {why}. Thickness: {thickness}, {kept}.",
        parent=parent.name,
        length=asked.length,
        why=length_reason(asked.length, found),
        thickness=asked.thickness,
        kept=thickness_reason(asked.thickness, found),
    )
    names = (
        tr("Weight"),
        tr("Rod"),
        tr("Length"),
        tr("Ratio"),
        tr("Front"),
        tr("Balance"),
        tr("Tip"),
        tr("Thickest"),
        tr("Thick"),
    )
    columns = (
        Column("", bold=True, grow=0.0),
        *(number(each, points=NOTE) for each in names),
        Column(tr("Grain window"), Align.RIGHT, points=NOTE),
    )
    told = findings(found)
    notes = [Paragraph(each.sentence) for each in told if each.level is Level.NOTE]
    warnings = [each.sentence for each in told if each.level > Level.NOTE]
    under = Sentence("{style} · {date}", style=heading(parent.style), date=today())
    blocks: list[Block] = [
        HeadBlock(asked.name, tr("Range"), under),
        Paragraph(keeps),
        _drawing(found),
        Table(columns, tuple(_row(each) for each in found.members)),
        Paragraph(rounded_words(found)),
        *notes,
        *(block for each in found.members for block in _segments(each)),
        *note_of(asked.note),
        *cautions_of(FOR_BUILDING, warnings),
    ]
    return Sheet(asked.name, tuple(blocks), subject=tr("Range"))


def _drawing(found: RangeStudy) -> Drawing:
    """The members from their fly ends, to one scale; of many the first few."""
    outlines = []
    for each in found.members[:DRAWN]:
        title = Sentence(
            "{letter}: {length}, {weight}",
            letter=each.letter,
            length=Length(each.length),
            weight=Weight(each.mass),
        )
        outlines.append(outline_of(each.line, title=title))
    return Drawing(tuple(outlines))


def _marked(value: float | None, kind: Kind) -> InSystem | str:
    """A length with marks for feet and inches, which need no unit; a dash for none."""
    if value is None:
        return "–"

    def write(system: System) -> str:
        marks = kind.shown(system).feet_and_inches
        return show(value, kind, system, unit=not marks)

    return InSystem(write)


def _row(member: MemberFigures) -> tuple[Entry, ...]:
    return (
        f"{member.letter}*" if member.by_hand else member.letter,
        Cell(Weight(member.mass), bold=True),
        _marked(member.rod, ROD_LENGTH),
        _marked(member.length, LENGTH),
        "–" if math.isnan(member.ratio) else Ratio(member.ratio),
        Share(member.front_mass_share),
        _marked(member.balance_point, LENGTH),
        WeightPerLength(member.tip_linear_density),
        WeightPerLength(member.thickest_linear_density),
        Diameter(member.thickest),
        verdict(member).words,
    )


def _segments(member: MemberFigures) -> list[Block]:
    columns = (
        Column(tr("Part")),
        number(tr("Length"), bold=True),
        number(tr("Front diameter")),
        number(tr("Rear diameter")),
        number(tr("Density")),
        number(tr("Weight")),
    )
    rows = tuple(
        (
            heading(segment.part),
            Length(segment.length),
            Diameter(segment.front_diameter),
            Diameter(segment.rear_diameter),
            Density(density),
            Weight(float(mass)),
        )
        for segment, density, mass in zip(
            member.line.segments, member.mean_densities, member.profile.segment_masses, strict=True
        )
    )
    said = Sentence("{letter}, segments from the fly end", letter=member.letter)
    if member.by_hand:
        said = Sentence("{letter}, edited by hand, segments from the fly end", letter=member.letter)
    return [Heading(said), Table(columns, rows)]
