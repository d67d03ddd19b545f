"""Draws every page in both themes, at 1280×800 and at twice the scale, for a person to look at.

Run as ``python -m taperlab.gui.frame.pictures FOLDER [FILE]``.
"""

from __future__ import annotations

import sys
from pathlib import Path

from taperlab.files.preferences import Theme
from taperlab.gui.frame.picture import draw
from taperlab.gui.pages import catalogue
from taperlab.shipped import sample


def draw_all(folder: Path, source: Path | None = None) -> list[Path]:
    """Draw every page of a file, or of its sample, into a folder; the files written."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for page in catalogue.PAGES:
        source_of_page = source or sample(page.sample)
        for theme in (Theme.LIGHT, Theme.DARK):
            for scale in (1.0, 2.0):
                target = folder / f"{page.key}-{theme}-{scale:.0f}x.png"
                draw(source_of_page, target, page.key, theme=theme, scale=scale)
                written.append(target)
    return written


def main(arguments: list[str]) -> int:
    """Draw all pages of a file, by default of the samples, into a folder."""
    if not 1 <= len(arguments) <= 2:
        print("usage: python -m taperlab.gui.frame.pictures FOLDER [FILE]", file=sys.stderr)  # noqa: T201
        return 2
    source = Path(arguments[1]) if len(arguments) == 2 else None
    for path in draw_all(Path(arguments[0]), source):
        print(path)  # noqa: T201
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
