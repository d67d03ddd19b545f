"""``taperlab report``: the figures of a line."""

from __future__ import annotations

from taperlab.cli.asking import (
    Parser,
    Screen,
    add_file,
    add_line,
    add_rod,
    add_telling,
    add_water,
    add_window,
    bench_asked,
    print_json,
    rod_named,
    typed_if_given,
    version_named,
    water_asked,
    window_typed,
)
from taperlab.cli.rigs import add_rig_options, head_asked, is_looped, rig_asked, rig_name
from taperlab.model.rod import Measured
from taperlab.units.kinds import ROD_LENGTH, System
from taperlab.units.language import tr

_JUDGED = {None: None, "head": Measured.HEAD, "rig": Measured.HEAD_AND_TIP}


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser("taperlab report", description=tr("Print the figures of a line."))
    add_file(parser)
    add_line(parser)
    parser.add_argument(
        "--version",
        metavar="NAME",
        help=tr("the line as it was when this version was kept, and what became of it since"),
    )
    add_rig_options(parser)
    rod = parser.add_mutually_exclusive_group()
    add_rod(rod)
    rod.add_argument("--rod-length", metavar="LENGTH", help=tr('such as "13 ft 6 in" or "4.11 m"'))
    add_window(parser)
    parser.add_argument(
        "--judged",
        choices=["head", "rig"],
        help=tr(
            "what the rod’s grain window was measured on; else what it says, or the head alone"
        ),
    )
    add_water(parser)
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.files import report
    from taperlab.files.versions_report import version_json, version_text
    from taperlab.shop.analyse import analyse_line
    from taperlab.shop.versions.study import changes
    from taperlab.shop.whole import whole_line, whole_rig

    system = System(asked.units)
    length = typed_if_given("--rod-length", asked.rod_length, ROD_LENGTH, system)
    window = window_typed(asked.window, system) if asked.window else None
    water = water_asked(asked.water, asked.temperature, system)

    bench = bench_asked(asked, asked.file)
    line = now = head_asked(asked, bench, asked.file)
    version = None
    if asked.version is not None:
        version = version_named(asked.version, now, bench, asked.file)
        line = version.line
    rig = rig_asked(asked, line, bench, asked.file, system) if is_looped(asked) else None
    name = rig_name(asked, bench, asked.file)
    whole = whole_rig(rig, water, name=name) if rig else whole_line(line, water)
    chosen = None
    if length is None:
        chosen = rod_named(asked.rod, bench, asked.file) if asked.rod else bench.chosen_rod
    fit = whole.on_rod(chosen, bench, length=length, window=window, judged=_JUDGED[asked.judged])
    since = None
    if version is not None:
        since = changes(analyse_line(version.line, water), analyse_line(now, water))
    if asked.json:
        found = report.as_json(whole.analysis, fit, rig=rig)
        if version is not None and since is not None:
            found["version"] = version_json(version, since)
        print_json(found)
    else:
        print(report.as_text(whole.analysis, fit, system, rig), end="")
        if version is not None and since is not None:
            print(f"\n{version_text(version, since, system)}", end="")
    return 0
