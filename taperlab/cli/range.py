"""``taperlab range``: one head graded over weights and rods."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    about,
    add_file,
    add_line,
    add_telling,
    bench_asked,
    line_named,
    not_one_of,
    print_json,
    remark,
    typed_if_given,
)
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.model.bench import Bench
    from taperlab.model.range import Range
    from taperlab.shop.range.study import RangeStudy
    from taperlab.units.kinds import Kind, System


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab range",
        description=tr("Grade one head over weights and rods, and tell of every member."),
    )
    add_file(parser)
    add_line(parser)
    asked = parser.add_mutually_exclusive_group(required=True)
    asked.add_argument(
        "--weights",
        metavar="W",
        nargs="+",
        help=tr('of the heads, such as 480gr 510gr, or "from 420 to 570 by 30"'),
    )
    asked.add_argument("--range", metavar="NAME", help=tr("a range that is kept in the bench"))
    parser.add_argument(
        "--rods",
        metavar="L",
        nargs="+",
        default=[],
        help=tr("lengths of the rods: one for each weight, one for all, or none"),
    )
    parser.add_argument(
        "--rod-length",
        metavar="LENGTH",
        help=tr("the rod that the head in FILE is for; else the one chosen there"),
    )
    parser.add_argument("--tip", metavar="LENGTH", help=tr("of the tip that counts with a body"))
    parser.add_argument(
        "--length",
        choices=["same", "rod", "weight"],
        help=tr("what lengths do: stay, follow the rod, or follow the weight; else rod"),
    )
    parser.add_argument(
        "--shape",
        choices=["front-end", "same"],
        help=tr("what of the thickness is kept: that of the fly end, or the shape; else front-end"),
    )
    parser.add_argument(
        "--buildable",
        action="store_true",
        help=tr("round to 1/8 in and 0.001 in, or to 1 mm and 0.01 mm with --units metric"),
    )
    parser.add_argument(
        "--out", metavar="FOLDER", type=Path, help=tr("write a file for each member, and a table")
    )
    parser.add_argument(
        "--as",
        dest="ending",
        choices=["csv", "taperlab"],
        help=tr("what members are written as; else as FILE is"),
    )
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)

    from taperlab.files import range_report
    from taperlab.shop.range.study import question_of, study_now
    from taperlab.units.kinds import System

    system = System(asked.units)
    if asked.ending is not None and asked.out is None:
        raise Refusal("--as: expected only with --out")
    bench = bench_asked(asked, asked.file)
    bench, wanted = _range_asked(asked, bench, system)
    question = question_of(bench, wanted.key, system)
    if question is None:
        raise Refusal("{file}: {range} has lost its parent", file=asked.file, range=wanted.name)
    found = study_now(question)
    if asked.json:
        print_json(range_report.as_json(found))
    if not found.members:
        why = found.why_not or found.refused[0].why
        raise NoAnswer("{file}: {why}", file=asked.file, why=why, units=system)
    if not asked.json:
        print(range_report.as_text(found, system), end="")
    if asked.out is not None:
        _write(asked, bench, found, system)
    return 0


def _range_asked(asked: argparse.Namespace, bench: Bench, system: System) -> tuple[Bench, Range]:
    """The bench with the range that is asked about, and that range."""
    from taperlab.edits.edited import Refused
    from taperlab.edits.ranges import make_range, set_basis, set_rules
    from taperlab.model.range import LengthRule, ThicknessRule
    from taperlab.units.kinds import LENGTH, ROD_LENGTH, WEIGHT

    lengths = {"same": LengthRule.SAME, "rod": LengthRule.ROD, "weight": LengthRule.WEIGHT}
    shapes = {"front-end": ThicknessRule.FRONT_END, "same": ThicknessRule.SHAPE}
    rod = typed_if_given("--rod-length", asked.rod_length, ROD_LENGTH, system)
    tip = typed_if_given("--tip", asked.tip, LENGTH, system)
    try:
        if asked.range is not None:
            if asked.rods or asked.line is not None:
                raise Refusal("--range: a range says what is graded: leave out --line and --rods")
            wanted = _kept(asked.range, bench, asked.file)
        else:
            line = line_named(asked.line, bench, asked.file)
            masses = _several("--weights", asked.weights, WEIGHT, system)
            rods = _several("--rods", asked.rods, ROD_LENGTH, system)
            bench = make_range(bench, line.key, masses, rods, line.name).bench
            wanted = bench.ranges[-1]
        length = lengths[asked.length] if asked.length else wanted.length
        shape = shapes[asked.shape] if asked.shape else wanted.thickness
        bench = set_rules(bench, wanted.key, length, shape).bench
        bench = set_basis(
            bench,
            wanted.key,
            wanted.rod if rod is None else rod,
            wanted.tip if tip is None else tip,
            is_rounded=wanted.is_rounded or asked.buildable,
        ).bench
    except Refused as refused:
        raise about(asked.file, refused.sentence, system) from None
    return bench, next(each for each in bench.ranges if each.key == wanted.key)


def _kept(name: str, bench: Bench, file: Path) -> Range:
    for each in bench.ranges:
        if name in (each.name, each.key):
            return each
    raise not_one_of("--range", name, file, [each.name for each in bench.ranges])


def _several(option: str, texts: list[str], kind: Kind, system: System) -> tuple[float, ...]:
    """What was typed for an option that takes several values, in SI."""
    from taperlab.units.limits import MOST_MEMBERS
    from taperlab.units.parse import Unreadable
    from taperlab.units.several import parse_several

    found: list[float] = []
    for text in texts:
        try:
            found += parse_several(text, kind, system, MOST_MEMBERS)
        except Unreadable as problem:
            raise Refusal(
                "{option}: {problem}", option=option, problem=problem.sentence, units=system
            ) from None
    return tuple(found)


def _write(asked: argparse.Namespace, bench: Bench, found: RangeStudy, system: System) -> None:
    """A file for each member, and the table of them. Raises FileProblem."""
    from taperlab.files import range_report
    from taperlab.files.cells import to_text
    from taperlab.files.delimited import what_is_lost, write_line
    from taperlab.files.disk import make_folder, write_text
    from taperlab.files.names import file_name
    from taperlab.files.native import SUFFIX, write_bench
    from taperlab.model.bench import View
    from taperlab.units.sentence import Sentence, Several, render

    make_folder(asked.out)
    is_native = (asked.ending or asked.file.suffix.lstrip(".").casefold()) == SUFFIX.lstrip(".")
    lost: tuple[Sentence, ...] = ()
    for member in found.members:
        stem = asked.out / file_name(member.line.name, member.letter)
        if is_native:
            line = replace(member.line, key="line-1")
            alone = replace(bench, lines=(line,), view=View("line-1"), stock=(), measurements=())
            alone = replace(alone, cut_backs=(), rigs=(), ranges=(), note="")
            write_bench(alone, stem.with_name(f"{stem.name}{SUFFIX}"))
        else:
            write_line(member.line, stem.with_name(f"{stem.name}.csv"), system)
            lost = lost or what_is_lost(member.line)
    table = to_text(range_report.rows(found, system), ",")
    write_text(asked.out / f"{tr('members')}.csv", table)
    if lost:
        less = Sentence("members are without {lost}, which CSV cannot hold", lost=Several(lost))
        remark(render(less, system))
