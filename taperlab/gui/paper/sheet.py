"""The build sheet: what to make, on paper, with the cautions beside the work."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence

from PySide6.QtCore import QDate, QLocale, QMarginsF, QPointF, QRectF, QSizeF, Qt, QUrl
from PySide6.QtGui import (
    QColor,
    QFont,
    QImage,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QPolygonF,
    QTextDocument,
)

from taperlab.gui.kit import theme as theming
from taperlab.model.bench import Bench
from taperlab.model.line import JointKind, Line, LoopKind
from taperlab.physics.head import head_problem
from taperlab.shop.analyse import LineAnalysis, analyse_line
from taperlab.shop.on_rod import RodFit, fit_to_rod
from taperlab.shop.wording import (
    head_sink,
    joint_words,
    loop_words,
    place_on_rod,
    water_words,
    window_words,
)
from taperlab.trade.cautions import Topic, cautions
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
from taperlab.units.words import heading, word

TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES, Topic.ADHESIVE)
PICTURE = "outline"
PICTURE_WIDTH, PICTURE_HEIGHT = 1800, 260
MARGIN_MM = 16.0

STYLE = """
body { font-family: Inter, sans-serif; font-size: 8.5pt; color: #1C2B2D; }
h1 { font-size: 17pt; margin-bottom: 0; }
h2 { font-size: 10pt; margin-top: 12px; margin-bottom: 3px; }
p { margin-top: 2px; margin-bottom: 3px; }
.soft { color: #5A6868; }
table.rows td, table.rows th { padding: 2px 7px; border-bottom: 1px solid #DAD6CB; }
table.rows th { color: #5A6868; font-weight: normal; }
.figure { font-size: 13pt; }
"""


def page_layout(system: System, paper: str | None = None) -> QPageLayout:
    """Letter where inches are used, A4 elsewhere, unless one of them is named."""
    letter = paper == "letter" or (paper is None and system is System.US)
    size = QPageSize.PageSizeId.Letter if letter else QPageSize.PageSizeId.A4
    return QPageLayout(
        QPageSize(size),
        QPageLayout.Orientation.Portrait,
        QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM),
        QPageLayout.Unit.Millimeter,
    )


def today() -> str:
    """The date, as the person's system names months."""
    return QLocale().toString(QDate.currentDate(), "dd MMMM yyyy")


def build_sheet(bench: Bench, line: Line, system: System) -> QTextDocument:
    """The sheet of one line: figures, outline, segments, joints and loops, cautions."""
    analysis = analyse_line(line, bench.water)
    fit = fit_to_rod(analysis, bench.chosen_rod, lines=bench.lines)
    findings = [_said(each.sentence, system) for each in (fit.findings if fit else ())]
    return sheet_of(
        line.name,
        f"{heading(line.style)} · {today()}",
        [
            _figures(analysis, fit, system),
            f"<p><img src='{PICTURE}' width='670'></p>",
            _segments(analysis, system),
            _joints(line, system),
        ],
        note=line.note,
        warnings=[paragraph(f"<b>{said}</b>") for said in findings],
        picture=outline_picture(analysis),
    )


def sheet_of(
    name: str,
    about: str,
    parts: Iterable[str],
    *,
    note: str,
    warnings: Iterable[str] = (),
    picture: QImage | None = None,
    topics: Sequence[Topic] = TOPICS,
) -> QTextDocument:
    """A sheet: its name and what it is about, its parts, a note, and the cautions for the work.

    parts, warnings: HTML; the warnings stand ahead of the cautions. picture: shown in a part where
    that has an image called ``PICTURE``.
    """
    document = QTextDocument()
    document.setDefaultFont(sheet_font(8.5))
    document.setDefaultStyleSheet(STYLE)
    if picture is not None:
        document.addResource(QTextDocument.ResourceType.ImageResource, QUrl(PICTURE), picture)
    for_work = [
        f"<p><b>{html.escape(tr(each.title))}.</b> "
        f"{html.escape(f'{tr(each.text)} {tr(each.defer)}')}</p>"
        for each in cautions()
        if each.topic in topics
    ]
    body = [
        f"<h1>{html.escape(name)}</h1><p class='soft'>{html.escape(about)}</p>",
        *parts,
        title(tr("Note")) + paragraph(html.escape(note)) if note else "",
        title(tr("Cautions")),
        *warnings,
        *for_work,
    ]
    document.setHtml(f"<body>{''.join(body)}</body>")
    return document


def title(text: str) -> str:
    """What stands above a part, as HTML."""
    return f"<h2>{html.escape(text)}</h2>"


def paragraph(text: str) -> str:
    """A paragraph of a text that is HTML already."""
    return f"<p>{text}</p>"


def table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table of texts that are HTML already; all columns but the first to the right."""

    def line(cell: str, texts: Sequence[str]) -> str:
        cells = (
            f"<{cell} align='{'right' if i else 'left'}'>{text}</{cell}>"
            for i, text in enumerate(texts)
        )
        return f"<tr>{''.join(cells)}</tr>"

    return (
        "<table class='rows' width='100%' cellspacing='0'>"
        f"<thead>{line('th', [html.escape(each) for each in headings])}</thead>"
        f"{''.join(line('td', row) for row in rows)}</table>"
    )


def paint_sheet(document: QTextDocument, device: QPagedPaintDevice) -> int:
    """Paint a sheet page by page; how many pages it took."""
    # The text lays itself out in points; the device counts its own dots.
    layout = device.pageLayout()
    resolution = device.logicalDpiX()
    page = layout.paintRectPixels(resolution)
    scale = resolution / 96.0
    size = QSizeF(page.width() / scale, page.height() / scale)
    footer = 22.0
    document.setPageSize(QSizeF(size.width(), size.height() - footer))
    painter = QPainter(device)
    painter.scale(scale, scale)
    pages = document.pageCount()
    height = size.height() - footer
    for number in range(pages):
        if number:
            device.newPage()
        painter.save()
        painter.translate(0, -number * height)
        document.drawContents(painter, QRectF(0, number * height, size.width(), height))
        painter.restore()
        painter.setPen(QColor("#5A6868"))
        # Points would be scaled twice, by the device and by the painter.
        face = sheet_font(9.0)
        face.setPixelSize(9)
        painter.setFont(face)
        where = QRectF(0, height + 6, size.width(), footer - 6)
        painter.drawText(where, Qt.AlignmentFlag.AlignLeft, tr("Taperlab · weigh before you cut"))
        of = tr("{page} of {pages}").format(page=number + 1, pages=pages)
        painter.drawText(where, Qt.AlignmentFlag.AlignRight, of)
    painter.end()
    return pages


def sheet_font(points: float) -> QFont:
    """The typeface for paper. Figures of equal width have no text behind them in a PDF."""
    face = theming.face(points)
    face.unsetFeature(QFont.Tag("tnum"))
    return face


def outline_picture(analysis: LineAnalysis) -> QImage:
    """The outline of a line, its thickness much exaggerated, for paper."""
    tokens = theming.LIGHT
    image = QImage(PICTURE_WIDTH, PICTURE_HEIGHT, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    if not analysis.segments:
        return image
    profile = analysis.profile
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    thickest = max(profile.front_diameters.max(), profile.rear_diameters.max())
    middle, half = 120.0, 95.0
    across = (PICTURE_WIDTH - 8) / profile.length
    painter.setFont(theming.face(17.0))
    for i, segment in enumerate(analysis.line.segments):
        x1, x2 = 4 + profile.starts[i] * across, 4 + profile.starts[i + 1] * across
        h1 = half * segment.front_diameter / thickest
        h2 = half * segment.rear_diameter / thickest
        painter.setPen(QColor("white"))
        colour = tokens.parts[segment.part]
        painter.setBrush(QColor(colour))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x1, middle - h1),
                    QPointF(x2, middle - h2),
                    QPointF(x2, middle + h2),
                    QPointF(x1, middle + h1),
                ]
            )
        )
        text = word(segment.part)
        if painter.fontMetrics().horizontalAdvance(text) + 12 < x2 - x1 and min(h1, h2) > 24:
            painter.setPen(QColor(theming.ink_on(colour)))
            painter.drawText(
                QRectF(x1, middle - 20, x2 - x1, 40), Qt.AlignmentFlag.AlignCenter, text
            )
    painter.setPen(QColor(tokens.soft))
    box = QRectF(4, 222, PICTURE_WIDTH - 8, 36)
    painter.drawText(box, Qt.AlignmentFlag.AlignLeft, tr("fly end"))
    painter.drawText(box, Qt.AlignmentFlag.AlignRight, tr("rod end"))
    painter.end()
    return image


def _figures(analysis: LineAnalysis, fit: RodFit | None, system: System) -> str:
    head = analysis.head
    if head is None:
        why = head_problem(analysis.line)
        return f"<p>{_said(why.sentence if why else NOTHING, system)}</p>"
    other = System.METRIC if system is System.US else System.US
    length = Length(head.length)
    weight_share = Number(head.front_taper_mass_share * 100.0)
    length_share = Number(head.front_taper_length_share * 100.0)
    cells = [
        (tr("Head weight"), Weight(head.mass).text(system), Weight(head.mass).text(other)),
        (tr("Head length"), length.text(system), length.text(other)),
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
    for segment, figures in zip(analysis.line.segments, analysis.segments, strict=True):
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
    return title(tr("Segments from the fly end")) + table(headings, rows)


def _joints(line: Line, system: System) -> str:
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
    if not said:
        return ""
    rows = "".join(f"<p>{_said(each, system)}</p>" for each in said)
    return title(tr("Loops and joints")) + rows


def _said(sentence: Sentence, system: System) -> str:
    return html.escape(render(sentence, system))
