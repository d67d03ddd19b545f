"""``taperlab labels``: labels for the bags that heads are kept in, on sheets of any size."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    Parser,
    Refusal,
    Screen,
    add_decimal,
    add_file,
    add_paper,
    add_units,
    bench_asked,
    line_named,
    not_one_of,
    remark,
    typed,
    typed_if_given,
)
from taperlab.model.bench import Bench
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.units.days import show_day
from taperlab.units.kinds import LABEL_SHIFT, LABEL_SIZE, System
from taperlab.units.language import tr
from taperlab.units.sentence import render

if TYPE_CHECKING:
    import argparse

    from taperlab.shop.whole import Assembly
    from taperlab.trade.label_grids import LabelGrid


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    what = tr("Write labels for the bags that heads are kept in as PDF.")
    parser = Parser("taperlab labels", description=what)
    add_file(parser)
    parser.add_argument("target", metavar="OUT", type=Path, help=tr("ends in .pdf"))
    parser.add_argument(
        "--line",
        metavar="NAME",
        action="append",
        help=tr("which line of the bench; may be given again; else the current"),
    )
    parser.add_argument(
        "--job",
        metavar="NAME",
        action="append",
        help=tr("a job by its ticket or its customer: a label of its line; may be given again"),
    )
    parser.add_argument(
        "--grid", metavar="NAME", help=tr('a sheet by the size of its labels, such as "2 x 4 in"')
    )
    for option, names, text in (
        ("--size", ("W", "H"), tr("labels of a size of your own, instead of --grid")),
        ("--pitch", ("X", "Y"), tr("from one such label to the next; else its size")),
        ("--corner", ("LEFT", "TOP"), tr("where the first such label lies; else at the edge")),
    ):
        parser.add_argument(option, nargs=2, metavar=names, help=text)
    parser.add_argument("--inner", metavar="L", help=tr("kept free within each label"))
    parser.add_argument("--start", metavar="N", type=int, default=1, help=tr("first label; else 1"))
    parser.add_argument("--count", metavar="N", type=int, default=1, help=tr("of each; else 1"))
    parser.add_argument("--nudge-x", metavar="L", help=tr("moves all right, as --nudge-x=-1mm"))
    parser.add_argument("--nudge-y", metavar="L", help=tr("moves all down"))
    parser.add_argument("--date", metavar="TEXT", help=tr("on the labels; else today"))
    parser.add_argument("--by", metavar="TEXT", default="", help=tr("initials on the labels"))
    parser.add_argument("--no-rule", action="store_true", help=tr("without the scale rule"))
    parser.add_argument(
        "--test-page", action="store_true", help=tr("outlines alone, to hold against a sheet")
    )
    add_paper(parser)
    add_units(parser)
    add_decimal(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.shop.labels.asking import Asked, BadLabels
    from taperlab.shop.labels.content import label_of
    from taperlab.trade.label_grids import BadGrid

    system = System(asked.units)
    bench = bench_asked(asked, asked.file)
    day = show_day(date.today()) if asked.date is None else asked.date
    contents = [
        label_of(bench, line, job=job, day=day, by=asked.by) for line, job in _wanted(asked, bench)
    ]
    right = typed_if_given("--nudge-x", asked.nudge_x, LABEL_SHIFT, system) or 0.0
    down = typed_if_given("--nudge-y", asked.nudge_y, LABEL_SHIFT, system) or 0.0
    try:
        wanted = Asked(
            _grid(asked, system),
            asked.start,
            asked.count,
            right,
            down,
            rule=not asked.no_rule,
            test=asked.test_page,
        )
        remarks = screen.labels(wanted, contents, asked.target, system)
    except (BadGrid, BadLabels) as problem:
        raise Refusal(problem.sentence, units=system) from None
    for each in remarks:
        remark(render(each, system).rstrip("."))
    return 0


def _wanted(asked: argparse.Namespace, bench: Bench) -> list[tuple[Line | Assembly, Job | None]]:
    """The lines that labels are of, each with the job that it was made for, if one was named."""
    from taperlab.shop.jobs.about import about

    found: list[tuple[Line | Assembly, Job | None]] = []
    for name in asked.line or ():
        found.append((line_named(name, bench, asked.file), None))
    for name in asked.job or ():
        job = next(
            (each for each in bench.jobs if name and name in (each.ticket, each.customer)), None
        )
        if job is None:
            names = [each.ticket or each.customer for each in bench.jobs]
            raise not_one_of("--job", name, asked.file, names)
        known = about(bench, job).best
        if known is None:
            raise Refusal("--job: “{job}” has no head to put on a label", job=name)
        found.append((known, job))
    return found or [(line_named(None, bench, asked.file), None)]


def _grid(asked: argparse.Namespace, system: System) -> LabelGrid:
    """The sheet that was asked for, or a usual one. Raises BadGrid."""
    from dataclasses import replace

    from taperlab.shop.labels.asking import usual_grid
    from taperlab.trade.label_grids import (
        USUAL_INNER,
        Paper,
        checked_grid,
        grid_named,
        label_grids,
        own_grid,
    )

    inner = typed_if_given("--inner", asked.inner, LABEL_SIZE, system)
    usual = Paper.LETTER if system is System.US else Paper.A4
    paper = Paper(asked.paper) if asked.paper else usual
    if asked.size is not None:
        if asked.grid is not None:
            raise Refusal("--size and --grid say both how large the labels are; give one of them")
        size = _pair("--size", asked.size, system)
        pitch = _pair("--pitch", asked.pitch, system) if asked.pitch else size
        corner = _pair("--corner", asked.corner, system) if asked.corner else (0.0, 0.0)
        return own_grid(paper, *size, pitch, corner, USUAL_INNER if inner is None else inner)
    for option, given in (("--pitch", asked.pitch), ("--corner", asked.corner)):
        if given is not None:
            raise Refusal("{option}: expected only with --size", option=option)
    if asked.grid is None:
        found = usual_grid(paper)
    else:
        named = grid_named(asked.grid)
        if named is None:
            names = [each.name for each in label_grids()]
            raise not_one_of("--grid", asked.grid, asked.file, names)
        if asked.paper and named.paper is not paper:
            raise Refusal(
                "--paper: found {found}, but labels of {grid} come on {paper}",
                found=asked.paper,
                grid=named.name,
                paper=named.paper,
            )
        found = named
    return found if inner is None else checked_grid(replace(found, inner=inner))


def _pair(option: str, texts: list[str], system: System) -> tuple[float, float]:
    first, second = (typed(option, text, LABEL_SIZE, system) for text in texts)
    return first, second
