"""``taperlab tolerance``: what each ± on the bench does to a head."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from taperlab.cli.asking import (
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_file,
    add_line,
    add_rod,
    add_telling,
    add_water,
    add_window,
    bench_asked,
    line_named,
    print_json,
    rod_named,
    typed_if_given,
    water_asked,
    window_typed,
)
from taperlab.units.kinds import (
    DENSITY_OFF,
    FINE_LENGTH,
    LENGTH,
    SHORT_LENGTH,
    SMALL_WEIGHT,
    Kind,
    System,
)
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.model.line import Line
    from taperlab.model.measurement import Instruments

_TYPED: tuple[tuple[str, Kind], ...] = (
    ("length", SHORT_LENGTH),
    ("diameter", FINE_LENGTH),
    ("offset", FINE_LENGTH),
    ("density", DENSITY_OFF),
)
_STEPS: tuple[tuple[str, str, Kind], ...] = (
    ("--scale-step", "scale", SMALL_WEIGHT),
    ("--tape-step", "tape", SHORT_LENGTH),
    ("--micrometer-step", "micrometer", FINE_LENGTH),
    ("--scatter", "scatter", FINE_LENGTH),
)


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab tolerance", description=tr("Tell what each ± on the bench does to a head.")
    )
    add_file(parser)
    add_line(parser)
    parser.add_argument("--length-pm", metavar="L", help=tr("of the length of each segment"))
    parser.add_argument("--diameter-pm", metavar="D", help=tr("of each diameter by itself"))
    parser.add_argument("--offset-pm", metavar="D", help=tr("of all diameters the same way"))
    parser.add_argument(
        "--density-pm", metavar="D", help=tr("of the density of each batch, in g/cm^3")
    )
    parser.add_argument(
        "--weighed-piece",
        metavar="L",
        help=tr(
            "how long the piece was that the density was weighed on, measured with the same "
            "micrometer"
        ),
    )
    parser.add_argument("--scale-step", metavar="W", help=tr("what the scale reads to"))
    parser.add_argument("--tape-step", metavar="L", help=tr("what the tape reads to"))
    parser.add_argument("--micrometer-step", metavar="D", help=tr("what the micrometer reads to"))
    parser.add_argument("--scatter", metavar="D", help=tr("how far one diameter scatters"))
    add_rod(parser)
    add_window(parser)
    add_water(parser)
    add_telling(parser)
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.files import tolerance_report
    from taperlab.model.rod import Window
    from taperlab.shop.tolerance.asking import asked_of, window_of
    from taperlab.shop.tolerance.builds import builds
    from taperlab.shop.tolerance.study import study
    from taperlab.units.finding import Impossible

    system = System(asked.units)
    own = window_typed(asked.window, system) if asked.window else None
    water = water_asked(asked.water, asked.temperature, system)
    bench = bench_asked(asked, asked.file)
    line = _told(asked, line_named(asked.line, bench, asked.file), system)
    question = asked_of(bench, line, system)
    tools = _tools(asked, question.instruments, system)
    try:
        found = study(replace(question, instruments=tools, water=water))
    except Impossible as problem:
        raise NoAnswer(
            "{file}: {why}", file=asked.file, why=problem.sentence, units=system
        ) from None
    if asked.rod is not None:
        bench = replace(bench, rods=(rod_named(asked.rod, bench, asked.file),))
        bench = replace(bench, rod=bench.rods[0].key)
    window = Window(line.style, *own) if own else window_of(bench, line)
    landed = builds(found, window) if window is not None else None
    if asked.json:
        print_json(tolerance_report.as_json(found, landed))
    else:
        print(tolerance_report.as_text(found, landed, system), end="")
    return 0


def _told(asked: argparse.Namespace, line: Line, system: System) -> Line:
    """The line with what was typed of how closely it is made."""
    typed = {
        name: typed_if_given(f"--{name}-pm", getattr(asked, f"{name}_pm"), kind, system)
        for name, kind in _TYPED
    }
    typed["piece"] = typed_if_given("--weighed-piece", asked.weighed_piece, LENGTH, system)
    told: dict[str, Any] = {name: value for name, value in typed.items() if value is not None}
    return replace(line, tolerance=replace(line.tolerance, **told))


def _tools(asked: argparse.Namespace, tools: Instruments, system: System) -> Instruments:
    """The instruments, with the steps that were typed. Raises Refusal."""
    found: dict[str, Any] = {}
    for option, name, kind in _STEPS:
        step = typed_if_given(option, getattr(asked, option[2:].replace("-", "_")), kind, system)
        if step == 0.0 and name != "scatter":
            raise Refusal("{option}: found 0, expected a step above zero", option=option)
        if step is not None:
            found[name] = step
    return replace(tools, **found)
