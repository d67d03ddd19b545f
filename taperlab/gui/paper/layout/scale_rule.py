"""The rule that is held against a tape, to see whether the printer kept the scale."""

from __future__ import annotations

from taperlab.gui.paper.layout.blocks import MM
from taperlab.gui.paper.layout.marks import THIN, Mark, Shape, rule
from taperlab.gui.paper.layout.said import Read
from taperlab.units.kinds import System
from taperlab.units.sentence import OnTape, Sentence

LONG, MIDDLE, SHORT = 8.0, 5.0, 3.0
"""How long its lines are: of each inch or half a hundred millimetres, between those, of the rest
[points]."""


def rule_length(system: System) -> float:
    """4 in or 100 mm [points]."""
    return 100.0 * MM if system is System.METRIC else 4.0 * 72.0


def rule_marks(system: System, *, hangs: bool = False) -> list[Mark]:
    """The rule from the left along nought, its lines standing on it, or hanging from it."""
    metric = system is System.METRIC
    whole, count = rule_length(system), 20 if metric else 32
    marks: list[Mark] = [rule(0.0, 0.0, whole, THIN)]
    for i in range(count + 1):
        # The outer edges of its last lines are what is measured.
        x = min(max(i * whole / count, THIN / 2.0), whole - THIN / 2.0)
        is_long, is_middle = i % (10 if metric else 8) == 0, i % (2 if metric else 4) == 0
        tall = LONG if is_long else MIDDLE if is_middle else SHORT
        marks.append(Shape(((x, 0.0), (x, tall if hangs else -tall)), THIN))
    return marks


def rule_words(system: System, read: Read) -> str:
    """How long it must be on paper."""
    length = OnTape(0.1 if system is System.METRIC else 0.1016)
    return read(Sentence("must measure {length}: if not, print at 100 %", length=length))
