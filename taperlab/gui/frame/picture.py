"""A page as a picture, drawn without a screen.

Run as ``python -m taperlab.gui.frame.picture FOLDER [FILE]``, it draws every page in both themes,
at 1280×800 and at twice the scale, for a person to look at.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from taperlab.files.opening import read_any
from taperlab.files.preferences import Preferences, Theme
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench
from taperlab.shipped import sample
from taperlab.units.kinds import System
from taperlab.units.sentence import Several

WIDTH, HEIGHT = 1280, 800

LAYOUT_TURNS = 4
"""Of the event loop, in which cards within cards find their heights."""


def draw(
    source: Path,
    target: Path,
    page: str | None = None,
    *,
    theme: Theme = Theme.LIGHT,
    scale: float = 1.0,
    system: System = System.US,
) -> None:
    """Draw what the window's page shows of a file, as PNG or SVG by the target's ending.

    Raises FileProblem where the file cannot be read, the page is not known, or the picture
    cannot be written.
    """
    draw_bench(read_any(source), source, target, page, theme=theme, scale=scale, system=system)


def draw_bench(
    bench: Bench,
    source: Path,
    target: Path,
    page: str | None,
    *,
    theme: Theme,
    scale: float,
    system: System,
) -> None:
    """As :func:`draw`, of a bench that was read from ``source``."""
    kind = target.suffix.casefold()
    if kind not in (".png", ".svg"):
        raise _wrong_ending(target)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

    from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPoint, QRect, QSize
    from PySide6.QtGui import QImage, QImageWriter, QPainter
    from PySide6.QtSvg import QSvgGenerator

    from taperlab.files.disk import write_bytes
    from taperlab.gui.frame.start import make_window
    from taperlab.gui.kit.application import make_application
    from taperlab.gui.pages import catalogue

    keys = [entry.key for entry in catalogue.PAGES]
    if page is not None and page not in keys:
        raise FileProblem(
            "There is no page “{page}”; the pages are {pages}.",
            page=page,
            pages=Several(tuple(keys)),
        )
    app = make_application(["taperlab"])
    window = make_window(Preferences(theme=theme, system=system), keeps=False)
    try:
        window.file.put_in_hand(bench, source)
        window.document.look(page=page or keys[0])
        window.resize(WIDTH, HEIGHT)
        window.show()
        app.processEvents()
        window.setFocus()
        window.jobs.settle()
        for _ in range(LAYOUT_TURNS):
            app.processEvents()
        content = QByteArray()
        buffer = QBuffer(content)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        if kind == ".svg":
            # Only SVG 1.1 clips what is scrolled out of sight.
            generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
            generator.setOutputDevice(buffer)
            generator.setSize(QSize(WIDTH, HEIGHT))
            generator.setViewBox(QRect(0, 0, WIDTH, HEIGHT))
            generator.setTitle(f"Taperlab: {source.stem}")
            painter = QPainter(generator)
            window.render(painter, QPoint())
            painter.end()
        else:
            image = QImage(
                QSize(round(WIDTH * scale), round(HEIGHT * scale)), QImage.Format.Format_RGB32
            )
            image.setDevicePixelRatio(scale)
            painter = QPainter(image)
            window.render(painter, QPoint())
            painter.end()
            QImageWriter(buffer, QByteArray(b"png")).write(image)
        buffer.close()
        write_bytes(target, bytes(content.data()))
    finally:
        window.document.undo_stack.setClean()
        window.close()
        app.processEvents()


def _wrong_ending(target: Path) -> FileProblem:
    if not target.suffix:
        return FileProblem("{file} must end in .png or .svg.", file=target)
    return FileProblem(
        "{file} must end in .png or .svg, not {ending}.", file=target, ending=target.suffix
    )


def draw_all(folder: Path, source: Path | None = None) -> list[Path]:
    """Draw every page of a file, or of its sample, into a folder; the files written."""
    from taperlab.gui.pages import catalogue

    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for page in catalogue.PAGES:
        for theme in (Theme.LIGHT, Theme.DARK):
            for scale in (1.0, 2.0):
                target = folder / f"{page.key}-{theme}-{scale:.0f}x.png"
                draw(source or sample(page.sample), target, page.key, theme=theme, scale=scale)
                written.append(target)
    return written


if __name__ == "__main__":
    if not 2 <= len(sys.argv) <= 3:
        sys.exit("usage: python -m taperlab.gui.frame.picture FOLDER [FILE]")
    for path in draw_all(*map(Path, sys.argv[1:])):
        print(path)  # noqa: T201
