"""The build sheet: what to make, on paper, with the cautions beside the work."""

from __future__ import annotations

import html
from datetime import datetime

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF, Qt, QUrl
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
from taperlab.shop.analyse import LineAnalysis, RodFit, analyse_line, fit_to_rod
from taperlab.trade.cautions import Topic, cautions
from taperlab.units.kinds import (
    DENSITY,
    DIAMETER,
    LENGTH,
    ROD_LENGTH,
    SHORT_LENGTH,
    SINK_RATE,
    SMALL_WEIGHT,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.show import show

BUILD_TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES, Topic.ADHESIVE)
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


def page_layout(system: System) -> QPageLayout:
    """Letter where inches are used, A4 elsewhere."""
    size = QPageSize.PageSizeId.Letter if system is System.US else QPageSize.PageSizeId.A4
    return QPageLayout(
        QPageSize(size),
        QPageLayout.Orientation.Portrait,
        QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM),
        QPageLayout.Unit.Millimeter,
    )


def build_sheet(bench: Bench, line: Line, system: System) -> QTextDocument:
    """The sheet of one line: figures, outline, segments, joints and loops, cautions."""
    analysis = analyse_line(line, bench.water)
    fit = fit_to_rod(analysis, bench.chosen_rod) if bench.chosen_rod else None
    document = QTextDocument()
    document.setDefaultFont(sheet_font(8.5))
    document.setDefaultStyleSheet(STYLE)
    document.addResource(
        QTextDocument.ResourceType.ImageResource, QUrl("outline"), outline_picture(analysis)
    )
    parts = [
        f"<h1>{html.escape(line.name)}</h1>",
        f"<p class='soft'>{html.escape(str(line.style)[0].upper() + str(line.style)[1:])} · "
        f"{datetime.now().astimezone():%d %B %Y}</p>",
        _figures(analysis, fit, bench, system),
        "<p><img src='outline' width='670'></p>",
        _segments(analysis, system),
        _joints(line, system),
    ]
    if line.note:
        parts.append(f"<h2>Note</h2><p>{html.escape(line.note)}</p>")
    parts.append(_cautions(fit))
    document.setHtml("<body>" + "".join(parts) + "</body>")
    return document


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
        painter.drawText(where, Qt.AlignmentFlag.AlignLeft, "Taperlab · weigh before you cut")
        painter.drawText(where, Qt.AlignmentFlag.AlignRight, f"{number + 1} of {pages}")
    painter.end()
    return pages


def sheet_font(points: float) -> QFont:
    """The typeface for paper. Figures of equal width have no text behind them in a PDF."""
    face = theming.font(points)
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
    painter.setFont(theming.font(17.0))
    for i, segment in enumerate(analysis.line.segments):
        x1, x2 = 4 + profile.starts[i] * across, 4 + profile.starts[i + 1] * across
        h1 = half * profile.front_diameters[i] / thickest
        h2 = half * profile.rear_diameters[i] / thickest
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
        text = str(segment.part)
        if painter.fontMetrics().horizontalAdvance(text) + 12 < x2 - x1 and min(h1, h2) > 24:
            painter.setPen(QColor(theming.ink_on(colour)))
            painter.drawText(
                QRectF(x1, middle - 20, x2 - x1, 40), Qt.AlignmentFlag.AlignCenter, text
            )
    painter.setPen(QColor(tokens.soft))
    box = QRectF(4, 222, PICTURE_WIDTH - 8, 36)
    painter.drawText(box, Qt.AlignmentFlag.AlignLeft, "fly end")
    painter.drawText(box, Qt.AlignmentFlag.AlignRight, "rod end")
    painter.end()
    return image


