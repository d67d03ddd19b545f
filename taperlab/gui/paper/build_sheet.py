"""The build sheet: what to make, a line or a rig, with the cautions beside the work."""

from __future__ import annotations

from taperlab.gui.paper.layout.blocks import (
    FIGURE,
    NOTE,
    Block,
    Cell,
    Column,
    Figures,
    HeadBlock,
    Heading,
    Paragraph,
    ScaleRule,
    Sheet,
    Table,
    Together,
    number,
)
from taperlab.gui.paper.parts import (
    FOR_BUILDING,
    drawing_of,
    finished_as,
    note_of,
    short_cautions_of,
    signature,
    today,
)
from taperlab.model.bench import Bench
from taperlab.model.line import JointKind, Line, LoopKind
from taperlab.model.rig import Rig
from taperlab.physics.head import head_problem
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.joints import hinge_words, joint_name, loops_words, step_words, tied_words
from taperlab.shop.on_rod import RodFit
from taperlab.shop.rig import Looped
from taperlab.shop.whole import Assembly, Whole, whole_of
from taperlab.shop.wording import (
    OtherLength,
    OtherWeight,
    head_sink,
    joint_words,
    judged_words,
    loop_words,
    place_on_rod,
    water_words,
    window_words,
)
from taperlab.units.language import tr
from taperlab.units.sentence import (
    NOTHING,
    Density,
    Diameter,
    Length,
    Number,
    Ratio,
    RodLength,
    Sentence,
    ShortLength,
    Value,
    Weight,
    WeightPerLength,
    one_after_another,
)
from taperlab.units.words import heading


def build_sheet(bench: Bench, thing: Line | Rig | Assembly) -> Sheet:
    """The sheet of a line or a rig: figures, outline, segments, joints and loops, cautions."""
    whole = whole_of(thing, bench)
    note = whole.line.note if isinstance(thing, Assembly) else thing.note
    fit = whole.on_rod(bench.chosen_rod, bench)
    findings = [each.sentence for each in (*(fit.findings if fit else ()), *whole.hinges)]
    blocks: list[Block] = [
        _top(whole, fit),
        drawing_of(whole),
        *_figures(whole, fit),
        *_made_of(whole),
        *note_of(note),
        *_finish(whole),
        *short_cautions_of(FOR_BUILDING, findings),
        ScaleRule(),
    ]
    return Sheet(whole.name, tuple(blocks), subject=tr("Build sheet"))


def _top(whole: Whole, fit: RodFit | None) -> HeadBlock:
    head = whole.head
    under = Sentence("{style} · {date}", style=heading(whole.line.style), date=today())
    if head is None:
        return HeadBlock(whole.name, over=tr("Build sheet"), under=under)
    told = Sentence("{weight} · head, loops counted", weight=OtherWeight(head.mass))
    if whole.parts:
        alone = Weight(whole.parts.head.mass)
        told = Sentence("the rig, loops counted · head alone {weight}", weight=alone)
    if fit and fit.window:
        edges = window_words(fit.window.lightest, fit.window.heaviest)
        told = Sentence("{what}\ngrain window {window}", what=told, window=edges)
    return HeadBlock(whole.name, tr("Build sheet"), under, Weight(head.mass), told)


def _figures(whole: Whole, fit: RodFit | None) -> tuple[Block, ...]:
    analysis, head = whole.analysis, whole.head
    if head is None:
        why = head_problem(analysis.line)
        return (Paragraph(why.sentence if why else NOTHING),)
    weight_share = Number(head.front_taper_mass_share * 100.0)
    length_share = Number(head.front_taper_length_share * 100.0)
    named, remark = tr("Head length"), Sentence("{length}", length=OtherLength(head.length))
    if whole.parts is not None:
        named = tr("Length")
        remark = Sentence("head alone {length}", length=Length(whole.parts.head.length))
    items: list[tuple[Value, Value, Value]] = [
        (named, Length(head.length), remark),
        (
            tr("Front taper"),
            Sentence("{percent} % of weight", percent=weight_share),
            Sentence("{percent} % of length", percent=length_share),
        ),
        (tr("Balance point"), Length(head.balance_point), tr("from the fly end")),
        (
            tr("Sink rate"),
            head_sink(head),
            Sentence("water: {water}", water=water_words(analysis.water)),
        ),
    ]
    if fit:
        items.append(_on_rod(fit))
    return (Figures(tuple(items)),)


def _on_rod(fit: RodFit) -> tuple[Value, Value, Value]:
    place = place_on_rod(fit)
    if judged := judged_words(fit):
        place = Sentence("{place} ({judged})", place=place, judged=judged)
    remark = Sentence(
        "{parts}, to {length} of rod; {place}",
        parts=fit.reading.counted,
        length=RodLength(fit.rod_length),
        place=place,
    )
    on = Sentence("On {rod}", rod=fit.name)
    return on, Sentence("ratio {ratio}", ratio=Ratio(fit.ratio)), remark


