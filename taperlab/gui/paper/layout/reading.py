"""What a sheet says, as plain text: for tests, and for whoever cannot see it."""

from __future__ import annotations

from collections.abc import Iterator

from taperlab.gui.paper.layout.blocks import (
    Block,
    Cell,
    Entry,
    Figures,
    FillIn,
    Form,
    HeadBlock,
    Heading,
    Painted,
    Paragraph,
    Sheet,
    Signature,
    Table,
    Tick,
    Together,
    WriteIn,
    WriteLines,
)
from taperlab.gui.paper.layout.drawing import Drawing
from taperlab.gui.paper.layout.said import Text, reader
from taperlab.units.kinds import System
from taperlab.units.show import NO_BREAK

BLANK = "_____"
"""What stands for an empty box or line."""


def text_of(sheet: Sheet, system: System) -> str:
    """Everything that is read on a sheet, in its order, a line for each text."""
    read = reader(system)
    lines = (read(each) for block in sheet.blocks for each in _said(block))
    said = (line.replace("\n", " ").replace(NO_BREAK, " ") for line in lines)
    return "\n".join(line for line in said if line)


def _said(block: Block) -> Iterator[Text]:
    if isinstance(block, Together):
        for each in block.blocks:
            yield from _said(each)
    elif isinstance(block, HeadBlock):
        yield from (block.over, block.title, block.under, block.figure, block.figure_note)
    elif isinstance(block, Heading):
        yield block.text
    elif isinstance(block, Paragraph):
        yield from (block.lead, block.text)
    elif isinstance(block, Table):
        yield block.title
        yield from (column.heading for column in block.columns)
        for row in block.rows:
            for entry in row:
                yield from _entry(entry)
        yield block.below
    elif isinstance(block, Figures):
        for item in block.items:
            yield from item
    elif isinstance(block, Form):
        for asked in block.items:
            yield asked.name if isinstance(asked, FillIn) else asked.text
            yield BLANK
    elif isinstance(block, Signature):
        for name in block.names:
            yield from (name, BLANK)
    elif isinstance(block, WriteLines):
        yield from [BLANK] * block.count
    elif isinstance(block, Drawing):
        yield from _drawn(block)
    elif isinstance(block, Painted):
        yield block.said


def _entry(entry: Entry) -> Iterator[Text]:
    if isinstance(entry, Cell):
        yield from (entry.text, entry.beside, *entry.below)
    elif isinstance(entry, WriteIn | Tick):
        yield BLANK
    else:
        yield entry


def _drawn(drawing: Drawing) -> Iterator[Text]:
    for outline in drawing.outlines:
        yield outline.title
        yield from (each.text for each in outline.labels)
        yield from (each.text for each in outline.brackets)
    yield from (each.text for each in drawing.dimensions)
    yield drawing.under
