"""``taperlab room``: how much room behind a head wants."""

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
    rod_named,
    typed,
    typed_if_given,
)
from taperlab.cli.rigs import add_fly_options, add_rig_options, head_asked, rig_asked
from taperlab.units.language import tr

if TYPE_CHECKING:
    import argparse

    from taperlab.model.bench import Bench
    from taperlab.model.casting import LoopBehind
    from taperlab.units.kinds import System

_LENGTHS = ("hands", "wading", "overhang", "peel", "aside", "on_water")


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser("taperlab room", description=tr("Estimate the room behind that a head wants."))
    add_file(parser)
    add_line(parser)
    add_rig_options(parser)
    add_fly_options(parser)
    rods = parser.add_mutually_exclusive_group()
    rods.add_argument("--rod", metavar="NAME", help=tr("a rod of the bench; else the chosen one"))
    rods.add_argument("--rod-length", metavar="LENGTH", help=tr('such as "13 ft 6 in"'))
    parser.add_argument(
        "--cast",
        choices=["touch-and-go", "sustained"],
        help=tr("what anchors the line; else as the bench says, touch-and-go at first"),
    )
    parser.add_argument("--lean", metavar="DEG", help=tr("of the rod, back from upright; else 30"))
    parser.add_argument(
        "--peel", metavar="L", help=tr("where the line leaves the water, ahead of one")
    )
    parser.add_argument("--aside", metavar="L", help=tr("and beside one"))
    parser.add_argument("--hands", metavar="L", help=tr("their height; else 5 ft"))
    parser.add_argument("--wading", metavar="L", help=tr("how deep one stands; else not at all"))
    parser.add_argument(
        "--overhang", metavar="L", help=tr("running line outside the rod tip; else 1 ft")
    )
    parser.add_argument(
        "--on-water", metavar="L", help=tr("still lying there; else leader, sustained tip too")
    )
    parser.add_argument("--room", metavar="L", help=tr("tell too how long a head it takes"))
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)

    from taperlab.files import room_report
    from taperlab.shop.room.study import Parts, longest, study
    from taperlab.shop.room.words import room_words
    from taperlab.units.kinds import ROOM, System

    system = System(asked.units)
    room = typed_if_given("--room", asked.room, ROOM, system)
    bench = bench_asked(asked, asked.file)
    behind = _behind(asked, bench.behind, system)
    length = _rod_length(asked, bench, system)
    rig = rig_asked(asked, head_asked(asked, bench, asked.file), bench, asked.file, system)
    parts = Parts.of(rig)
    found = study(parts, length, behind)
    turned = None if room is None else longest(parts, length, behind, room)
    if asked.json:
        print_json(room_report.as_json(rig, found, turned))
    if not found.loop:
        raise NoAnswer("{file}: {why}", file=asked.file, why=room_words(found), units=system)
    if not asked.json:
        print(room_report.as_text(rig, found, turned, system), end="")
    return 0


def _behind(asked: argparse.Namespace, usual: LoopBehind, system: System) -> LoopBehind:
    """How the loop behind is formed: as it was typed, else as the bench says."""
    from taperlab.model.casting import STEEPEST_LEAN, Cast
    from taperlab.units.limits import LIMITS

    told: dict[str, Any] = {}
    if asked.cast is not None:
        told["cast"] = Cast(asked.cast.replace("-", " "))
    if asked.lean is not None:
        told["lean"] = degrees_typed("--lean", asked.lean, 0.0, math.degrees(STEEPEST_LEAN))
    kinds = LIMITS[type(usual)]
    for name in _LENGTHS:
        option = f"--{name.replace('_', '-')}"
        value = typed_if_given(option, getattr(asked, name), kinds[name].kind, system)
        if value is not None:
            told[name] = value
    behind = replace(usual, **told)
    if behind.wading >= behind.hands:
        raise Refusal(
            "--wading: found {text}, expected less than the height of the hands",
            text=asked.wading or asked.hands or "",
        )
    return behind


def _rod_length(asked: argparse.Namespace, bench: Bench, system: System) -> float:
    from taperlab.units.kinds import ROD_LENGTH

    if asked.rod_length is not None:
        return typed("--rod-length", asked.rod_length, ROD_LENGTH, system)
    rod = bench.chosen_rod if asked.rod is None else rod_named(asked.rod, bench, asked.file)
    if rod is None:
        raise Refusal("{file} has no chosen rod; expected --rod-length", file=asked.file)
    return rod.length
