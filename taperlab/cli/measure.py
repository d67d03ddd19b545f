"""``taperlab measure``: what a line weighs where, from diameters along it and its weight."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    MARKS,
    NoAnswer,
    Parser,
    Refusal,
    Screen,
    add_telling,
    is_bench,
    print_json,
    typed,
    typed_if_given,
)
from taperlab.units.kinds import DIAMETER, DISTANCE, LENGTH, SHORT_LENGTH, WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape

if TYPE_CHECKING:
    from taperlab.model.bench import Bench
    from taperlab.model.line import Line
    from taperlab.model.measurement import Measurement


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.edits.edited import Refused

    system = System(asked.units)
    if asked.out is not None:
        is_bench(asked.out)  # refused before the work is done
    try:
        bench = _measured(asked, system)
    except Refused as problem:
        raise Refusal(
            "{file}: {problem}", file=asked.stations, problem=problem.sentence, units=system
        ) from None
    return _tell(asked, bench, bench.measurements[0], system)


def _tell(asked: argparse.Namespace, bench: Bench, measurement: Measurement, system: System) -> int:
    from taperlab.files import measure_report
    from taperlab.shop.measure.study import study

    at = [_place("--at", text, measurement.length, system) for text in asked.at]
    studied = study(measurement)
    if asked.json:
        print_json(measure_report.as_json(studied, at))
    if studied.fit is None:
        raise NoAnswer("{file}: {why}", file=asked.stations, why=studied.why_not, units=system)
    if asked.out is not None:
        _write(asked.out, bench, studied.fit.line, system)
    if not asked.json:
        print(measure_report.as_text(studied, at, system), end="")
    return 0


def _measured(asked: argparse.Namespace, system: System) -> Bench:
    """A bench with the measurement that was asked for. Raises Refused."""
    from taperlab.edits import measure as edits
    from taperlab.files.disk import STDIN, called
    from taperlab.files.stations import read_stations
    from taperlab.model.bench import Bench
    from taperlab.model.measurement import USUAL, Material

    length = typed("--length", asked.length, LENGTH, system)
    mass = typed_if_given("--weight", asked.weight, WEIGHT, system)
    if mass is None and not asked.weighed:
        raise Refusal("expected --weight, or --weighed for a section of the line")
    sections = [
        (
            _place("--weighed", front, length, system),
            _place("--weighed", rear, length, system),
            typed("--weighed", weight, WEIGHT, system),
        )
        for front, rear, weight in asked.weighed
    ]
    steps = [
        typed_if_given(option, text, kind, system)
        for option, text, kind in (
            ("--scale-step", asked.scale_step, WEIGHT),
            ("--tape-step", asked.tape_step, SHORT_LENGTH),
            ("--micrometer-step", asked.micrometer_step, DIAMETER),
            ("--scatter", asked.scatter, DIAMETER),
        )
    ]
    usual = (USUAL.scale, USUAL.tape, USUAL.micrometer, USUAL.scatter)
    name = called(asked.stations) if asked.stations == STDIN else asked.stations.stem
    stations = read_stations(asked.stations, MARKS.get(asked.decimal))
    bench = edits.start_measurement(Bench(), length=length, mass=mass, name=name).bench
    key = bench.measurements[0].key
    known = (step if step is not None else held for step, held in zip(steps, usual, strict=True))
    bench = edits.set_instruments(bench, key, *known).bench
    readings = [(each.distance, each.readings) for each in stations]
    bench = edits.paste_stations(bench, key, readings).bench
    if asked.material is not None:
        known_of = {"one": Material.ONE, "even": Material.EVEN}[asked.material]
        bench = edits.set_material(bench, key, known_of).bench
    for front, rear, weight in sections:
        bench = edits.add_section(bench, key, front, rear, weight).bench
    return bench


def _place(option: str, text: str, length: float, system: System) -> float:
    place = typed(option, text, DISTANCE, system)
    if place > length:
        raise Refusal(
            "{option}: found “{text}”, expected a distance from the fly end of at most {length}",
            option=option,
            text=text,
            length=OnTape(length),
            units=system,
        )
    return place


def _write(out: Path, bench: Bench, line: Line, system: System) -> None:
    from taperlab.edits.measure import put_on_bench
    from taperlab.files.delimited import write_line
    from taperlab.files.native import write_bench

    if is_bench(out):
        write_bench(put_on_bench(bench, line.key, line).bench, out)
    else:
        write_line(line, out, system)


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab measure",
        description=tr("Tell what a line weighs where, from its diameters and its weight."),
    )
    parser.add_argument(
        "stations",
        metavar="STATIONS",
        type=Path,
        help=tr(
            "diameters along the line, as CSV: distance [ft], diameter [in]; - reads the standard "
            "input"
        ),
    )
    parser.add_argument("--weight", metavar="W", help=tr("of the whole line, loops on"))
    parser.add_argument("--length", metavar="L", required=True, help=tr("of the whole line"))
    parser.add_argument(
        "--weighed",
        nargs=3,
        action="append",
        default=[],
        metavar=("FROM", "TO", "WEIGHT"),
        help=tr("a section that was weighed by itself; may be given more than once"),
    )
    parser.add_argument(
        "--material",
        choices=["one", "even"],
        help=tr("your own word: one material all along, or one extrusion, known even"),
    )
    parser.add_argument("--scale-step", metavar="W", help=tr("what the scale reads to"))
    parser.add_argument("--tape-step", metavar="L", help=tr("what the tape reads to"))
    parser.add_argument("--micrometer-step", metavar="D", help=tr("what the micrometer reads to"))
    parser.add_argument("--scatter", metavar="D", help=tr("how far one diameter scatters"))
    parser.add_argument(
        "--at",
        metavar="POSITION",
        action="append",
        default=[],
        help=tr("where to read the line, from the fly end; may be given more than once"),
    )
    parser.add_argument(
        "--out", metavar="LINE", type=Path, help=tr("write the line, as a bench or as CSV")
    )
    add_telling(parser)
    return parser
