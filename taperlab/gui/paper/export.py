"""The build sheet as a PDF file, without a screen."""

from __future__ import annotations

import os
from pathlib import Path

from taperlab.files.disk import write_bytes
from taperlab.files.opening import read_any
from taperlab.files.problem import FileProblem
from taperlab.units.kinds import System


def write_sheet(source: Path, target: Path, system: System = System.US) -> int:
    """Write the build sheet of a file's line in hand as PDF; how many pages it has.

    Raises FileProblem where the file cannot be read, holds no line, or the PDF cannot be written.
    """
    bench = read_any(source)
    if bench.current_line is None:
        raise FileProblem("{file} holds no line; expected at least one.", file=source)
    if not target.suffix:
        raise FileProblem("{file} must end in .pdf.", file=target)
    if target.suffix.casefold() != ".pdf":
        raise FileProblem(
            "{file} must end in .pdf, not {ending}.", file=target, ending=target.suffix
        )
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

    from PySide6.QtCore import QBuffer, QByteArray, QIODevice
    from PySide6.QtGui import QPdfWriter

    from taperlab.gui.kit.application import make_application
    from taperlab.gui.paper.sheet import build_sheet, page_layout, paint_sheet

    make_application(["taperlab"])
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setPageLayout(page_layout(system))
    writer.setResolution(300)
    writer.setTitle(bench.current_line.name)
    writer.setCreator("Taperlab")
    pages = paint_sheet(build_sheet(bench, bench.current_line, system), writer)
    buffer.close()
    write_bytes(target, bytes(content.data()))
    return pages
