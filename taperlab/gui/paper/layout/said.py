"""What may be written on paper, and what makes a text of it in the units that are read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, Value, render
from taperlab.units.show import unbroken
from taperlab.units.words import capital


@dataclass(frozen=True, slots=True)
class InSystem:
    """A text that others write for a system of units."""

    write: Callable[[System], str]


Text = Value | InSystem
"""What may be written: a sentence or a quantity, or a plain text, which stays as it is."""

Read = Callable[[Text], str]


def reader(system: System) -> Read:
    """What makes a text of a value in the units of a system."""
    return lambda value: unbroken(plain(value, system))


def plain(value: Text, system: System) -> str:
    """A text that is not broken into lines: a name, a title."""
    if isinstance(value, InSystem):
        return value.write(system)
    sentence = value if isinstance(value, Sentence) else Sentence("{value}", value=value)
    return render(sentence, system)


def begun(said: Text) -> InSystem:
    """A text as it begins a line: with a capital."""
    return InSystem(lambda system: capital(plain(said, system)))
