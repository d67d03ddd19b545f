"""A range on paper: one row a member, as it is to be built."""

from __future__ import annotations

import html
import math

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.sheet import paragraph, sheet_of, table, title, today
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
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    RATIO,
    ROD_LENGTH,
    SHARE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.show import show
from taperlab.units.words import heading


def range_sheet(found: RangeStudy, system: System) -> QTextDocument:
    """The sheet of all members: their figures, then the segments of each."""

    def read(sentence: Sentence) -> str:
        return html.escape(render(sentence, system))

    asked, parent = found.question.range, found.question.parent
    keeps = Sentence(
        "Graded from {parent}. Length {length}: {why}. Thickness: {thickness}, {kept}.",
        parent=parent.name,
        length=asked.length,
        why=length_reason(asked.length, found),
        thickness=asked.thickness,
        kept=thickness_reason(asked.thickness, found),
    )
    headings = (
        "",
        tr("Weight"),
        tr("Rod"),
        tr("Length"),
        tr("Ratio"),
        tr("Front"),
        tr("Balance"),
        tr("Tip"),
        tr("Thickest"),
        "⌀",
        tr("Grain window"),
    )
    rows = [_row(each, system) for each in found.members]
    told = findings(found)
    said = [paragraph(read(each.sentence)) for each in told if each.level is Level.NOTE]
    warnings = [
        paragraph(f"<b>{read(each.sentence)}</b>") for each in told if each.level > Level.NOTE
    ]
    return sheet_of(
        asked.name,
        f"{heading(parent.style)} · {today()}",
        [
            paragraph(read(keeps)),
            table(headings, rows),
            paragraph(read(rounded_words(found))),
            *said,
            *(part for each in found.members for part in _segments(each, system)),
        ],
        note=asked.note,
        warnings=warnings,
    )


def _row(member: MemberFigures, system: System) -> list[str]:
    ratio = "–" if math.isnan(member.ratio) else show(member.ratio, RATIO, system)

    def length(value: float | None, kind: Kind) -> str:
        """On one line: with marks for feet and inches, which need no unit."""
        marks = kind.shown(system).feet_and_inches
        return "–" if value is None else show(value, kind, system, unit=not marks)

    shown = (
        show(member.mass, WEIGHT, system),
        length(member.rod, ROD_LENGTH),
        length(member.length, LENGTH),
        ratio,
        show(member.front_mass_share, SHARE, system),
        length(member.balance_point, LENGTH),
        show(member.tip_linear_density, WEIGHT_PER_LENGTH, system),
        show(member.thickest_linear_density, WEIGHT_PER_LENGTH, system),
        show(member.thickest, DIAMETER, system),
        render(verdict(member).words, system),
    )
    mark = f"{member.letter}*" if member.by_hand else member.letter
    return [f"<b>{mark}</b>", *(html.escape(each).replace(" ", "&nbsp;") for each in shown)]


def _segments(member: MemberFigures, system: System) -> list[str]:
    headings = (tr("Part"), tr("Length"), tr("Front ⌀"), tr("Rear ⌀"), tr("Density"), tr("Weight"))
    rows = [
        [
            html.escape(heading(segment.part)),
            *(
                html.escape(show(value, kind, system))
                for value, kind in (
                    (segment.length, LENGTH),
                    (segment.front_diameter, DIAMETER),
                    (segment.rear_diameter, DIAMETER),
                    (density, DENSITY),
                    (float(mass), WEIGHT),
                )
            ),
        ]
        for segment, density, mass in zip(
            member.line.segments, member.mean_densities, member.profile.segment_masses, strict=True
        )
    ]
    said = Sentence("{letter}, segments from the fly end", letter=member.letter)
    if member.by_hand:
        said = Sentence("{letter}, edited by hand, segments from the fly end", letter=member.letter)
    return [title(render(said, system)), table(headings, rows)]
