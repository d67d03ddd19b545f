"""``taperlab turnover``: whether a rig turns over before it lands, and how hard it arrives."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from taperlab.cli.asking import (
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_file,
    add_line,
    add_telling,
    bench_asked,
    degrees_typed,
    print_json,
    typed_if_given,
)
from taperlab.cli.rigs import add_fly_options, add_rig_options, head_asked, rig_asked
from taperlab.units.language import tr

if TYPE_CHECKING:
    import argparse

    from taperlab.model.casting import Throw
    from taperlab.units.kinds import System

_TYPED = ("speed", "loop_height", "rod_tip", "start")


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab turnover", description=tr("Tell whether a rig turns over before it lands.")
    )
    add_file(parser)
    add_line(parser)
    add_rig_options(parser)
    add_fly_options(parser)
    parser.add_argument(
        "--speed",
        metavar="SPEED",
        required=True,
        help=tr('of the line as the loop forms, such as "60 ft/s"'),
    )
    parser.add_argument(
        "--loop-height", metavar="L", help=tr("from leg to leg; else as the bench says, 1 m")
    )
    parser.add_argument(
        "--loop-factor", metavar="F", help=tr("what the air leaves of that height; else 0.6")
    )
    parser.add_argument("--rod-tip", metavar="L", help=tr("its height above the water; else 3.5 m"))
    parser.add_argument("--launch", metavar="DEG", help=tr("of the throw, up from level; else 5"))
    parser.add_argument("--start", metavar="L", help=tr("already unrolled; else 1 m"))
    parser.add_argument(
        "--shoot", action="store_true", help=tr("let running line follow through the guides")
    )
    parser.add_argument(
        "--guide-friction",
        metavar="WEIGHT",
        help=tr("with --shoot: what, hung on the running line, just draws it; else 15 g"),
    )
    parser.add_argument(
        "--running",
        metavar="WEIGHT_PER_LENGTH",
        help=tr("with --shoot: of the running line; else as the line has it, or a usual one"),
    )
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)

    from taperlab.files import turnover_report
    from taperlab.shop.turnover.study import study
    from taperlab.units.finding import Impossible
    from taperlab.units.kinds import System

    system = System(asked.units)
    bench = bench_asked(asked, asked.file)
    throw = _throw(asked, bench.throw, system)
    rig = rig_asked(asked, head_asked(asked, bench, asked.file), bench, asked.file, system)
    try:
        found = study(rig, throw)
    except Impossible as problem:
        raise NoAnswer(
            "{file}: {why}", file=asked.file, why=problem.sentence, units=system
        ) from None
    if asked.json:
        print_json(turnover_report.as_json(found))
    else:
        print(turnover_report.as_text(found, system), end="")
    return 0


def _throw(asked: argparse.Namespace, usual: Throw, system: System) -> Throw:
    """How it is thrown: as it was typed, else as the bench says."""
    from taperlab.model.casting import STEEPEST_LAUNCH
    from taperlab.units.kinds import RATIO
    from taperlab.units.limits import LIMITS

    kinds = LIMITS[type(usual)]
    told: dict[str, Any] = {}
    for name in _TYPED:
        option = f"--{name.replace('_', '-')}"
        value = typed_if_given(option, getattr(asked, name), kinds[name].kind, system)
        if value is not None:
            told[name] = value
    factor = typed_if_given("--loop-factor", asked.loop_factor, RATIO, system)
    if factor is not None:
        told["loop_factor"] = factor
    shoots = asked.shoot or usual.shoots
    for option, name in (("--guide-friction", "guides"), ("--running", "running")):
        typed = getattr(asked, option[2:].replace("-", "_"))
        if typed is not None and not shoots:
            raise Refusal("{option} counts only with --shoot", option=option)
        value = typed_if_given(option, typed, kinds[name].kind, system)
        if value is not None:
            told[name] = value
    told["shoots"] = shoots
    if asked.launch is not None:
        most = math.degrees(STEEPEST_LAUNCH)
        told["launch"] = degrees_typed("--launch", asked.launch, -most, most)
    return replace(usual, **told)
