"""How a line is told apart from the others: its colour and its dash."""

from __future__ import annotations

from taperlab.gui.kit.theme import DASHES, Tokens
from taperlab.gui.state.document import Document, Thing
from taperlab.model.line import Line
from taperlab.model.version import Version

Dash = tuple[float, ...]


OF_VERSIONS = 4
"""Turns of the styles that versions begin with: lines and rigs have those before."""


def overlay_style(document: Document, thing: Thing, tokens: Tokens) -> tuple[str, Dash]:
    """Colour and dash that a line, a rig or a version has wherever it is laid over another.

    They follow its place on the bench, so they stay while lines are laid on and off.
    """
    return style_at(place_of(document, thing), tokens)


def place_of(document: Document, thing: Thing) -> int:
    """The place of a line or a rig on the bench; that of the first where it is not on it.

    A version has one by its age among those of its line: the oldest has the first dash, the next
    the second, and so on; none of them the style of one of the first lines.
    """
    if isinstance(thing, Version):
        kept = [each.key for each in document.bench.versions if each.of == thing.of]
        return _place_of_age(kept.index(thing.key) if thing.key in kept else 0)
    lines = [each.key for each in document.bench.lines]
    if isinstance(thing, Line):
        return lines.index(thing.key) if thing.key in lines else 0
    rigs = [each.key for each in document.bench.rigs]
    return len(lines) + rigs.index(thing.key) if thing.key in rigs else 0


def _place_of_age(age: int) -> int:
    count = len(DASHES)
    turn = OF_VERSIONS + age // count % (count - OF_VERSIONS)
    return count * turn + (age - turn) % count


def style_at(place: int, tokens: Tokens) -> tuple[str, Dash]:
    """Colour and dash of the n-th line; with more lines than colours no pair comes twice soon."""
    turn, colour = divmod(place, len(tokens.overlays))
    return tokens.overlays[colour], DASHES[(colour + turn) % len(DASHES)]
