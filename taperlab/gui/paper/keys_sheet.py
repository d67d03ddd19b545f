"""The list of keys on paper."""

from __future__ import annotations

from collections.abc import Sequence

from taperlab.gui.kit.key_names import HelpGroup
from taperlab.gui.paper.layout.blocks import NOTE, Block, Column, HeadBlock, Heading, Sheet, Table
from taperlab.units.language import tr
from taperlab.units.words import capital

WIDE = 190.0
"""Of the column of keys, the same in every group [points]."""


def keys_sheet(groups: Sequence[HelpGroup]) -> Sheet:
    """What each key does, and the mouse, in groups."""
    title = tr("Keys and mouse")
    blocks: list[Block] = [HeadBlock(title)]
    how = Column("", points=NOTE, bold=True, grow=0.0, least=WIDE)
    columns = how, Column("", points=NOTE)
    for group in groups:
        rows = tuple((row.how, capital(row.does)) for row in group.rows)
        blocks += [Heading(group.title), Table(columns, rows, air=2.0)]
    return Sheet(title, tuple(blocks), subject=title)
