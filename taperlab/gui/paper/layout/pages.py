"""A sheet on pages: laid out for a size of paper and a system of units, and painted."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QDateTime, QLocale, QMarginsF, QRectF
from PySide6.QtGui import QPagedPaintDevice, QPageLayout, QPageSize, QPainter

from taperlab.gui.paper.layout.blocks import MM, NOTE, Sheet
from taperlab.gui.paper.layout.flow import strips_of
from taperlab.gui.paper.layout.letters import Letters, broken
from taperlab.gui.paper.layout.marks import HAIR, Mark, paint, rule, words
from taperlab.gui.paper.layout.strips import paged
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Told

MARGIN_MM = 15.0
"""Round the page; printers leave up to 13 mm white at the foot."""

FOOT = 24.0
"""Room for the foot of each page, its rule included."""

LEAST_ROOM = 4.0 * 72.0
"""What must be left within the margins, either way: the rule that tells the scale is as long."""


class NotPrinted(Told):
    """A printer, or a file that is printed to, takes no page, or none that is large enough."""


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its marks, counted from the left top of what may be printed on."""

    marks: tuple[Mark, ...]


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


def now_words() -> str:
    """Date and time, as the person's system names months."""
    return QLocale().toString(QDateTime.currentDateTime(), "d MMM yyyy HH:mm")


def pages_of(
    sheet: Sheet, layout: QPageLayout, system: System, when: str | None = None
) -> tuple[Page, ...]:
    """A sheet laid out. when: date and time for the foot of each page, else those of now.

    Raises NotPrinted for paper that is too small, such as that of a printer of labels.
    """
    room = printed(layout)
    if min(room.width(), room.height()) < LEAST_ROOM:
        raise NotPrinted(
            "That paper is too small for a sheet: choose Letter or A4, or a printer that has it."
        )
    found = paged(strips_of(sheet.blocks, room.width(), system), room.height() - FOOT)
    if len(found) > 1:
        # A page that a little less room between the parts saves is not turned beside the scale.
        strips = strips_of(sheet.blocks, room.width(), system, close=True)
        found = min(found, paged(strips, room.height() - FOOT), key=len)
    stamp = " · ".join(each for each in (sheet.file, now_words() if when is None else when) if each)
    return tuple(
        Page((*marks, *_foot(stamp, number, len(found), room)))
        for number, marks in enumerate(found, start=1)
    )


def printed(layout: QPageLayout) -> QRectF:
    """What of the paper may be printed on [points], from the paper's left top."""
    points = QPageLayout.Unit.Point
    paper = layout.fullRect(points)  # as it lies
    margins = layout.margins(points)
    least = MARGIN_MM * MM
    left, top = max(margins.left(), least), max(margins.top(), least)
    right, bottom = max(margins.right(), least), max(margins.bottom(), least)
    return QRectF(left, top, paper.width() - left - right, paper.height() - top - bottom)


def _foot(stamp: str, number: int, count: int, room: QRectF) -> list[Mark]:
    letters = Letters(NOTE)
    top, width = room.height() - letters.height - 4.0, room.width()
    of = tr("page {page} of {pages}").format(page=number, pages=count)
    wide = letters.width(of)
    marks: list[Mark] = [rule(0.0, top, width, HAIR)]
    (line,) = broken(of, letters, wide + 1.0)
    marks += words(width - wide, top + 4.0, line)
    shown = stamp
    while shown and letters.width(shown) > width - wide - 14.0:
        # A long name of a file loses its beginning, and never the time behind it.
        shown = f"…{shown[2:]}"
    if shown:
        (line,) = broken(shown, letters, width)
        marks += words(0.0, top + 4.0, line)
    return marks


def paint_sheet(
    sheet: Sheet, device: QPagedPaintDevice, system: System, when: str | None = None
) -> int:
    """Paint a sheet page by page on a printer or a PDF; how many pages it took.

    Raises NotPrinted where the device takes nothing, or has too small a paper.
    """
    layout = device.pageLayout()
    pages = pages_of(sheet, layout, system, when)
    painter = QPainter()
    if not painter.begin(device):
        raise NotPrinted("The printer takes no page; see whether it is there, and ready.")
    try:
        origin = layout.margins(QPageLayout.Unit.Point)
        room = printed(layout)
        for number, page in enumerate(pages):
            if number and not device.newPage():
                raise NotPrinted("The printer took {page} pages, and no more.", page=number)
            painter.save()
            painter.scale(device.logicalDpiX() / 72.0, device.logicalDpiY() / 72.0)
            painter.translate(room.left() - origin.left(), room.top() - origin.top())
            paint(painter, page.marks)
            painter.restore()
    finally:
        painter.end()
    return len(pages)
