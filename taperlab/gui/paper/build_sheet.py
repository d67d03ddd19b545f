"""The build sheet: what to make, a line or a rig, with the cautions beside the work."""

from __future__ import annotations

import html

from PySide6.QtGui import QTextDocument

from taperlab.gui.paper.outline_picture import outline_picture
from taperlab.gui.paper.sheet import PICTURE, paragraph, sheet_of, table, title, today
from taperlab.model.bench import Bench
from taperlab.model.line import JointKind, Line, LoopKind
from taperlab.model.rig import Rig
from taperlab.physics.head import head_problem
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.joints import hinge_words, joint_name, loops_words, step_words, tied_words
from taperlab.shop.on_rod import RodFit
from taperlab.shop.rig import Looped
from taperlab.shop.whole import Whole, rig_of_bench, whole_line
from taperlab.shop.wording import (
    head_sink,
    joint_words,
    judged_words,
    loop_words,
    place_on_rod,
    water_words,
    window_words,
)
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    System,
)
from taperlab.units.language import tr
from taperlab.units.sentence import (
    NOTHING,
    Length,
    Number,
    Ratio,
    RodLength,
    Sentence,
    ShortLength,
    Weight,
    render,
)
from taperlab.units.show import show
from taperlab.units.words import heading


def build_sheet(bench: Bench, thing: Line | Rig, system: System) -> QTextDocument:
    """The sheet of a line or a rig: figures, outline, segments, joints and loops, cautions."""
    whole = rig_of_bench(thing, bench) if isinstance(thing, Rig) else None
    if whole is None:
        line = bench.line(thing.head) if isinstance(thing, Rig) else thing
        whole = whole_line(line, bench.water)
    fit = whole.on_rod(bench.chosen_rod, bench)
    findings = [_said(each.sentence, system) for each in (fit.findings if fit else ())]
    findings += [_said(each.sentence, system) for each in whole.hinges]
    return sheet_of(
        whole.name,
        f"{heading(whole.line.style)} · {today()}",
        [
            _figures(whole, fit, system),
            f"<p><img src='{PICTURE}' width='670'></p>",
            _made_of(whole, system),
        ],
        note=thing.note,
        warnings=[paragraph(f"<b>{said}</b>") for said in findings],
        picture=outline_picture(whole),
    )


def _made_of(whole: Whole, system: System) -> str:
    """The segments and the joints, of a rig line by line."""
    if whole.looped is not None:
        return _rig(whole.analysis, whole.looped, system)
    return _segments(whole.analysis, system) + _joints(whole.line, system)


def _figures(whole: Whole, fit: RodFit | None, system: System) -> str:
    analysis, head = whole.analysis, whole.head
    if head is None:
        why = head_problem(analysis.line)
        return f"<p>{_said(why.sentence if why else NOTHING, system)}</p>"
    other = System.METRIC if system is System.US else System.US
    length = Length(head.length)
    weight_share = Number(head.front_taper_mass_share * 100.0)
    length_share = Number(head.front_taper_length_share * 100.0)
    weight, named = Weight(head.mass), (tr("Head weight"), tr("Head length"))
    remarks = weight.text(other), length.text(other)
    if whole.parts is not None:
        named, alone = (tr("Weight of the rig"), tr("Length")), whole.parts.head
        weighs = Sentence("head alone {weight}", weight=Weight(alone.mass))
        reaches = Sentence("head alone {length}", length=Length(alone.length))
        remarks = render(weighs, system), render(reaches, system)
    cells = [
        (named[0], weight.text(system), remarks[0]),
        (named[1], length.text(system), remarks[1]),
        (
            tr("Front taper"),
            render(Sentence("{percent} % of weight", percent=weight_share), system),
            render(Sentence("{percent} % of length", percent=length_share), system),
        ),
        (tr("Balance point"), Length(head.balance_point).text(system), tr("from the fly end")),
        (
            tr("Sink rate"),
            render(head_sink(head), system),
            render(Sentence("water: {water}", water=water_words(analysis.water)), system),
        ),
    ]
    if fit:
        place = place_on_rod(fit)
        if fit.window:
            edges = window_words(fit.window.lightest, fit.window.heaviest)
            place = Sentence("{window}; {place}", window=edges, place=place)
        if judged := judged_words(fit):
            place = Sentence("{place} ({judged})", place=place, judged=judged)
        rod_length = RodLength(fit.rod_length)
        on = Sentence("On {rod}, {length}", rod=fit.name, length=rod_length)
        if rod_length.text(system) in fit.name:
            on = Sentence("On {rod}", rod=fit.name)
        counted = fit.reading.counted
        ratio = Sentence("ratio {ratio} ({parts})", ratio=Ratio(fit.ratio), parts=counted)
        cells.append((render(on, system), render(ratio, system), render(place, system)))
    shown = [
        f"<td width='33%' style='padding: 5px 12px 5px 0'><span class='soft'>"
        f"{html.escape(name)}</span><br><span class='figure'>{html.escape(value)}</span>"
        f"<br><span class='soft'>{html.escape(remark)}</span></td>"
        for name, value, remark in cells
    ]
    rows = ["".join(shown[at : at + 3]) for at in range(0, len(shown), 3)]
    return f"<table width='100%'>{''.join(f'<tr>{row}</tr>' for row in rows)}</table>"