def _made_of(whole: Whole) -> list[Block]:
    """The segments and the joints, of a rig line by line."""
    if whole.looped is not None:
        return _rig(whole.analysis, whole.looped)
    rows = range(len(whole.analysis.segments))
    title = tr("Segments")
    if not rows:
        return [Heading(title), Paragraph(tr("None yet.")), *_joints(whole.line)]
    return [_segments(whole.analysis, rows, title), *_joints(whole.line)]


def _segments(analysis: LineAnalysis, rows: range, title: Value = "") -> Table:
    """A table of some segments of a line, numbered as they are in the drawing."""
    columns = (
        Column("", bold=True, grow=0.0),
        Column("" if title else tr("Part")),
        number(tr("From")),
        number(tr("Length"), points=FIGURE, bold=True),
        number(tr("Thick, front to rear")),
        number(tr("Density")),
        number(tr("Weight")),
        number(tr("At front")),
    )
    made = []
    for row in rows:
        segment, figures = analysis.line.segments[row], analysis.segments[row]
        thick: Value = Diameter(segment.front_diameter)
        if segment.rear_diameter != segment.front_diameter:
            thick = Sentence(
                "{front} to {rear}",
                front=Diameter(segment.front_diameter, unit=False),
                rear=Diameter(segment.rear_diameter),
            )
        made.append(
            (
                str(row + 1),
                Cell(heading(segment.part), below=(segment.note,) if segment.note else ()),
                Length(figures.start) if figures.start else "0",
                Length(segment.length),
                thick,
                Density(figures.mean_density),
                Weight(figures.mass),
                WeightPerLength(figures.front_linear_density),
            )
        )
    return Table(columns, tuple(made), title=title)


def _joints(line: Line) -> list[Block]:
    """What loops and made joints a line has, in the order of the work; nothing without any."""
    said: list[tuple[Sentence, Sentence]] = []
    fly, rod = line.front_loop, line.rear_loop
    if fly.kind is not LoopKind.NONE:
        said.append((Sentence("Fly end:"), Sentence("{loop}.", loop=loop_words(fly))))
    if rod.kind is not LoopKind.NONE:
        # A head fished back to front casts badly.
        made = Sentence("{loop}. Mark this loop plainly.", loop=loop_words(rod))
        said.append((Sentence("Rod end:"), made))
    for i, joint in enumerate(line.joints, start=1):
        if joint.kind is JointKind.ONE_EXTRUSION:
            continue
        made = Sentence("{joint}.", joint=joint_words(joint))
        if joint.overlap > 0.0:
            longer = ShortLength(joint.overlap / 2.0)
            made = Sentence("{made} Cut each piece {longer} longer.", made=made, longer=longer)
        said.append((Sentence("Segments {ahead} and {behind}:", ahead=i, behind=i + 1), made))
    return [Paragraph(text, lead=lead) for lead, text in said]


def _finish(whole: Whole) -> tuple[Block, ...]:
    """Room for what the scale and the tape say of the finished thing, and for who made it."""
    if whole.head is None:
        return (signature(Sentence("made by")),)
    return (Together((Heading(tr("Finish")), finished_as(Sentence("loops on")))),)


def _rig(analysis: LineAnalysis, looped: Looped) -> list[Block]:
    """The lines of a rig with segments, loops and joints, and what is said where they meet."""
    blocks: list[Block] = []
    for at, (span, rows) in enumerate(zip(looped.spans, looped.rows, strict=True)):
        length = Length(span.end - span.start)
        blocks.append(Heading(Sentence("{line}: {length}", line=span.line.name, length=length)))
        blocks.append(_segments(analysis, rows))
        blocks += _joints(span.line)
        if at < len(looped.joints):
            blocks += _where_they_meet(looped, at)
    running = range(looped.rows[-1].stop, len(analysis.segments))
    if running:
        blocks += [Heading(tr("Running line")), _segments(analysis, running)]
    return [*blocks, Paragraph(tied_words(looped), points=NOTE)]


def _where_they_meet(looped: Looped, at: int) -> tuple[Block, ...]:
    joint = looped.joints[at]
    step = Sentence("Step {step}.", step=Ratio(joint.step))
    place = Sentence("Joint at {place}", place=Length(joint.position))
    name = Sentence("{place}: {lines}", place=place, lines=joint_name(joint))
    said = (step, hinge_words(joint), step_words(joint), loops_words(joint))
    return Heading(name), Paragraph(one_after_another(said))
