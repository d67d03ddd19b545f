"""One label, laid out for its size: what is needed least is left out first, and said to be.

Nothing is under 8 points, nothing is clipped: what does not fit is not there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from taperlab.gui.kit.end_tag import NAMES
from taperlab.gui.paper.layout.blocks import LEAST
from taperlab.gui.paper.layout.letters import Letters, TextLine, broken
from taperlab.gui.paper.layout.marks import (
    BLACK,
    THIN,
    WHITE,
    Box,
    Mark,
    Shape,
    Words,
    frame,
    words,
)
from taperlab.gui.paper.layout.said import Read
from taperlab.gui.paper.parts import TONES
from taperlab.model.cut_log import CutEnd
from taperlab.shop.labels.content import Fact, LabelContent, marks_words, pen_marks
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence

MOST_NAME_LINES = 2

SHORT_NAMES = {CutEnd.FRONT: later("FLY"), CutEnd.REAR: later("ROD")}
"""What the tags say where there is no room for more."""

DRAWN = 20.0
"""How high the drawing is [points]."""

MARK_HIGH, LONG_WIDE, SHORT_WIDE = 5.0, 16.0, 5.0
"""Of the pen marks [points]."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """Letters of a label: its weight, its name, the rest; and the room between rows [points]."""

    weight: float
    name: float
    rest: float
    gap: float = 3.0


USUAL = (
    Sizes(20.0, 11.0, 9.0, 6.0),
    Sizes(20.0, 11.0, 9.0),
    Sizes(18.0, 10.5, 8.5),
    Sizes(16.0, 10.0, LEAST),
    Sizes(16.0, 9.0, LEAST),
    Sizes(16.0, LEAST, LEAST),
)
TINY = (*USUAL, Sizes(12.0, LEAST, LEAST), Sizes(9.0, LEAST, LEAST))
"""The smaller ones are for labels on which not even weight and name have room otherwise."""


@dataclass(frozen=True, slots=True)
class Label:
    """A label laid out: marks from the left top of its inner room [points].

    dropped: what there was no room for. shortened: whether the name lost its end.
    """

    marks: tuple[Mark, ...]
    dropped: tuple[Fact, ...] = ()
    shortened: bool = False


@dataclass(frozen=True, slots=True)
class _Row:
    """A row: how high, and its marks from its left top."""

    height: float
    marks: tuple[Mark, ...]


def lay_out(content: LabelContent, width: float, height: float, read: Read) -> Label | None:
    """A label in so much room [points]; None where not even weight and name have room."""
    present = _present(content)
    for shortens in (False, True):
        # From what is needed least; weight and name stay.
        for left_out in range(len(present) - 1):
            kept = frozenset(present[: len(present) - left_out])
            last = left_out == len(present) - 2
            for sizes in TINY if last else USUAL:
                trial = _Trial(content, kept, sizes, width, height, read, shortens)
                made = trial.marks()
                if made is not None:
                    dropped = tuple(present[len(present) - left_out :])
                    return Label(made, dropped, shortened=shortens)
    return None


def _present(content: LabelContent) -> list[Fact]:
    """What there is to say, what is needed most first."""
    has = {
        Fact.WEIGHT: True,
        Fact.NAME: True,
        Fact.ENDS: bool(content.line.segments),
        Fact.LENGTH: bool(content.length),
        Fact.PER_FOOT: bool(content.ends[0]),
        Fact.SINK: bool(content.sink),
        Fact.RATIO: bool(content.ratio),
        Fact.TICKET: bool(content.ticket),
        Fact.DAY: bool(content.day),
        Fact.MARKS: bool(content.size),
        Fact.TIPS: bool(content.tips),
        Fact.WINDOW: bool(content.window),
        Fact.MARK_WORDS: bool(content.size),
        Fact.DRAWING: bool(content.line.segments),
    }
    return [fact for fact in Fact if has[fact]]


@dataclass(frozen=True, slots=True)
class _Trial:
    """One try: some facts in letters of some sizes; its marks, or None where they do not fit."""

    content: LabelContent
    kept: frozenset[Fact]
    sizes: Sizes
    width: float
    height: float
    read: Read
    shortens: bool = False

    def marks(self) -> tuple[Mark, ...] | None:
        """All of it from the left top, the pen marks at the foot."""
        head, in_head = self._head()
        if head is None:
            return None
        rows, gap = [head], self.sizes.gap
        if Fact.DRAWING in self.kept:
            rows.append(self._drawing())
        in_ends = False
        if Fact.ENDS in self.kept:
            ends, in_ends = self._ends()
            if ends is None:
                return None
            rows.append(ends)
        rows += self._facts(in_head=in_head, in_ends=in_ends)
        foot = [self._pen()] if Fact.MARKS in self.kept else []
        if any(each is None for each in foot):
            return None
        feet = [each for each in foot if each is not None]
        taken = sum(each.height for each in (*rows, *feet)) + gap * (len(rows) + len(feet) - 1)
        if taken > self.height:
            return None
        marks: list[Mark] = []
        top = 0.0
        for row in rows:
            marks += [mark.moved(0.0, top) for mark in row.marks]
            top += row.height + gap
        for row in feet:
            marks += [mark.moved(0.0, self.height - row.height) for mark in row.marks]
        return tuple(marks)

    # -- rows ------------------------------------------------------------------------------------

    def _head(self) -> tuple[_Row | None, bool]:
        """Name and weight side by side, or the weight under the name, with the length beside it.

        And whether the length is in it.
        """
        weight, name = self.read(self.content.weight), self.content.name
        large, letters = Letters(self.sizes.weight, bold=True), Letters(self.sizes.name, bold=True)
        wide = large.width(weight)
        if wide > self.width:
            return None, False
        # Capitals and figures have nothing above them: the row begins with their tops.
        right = Words(self.width - wide, large.cap, weight, large, wide)
        tall = large.cap + 0.85 * (large.height - large.ascent)
        room = self.width - wide - 8.0
        lines = self._name_lines(name, letters, room)
        up = letters.ascent - letters.cap
        if lines is not None and room >= 0.3 * self.width:
            marks: list[Mark] = [right]
            for i, line in enumerate(lines):
                marks += words(0.0, i * letters.height - up, line)
            return _Row(max(tall, len(lines) * letters.height - up), tuple(marks)), False
        lines = self._name_lines(name, letters, self.width)
        if lines is None:
            return None, False
        marks = []
        for i, line in enumerate(lines):
            marks += words(0.0, i * letters.height - up, line)
        top = len(lines) * letters.height - up + self.sizes.gap
        marks.append(Words(0.0, top + large.cap, weight, large, wide))
        beside, in_head = Letters(self.sizes.rest, bold=True), False
        length = self.read(self.content.length) if Fact.LENGTH in self.kept else ""
        across = beside.width(length)
        if length and wide + 8.0 + across <= self.width:
            at = self.width - across
            marks.append(Words(at, top + large.cap, length, beside, across))
            in_head = True
        return _Row(top + tall, tuple(marks)), in_head

    def _name_lines(self, name: str, letters: Letters, width: float) -> tuple[TextLine, ...] | None:
        """A name in as many lines as it may have, its words whole; None where it has more."""
        longest = max((letters.width(word) for word in name.split()), default=0.0)
        lines = broken(name, letters, width)
        if len(lines) <= MOST_NAME_LINES and longest <= width:
            return lines
        if not self.shortens:
            return None
        shown = name
        while shown and letters.width(f"{shown}…") > width:
            shown = shown[:-1].rstrip()
        return broken(f"{shown}…", letters, width) if shown else None

    def _drawing(self) -> _Row:
        segments = self.content.line.segments
        whole = sum(each.length for each in segments)
        thick = max(max(each.front_diameter, each.rear_diameter) for each in segments)
        across = (self.width - THIN) / max(whole, 1e-9)
        upright = (DRAWN - THIN) / 2.0 / max(thick, 1e-12)
        middle, x = DRAWN / 2.0, THIN / 2.0
        marks: list[Mark] = []
        for each in segments:
            end = x + each.length * across
            h1, h2 = each.front_diameter * upright, each.rear_diameter * upright
            corners = ((x, middle - h1), (end, middle - h2), (end, middle + h2), (x, middle + h1))
            marks.append(Shape(corners, closed=True, tone=TONES[each.part]))
            x = end
        return _Row(DRAWN, tuple(marks))

    def _ends(self) -> tuple[_Row | None, bool]:
        """The tags with the weight per length beside them, if there is room; and whether it is."""
        letters = Letters(self.sizes.rest)
        said = [self.read(each) for each in self.content.ends]
        tried: list[tuple[dict[CutEnd, str], bool]] = [(NAMES, False), (SHORT_NAMES, False)]
        if Fact.PER_FOOT in self.kept:
            tried = [(NAMES, True), (SHORT_NAMES, True), *tried]
        for names, beside in tried:
            tags = [self._tag(tr(names[end]), end) for end in (CutEnd.FRONT, CutEnd.REAR)]
            (left, front), (right, rear) = tags
            taken = left + right + 6.0
            if beside:
                taken += sum(letters.width(each) for each in said) + 14.0
            if taken > self.width:
                continue
            high = self._tag_high
            marks = [*front, *(mark.moved(self.width - right, 0.0) for mark in rear)]
            if beside:
                foot = high / 2.0 + letters.cap / 2.0
                wide = letters.width(said[1])
                marks += [
                    Words(left + 5.0, foot, said[0], letters, letters.width(said[0])),
                    Words(self.width - right - 5.0 - wide, foot, said[1], letters, wide),
                ]
            return _Row(high, tuple(marks)), beside
        return None, False

    @property
    def _tag_high(self) -> float:
        return Letters(LEAST, bold=True).cap + 7.0

    def _tag(self, text: str, end: CutEnd) -> tuple[float, list[Mark]]:
        letters = Letters(LEAST, bold=True)
        wide, high, width = letters.width(text), self._tag_high, 0.9
        across = wide + 9.0
        at_fly = end is CutEnd.FRONT
        half = width / 2.0
        box = Box(half, half, across - half, high - half)
        colour = BLACK if at_fly else WHITE
        return across, [
            frame(box, width, own=WHITE if at_fly else BLACK, round=2.5),
            Words(4.5, high / 2.0 + letters.cap / 2.0, text, letters, wide, colour),
        ]

    def _facts(self, *, in_head: bool, in_ends: bool) -> list[_Row]:
        """The rest in running words, the length first and bold; a line begins with a fact."""
        letters = Letters(self.sizes.rest)
        has_length = Fact.LENGTH in self.kept and not in_head
        lead = self.read(self.content.length) if has_length else ""
        rows: list[list[str]] = [[]]
        taken = Letters(self.sizes.rest, bold=True).width(lead)
        dot = letters.width(" · ")
        for each in self._said(in_ends=in_ends):
            wide = letters.width(each)
            if taken and taken + dot + wide > self.width:
                rows.append([])
                taken = 0.0
            rows[-1].append(each)
            taken += wide + (dot if taken else 0.0)
        lines: list[TextLine] = []
        for i, row in enumerate(rows):
            text = " · ".join(row)
            ahead = lead if i == 0 else ""
            if ahead and text:
                ahead = f"{ahead} ·"
            if ahead or text:
                lines += broken(text, letters, self.width, ahead)
        if not lines:
            return []
        up = letters.ascent - letters.cap
        marks: list[Mark] = []
        for i, line in enumerate(lines):
            marks += words(0.0, i * letters.height - up, line)
        return [_Row(len(lines) * letters.height - up, tuple(marks))]

    def _said(self, *, in_ends: bool) -> Iterator[str]:
        content = self.content
        if Fact.PER_FOOT in self.kept and not in_ends:
            front, rear = content.ends
            yield self.read(Sentence("{front} to {rear}", front=front, rear=rear))
        for fact, value in (
            (Fact.SINK, content.sink),
            (Fact.RATIO, content.ratio),
            (Fact.WINDOW, content.window),
            (Fact.TIPS, content.tips),
            (Fact.TICKET, content.ticket),
            (Fact.DAY, content.day),
        ):
            if fact in self.kept and value:
                yield self.read(value)

    def _pen(self) -> _Row | None:
        """The pen marks as they lie at the rod end, and what they mean."""
        size = self.content.size or 0
        letters = Letters(self.sizes.rest)
        text = self.read(Sentence("line {size}", size=size))
        if Fact.MARK_WORDS in self.kept:
            text = self.read(marks_words(size))
        high = max(MARK_HIGH, letters.cap + 0.85 * (letters.height - letters.ascent))
        middle = letters.cap / 2.0
        marks: list[Mark] = []
        x = 0.0
        for long in pen_marks(size):
            across = LONG_WIDE if long else SHORT_WIDE
            box = Box(x, middle - MARK_HIGH / 2.0, x + across, middle + MARK_HIGH / 2.0)
            marks.append(frame(box, 0.0, own=BLACK))
            x += across + 3.0
        wide = letters.width(text)
        if x + 4.0 + wide > self.width:
            return None
        marks.append(Words(x + 4.0, letters.cap, text, letters, wide))
        return _Row(high, tuple(marks))
