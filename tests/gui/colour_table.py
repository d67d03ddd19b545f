"""Prints how the colours of both themes stand to one another: ``python -m tests.gui.colour_table``.

For every pair of colours of lines: the contrast with the card, and the distance (CIE 1976) to the
normal eye and to the three kinds of colour-blind ones, as the tests hold them.
"""

from __future__ import annotations

from itertools import combinations

from taperlab.gui.kit.theme import DARK, LIGHT, Tokens, contrast
from tests.gui.test_theme_colours import SIGHTS, apart


def rows(tokens: Tokens) -> list[str]:
    """The table of a theme, line by line."""
    lines = {f"laid over {at + 1}": colour for at, colour in enumerate(tokens.overlays)}
    lines |= {"accent": tokens.accent, "ink": tokens.ink, "crosshair": tokens.crosshair}
    made = [f"{tokens.name}: contrast with the card"]
    every = lines | {"field": tokens.field, "edge": tokens.edge, "hatch": tokens.hatch}
    every |= {str(part): colour for part, colour in tokens.parts.items()}
    made += [f"  {name:24}{c}{contrast(c, tokens.card):8.2f}" for name, c in every.items()]
    made.append(f"{tokens.name}: distance  {'  '.join(SIGHTS)}")
    for (one, a), (other, b) in combinations(lines.items(), 2):
        found = "".join(f"{apart(a, b, sight):8.1f}" for sight in SIGHTS)
        made.append(f"  {one + ', ' + other:28}{found}")
    return made


if __name__ == "__main__":
    for tokens in (LIGHT, DARK):
        print("\n".join(rows(tokens)))  # noqa: T201
