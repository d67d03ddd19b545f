"""Blocks as strips, for a page so wide."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from taperlab.gui.paper.layout.blocks import (
    FIGURE,
    NOTE,
    TEXT,
    Block,
    Figures,
    FillIn,
    Form,
    HeadBlock,
    Heading,
    NewPage,
    Painted,
    Paragraph,
    ScaleRule,
    Signature,
    Table,
    Tick,
    Together,
    WriteLines,
)
from taperlab.gui.paper.layout.drawing import Drawing
from taperlab.gui.paper.layout.letters import Letters, TextLine, broken
from taperlab.gui.paper.layout.marks import (
    GREY,
    HAIR,
    RULE,
    THIN,
    Box,
    Mark,
    Own,
    frame,
    rule,
    words,
)
from taperlab.gui.paper.layout.outline import drawing_strip
from taperlab.gui.paper.layout.said import Read, reader
from taperlab.gui.paper.layout.scale_rule import rule_length, rule_marks, rule_words
from taperlab.gui.paper.layout.strips import Strip, keeping
from taperlab.gui.paper.layout.table import table_strips
from taperlab.units.kinds import System

TITLE, LARGE = 20.0, 27.0
"""Letters of a sheet's name, and of its one large figure."""


CLOSE = 0.5
"""What is left of the room between strips, and around what stands in tables, where it is tight."""


def strips_of(
    blocks: Iterable[Block], width: float, system: System, *, close: bool = False
) -> list[Strip]:
    """All blocks as strips, one below the other. close: with less room between them."""
    if close:
        made = strips_of(_closer(blocks), width, system)
        return [replace(each, gap=CLOSE * each.gap) for each in made]
    strips: list[Strip] = []
    new_page = False
    for block in blocks:
        if isinstance(block, NewPage):
            new_page = True
            continue
        made = _strips(block, width, system)
        if made and new_page:
            made[0] = replace(made[0], new_page=True)
            new_page = False
        strips += made
    return strips


def _closer(blocks: Iterable[Block]) -> Iterable[Block]:
    """Blocks whose tables have less room around what stands in them."""
    for each in blocks:
        if isinstance(each, Table):
            yield replace(each, air=CLOSE * each.air)
        elif isinstance(each, Together):
            yield Together(tuple(_closer(each.blocks)))
        else:
            yield each


def _strips(block: Block, width: float, system: System) -> list[Strip]:
    read = reader(system)
    if isinstance(block, Together):
        return keeping(strips_of(block.blocks, width, system))
    if isinstance(block, HeadBlock):
        return [_head(block, width, read)]
    if isinstance(block, Heading):
        return _heading(block, width, read)
    if isinstance(block, Paragraph):
        return _paragraph(block, width, read)
    if isinstance(block, Table):
        return table_strips(block, width, read)
    if isinstance(block, Figures):
        return _figures(block, width, read)
    if isinstance(block, Form):
        return _form(block, width, read)
    if isinstance(block, Signature):
        return [_signature(block, width, read)]
    if isinstance(block, WriteLines):
        return keeping(
            Strip(27.0, (rule(0.0, 26.5, width, HAIR, GREY),)) for _ in range(block.count)
        )
    if isinstance(block, ScaleRule):
        return [_scale_rule(width, system, read)]
    if isinstance(block, Drawing):
        strip = drawing_strip(block, width, read)
        return [] if strip is None else [strip]
    if isinstance(block, Painted):
        room = Box(0.0, 0.0, width, block.height)
        own = Own(room, lambda painter, rect: block.paint(painter, rect, system))
        return [Strip(block.height, (own,), gap=8.0)]
    raise TypeError(f"no block of a sheet: {block!r}")


def _stack(lines: Iterable[TextLine], letters: Letters, top: float) -> tuple[list[Mark], float]:
    """Lines one below the other, from the left; and where they end."""
    marks: list[Mark] = []
    for line in lines:
        marks += words(0.0, top, line)
        top += letters.height
    return marks, top


def _head(block: HeadBlock, width: float, read: Read) -> Strip:
    note, small, name = Letters(NOTE), Letters(TEXT), Letters(TITLE, bold=True)
    figure, told = read(block.figure), read(block.figure_note)
    large = Letters(LARGE, bold=True)
    while large.points > FIGURE and large.width(figure) > 0.45 * width:
        large = Letters(large.points - 1.0, bold=True)
    marks: list[Mark] = []
    right_foot, taken = 0.0, 0.0
    if figure or told:
        most = 0.45 * width
        figures, notes = broken(figure, large, most), broken(told, note, most)
        taken = max(line.width for line in (*figures, *notes)) + 18.0
        top = 2.0
        for lines, letters in ((figures, large), (notes, note)):
            for line in lines:
                marks += words(width - line.width, top, line)
                top += letters.height if line.runs else 0.0
        right_foot = top
    left = width - taken
    top = 0.0
    for text, letters in ((block.over, note), (block.title, name), (block.under, small)):
        if said := read(text):
            made, top = _stack(broken(said, letters, left), letters, top)
            marks += made
            top += 1.0
    return Strip(max(top, right_foot), tuple(marks), keeps=True)


