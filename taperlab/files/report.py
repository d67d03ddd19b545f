"""The figures of a line: as text to read, as rows to paste, as JSON for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from taperlab.files.figures import figure, plain
from taperlab.model.rod import Rod, Window
from taperlab.model.water import Water, WaterKind
from taperlab.shop.analyse import LineAnalysis, fit_to_rod
from taperlab.trade import windows
from taperlab.trade.line_weights import SingleHandRating, TwoHandedRating, two_handed_class
from taperlab.trade.styles import belly_names
from taperlab.units.finding import Finding
from taperlab.units.kinds import (
    LENGTH,
    RATIO,
    ROD_LENGTH,
    SHARE,
    SINK_RATE,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    System,
)
from taperlab.units.show import UNKNOWN, show, shown_unit

SCHEMA = 1


@dataclass(frozen=True, slots=True)
class OnRod:
    """How a head fits a rod, as far as the rod is known.

    length: of the rod [m]. lightest, heaviest: the window for the line's style [kg].
    reading: the ratio in the trade's words.
    """

    name: str | None = None
    length: float | None = None
    ratio: float | None = None
    reading: str = ""
    lightest: float | None = None
    heaviest: float | None = None
    place: windows.Place | None = None
    findings: tuple[Finding, ...] = ()


def on_rod(
    analysis: LineAnalysis,
    rod: Rod | None = None,
    length: float | None = None,
    window: tuple[float, float] | None = None,
) -> OnRod | None:
    """A line's head on a rod, or on as much as is known of one; None if nothing is.

    rod: a whole rod, in place of ``length`` [m]. window: lightest and heaviest head [kg], in
    place of the rod's own.
    """
    if rod is None and length is None and window is None:
        return None
    # Without a length the rod stands in for its window alone; what its length says is left out.
    known = rod or Rod("", "", length or 1.0)
    if window is not None:
        known = replace(known, windows=(Window(analysis.line.style, *window),))
    own = known.window_for(analysis.line.style)
    fit = fit_to_rod(analysis, known)
    has_length = rod is not None or length is not None
    return OnRod(
        name=known.name or None,
        length=known.length if has_length else None,
        ratio=fit.ratio if fit and has_length else None,
        reading=fit.reading.words if fit and has_length else "",
        lightest=own.lightest if own else None,
        heaviest=own.heaviest if own else None,
        place=fit.place if fit else None,
        findings=fit.findings if fit else (),
    )


def as_json(analysis: LineAnalysis, rod: OnRod | None) -> dict[str, Any]:
    """The report for scripts; unknown or not applicable is None.

    Names, units and meaning of these keys never change; more may be added.
    """
    line, head = analysis.line, analysis.head
    return {
        "schema": SCHEMA,
        "line": {
            "name": line.name,
            "style": str(line.style),
            "length_ft": figure(analysis.length, "ft", LENGTH),
            "weight_gr": figure(analysis.mass, "gr", WEIGHT),
        },
        "head": {
            "length_ft": figure(head.length if head else None, "ft", LENGTH),
            "weight_gr": figure(head.mass if head else None, "gr", WEIGHT),
            "front_taper_weight_share": plain(head.front_taper_mass_share if head else None),
            "front_taper_length_share": plain(head.front_taper_length_share if head else None),
            "balance_point_ft": figure(head.balance_point if head else None, "ft", LENGTH),
            "mean_gr_per_ft": figure(
                head.mean_linear_density if head else None, "gr/ft", WEIGHT_PER_LENGTH
            ),
            "first_30_ft_gr": figure(head.first_30_ft if head else None, "gr", WEIGHT),
        },
        "segments": [
            {
                "part": str(segment.part),
                "length_ft": figure(segment.length, "ft", LENGTH),
                "weight_gr": figure(segment.mass, "gr", WEIGHT),
                "front_gr_per_ft": figure(segment.front_linear_density, "gr/ft", WEIGHT_PER_LENGTH),
                "rear_gr_per_ft": figure(segment.rear_linear_density, "gr/ft", WEIGHT_PER_LENGTH),
                "front_sink_ips": figure(segment.front_sink, "in/s", SINK_RATE),
                "rear_sink_ips": figure(segment.rear_sink, "in/s", SINK_RATE),
            }
            for segment in analysis.segments
        ],
        "sink": {
            "head_ips": figure(head.sink if head else None, "in/s", SINK_RATE),
            "fastest_ips": figure(head.fastest if head else None, "in/s", SINK_RATE),
            "slowest_ips": figure(head.slowest if head else None, "in/s", SINK_RATE),
            "floats": head.floats if head else None,
            "water": {
                "kind": str(analysis.water.kind),
                "temperature_c": figure(analysis.water.temperature, "°C", TEMPERATURE),
                "density_kg_m3": plain(analysis.state.density),
                "viscosity_mpa_s": plain(analysis.state.viscosity * 1000.0),
            },
        },
        "rod": rod and _rod_json(rod),
        "rating": {
            "single_hand": analysis.single_hand and _single_hand_json(analysis.single_hand),
            "two_handed": analysis.two_handed and _two_handed_json(analysis.two_handed),
        },
        "findings": [
            {
                "level": finding.level.name.lower(),
                "sentence": str(finding.sentence),
                "segment": None if finding.segment is None else finding.segment + 1,
            }
            for finding in _all_findings(analysis, rod)
        ],
    }


def _rod_json(rod: OnRod) -> dict[str, Any]:
    lightest, heaviest = (figure(mass, "gr", WEIGHT) for mass in (rod.lightest, rod.heaviest))
    return {
        "name": rod.name,
        "length_ft": figure(rod.length, "ft", ROD_LENGTH),
        "ratio": plain(rod.ratio),
        "window_gr": None if lightest is None else [lightest, heaviest],
        "in_window": None if rod.place is None else rod.place is windows.Place.INSIDE,
    }


def _single_hand_json(rating: SingleHandRating) -> dict[str, Any]:
    return {
        "size": rating.size,
        "low_gr": figure(rating.low, "gr", WEIGHT),
        "target_gr": figure(rating.target, "gr", WEIGHT),
        "high_gr": figure(rating.high, "gr", WEIGHT),
    }


def _two_handed_json(rating: TwoHandedRating) -> dict[str, Any]:
    return {
        "class": rating.letter,
        "size": rating.size,
        "target_gr": figure(rating.target, "gr", WEIGHT),
        "weighed_over_ft": figure(rating.weighed_over, "ft", LENGTH),
    }


def _all_findings(analysis: LineAnalysis, rod: OnRod | None) -> tuple[Finding, ...]:
    return analysis.findings + (rod.findings if rod else ())


@dataclass(frozen=True, slots=True)
class Readout:
    """One figure: what it is and its value with its unit."""

    label: str
    text: str


def readouts(
    analysis: LineAnalysis, rod: OnRod | None, system: System = System.US
) -> tuple[Readout, ...]:
    """The figures of a line, grains beside grams."""
    head = analysis.head
    found = [
        Readout(
            "Whole line", f"{_length(analysis.length, system)}, {_weight(analysis.mass, system)}"
        )
    ]
    if head is not None:
        taper = (
            f"{show(head.front_taper_mass_share, SHARE, system)} of the weight, "
            f"{show(head.front_taper_length_share, SHARE, system)} of the length"
        )
        sinking = "floats" if head.floats else "sinks"
        found += [
            Readout("Head length", _length(head.length, system)),
            Readout("Head weight", _weight(head.mass, system)),
            Readout("Front taper", taper),
            Readout("Balance point", f"{_length(head.balance_point, system)} from the fly end"),
            Readout("Mean", show(head.mean_linear_density, WEIGHT_PER_LENGTH, system)),
        ]
        if head.first_30_ft is not None:
            found.append(Readout("First 30 ft", _weight(head.first_30_ft, system)))
        slowest, fastest = (show(each, SINK_RATE, system) for each in (head.slowest, head.fastest))
        found += [
            Readout("Single-hand", _single_hand_words(analysis, system)),
            Readout("Two-handed", _two_handed_words(analysis, system)),
            *_belly_readout(head.length),
            Readout(
                "Sink rate",
                f"{show(head.sink, SINK_RATE, system)} as one body ({sinking})"
                + ("" if slowest == fastest else f"; {slowest} to {fastest} along the head"),
            ),
        ]
    found.append(Readout("Water", _water_words(analysis.water, system)))
    if rod is not None:
        found += _rod_readouts(rod, system)
    return tuple(found)


def _rod_readouts(rod: OnRod, system: System) -> list[Readout]:
    found = []
    if rod.length is not None:
        length = show(rod.length, ROD_LENGTH, system)
        found.append(Readout("Rod", f"{rod.name} ({length})" if rod.name else length))
    if rod.ratio is not None:
        found.append(Readout("Ratio", f"{show(rod.ratio, RATIO, system)}: {rod.reading}"))
    if rod.lightest is not None and rod.heaviest is not None:
        low = show(rod.lightest, WEIGHT, system, unit=False)
        place = f": {rod.place}" if rod.place else ""
        found.append(Readout("Window", f"{low} to {show(rod.heaviest, WEIGHT, system)}{place}"))
    elif rod.name:
        found.append(Readout("Window", "the rod has none for this style"))
    return found


def _length(value: float, system: System) -> str:
    return show(value, LENGTH, system)


def _weight(mass: float, system: System) -> str:
    other = System.METRIC if system is System.US else System.US
    return f"{show(mass, WEIGHT, system)} ({show(mass, WEIGHT, other)})"


def _single_hand_words(analysis: LineAnalysis, system: System) -> str:
    rating = analysis.single_hand
    if rating is None:
        return "outside the table, which weighs 30 ft of head"
    off = show(rating.offset, WEIGHT, system, signed=True)
    return f"line {rating.size} is nearest, {off} from its target; {rating.words}"


def _two_handed_words(analysis: LineAnalysis, system: System) -> str:
    rating = analysis.two_handed
    head = analysis.head
    if rating is None:
        column = two_handed_class(head.length) if head else None
        return "outside the table" if column else "no class: the standard begins at 30 ft of head"
    return (
        f"class {rating.letter} ({rating.class_name}), line {rating.size} is nearest, "
        f"{show(rating.offset, WEIGHT, system, signed=True)} from its target over "
        f"{_length(rating.weighed_over, system)}"
    )


def _belly_readout(head_length: float) -> list[Readout]:
    names = belly_names(head_length)
    return [Readout("Belly", names.words)] if names.trade else []


def _water_words(water: Water, system: System) -> str:
    salt = f", {water.salinity * 1000.0:.0f} g/kg of salt" if water.kind is WaterKind.SEA else ""
    return f"{water.kind}, {show(water.temperature, TEMPERATURE, system)}{salt}"


def segment_rows(analysis: LineAnalysis, system: System = System.US) -> list[list[str]]:
    """The segments as a table with a heading, from the fly end."""
    per_length, speed = shown_unit(WEIGHT_PER_LENGTH, system), shown_unit(SINK_RATE, system)
    rows = [
        [
            "",
            "part",
            "length",
            "weight",
            f"{per_length} front",
            "rear",
            f"sink {speed} front",
            "rear",
        ]
    ]
    for number, segment in enumerate(analysis.segments, start=1):
        rows.append(
            [
                str(number),
                str(segment.part),
                _length(segment.length, system),
                _weight(segment.mass, system),
                show(segment.front_linear_density, WEIGHT_PER_LENGTH, system, unit=False),
                show(segment.rear_linear_density, WEIGHT_PER_LENGTH, system, unit=False),
                show(segment.front_sink, SINK_RATE, system, unit=False),
                show(segment.rear_sink, SINK_RATE, system, unit=False),
            ]
        )
    return rows


def as_text(analysis: LineAnalysis, rod: OnRod | None, system: System = System.US) -> str:
    """The report for reading, ending in a line break."""
    line = analysis.line
    figures = [[each.label, each.text] for each in readouts(analysis, rod, system)]
    blocks = [f"{_one_line(line.name)} ({line.style})", _aligned(figures, right_from=9)]
    if analysis.segments:
        blocks.append(_aligned(segment_rows(analysis, system), right_from=2))
    findings = _all_findings(analysis, rod)
    if findings:
        blocks.append("\n".join(f"{each.level.name.lower()}: {each.sentence}" for each in findings))
    return "\n\n".join(blocks) + "\n"


def _one_line(name: str) -> str:
    return " ".join(name.split()) or UNKNOWN


def _aligned(rows: Sequence[Sequence[str]], *, right_from: int) -> str:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if i >= right_from else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )
