"""``taperlab report``: the figures of a line."""

from __future__ import annotations

import json

from taperlab.cli.asking import (
    Parser,
    Screen,
    add_decimal,
    add_file,
    add_line,
    add_units,
    bench_asked,
    rod_named,
    typed_if_given,
    water_asked,
    window_typed,
)
from taperlab.cli.rigs import add_rig_options, head_asked, is_looped, rig_asked
from taperlab.units.kinds import ROD_LENGTH, System
from taperlab.units.language import tr


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser("taperlab report", description=tr("Print the figures of a line."))
    add_file(parser)
    add_line(parser)
    add_rig_options(parser)
    rod = parser.add_mutually_exclusive_group()
    rod.add_argument("--rod", metavar="NAME", help=tr("a rod of the bench, or a starter rod"))
    rod.add_argument("--rod-length", metavar="LENGTH", help=tr('such as "13 ft 6 in" or "4.11 m"'))
    parser.add_argument(
        "--window",
        nargs=2,
        metavar=("LOW", "HIGH"),
        help=tr("lightest and heaviest head, such as 450gr 530gr, instead of the rod’s own"),
    )
    parser.add_argument(
        "--judged",
        choices=["head", "rig"],
        default="head",
        help=tr("what the rod’s grain window was measured on; else the head alone"),
    )
    parser.add_argument("--water", choices=["fresh", "sea"], default="fresh", help=tr("else fresh"))
    parser.add_argument("--temperature", metavar="T", help=tr('of the water, such as "10 degC"'))
    add_units(parser)
    add_decimal(parser)
    parser.add_argument("--json", action="store_true", help=tr("for scripts; its units are fixed"))
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.files import report
    from taperlab.shop.analyse import analyse_line, fit_to_rod

    system = System(asked.units)
    length = typed_if_given("--rod-length", asked.rod_length, ROD_LENGTH, system)
    window = window_typed(asked.window, system) if asked.window else None
    water = water_asked(asked.water, asked.temperature, system)

    bench = bench_asked(asked, asked.file)
    line = head_asked(asked, bench, asked.file)
    rig = rig_asked(asked, line, bench, asked.file, system) if is_looped(asked) else None
    analysis = analyse_line(rig.whole if rig else line, water)
    judged = analyse_line(line, water).head if rig and asked.judged == "head" else None
    chosen = None
    if length is None:
        chosen = rod_named(asked.rod, bench, asked.file) if asked.rod else bench.chosen_rod
    rod_fit = fit_to_rod(analysis, chosen, length, window, judged, bench.lines)
    if asked.json:
        found = report.as_json(analysis, rod_fit, judged=asked.judged, rig=rig)
        print(json.dumps(found, indent=2, allow_nan=False))
    else:
        print(report.as_text(analysis, rod_fit, system, rig), end="")
    return 0