def _heading(block: Heading, width: float, read: Read) -> list[Strip]:
    letters = Letters(12.0, bold=True)
    marks, foot = _stack(broken(read(block.text), letters, width), letters, 0.0)
    if not block.ruled:
        return [Strip(foot + 1.0, tuple(marks), gap=11.0, keeps=True)]
    marks.append(rule(0.0, foot + 3.5, width, RULE))
    return [Strip(foot + 5.0, tuple(marks), gap=13.0, keeps=True)]


def _paragraph(block: Paragraph, width: float, read: Read) -> list[Strip]:
    letters = Letters(block.points, block.bold)
    text, lead = read(block.text), read(block.lead)
    if not text and not lead:
        return []
    lines = broken(text, letters, width, lead)
    strips = []
    for i, line in enumerate(lines):
        # Never one line of several alone at the foot of a page or at its top.
        keeps = len(lines) > 1 and i in (0, len(lines) - 2)
        gap = 0.45 * letters.height if i == 0 else 0.0
        strips.append(Strip(letters.height, tuple(words(0.0, 0.0, line)), gap, keeps))
    return strips


def _figures(block: Figures, width: float, read: Read) -> list[Strip]:
    """Figures in columns of one width, as many rows as they take."""
    note, large = Letters(NOTE), Letters(FIGURE, bold=True)
    across = width / block.across
    strips = []
    for begin in range(0, len(block.items), block.across):
        marks: list[Mark] = []
        row = block.items[begin : begin + block.across]
        lines = [
            [
                (broken(read(text), kind, across - 12.0), kind)
                for text, kind in zip(each, (note, large, note), strict=True)
            ]
            for each in row
        ]
        top = 0.0
        # Names stand at one height, figures at one, remarks at one.
        for part in range(3):
            tallest = 0.0
            for i, cell in enumerate(lines):
                found, kind = cell[part]
                y = top
                for line in found:
                    marks += words(i * across, y, line)
                    y += kind.height if line.runs else 0.0
                tallest = max(tallest, y - top)
            top += tallest
        strips.append(Strip(top, tuple(marks), gap=9.0))
    return strips


def _form(block: Form, width: float, read: Read) -> list[Strip]:
    """Boxes with their names, side by side, and on the next line where they do not fit."""
    letters, side = Letters(TEXT), Tick().side
    strips: list[Strip] = []
    marks: list[Mark] = []
    x = high = 0.0

    def end_row() -> None:
        nonlocal marks, x, high
        if marks:
            strips.append(Strip(high, tuple(marks), gap=8.0 if not strips else 5.0))
        marks, x, high = [], 0.0, 0.0

    for item in block.items:
        box = item.box if isinstance(item, FillIn) else None
        own = box.width + 6.0 if box else side + 6.0
        text = read(item.name if isinstance(item, FillIn) else item.text)
        lines = broken(text, letters, width - own - 2.0)
        wide = max(line.width for line in lines)
        if x > 0.0 and x + wide + own > width:
            end_row()
        tall = len(lines) * letters.height
        room = max(tall, box.height if box else side) + 2.0
        top = (room - tall) / 2.0
        left = x if box else x + side + 6.0
        for line in lines:
            marks += words(left, top, line)
            top += letters.height
        if box:
            at, down = x + wide + 6.0, (room - box.height) / 2.0
            marks.append(frame(Box(at, down, at + box.width, down + box.height)))
        else:
            down = (room - side) / 2.0
            marks.append(frame(Box(x + THIN / 2.0, down, x + THIN / 2.0 + side, down + side)))
        x += wide + own + block.between
        high = max(high, room)
    end_row()
    return strips


def _signature(block: Signature, width: float, read: Read) -> Strip:
    letters = Letters(NOTE)
    between = 16.0
    across = (width - between * (len(block.names) - 1)) / max(len(block.names), 1)
    marks: list[Mark] = []
    low = 0.0
    lines = [broken(read(each), letters, across) for each in block.names]
    tall = max(len(each) for each in lines) * letters.height + 16.0
    for i, each in enumerate(lines):
        x = i * (across + between)
        top = 0.0
        for line in each:
            marks += words(x, top, line)
            top += letters.height
        marks.append(rule(x, tall, x + across, THIN))
        low = max(low, tall)
    return Strip(low + 1.0, tuple(marks), gap=12.0)


def _scale_rule(width: float, system: System, read: Read) -> Strip:
    """A rule of 4 in or 100 mm, its words behind it or, on a narrow page, below."""
    marks = [each.moved(0.0, 9.0) for each in rule_marks(system)]
    letters, text = Letters(NOTE), rule_words(system, read)
    left = rule_length(system) + 12.0
    if letters.width(text) <= width - left:
        (line,) = broken(text, letters, width - left)
        marks += words(left, 0.0, line)
        return Strip(max(letters.height, 10.0), tuple(marks), gap=12.0)
    made, foot = _stack(broken(text, letters, width), letters, 13.0)
    return Strip(foot, (*marks, *made), gap=12.0)