def _segments(analysis: LineAnalysis, system: System) -> str:
    return title(tr("Segments from the fly end")) + _segment_table(analysis, system)


def _segment_table(analysis: LineAnalysis, system: System, rows_shown: range | None = None) -> str:
    """A table of the segments of a line, or of some of its rows."""
    headings = (
        tr("Part"),
        tr("From"),
        tr("Length"),
        tr("Front ⌀"),
        tr("Rear ⌀"),
        tr("Density"),
        tr("Weight"),
        tr("At front"),
    )
    rows = []
    shown_rows = rows_shown if rows_shown is not None else range(len(analysis.segments))
    for row in shown_rows:
        segment, figures = analysis.line.segments[row], analysis.segments[row]
        part = html.escape(heading(segment.part))
        if segment.note:
            part += f"<br><span class='soft'>{html.escape(segment.note)}</span>"
        shown = [
            "0" if figures.start == 0.0 else show(figures.start, LENGTH, system),
            show(segment.length, LENGTH, system),
            show(segment.front_diameter, DIAMETER, system),
            show(segment.rear_diameter, DIAMETER, system),
            show(figures.mean_density, DENSITY, system),
            show(figures.mass, WEIGHT, system),
            show(figures.front_linear_density, WEIGHT_PER_LENGTH, system),
        ]
        rows.append([part, *map(html.escape, shown)])
    return table(headings, rows)


def _joints(line: Line, system: System) -> str:
    rows = _joint_paragraphs(line, system)
    return title(tr("Loops and joints")) + rows if rows else ""


def _joint_paragraphs(line: Line, system: System) -> str:
    """What loops and made joints a line has, one below the other; nothing without any."""
    said = []
    if line.front_loop.kind is not LoopKind.NONE:
        said.append(Sentence("Fly end: {loop}.", loop=loop_words(line.front_loop)))
    if line.rear_loop.kind is not LoopKind.NONE:
        # A head fished back to front casts badly.
        said.append(
            Sentence("Rod end: {loop}. Mark this loop plainly.", loop=loop_words(line.rear_loop))
        )
    for i, joint in enumerate(line.joints, start=1):
        if joint.kind is JointKind.ONE_EXTRUSION:
            continue
        made = Sentence(
            "Segments {ahead} and {behind}: {joint}.",
            ahead=i,
            behind=i + 1,
            joint=joint_words(joint),
        )
        if joint.overlap > 0.0:
            longer = ShortLength(joint.overlap / 2.0)
            made = Sentence("{made} Cut each piece {longer} longer.", made=made, longer=longer)
        said.append(made)
    return "".join(f"<p>{_said(each, system)}</p>" for each in said)


def _said(sentence: Sentence, system: System) -> str:
    return html.escape(render(sentence, system))


def _rig(analysis: LineAnalysis, looped: Looped, system: System) -> str:
    """The lines of a rig with segments, loops and joints, and what is said where they meet."""
    parts = []
    for at, (span, rows) in enumerate(zip(looped.spans, looped.rows, strict=True)):
        length = Length(span.end - span.start)
        above = Sentence("{line}: {length}", line=span.line.name, length=length)
        parts.append(title(render(above, system)))
        parts.append(_segment_table(analysis, system, rows))
        parts.append(_joint_paragraphs(span.line, system))
        if at < len(looped.joints):
            parts.append(_where_they_meet(looped, at, system))
    running = range(looped.rows[-1].stop, len(analysis.segments))
    if running:
        parts.append(title(tr("Running line")) + _segment_table(analysis, system, running))
    parts.append(paragraph(_said(tied_words(looped), system)))
    return "".join(parts)


def _where_they_meet(looped: Looped, at: int, system: System) -> str:
    joint = looped.joints[at]
    step = Sentence("Step {step}.", step=Ratio(joint.step))
    said = (step, hinge_words(joint), step_words(joint), loops_words(joint))
    place = Sentence("Joint at {place}", place=Length(joint.position))
    name = Sentence("{place}: {lines}", place=place, lines=joint_name(joint))
    words = " ".join(_said(each, system) for each in said)
    return title(render(name, system)) + paragraph(words)
