"""How a line is told apart from the others: its colour and its dash."""

from __future__ import annotations

from taperlab.gui.kit.theme import DASHES, Tokens
from taperlab.gui.state.document import Document
from taperlab.model.line import Line

Dash = tuple[float, ...]


def overlay_style(document: Document, line: Line, tokens: Tokens) -> tuple[str, Dash]:
    """Colour and dash that a line of the bench has wherever it is laid over another.

    They follow the line's place on the bench, so they stay while lines are laid on and off.
    """
    return style_at(place_of(document, line), tokens)


def place_of(document: Document, line: Line) -> int:
    """The place of a line on the bench; that of the first where it is not on it."""
    keys = [each.key for each in document.bench.lines]
    return keys.index(line.key) if line.key in keys else 0


def style_at(place: int, tokens: Tokens) -> tuple[str, Dash]:
    """Colour and dash of the n-th line; with more lines than colours no pair comes twice soon."""
    turn, colour = divmod(place, len(tokens.overlays))
    return tokens.overlays[colour], DASHES[(colour + turn) % len(DASHES)]
