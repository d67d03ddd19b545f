"""Sheets of labels: where each lies on its page, the rule that tells the scale, the test page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPagedPaintDevice, QPageLayout, QPageSize, QPainter

from taperlab.gui.paper.labels.label import Label, lay_out
from taperlab.gui.paper.layout.blocks import LEAST, MM, NOTE
from taperlab.gui.paper.layout.letters import Letters
from taperlab.gui.paper.layout.marks import (
    BLACK,
    GREY,
    HAIR,
    Box,
    Mark,
    Shape,
    Words,
    frame,
    paint,
)
from taperlab.gui.paper.layout.pages import NotPrinted
from taperlab.gui.paper.layout.said import Read, reader
from taperlab.gui.paper.layout.scale_rule import rule_length, rule_marks, rule_words
from taperlab.shop.labels.asking import Asked, BadLabels, slots
from taperlab.shop.labels.content import Fact, LabelContent
from taperlab.trade.label_grids import LabelGrid, Paper
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, Several, listed

POINTS = 1000.0 * MM
"""In a metre."""

RULE_ROOM = 12.0 * MM
"""A margin must be as wide for the rule: printers leave 4 to 5 mm of paper white."""

RULE_AT = 5.5 * MM
"""From the edge of the paper."""


@dataclass(frozen=True, slots=True)
class LabelPage:
    """One page: marks from the left top of the paper [points].

    frames: outlines of the labels, for the eye alone; used: numbers of labels that are gone.
    """

    marks: tuple[Mark, ...]
    frames: tuple[Box, ...]
    used: int = 0


@dataclass(frozen=True, slots=True)
class LabelSheets:
    """Labels on pages. paper: of all of them. remarks: what there was no room for."""

    paper: Paper
    pages: tuple[LabelPage, ...]
    remarks: tuple[Sentence, ...]


def label_sheets(asked: Asked, contents: Sequence[LabelContent], system: System) -> LabelSheets:
    """Labels laid out on as many pages as they take. Raises BadLabels."""
    read = reader(system)
    grid = asked.grid
    if asked.test:
        page = LabelPage(tuple(_test_marks(asked, read, system)), _frames(grid))
        return LabelSheets(grid.paper, (page,), ())
    places = slots(asked, len(contents))
    if not places:
        raise BadLabels("There is nothing to put on labels.")
    made = [_made(content, grid, read) for content in contents]
    pages: list[list[Mark]] = [[] for _ in range(places[-1].page + 1)]
    shift_x, shift_y = asked.nudge_x * POINTS, asked.nudge_y * POINTS
    inner = grid.inner * POINTS
    for slot in places:
        left, top = grid.place(slot.number)
        x, y = left * POINTS + inner + shift_x, top * POINTS + inner + shift_y
        pages[slot.page] += [mark.moved(x, y) for mark in made[slot.content].marks]
    remarks = list(_remarks(contents, made))
    if asked.rule:
        if grid.margins[1] * POINTS >= RULE_ROOM:
            made_rule = [each.moved(15.0 * MM, RULE_AT) for each in _rule(read, system)]
            for marks in pages:
                marks += made_rule
        else:
            remarks.append(
                Sentence("The margin has no room for the scale rule: print the test page for it.")
            )
    frames = _frames(grid)
    return LabelSheets(
        grid.paper,
        tuple(
            LabelPage(tuple(marks), frames, asked.start - 1 if i == 0 else 0)
            for i, marks in enumerate(pages)
        ),
        tuple(remarks),
    )


def page_layout_of(paper: Paper) -> QPageLayout:
    """The whole of a sheet of paper."""
    letter = paper is Paper.LETTER
    size = QPageSize.PageSizeId.Letter if letter else QPageSize.PageSizeId.A4
    return QPageLayout(
        QPageSize(size),
        QPageLayout.Orientation.Portrait,
        QMarginsF(0.0, 0.0, 0.0, 0.0),
        QPageLayout.Unit.Point,
    )


def paint_labels(sheets: LabelSheets, device: QPagedPaintDevice) -> int:
    """Paint labels page by page; how many pages it took. Raises NotPrinted."""
    painter = QPainter()
    if not painter.begin(device):
        raise NotPrinted("The printer takes no page; see whether it is there, and ready.")
    try:
        margins = device.pageLayout().margins(QPageLayout.Unit.Point)
        for number, page in enumerate(sheets.pages):
            if number and not device.newPage():
                raise NotPrinted("The printer took {page} pages, and no more.", page=number)
            painter.save()
            painter.scale(device.logicalDpiX() / 72.0, device.logicalDpiY() / 72.0)
            painter.translate(-margins.left(), -margins.top())
            paint(painter, page.marks)
            painter.restore()
    finally:
        painter.end()
    return len(sheets.pages)


def _made(content: LabelContent, grid: LabelGrid, read: Read) -> Label:
    width, height = ((each - 2.0 * grid.inner) * POINTS for each in (grid.width, grid.height))
    made = lay_out(content, width, height, read)
    if made is None:
        raise BadLabels(
            "A label of this size has no room for a name and a weight in letters of {points} "
            "points.",
            points=f"{LEAST:.0f}",
        )
    return made


def _remarks(contents: Sequence[LabelContent], made: Sequence[Label]) -> list[Sentence]:
    """What is amiss with a head, and what is left out, once for what is left out alike."""
    found: dict[tuple[Fact, ...], list[str]] = {}
    for content, label in zip(contents, made, strict=True):
        if label.dropped:
            found.setdefault(label.dropped, []).append(content.name)
    said = list(dict.fromkeys(each.amiss for each in contents if each.amiss))
    for dropped, names in found.items():
        what = Several(tuple(dropped))
        if len(names) == len(contents):
            said.append(Sentence("Left out for want of room: {what}.", what=what))
        else:
            of = listed(*(f"“{name}”" for name in names))
            said.append(Sentence("Left out of {names}: {what}.", names=of, what=what))
    for content, label in zip(contents, made, strict=True):
        if label.shortened:
            said.append(Sentence("The name “{name}” is cut short.", name=content.name))
    return said


def _frames(grid: LabelGrid) -> tuple[Box, ...]:
    found = []
    for number in range(1, grid.count + 1):
        left, top = (each * POINTS for each in grid.place(number))
        found.append(Box(left, top, left + grid.width * POINTS, top + grid.height * POINTS))
    return tuple(found)


def _rule(read: Read, system: System) -> list[Mark]:
    """The rule that tells the scale, from the left top, with its words behind it."""
    letters, text = Letters(LEAST), rule_words(system, read)
    left = rule_length(system) + 8.0
    told = Words(left, letters.cap, text, letters, letters.width(text))
    return [*rule_marks(system, hangs=True), told]


def _test_marks(asked: Asked, read: Read, system: System) -> list[Mark]:
    """Outlines, their numbers, and the rule in the middle, on white."""
    marks: list[Mark] = []
    letters = Letters(NOTE)
    x, y = asked.nudge_x * POINTS, asked.nudge_y * POINTS
    for number, box in enumerate(_frames(asked.grid), start=1):
        at = box.moved(x, y)
        left, top, right, bottom = at
        corners = ((left, top), (right, top), (right, bottom), (left, bottom))
        marks.append(Shape(corners, HAIR, GREY, closed=True, dash=(3.0, 2.0)))
        wide = letters.width(str(number))
        if at.bottom - at.top > 2.0 * letters.cap:
            foot = at.top + letters.cap + 4.0
            marks.append(Words(at.left + 5.0, foot, str(number), letters, wide))
    width, height = (each * POINTS for each in asked.grid.paper.size)
    made = _rule(read, system)
    across = max(each.box.right for each in made)
    left, top = (width - across) / 2.0, height / 2.0 - 6.0
    ground = Box(left - 8.0, top - 8.0, left + across + 8.0, top + 18.0)
    marks.append(frame(ground, HAIR, own="#FFFFFF"))
    marks += [each.moved(left, top) for each in made]
    words = read(
        Sentence("Hold this page against a sheet of labels; then nudge until the outlines agree.")
    )
    wide = letters.width(words)
    below = Box(left - 8.0, top + 18.0, left + max(across, wide) + 8.0, top + 36.0)
    marks.append(frame(below, HAIR, own="#FFFFFF"))
    marks.append(Words(left, top + 30.0, words, letters, wide, BLACK))
    return marks
