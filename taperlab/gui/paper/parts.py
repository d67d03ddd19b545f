"""What many sheets have: the drawing of a line, cautions, room to sign, the date."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from PySide6.QtCore import QDate, QLocale

from taperlab.gui.kit import theme as theming
from taperlab.gui.paper.layout.blocks import (
    MM,
    NOTE,
    Block,
    FillIn,
    Form,
    Heading,
    Paragraph,
    Signature,
    WriteIn,
)
from taperlab.gui.paper.layout.drawing import (
    Bracket,
    Drawing,
    Label,
    Numbered,
    Outline,
    Stretch,
    Tone,
)
from taperlab.gui.paper.layout.marks import BLACK, GREY
from taperlab.model.line import JointKind, Line, LoopKind
from taperlab.model.segment import Part
from taperlab.shop.whole import Whole
from taperlab.trade.cautions import Topic, cautions, short_defer
from taperlab.units.language import tr
from taperlab.units.sentence import Length, Sentence, Value

FOR_BUILDING = (Topic.BLADE, Topic.HEAT, Topic.FUMES, Topic.ADHESIVE)

TONES = {
    Part.TIP: Tone.WHITE,
    Part.FRONT_TAPER: Tone.LINES,
    Part.BELLY: Tone.GREY,
    Part.REAR_TAPER: Tone.DOTS,
    Part.SINK_TIP: Tone.CROSSED,
    Part.EXTENSION: Tone.BACK,
    Part.HANDLING_LINE: Tone.WHITE,
    Part.RUNNING_LINE: Tone.WHITE,
}


PAPER = replace(
    theming.LIGHT,
    name="paper",
    page="#FFFFFF",
    card="#FFFFFF",
    well="#FFFFFF",
    ink=BLACK,
    soft=BLACK,
    rule=GREY,
    accent=BLACK,
    accent_ink="#FFFFFF",
    accent_wash="#FFFFFF",
    warn=BLACK,
    bad=BLACK,
    band=GREY,
    edge=BLACK,
    off="#FFFFFF",
    hatch=BLACK,
    water="#FFFFFF",
    bed=BLACK,
    parts=dict.fromkeys(Part, "#FFFFFF") | {Part.BELLY: GREY},
    overlays=(BLACK,) * len(theming.LIGHT.overlays),
)
"""Black, white and one grey, for what is drawn on the screen as well."""


def today() -> str:
    """The date, as the person's system names months."""
    return QLocale().toString(QDate.currentDate(), "dd MMMM yyyy")


def cautions_of(topics: Sequence[Topic], warnings: Iterable[Value] = ()) -> tuple[Block, ...]:
    """The cautions for the work, under what is to be minded of this very line."""
    blocks: list[Block] = [Heading(tr("Cautions"))]
    blocks += [Paragraph(each, points=NOTE, bold=True) for each in warnings]
    blocks += [
        Paragraph(f"{tr(each.text)} {tr(each.defer)}", lead=f"{tr(each.title)}.", points=NOTE)
        for each in cautions()
        if each.topic in topics
    ]
    return tuple(blocks)


def short_cautions_of(topics: Sequence[Topic], warnings: Iterable[Value] = ()) -> tuple[Block, ...]:
    """The cautions in short, for a sheet that lies beside the work; the help tells them in full."""
    blocks: list[Block] = [Heading(tr("Cautions"))]
    blocks += [Paragraph(each, points=NOTE, bold=True) for each in warnings]
    for each in cautions():
        if each.topic in topics:
            text = each.short or each.text
            blocks.append(Paragraph(tr(text), lead=f"{tr(each.title)}.", points=NOTE))
    whose = short_defer()
    return (*blocks, Paragraph(tr(whose), points=NOTE))


def note_of(text: Value) -> tuple[Block, ...]:
    """A note, such as a person wrote, if there is one."""
    return (Paragraph(text, lead=tr("Note:")),) if text else ()


def signature(by: Value) -> Signature:
    """Room for whoever did it, and when."""
    return Signature((by, Sentence("date")))


def finished_as(weight: Value) -> Form:
    """Room in one row for what scale and tape say of the finished thing, and for who made it."""
    narrow, by = WriteIn(25.0 * MM), WriteIn(29.0 * MM)
    asked: tuple[tuple[Value, WriteIn], ...] = (
        (weight, narrow),
        (Sentence("length"), narrow),
        (Sentence("made by"), by),
        (Sentence("date"), narrow),
    )
    return Form(tuple(FillIn(name, box) for name, box in asked), between=14.0)


def stretches_of(line: Line) -> tuple[Stretch, ...]:
    """The segments of a line as they are drawn."""
    return tuple(
        Stretch(
            start,
            start + segment.length,
            segment.front_diameter,
            segment.rear_diameter,
            TONES[segment.part],
        )
        for start, segment in zip(line.starts, line.segments, strict=False)
    )


def outline_of(line: Line, *, title: Value = "", begins: float = 0.0) -> Outline:
    """A line with its loops and made joints, and no words but its title."""
    made = [
        (at, joint)
        for at, joint in zip(line.starts[1:], line.joints, strict=False)
        if joint.kind is not JointKind.ONE_EXTRUSION
    ]
    return Outline(
        stretches_of(line),
        title,
        begins,
        stiff=tuple(
            (max(0.0, at - joint.overlap / 2.0), min(line.length, at + joint.overlap / 2.0))
            for at, joint in made
            if joint.overlap > 0.0
        ),
        joints=tuple(
            at
            for at, joint in made
            if joint.overlap == 0.0 and joint.kind is not JointKind.LOOP_TO_LOOP
        ),
        looped=tuple(at for at, joint in made if joint.kind is JointKind.LOOP_TO_LOOP),
        loops=(
            line.front_loop.kind is not LoopKind.NONE,
            line.rear_loop.kind is not LoopKind.NONE,
        ),
    )


def drawing_of(whole: Whole) -> Drawing:
    """A line, or a rig, with its segments numbered and the places where they meet."""
    line = whole.line
    plain = outline_of(line)
    labels = []
    if whole.looped is None:
        count = 0
        for at, joint in zip(line.starts[1:], line.joints, strict=False):
            place: Value = Length(at)
            if joint.kind is not JointKind.ONE_EXTRUSION:
                count += 1
                place = Sentence("joint {number}, {place}", number=count, place=place)
            labels.append(Label(at, place))
    spans = whole.looped.spans if whole.looped else ()
    outline = Outline(
        plain.stretches,
        stiff=plain.stiff,
        joints=plain.joints,
        looped=plain.looped,
        loops=plain.loops,
        labels=tuple(labels),
        numbers=tuple(
            Numbered(each.front, each.rear, str(i)) for i, each in enumerate(plain.stretches, 1)
        ),
        brackets=tuple(Bracket(each.start, each.end, each.line.name) for each in spans),
    )
    under = Sentence("{length}, measured from the fly end", length=Length(line.length))
    return Drawing((outline,), under=under)
