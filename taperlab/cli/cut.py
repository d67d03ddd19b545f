"""``taperlab cut``: a head cut back to a weight, a window, a size, a length or a ratio."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_file,
    add_line,
    add_paper,
    add_rod,
    add_telling,
    add_window,
    print_json,
)
from taperlab.cli.cut_many import plan_all
from taperlab.cli.cut_plan import planned
from taperlab.cli.rigs import add_rig_options
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.shop.cut_back.goal import NoPlan
    from taperlab.shop.cut_back.staged import Staged


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    if asked.heads is not None:
        return plan_all(asked, screen)
    if asked.file is None:
        raise Refusal("expected FILE, or --heads with a table of them")
    if asked.plans is not None or asked.sheets is not None:
        raise Refusal("--plans and --sheets go with --heads")
    from taperlab.files import cut_report
    from taperlab.files.report import joints_json, rig_json, rig_text

    found = planned(asked, asked.file, asked.line, asked.to, asked.scale, str(asked.file))
    no = cut_report.no_answer(found.answer)
    if asked.json:
        answer = cut_report.as_json(
            found.job,
            found.goal,
            found.before,
            found.answer,
            weighed=found.weighed,
            doubt=found.doubt,
        )
        if found.rig is not None:
            answer |= {"rig": rig_json(found.rig), "joints": joints_json(found.rig)}
        print_json(answer)
    if no is not None:
        raise NoAnswer("{file}: {why}", file=asked.file, why=no.sentence, units=found.system)
    if not asked.json:
        staged = _staged(found.answer)
        text = cut_report.as_text(
            found.line.name,
            found.job,
            staged,
            found.system,
            weighed=found.weighed,
            doubt=found.doubt,
        )
        print(text, end="")
        if found.rig is not None:
            print(f"\n{rig_text(found.rig, found.system)}", end="")
    return 0


def _staged(answer: Staged | NoPlan) -> Staged:
    from taperlab.shop.cut_back.staged import Staged

    assert isinstance(answer, Staged)
    return answer


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab cut",
        description=tr(
            "Plan to cut the head of a line back, in stages with a weighing after each. Without "
            "--loop-fold and --loop-weight, new loops are like those that are on the head."
        ),
    )
    add_file(parser, nargs="?")
    aim = parser.add_mutually_exclusive_group()
    aim.add_argument(
        "--to",
        metavar="AIM",
        help=tr(
            "a weight such as 480gr or 31.1g; window-low, window-middle or window-high; or "
            '"line 8", a size of the standard'
        ),
    )
    aim.add_argument("--to-length", metavar="LENGTH", help=tr('of the finished head: "36 ft"'))
    aim.add_argument("--to-ratio", metavar="RATIO", help=tr("of head to rod, such as 2.8"))
    parser.add_argument(
        "--from",
        dest="end",
        choices=["rear", "front", "both"],
        default="rear",
        help=tr("the rod end, the fly end or both; else rear"),
    )
    parser.add_argument(
        "--share-rear",
        metavar="PERCENT",
        help=tr("of the length, off the rod end, with --from both; else 50"),
    )
    rod = parser.add_mutually_exclusive_group()
    add_rod(rod)
    rod.add_argument("--rod-length", metavar="LENGTH", help=tr('such as "13 ft 6 in" or "4.11 m"'))
    add_window(parser)
    parser.add_argument("--loop-fold", metavar="LENGTH", help=tr("line folded into each new loop"))
    parser.add_argument("--loop-weight", metavar="WEIGHT", help=tr("what each new loop adds"))
    parser.add_argument("--shortest", metavar="LENGTH", help=tr("shortest head allowed"))
    parser.add_argument(
        "--keep-front-taper", action="store_true", help=tr("do not cut into the front taper")
    )
    parser.add_argument("--most-step", metavar="STEP", help=tr("largest step at a joint allowed"))
    parser.add_argument(
        "--scale", metavar="WEIGHT", help=tr("what the whole line reads on the scale")
    )
    parser.add_argument(
        "--anyway",
        action="store_true",
        help=tr("take that reading even if it is far from the description"),
    )
    add_line(parser)
    add_rig_options(parser)
    parser.add_argument(
        "--heads",
        metavar="TABLE",
        type=Path,
        help=tr("a CSV of heads: name, and scale, to, line or file where they differ"),
    )
    parser.add_argument(
        "--plans", metavar="TABLE", type=Path, help=tr("the CSV to write their plans to")
    )
    parser.add_argument(
        "--sheets", metavar="FOLDER", type=Path, help=tr("the folder to write their sheets to")
    )
    add_paper(parser)
    add_telling(parser)
    return parser
