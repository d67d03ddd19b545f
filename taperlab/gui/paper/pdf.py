"""A sheet as PDF, with what can be told about it to readers and archives.

Qt writes PDF/A-1b: typefaces are embedded, colours are defined, nothing is transparent. Title,
author and creator stand in it, and in its metadata (XMP) a description and the language as well.
What Qt cannot write is a structure for screen readers: its PDFs are not tagged, tables and headings
are known by their looks alone, and the catalogue names no language. Text stands in the order in
which it is read.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from xml.sax.saxutils import escape

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, qVersion
from PySide6.QtGui import QPagedPaintDevice, QPageLayout, QPdfWriter

from taperlab.gui.paper.layout.blocks import Sheet
from taperlab.gui.paper.layout.pages import paint_sheet
from taperlab.gui.paper.layout.said import plain
from taperlab.units.kinds import System
from taperlab.units.language import language

RESOLUTION = 1200
"""Dots per inch that positions are rounded to."""

CREATOR = "Taperlab"


def pdf_of(sheet: Sheet, layout: QPageLayout, system: System) -> tuple[bytes, int]:
    """A sheet as a PDF, and how many pages it has. Raises NotPrinted."""
    return pdf_painted(
        lambda device: paint_sheet(sheet, device, system),
        layout,
        plain(sheet.title, system),
        plain(sheet.subject, system),
        sheet.author,
    )


def pdf_painted(
    paint: Callable[[QPagedPaintDevice], int],
    layout: QPageLayout,
    title: str,
    about: str,
    author: str = "",
) -> tuple[bytes, int]:
    """What is painted page by page as a PDF, and how many pages it has. Raises NotPrinted.

    paint: does it, and gives the number of pages.
    """
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setPdfVersion(QPagedPaintDevice.PdfVersion.PdfVersion_A1b)
    writer.setPageLayout(layout)
    writer.setResolution(RESOLUTION)
    writer.setTitle(title)
    writer.setCreator(CREATOR)
    if author and hasattr(writer, "setAuthor"):  # from Qt 6.9 on
        writer.setAuthor(author)
    # PDF/A wants the same date here and in the PDF's own record, which Qt writes a moment later.
    metadata = _metadata(title, about, author, datetime.now().astimezone())
    writer.setDocumentXmpMetadata(QByteArray(metadata.encode()))
    pages = paint(writer)
    buffer.close()
    return bytes(content.data()), pages


def _metadata(title: str, about: str, author: str, when: datetime) -> str:
    """What is told about a PDF, as XMP (ISO 16684-1) for PDF/A-1b."""
    stamp = when.isoformat(timespec="seconds")
    # Qt's own record names an author in any case, if with an empty name, and both must be alike.
    return (
        "<?xpacket begin='' id='W5M0MpCehiHzreSzNTczkc9d'?>"
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"'
        ' xmlns:dc="http://purl.org/dc/elements/1.1/"'
        ' xmlns:xmp="http://ns.adobe.com/xap/1.0/"'
        ' xmlns:pdf="http://ns.adobe.com/pdf/1.3/"'
        ' xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">'
        '<rdf:Description rdf:about="">'
        f"<dc:title>{_in_default(title)}</dc:title>"
        f"<dc:description>{_in_default(about)}</dc:description>"
        f"<dc:language><rdf:Bag><rdf:li>{escape(language())}</rdf:li></rdf:Bag></dc:language>"
        f"<dc:creator><rdf:Seq><rdf:li>{escape(author)}</rdf:li></rdf:Seq></dc:creator>"
        f"<xmp:CreatorTool>{CREATOR}</xmp:CreatorTool>"
        f"<pdf:Producer>Qt {qVersion()}</pdf:Producer>"
        f"<xmp:CreateDate>{stamp}</xmp:CreateDate><xmp:ModifyDate>{stamp}</xmp:ModifyDate>"
        "<pdfaid:part>1</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>"
        "</rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end='w'?>"
    )


def _in_default(text: str) -> str:
    return f'<rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt>'
