"""Sheets as PDF files, without a screen."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.files.disk import write_bytes
from taperlab.files.opening import read_any
from taperlab.files.problem import FileProblem
from taperlab.model.bench import Bench
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

if TYPE_CHECKING:
    from PySide6.QtGui import QPageLayout

    from taperlab.gui.paper.labels.sheets import LabelSheets
    from taperlab.gui.paper.layout.blocks import Sheet
    from taperlab.shop.cut_back.study import Study
    from taperlab.shop.labels.asking import Asked
    from taperlab.shop.labels.content import LabelContent


def write_sheet(source: Path, target: Path, system: System = System.US) -> int:
    """Write the build sheet of a file's current line, or rig, as PDF; how many pages it has.

    Raises FileProblem where the file cannot be read, holds no line, or the PDF cannot be written.
    """
    return write_sheet_of(read_any(source), source, target, system)


def write_sheet_of(
    bench: Bench, source: Path, target: Path, system: System, paper: str | None = None
) -> int:
    """As :func:`write_sheet`, of a bench that was read from ``source``.

    paper: ``a4`` or ``letter``; else what is usual where these units are.
    """
    thing = bench.current_rig or bench.current_line
    if thing is None:
        raise FileProblem("{file} holds no line; expected at least one.", file=source)
    check_pdf(target)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

    from taperlab.gui.kit.application import make_application
    from taperlab.gui.paper.build_sheet import build_sheet
    from taperlab.gui.paper.layout.pages import page_layout

    make_application(["taperlab"])
    sheet = build_sheet(bench, thing).of_file(source.name)
    return write_pdf(sheet, target, page_layout(system, paper), system)


def write_cut_sheet(
    study: Study, target: Path, system: System = System.US, paper: str | None = None
) -> int:
    """Write the sheet of a cut-back as PDF; how many pages it has. paper: as for a build sheet.

    Raises FileProblem where it cannot be written, ValueError for a study without a cut-back.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

    from taperlab.gui.kit.application import make_application
    from taperlab.gui.paper.cut_sheet import cut_sheet
    from taperlab.gui.paper.layout.pages import page_layout

    make_application(["taperlab"])
    return write_pdf(cut_sheet(study), target, page_layout(system, paper), system)


def write_labels(
    asked: Asked, contents: Sequence[LabelContent], target: Path, system: System = System.US
) -> tuple[Sentence, ...]:
    """Write labels as PDF; what there was no room for on them.

    Raises BadLabels where they cannot be laid out so, FileProblem where the PDF cannot be written.
    """
    check_pdf(target)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

    from taperlab.gui.kit.application import make_application
    from taperlab.gui.paper.labels.sheets import label_sheets

    make_application(["taperlab"])
    sheets = label_sheets(asked, contents, system)
    write_label_sheets(sheets, target)
    return sheets.remarks


def write_label_sheets(sheets: LabelSheets, target: Path) -> int:
    """Write labels that are laid out as PDF; how many pages there are. Raises FileProblem."""
    from taperlab.gui.paper.labels.sheets import page_layout_of, paint_labels
    from taperlab.gui.paper.pdf import pdf_painted

    layout = page_layout_of(sheets.paper)
    title = tr("Labels")
    content, pages = pdf_painted(partial(paint_labels, sheets), layout, title, title)
    write_bytes(target, content)
    return pages


def check_pdf(target: Path) -> None:
    """Raise FileProblem for a file to write whose name does not end as that of a PDF."""
    if not target.suffix:
        raise FileProblem("{file} must end in .pdf.", file=target)
    if target.suffix.casefold() != ".pdf":
        raise FileProblem(
            "{file} must end in .pdf, not {ending}.", file=target, ending=target.suffix
        )


def write_pdf(sheet: Sheet, target: Path, layout: QPageLayout, system: System) -> int:
    """Write a sheet as PDF; how many pages it has. Raises FileProblem."""
    from taperlab.gui.paper.pdf import pdf_of

    content, pages = pdf_of(sheet, layout, system)
    write_bytes(target, content)
    return pages
