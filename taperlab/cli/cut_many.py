"""``taperlab cut --heads``: all heads of a table, with a table of their plans and their sheets."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    Looks,
    NoAnswer,
    Refusal,
    Screen,
)
from taperlab.cli.cut_plan import Found, planned

if TYPE_CHECKING:
    from taperlab.files.heads import AskedHead


def plan_all(asked: argparse.Namespace, screen: Screen) -> int:
    """Plan every head of a table; write their plans, and a sheet for each that has one."""
    if asked.json or asked.scale is not None:
        raise Refusal("--heads: expected without --json and --scale")
    if asked.plans is None and asked.sheets is None:
        raise Refusal("--heads: expected --plans or --sheets with it")
    from taperlab.files import cut_report
    from taperlab.files.cells import to_text
    from taperlab.files.disk import write_text
    from taperlab.files.heads import read_heads

    heads = read_heads(asked.heads)
    sheets = _sheet_files(heads) if asked.sheets is not None else {}
    found = [(head, _of_row(asked, head)) for head in heads]
    rows = [
        row
        for head, each in found
        for row in cut_report.plan_rows(
            head.name, each.line, each.job, each.before, each.answer, doubt=each.doubt
        )
    ]
    if asked.plans is not None:
        separator = "\t" if asked.plans.suffix.casefold() == ".tsv" else ","
        write_text(asked.plans, to_text([cut_report.PLANS, *rows], separator))
    if asked.sheets is not None:
        _write_sheets(asked.sheets, sheets, found, screen, Looks(paper=asked.paper))
    without = [head.name for head, each in found if cut_report.no_answer(each.answer)]
    if without:
        raise NoAnswer(
            "no cut does what was asked of {heads}; the table says why", heads=", ".join(without)
        )
    return 0


def _of_row(asked: argparse.Namespace, head: AskedHead) -> Found:
    file = asked.heads.parent / head.file if head.file else asked.file
    if file is None:
        raise Refusal("{where}: found no file; expected a column “file”, or FILE", where=head.where)
    try:
        return planned(
            asked,
            file,
            head.line or asked.line,
            head.to or asked.to,
            head.scale or None,
            head.where,
        )
    except Refusal as refusal:
        if str(refusal.sentence).startswith(head.where):
            raise
        raise Refusal("{row}: {why}", row=head.where, why=refusal.sentence) from None


def _sheet_files(heads: Sequence[AskedHead]) -> dict[str, str]:
    """The file of each head's sheet, named after it. Raises Refusal where two would be one."""
    from taperlab.files.names import file_name, same_file

    files = {head.name: f"{file_name(head.name, 'head')}.pdf" for head in heads}
    taken: dict[str, AskedHead] = {}
    for head in heads:
        other = taken.setdefault(same_file(files[head.name]), head)
        if other is not head:
            raise Refusal(
                "{where}: found “{name}”, whose sheet would be the same file as that of row {row}, "
                "“{other}”; expected another name.",
                where=head.where,
                name=head.name,
                row=other.row,
                other=other.name,
            )
    return files


def _write_sheets(
    folder: Path,
    files: dict[str, str],
    found: list[tuple[AskedHead, Found]],
    screen: Screen,
    looks: Looks,
) -> None:
    """A sheet for every head that has a plan. Raises FileProblem."""
    from taperlab.edits.cut_back import measured_for
    from taperlab.files import cut_report
    from taperlab.files.disk import make_folder
    from taperlab.shop.cut_back.study import study_now

    make_folder(folder)
    for head, each in found:
        if cut_report.no_answer(each.answer):
            continue
        job = each.job if each.weighed else replace(each.job, first_reading=None)
        line = replace(each.line, name=head.name)
        measured = measured_for(each.bench, each.line)
        study = study_now(line, job, each.rod, each.bench.water, measured)
        screen.cut_sheet(study, folder / files[head.name], each.system, looks)