def _figures(analysis: LineAnalysis, fit: RodFit | None, bench: Bench, system: System) -> str:
    head = analysis.head
    if head is None:
        return "<p>This line has no head.</p>"
    other = System.METRIC if system is System.US else System.US
    cells = [
        (
            "Head weight",
            show(head.mass, WEIGHT, system),
            show(head.mass, WEIGHT, other),
        ),
        ("Head length", show(head.length, LENGTH, system), show(head.length, LENGTH, other)),
        (
            "Front taper",
            f"{head.front_taper_mass_share * 100:.0f} % of weight",
            f"{head.front_taper_length_share * 100:.0f} % of length",
        ),
        ("Balance point", show(head.balance_point, LENGTH, system), "from the fly end"),
        (
            "Sink rate",
            "floats" if head.floats else show(head.sink, SINK_RATE, system),
            f"{bench.water.kind} water, {show(bench.water.temperature, TEMPERATURE, system)}",
        ),
    ]
    if fit:
        window = "no window for this style"
        if fit.window:
            window = (
                f"window {show(fit.window.lightest, WEIGHT, system, unit=False)} to "
                f"{show(fit.window.heaviest, WEIGHT, system)}"
            )
        length = show(fit.rod_length, ROD_LENGTH, system)
        cells.append(
            (
                f"On {fit.name}" if length in fit.name else f"On {fit.name}, {length}",
                f"ratio {fit.ratio:.2f}",
                f"{window}; {fit.place or ''}",
            )
        )
    rows = []
    for at in range(0, len(cells), 3):
        rows.append(
            "<tr>"
            + "".join(
                f"<td width='33%' style='padding: 5px 12px 5px 0'><span class='soft'>"
                f"{html.escape(name)}</span><br><span class='figure'>{html.escape(value)}</span>"
                f"<br><span class='soft'>{html.escape(remark)}</span></td>"
                for name, value, remark in cells[at : at + 3]
            )
            + "</tr>"
        )
    return f"<table width='100%'>{''.join(rows)}</table>"


def _segments(analysis: LineAnalysis, system: System) -> str:
    def cell(value: float, kind: Kind) -> str:
        return f"<td align='right'>{html.escape(show(value, kind, system))}</td>"

    headings = ("Part", "From", "Length", "Front ⌀", "Rear ⌀", "Density", "Weight", "At front")
    head = "".join(
        f"<th align='{'left' if i == 0 else 'right'}'>{name}</th>"
        for i, name in enumerate(headings)
    )
    rows = []
    for segment, figures in zip(analysis.line.segments, analysis.segments, strict=True):
        part = html.escape(str(segment.part).capitalize())
        if segment.note:
            part += f"<br><span class='soft'>{html.escape(segment.note)}</span>"
        start = "0" if figures.start == 0.0 else show(figures.start, LENGTH, system)
        rows.append(
            f"<tr><td>{part}</td><td align='right'>{start}</td>"
            + cell(segment.length, LENGTH)
            + cell(segment.front_diameter, DIAMETER)
            + cell(segment.rear_diameter, DIAMETER)
            + cell(figures.mean_density, DENSITY)
            + cell(figures.mass, WEIGHT)
            + cell(figures.front_linear_density, WEIGHT_PER_LENGTH)
            + "</tr>"
        )
    return (
        "<h2>Segments from the fly end</h2>"
        f"<table class='rows' width='100%' cellspacing='0'><thead><tr>{head}</tr></thead>"
        f"{''.join(rows)}</table>"
    )


def _joints(line: Line, system: System) -> str:
    rows = []
    for end, loop in (("Front", line.front_loop), ("Rear", line.rear_loop)):
        if loop.kind is LoopKind.NONE:
            continue
        text = f"{end} end: {loop.kind}"
        if loop.fold > 0.0:
            text += f", {show(loop.fold, SHORT_LENGTH, system)} folded back"
        if loop.mass > 0.0:
            text += f", adds {show(loop.mass, SMALL_WEIGHT, system)}"
        # A head fished back to front casts badly.
        rows.append(text + (". Mark the rear loop plainly." if end == "Rear" else "."))
    for i, joint in enumerate(line.joints):
        if joint.kind is JointKind.ONE_EXTRUSION:
            continue
        text = f"Segments {i + 1} and {i + 2}: {joint.kind}"
        if joint.overlap > 0.0:
            text += (
                f", overlap {show(joint.overlap, SHORT_LENGTH, system)}; cut each piece "
                f"{show(joint.overlap / 2.0, SHORT_LENGTH, system)} longer"
            )
        if joint.mass > 0.0:
            text += f", adds {show(joint.mass, SMALL_WEIGHT, system)}"
        rows.append(text + ".")
    if not rows:
        return ""
    return "<h2>Loops and joints</h2>" + "".join(f"<p>{html.escape(row)}</p>" for row in rows)


def _cautions(fit: RodFit | None) -> str:
    shown = [each for each in cautions() if each.topic in BUILD_TOPICS]
    rows = "".join(
        f"<p><b>{html.escape(each.title)}.</b> {html.escape(each.text)} "
        f"{html.escape(each.defer)}</p>"
        for each in shown
    )
    for finding in fit.findings if fit else ():
        rows = f"<p><b>{html.escape(str(finding.sentence))}</b></p>" + rows
    return f"<h2>Cautions</h2>{rows}"
