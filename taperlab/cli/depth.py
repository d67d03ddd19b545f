"""``taperlab depth``: how deep a rig fishes on a tight line."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_file,
    add_line,
    add_telling,
    add_water,
    bench_asked,
    degrees_typed,
    print_json,
    typed,
    typed_if_given,
    water_asked,
)
from taperlab.cli.rigs import add_fly_options, add_rig_options, head_asked, rig_asked
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.physics.current import Stream
    from taperlab.units.kinds import System


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser("taperlab depth", description=tr("Tell how deep a rig fishes on a tight line."))
    add_file(parser)
    add_line(parser)
    add_rig_options(parser)
    add_fly_options(parser)
    parser.add_argument(
        "--current",
        metavar="SPEED",
        required=True,
        help=tr('near the surface at the line, such as "3 ft/s"'),
    )
    parser.add_argument(
        "--angle",
        metavar="DEG",
        default="0",
        help=tr("of the line across the stream, from straight downstream: 0 to 60; else 0"),
    )
    parser.add_argument("--river-depth", metavar="DEPTH", help=tr("of the bed, where it matters"))
    parser.add_argument(
        "--profile",
        choices=["uniform", "river"],
        default="uniform",
        help=tr("whether the current slackens toward the bed; else uniform"),
    )
    parser.add_argument("--drift", metavar="SECONDS", help=tr("of free drift before it is tight"))
    add_water(parser)
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)

    from taperlab.files import water_report
    from taperlab.model.swing import STEEPEST
    from taperlab.physics.tight_line import State
    from taperlab.shop.water.fishing import Fishing
    from taperlab.shop.water.study import study_now
    from taperlab.shop.water.words import depth_words
    from taperlab.units.kinds import CURRENT, DURATION, System

    system = System(asked.units)
    fishing = Fishing(
        typed("--current", asked.current, CURRENT, system),
        degrees_typed("--angle", asked.angle, 0.0, math.degrees(STEEPEST)),
        _stream(asked.river_depth, asked.profile, system),
        typed_if_given("--drift", asked.drift, DURATION, system),
        water_asked(asked.water, asked.temperature, system),
    )
    bench = bench_asked(asked, asked.file)
    line = head_asked(asked, bench, asked.file)
    rig = rig_asked(asked, line, bench, asked.file, system)
    found = study_now(rig, fishing)
    if asked.json:
        print_json(water_report.as_json(found))
    if found.state is State.BOTTOM:
        raise NoAnswer("{file}: {why}", file=asked.file, why=depth_words(found), units=system)
    if not asked.json:
        print(water_report.as_text(found, system), end="")
    return 0


def _stream(depth: str | None, profile: str, system: System) -> Stream:
    from taperlab.physics.current import Stream
    from taperlab.units.kinds import RIVER_DEPTH

    bed = typed_if_given("--river-depth", depth, RIVER_DEPTH, system)
    if bed is None:
        if profile == "river":
            raise Refusal("--profile river: expected --river-depth with it")
        return Stream()
    return Stream(bed, slackens=profile == "river")
