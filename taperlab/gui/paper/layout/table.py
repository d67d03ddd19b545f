"""A table as strips: columns that share the room fairly, rows that are never parted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from taperlab.gui.paper.layout.blocks import (
    LEAST,
    NOTE,
    Align,
    Cell,
    Column,
    Entry,
    Table,
    Tick,
    WriteIn,
)
from taperlab.gui.paper.layout.letters import Letters, TextLine, broken, longest_word
from taperlab.gui.paper.layout.marks import GREY, HAIR, RULE, THIN, Box, Mark, frame, rule, words
from taperlab.gui.paper.layout.said import Read
from taperlab.gui.paper.layout.strips import Strip, keeping

TITLE = Letters(12.0, bold=True)
"""The letters of what a table is."""

BETWEEN, EDGE = 11.0, 3.0
"""Between two columns, and ahead of the first and behind the last."""

HEADING = 58.0
"""As wide as what stands above a column asks to be: it is rather broken than that it spreads."""

REMARK = 110.0
"""As wide as what stands below a text asks to be."""

SHORT = 6
"""A table of so many rows stands on one page."""

LOW = 360.0
"""As high as such a table is at most [points]: half a page, so that none stays empty for it."""

MOST_LINES = 24
"""A cell of more lines goes on in a row of its own below, so that no row is as high as a page."""


@dataclass(frozen=True, slots=True)
class _Text:
    """A cell that is read: its text, what stands behind it, what below, and their letters.

    heads: whether it stands above a column.
    """

    text: str
    letters: Letters
    beside: str = ""
    below: tuple[str, ...] = ()
    heads: bool = False

    @property
    def small(self) -> Letters:
        return Letters(max(LEAST, min(NOTE, self.letters.points - 2.0)))

    @property
    def beside_width(self) -> float:
        return self.small.width(self.beside) + 3.0 if self.beside else 0.0

    @property
    def natural(self) -> float:
        """How wide it is on one line."""
        upper = max((self.letters.width(each) for each in self.text.split("\n")), default=0.0)
        if self.heads:
            return min(upper, max(HEADING, self.least))
        # What stands below is rather broken than that it takes the room of others.
        lower = max((min(self.small.width(each), REMARK) for each in self.below), default=0.0)
        return max(upper + self.beside_width, lower)

    @property
    def least(self) -> float:
        """How wide it must be for no word to be parted."""
        upper = longest_word(self.text, self.letters) + self.beside_width
        lower = max((longest_word(each, self.small) for each in self.below), default=0.0)
        return max(upper, lower)

    def lines(self, width: float) -> list[_Line]:
        """It in lines, the letters behind the last of the text."""
        made = [_Line(each) for each in broken(self.text, self.letters, width)]
        if self.beside and made:
            wide = self.small.width(self.beside)
            if made[-1].text.width + 3.0 + wide <= width + 0.01:
                made[-1] = _Line(made[-1].text, broken(self.beside, self.small, wide + 1.0)[0])
            else:
                made += [_Line(each) for each in broken(self.beside, self.small, width)]
        for each in self.below:
            made += [_Line(line) for line in broken(each, self.small, width)]
        return [each for each in made if each.text.runs]


@dataclass(frozen=True, slots=True)
class _Line:
    text: TextLine
    beside: TextLine | None = None

    @property
    def width(self) -> float:
        return self.text.width + (3.0 + self.beside.width if self.beside else 0.0)

    @property
    def height(self) -> float:
        return max(run.letters.height for run in self.text.runs)

    def marks(self, x: float, top: float) -> list[Mark]:
        made = words(x, top, self.text)
        if self.beside:
            foot = top + max(run.letters.ascent for run in self.text.runs)
            rise = max(run.letters.ascent for run in self.beside.runs)
            made += words(x + self.text.width + 3.0, foot - rise, self.beside)
        return made


_Read = _Text | WriteIn | Tick


def table_strips(table: Table, width: float, read: Read) -> list[Strip]:
    """The rows of a table, its headings, and the note under it."""
    columns, shrink = table.columns, 1.0
    while True:
        rows = [
            [_read(entry, column, read, shrink) for entry, column in zip(row, columns, strict=True)]
            for row in table.rows
        ]
        tops = [_Text(read(each.heading), Letters(NOTE), heads=True) for each in columns]
        widths, whole = shared(columns, [tops, *rows], width)
        if whole or shrink <= 0.7:
            break
        shrink -= 0.1
    lefts = [EDGE]
    for each in widths[:-1]:
        lefts.append(lefts[-1] + each + BETWEEN)
    heading: tuple[Strip, ...] = ()
    title = read(table.title)
    if title or any(each.text for each in tops):
        heading = (_heading(title, tops, columns, lefts, widths, width),)
    strips = [replace(each, keeps=True) for each in heading]
    for row in rows:
        strips += _row(row, columns, lefts, widths, width, heading, table.air)
    strips[:1] = [replace(each, gap=13.0 if title else 4.0) for each in strips[:1]]
    if len(rows) <= SHORT and sum(each.gap + each.height for each in strips) <= LOW:
        strips = keeping(strips)
    if note := read(table.below):
        strips[-1:] = [replace(each, keeps=True) for each in strips[-1:]]
        lines = broken(note, Letters(NOTE), width)
        tall = Letters(NOTE).height
        marks = [mark for i, line in enumerate(lines) for mark in words(0.0, i * tall, line)]
        strips.append(Strip(len(lines) * tall, tuple(marks), gap=4.0))
    return strips


def shared(
    columns: Sequence[Column], rows: Sequence[Sequence[_Read]], width: float
) -> tuple[list[float], bool]:
    """How wide each column is, and whether every word stands whole in it.

    Each takes what its longest text takes, and all share what is left over. Where that is too much,
    each has what its longest word takes, and they share the rest by how much more they want.
    """
    room = width - 2.0 * EDGE - BETWEEN * (len(columns) - 1)
    natural, least = [], []
    for i in range(len(columns)):
        cells = [row[i] for row in rows]
        own = columns[i].least
        natural.append(max((own, *(_natural(each) for each in cells))) + 0.1)
        least.append(max((min(own, room / len(columns)), *map(_least, cells))) + 0.1)
    spare = room - sum(natural)
    if spare >= 0.0:
        boxes = [
            any(isinstance(row[i], WriteIn | Tick) for row in rows) for i in range(len(columns))
        ]
        grow = [0.0 if box else c.grow for box, c in zip(boxes, columns, strict=True)]
        share = spare / sum(grow) if sum(grow) else 0.0
        return [n + share * g for n, g in zip(natural, grow, strict=True)], True
    spare = room - sum(least)
    wants = [n - m for n, m in zip(natural, least, strict=True)]
    if spare >= 0.0:
        share = spare / sum(wants) if sum(wants) else 0.0
        return [m + share * w for m, w in zip(least, wants, strict=True)], True
    # Boxes keep their size, and words are parted in the widest of the others alone.
    fixed = [max((_box(row[i]) for row in rows), default=0.0) for i in range(len(columns))]
    most = _level([m - f for m, f in zip(least, fixed, strict=True)], max(room - sum(fixed), 1.0))
    return [f + min(m - f, most) for m, f in zip(least, fixed, strict=True)], False


def _level(wanted: Sequence[float], room: float) -> float:
    """How much each may have at most for all to fit; those that want less have what they want."""
    left, count = room, len(wanted)
    for each in sorted(wanted):
        if each * count >= left:
            return left / count
        left -= each
        count -= 1
    return max(wanted, default=0.0)


def _box(cell: _Read) -> float:
    return (
        cell.width + THIN
        if isinstance(cell, WriteIn)
        else cell.side + THIN
        if isinstance(cell, Tick)
        else 0.0
    )


def _natural(cell: _Read) -> float:
    return cell.natural if isinstance(cell, _Text) else _box(cell)


def _least(cell: _Read) -> float:
    return cell.least if isinstance(cell, _Text) else _box(cell)


def _read(entry: Entry, column: Column, read: Read, shrink: float) -> _Read:
    if isinstance(entry, WriteIn | Tick):
        return entry
    cell = entry if isinstance(entry, Cell) else Cell(entry)
    bold = column.bold if cell.bold is None else cell.bold
    points = max(LEAST, round((cell.points or column.points) * shrink, 1))
    below = tuple(text for each in cell.below if (text := read(each)))
    return _Text(read(cell.text), Letters(points, bold), read(cell.beside), below)


def _heading(
    title: str,
    tops: Sequence[_Text],
    columns: Sequence[Column],
    lefts: Sequence[float],
    widths: Sequence[float],
    width: float,
) -> Strip:
    lines = [top.lines(wide) for top, wide in zip(tops, widths, strict=True)]
    tall = Letters(NOTE).height
    high = max(len(each) for each in lines) * tall
    marks: list[Mark] = []
    if title:
        # Over the columns that have no heading; above all of them where it takes more room.
        free = min((left for left, cell in zip(lefts, lines, strict=True) if cell), default=width)
        named = broken(title, TITLE, width)
        fits = len(named) == 1 and named[0].width <= free - BETWEEN
        needed = len(named) * TITLE.height
        high = max(high, needed) if fits else high + needed
        top = 3.0 + (high - TITLE.height if fits else 0.0)
        for said in named:
            marks += words(0.0, top, said)
            top += TITLE.height
    for cell, column, left, wide in zip(lines, columns, lefts, widths, strict=True):
        top = 3.0 + high - len(cell) * tall  # they stand on the rule
        for line in cell:
            marks += line.marks(_x(column, left, wide, line.width), top)
            top += tall
    foot = high + 3.0 + 3.5
    marks.append(rule(0.0, foot, width, RULE if title else THIN))
    return Strip(foot + THIN / 2.0, tuple(marks))


def _row(
    row: Sequence[_Read],
    columns: Sequence[Column],
    lefts: Sequence[float],
    widths: Sequence[float],
    width: float,
    heading: tuple[Strip, ...],
    air: float,
) -> list[Strip]:
    """A row; where one of its cells is very long, what it goes on with below."""
    cells = [
        each.lines(wide) if isinstance(each, _Text) else each
        for each, wide in zip(row, widths, strict=True)
    ]
    longest = max((len(each) for each in cells if isinstance(each, list)), default=0)
    strips = []
    for begin in range(0, max(longest, 1), MOST_LINES):
        some = [
            each[begin : begin + MOST_LINES]
            if isinstance(each, list)
            else each
            if not begin
            else []
            for each in cells
        ]
        last = begin + MOST_LINES >= longest
        strips.append(_some(some, columns, lefts, widths, width, heading, air, last=last))
    return strips


def _some(
    cells: Sequence[list[_Line] | WriteIn | Tick],
    columns: Sequence[Column],
    lefts: Sequence[float],
    widths: Sequence[float],
    width: float,
    heading: tuple[Strip, ...],
    air: float,
    *,
    last: bool,
) -> Strip:
    heights = [
        sum(line.height for line in each)
        if isinstance(each, list)
        else each.height
        if isinstance(each, WriteIn)
        else each.side
        for each in cells
    ]
    high = max(heights) + 2.0 * air
    marks: list[Mark] = []
    for cell, column, left, wide, tall in zip(cells, columns, lefts, widths, heights, strict=True):
        top = (high - tall) / 2.0
        if isinstance(cell, list):
            for line in cell:
                marks += line.marks(_x(column, left, wide, line.width), top)
                top += line.height
        else:
            across = cell.width if isinstance(cell, WriteIn) else cell.side
            x = _x(column, left, wide, across)
            marks.append(frame(Box(x, top, x + across, top + tall)))
    if last:
        marks.append(rule(0.0, high, width, HAIR, GREY))
    return Strip(high + HAIR / 2.0, tuple(marks), again=heading)


def _x(column: Column, left: float, wide: float, taken: float) -> float:
    spare = wide - taken
    share = {Align.LEFT: 0.0, Align.RIGHT: 1.0, Align.MIDDLE: 0.5}[column.align]
    return left + share * spare
