"""A sheet on paper: its parts, its cautions, its pages."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence

from PySide6.QtCore import QDate, QLocale, QMarginsF, QRectF, QSizeF, Qt, QUrl
from PySide6.QtGui import (
    QColor,
    QFont,
    QImage,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QTextDocument,
)

from taperlab.gui.kit import theme as theming
from taperlab.trade.cautions import Topic, cautions
from taperlab.units.kinds import System
from taperlab.units.language import tr

TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES, Topic.ADHESIVE)
PICTURE = "outline"
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
    document.setMetaInformation(QTextDocument.MetaInformation.DocumentTitle, name)
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
