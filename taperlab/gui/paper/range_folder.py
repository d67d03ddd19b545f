"""A folder with the sheet of every member of a range, and the sheet of the range."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from taperlab.files import range_report
from taperlab.files.cells import to_text
from taperlab.files.disk import make_folder, write_text
from taperlab.files.names import file_name, same_file
from taperlab.gui.paper.build_sheet import build_sheet
from taperlab.gui.paper.export import write_pdf
from taperlab.gui.paper.layout.pages import page_layout
from taperlab.gui.paper.range_sheet import range_sheet
from taperlab.model.bench import Bench
from taperlab.shop.range.study import RangeStudy
from taperlab.shop.steps import Steps
from taperlab.units.kinds import System
from taperlab.units.language import tr


def write_folder(
    found: RangeStudy, bench: Bench, folder: Path, system: System, paper: str | None = None
) -> Steps[int]:
    """Write the sheet of the range, its table as CSV, and a build sheet for each member as PDF.

    Each member is judged on its own rod. Gives how many sheets there are. Raises FileProblem; what
    was written before stays.
    """
    make_folder(folder)
    layout = page_layout(system, paper)
    name = found.question.range.name
    stem = file_name(name, "range")
    write_text(folder / f"{stem}.csv", to_text(range_report.rows(found, system), ","))
    taken = {same_file(f"{stem}.pdf")}
    write_pdf(range_sheet(found), folder / f"{stem}.pdf", layout, system)
    count = len(found.members) + 1
    yield 1.0 / count
    for i, member in enumerate(found.members, start=2):
        line = member.line
        target = file_name(line.name, member.letter)
        if same_file(f"{target}.pdf") in taken:
            target = f"{target} {tr('member')}"
        taken.add(same_file(f"{target}.pdf"))
        on = replace(bench, rod=member.owner.key if member.owner else None)
        write_pdf(build_sheet(on, line), folder / f"{target}.pdf", layout, system)
        yield i / count
    return count
