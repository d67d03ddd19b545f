"""How a line is told apart from the others: its colour and its dash."""

from __future__ import annotations

from taperlab.gui.kit.theme import DASHES, Tokens
from taperlab.gui.state.document import Document
from taperlab.model.line import Line
from taperlab.model.rig import Rig

Dash = tuple[float, ...]


def overlay_style(document: Document, thing: Line | Rig, tokens: Tokens) -> tuple[str, Dash]:
    """Colour and dash that a line or a rig has wherever it is laid over another.

    They follow its place on the bench, so they stay while lines are laid on and off.
    """
    return style_at(place_of(document, thing), tokens)


def place_of(document: Document, thing: Line | Rig) -> int:
    """The place of a line or a rig on the bench; that of the first where it is not on it."""
    lines = [each.key for each in document.bench.lines]
    if isinstance(thing, Line):
        return lines.index(thing.key) if thing.key in lines else 0
    rigs = [each.key for each in document.bench.rigs]
    return len(lines) + rigs.index(thing.key) if thing.key in rigs else 0


def style_at(place: int, tokens: Tokens) -> tuple[str, Dash]:
    """Colour and dash of the n-th line; with more lines than colours no pair comes twice soon."""
    turn, colour = divmod(place, len(tokens.overlays))
    return tokens.overlays[colour], DASHES[(colour + turn) % len(DASHES)]
