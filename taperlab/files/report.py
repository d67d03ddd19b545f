"""The figures of a line: as text to read, as rows to paste, as JSON for scripts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from taperlab.model.rod import Measured
from taperlab.model.water import WaterKind
from taperlab.physics.water import practical_salinity
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.joints import hinge_words, loops_words
from taperlab.shop.on_rod import RodFit
from taperlab.shop.rig import Carry, Looped
from taperlab.shop.wording import (
    NO_WINDOW,
    both_weights,
    from_fly_end,
    head_sink_rates,
    judged_words,
    place_on_rod,
    ratio_words,
    share_of,
    single_hand,
    sink_range,
    two_handed,
    water_words,
    weighed_by_standard,
    window_words,
    with_level,
)
from taperlab.trade.line_weights import SingleHandRating, TwoHandedRating
from taperlab.trade.windows import Place
from taperlab.units.finding import Finding
from taperlab.units.kinds import (
    LENGTH,
    ROD_LENGTH,
    SALINITY,
    SINK_RATE,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.language import tr
from taperlab.units.sentence import (
    Length,
    Ratio,
    RodLength,
    Sentence,
    Weight,
    WeightPerLength,
    render,
)
from taperlab.units.show import UNKNOWN, show, shown_unit, to_unit
from taperlab.units.words import word

SCHEMA = 1

_CARRIED = {Carry.CARRIES: "yes", Carry.UNSURE: "too close to call", Carry.HINGES: "no"}
_JUDGED = {Measured.HEAD: "head", Measured.HEAD_AND_TIP: "rig"}


def as_json(
    analysis: LineAnalysis, rod: RodFit | None, *, rig: Looped | None = None
) -> dict[str, Any]:
    """The report for scripts; unknown or not applicable is None.

    rig: the lines that were looped into the one that is told of, if any.

    Names, units and meaning of these keys never change; more may be added.
    """
    line, head = analysis.line, analysis.head
    salinity = analysis.water.salinity if analysis.water.kind is WaterKind.SEA else None
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
        "segments": segments_json(analysis),
        "sink": {
            "head_ips": figure(head.sink if head else None, "in/s", SINK_RATE),
            "fastest_ips": figure(head.fastest if head else None, "in/s", SINK_RATE),
            "slowest_ips": figure(head.slowest if head else None, "in/s", SINK_RATE),
            "low_ips": figure(head.sink_low if head else None, "in/s", SINK_RATE),
            "high_ips": figure(head.sink_high if head else None, "in/s", SINK_RATE),
            "tip_ips": figure(head.tip_sink if head else None, "in/s", SINK_RATE),
            "floats": head.floats if head else None,
            "water": {
                "kind": str(analysis.water.kind),
                "temperature_c": figure(analysis.water.temperature, "°C", TEMPERATURE),
                "salinity_g_kg": figure(salinity, "g/kg", SALINITY),
                "practical_salinity": plain(salinity and float(practical_salinity(salinity))),
                "density_kg_m3": plain(analysis.state.density),
                "viscosity_mpa_s": plain(analysis.state.viscosity * 1000.0),
            },
        },
        "rig": rig and rig_json(rig),
        "joints": joints_json(rig) if rig else [],
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


def segments_json(analysis: LineAnalysis) -> list[dict[str, Any]]:
    """The segments of a line, from the fly end."""
    return [
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
    ]


def _rod_json(rod: RodFit) -> dict[str, Any]:
    edges = (rod.window.lightest, rod.window.heaviest) if rod.window else ()
    return {
        "name": rod.name or None,
        "length_ft": figure(rod.rod_length, "ft", ROD_LENGTH),
        "ratio": plain(rod.ratio),
        "ratio_counts": str(rod.reading.counted) or None,
        "ratio_reading": str(rod.reading.words) if rod.judges_ratio and rod.reading.words else None,
        "ratio_with_tips": [
            {"tip": each.name, "ratio": each.ratio, "reading": str(each.reading.words)}
            for each in rod.with_tips
        ],
        "window_gr": [figure(mass, "gr", WEIGHT) for mass in edges] or None,
        "in_window": None if rod.place is None else rod.place is Place.INSIDE,
        "judged": _JUDGED[rod.judged],
        "judged_gr": figure(rod.mass, "gr", WEIGHT),
    }


def _single_hand_json(rating: SingleHandRating) -> dict[str, Any]:
    return {
        "size": rating.nearest.number,
        "low_gr": figure(rating.nearest.low, "gr", WEIGHT),
        "target_gr": figure(rating.nearest.target, "gr", WEIGHT),
        "high_gr": figure(rating.nearest.high, "gr", WEIGHT),
    }


def _two_handed_json(rating: TwoHandedRating) -> dict[str, Any]:
    return {
        "class": rating.column.letter,
        "size": rating.size,
        "target_gr": figure(rating.column.targets[rating.size], "gr", WEIGHT),
        "weighed_over_ft": figure(rating.weighed_over, "ft", LENGTH),
    }


def _all_findings(analysis: LineAnalysis, rod: RodFit | None) -> tuple[Finding, ...]:
    return analysis.findings + (rod.findings if rod else ())


def readouts(
    analysis: LineAnalysis, rod: RodFit | None, system: System = System.US
) -> list[tuple[str, str]]:
    """The figures of a line, each with its label, grains beside grams."""
    head = analysis.head
    whole = Sentence(
        "{length}, {weight}", length=Length(analysis.length), weight=both_weights(analysis.mass)
    )
    found = [(tr("Whole line"), whole)]
    if head is not None:
        taper = share_of(head.front_taper_mass_share, head.front_taper_length_share)
        mean = WeightPerLength(head.mean_linear_density)
        found += [
            (tr("Head length"), Sentence("{length}", length=Length(head.length))),
            (tr("Head weight"), both_weights(head.mass)),
            (tr("Front taper"), taper),
            (tr("Balance point"), from_fly_end(head.balance_point)),
            (tr("Mean"), Sentence("{weight}", weight=mean)),
        ]
        if head.first_30_ft is not None:
            found.append((tr("First 30 ft"), both_weights(head.first_30_ft)))
        found += [
            (tr("Single-hand"), _single_hand_words(analysis)),
            (tr("Two-handed"), _two_handed_words(analysis)),
        ]
        found += [(tr("Sink rate"), head_sink_rates(head)), (tr("May be"), sink_range(head))]
    found.append((tr("Water"), water_words(analysis.water)))
    if rod is not None:
        found += _rod_readouts(rod)
    return [(label, render(said, system)) for label, said in found]


def _rod_readouts(rod: RodFit) -> list[tuple[str, Sentence]]:
    found = []
    if not math.isnan(rod.rod_length):
        length = Sentence("{length}", length=RodLength(rod.rod_length))
        named = Sentence("{rod} ({length})", rod=rod.name, length=length)
        found.append((tr("Rod"), named if rod.name else length))
    if rod.reading.words:
        reading = ratio_words(rod)
        ratio = Sentence("{ratio}: {reading}", ratio=Ratio(rod.ratio), reading=reading)
        found.append((tr("Ratio"), ratio))
    if rod.window is not None:
        said = window_words(rod.window.lightest, rod.window.heaviest)
        if rod.mass is not None:
            said = Sentence("{window}: {place}", window=said, place=place_on_rod(rod))
        if judged := judged_words(rod):
            said = Sentence("{window} ({judged})", window=said, judged=judged)
        found.append((tr("Grain window"), said))
    elif rod.name:
        found.append((tr("Grain window"), NO_WINDOW))
    return found


def _single_hand_words(analysis: LineAnalysis) -> Sentence:
    rating = analysis.single_hand
    _, standing = single_hand(analysis)
    if rating is None:
        return standing
    return Sentence(
        "line {size} is nearest, {off} from its target; {standing}",
        size=rating.nearest.number,
        off=Weight(rating.offset, signed=True),
        standing=standing,
    )


def _two_handed_words(analysis: LineAnalysis) -> Sentence:
    rating = analysis.two_handed
    if rating is None:
        none, why = two_handed(analysis)
        return Sentence("{none}: {why}", none=none, why=why)
    return Sentence(
        "line {size} is nearest, {off} from its target. {weighed}",
        size=rating.size,
        off=Weight(rating.offset, signed=True),
        weighed=weighed_by_standard(analysis),
    )


def segment_rows(analysis: LineAnalysis, system: System = System.US) -> list[list[str]]:
    """The segments as a table with a heading, from the fly end."""
    per_length, speed = shown_unit(WEIGHT_PER_LENGTH, system), shown_unit(SINK_RATE, system)
    rows = [
        [
            "",
            tr("part"),
            tr("length"),
            tr("weight"),
            tr("{unit} front").format(unit=per_length),
            tr("rear"),
            tr("sink {unit} front").format(unit=speed),
            tr("rear"),
        ]
    ]
    for number, segment in enumerate(analysis.segments, start=1):
        rows.append(
            [
                str(number),
                word(segment.part),
                show(segment.length, LENGTH, system),
                render(both_weights(segment.mass), system),
                show(segment.front_linear_density, WEIGHT_PER_LENGTH, system, unit=False),
                show(segment.rear_linear_density, WEIGHT_PER_LENGTH, system, unit=False),
                show(segment.front_sink, SINK_RATE, system, unit=False),
                show(segment.rear_sink, SINK_RATE, system, unit=False),
            ]
        )
    return rows


def as_text(
    analysis: LineAnalysis,
    rod: RodFit | None,
    system: System = System.US,
    rig: Looped | None = None,
) -> str:
    """The report for reading, ending in a line break."""
    line = analysis.line
    blocks = [
        f"{_one_line(line.name)} ({word(line.style)})",
        aligned(readouts(analysis, rod, system) + _joint_rows(rig, system), right_from=9),
    ]
    if analysis.segments:
        blocks.append(aligned(segment_rows(analysis, system), right_from=2))
    findings = _all_findings(analysis, rod)
    if findings:
        blocks.append("\n".join(render(with_level(each), system) for each in findings))
    return "\n\n".join(blocks) + "\n"


def rig_json(rig: Looped) -> dict[str, Any]:
    """What is cast together, without leader and fly: length, weight and names from the fly end."""
    return {
        "length_ft": figure(rig.cast.length, "ft", LENGTH),
        "weight_gr": figure(rig.mass, "gr", WEIGHT),
        "lines": list(rig.names),
    }


def joints_json(rig: Looped) -> list[dict[str, Any]]:
    """Where the lines of a rig meet, from the fly end."""
    return [
        {
            "position_ft": figure(joint.position, "ft", LENGTH),
            "ahead_gr_per_ft": figure(joint.ahead, "gr/ft", WEIGHT_PER_LENGTH),
            "behind_gr_per_ft": figure(joint.behind, "gr/ft", WEIGHT_PER_LENGTH),
            "step": plain(joint.step),
            "step_error": plain(joint.error),
            "loops_gr": figure(joint.loops, "gr", WEIGHT),
            "carried": _CARRIED[joint.carry],
        }
        for joint in rig.joints
    ]


def rig_text(rig: Looped, system: System) -> str:
    """What is cast together, and its joints, ending in a line break."""
    whole = Sentence(
        "{rig}: {length}, {weight}",
        rig=rig.cast.name,
        length=Length(rig.cast.length),
        weight=both_weights(rig.mass),
    )
    rows = [(tr("Rig"), render(whole, system)), *_joint_rows(rig, system)]
    return aligned(rows, right_from=9) + "\n"


def _joint_rows(rig: Looped | None, system: System) -> list[tuple[str, str]]:
    """The joints of a rig, each with the weight per length ahead of it and behind it."""
    return [
        (
            tr("Joint"),
            render(
                Sentence(
                    "{ahead} ahead, {behind} behind, {place}. {carried} {loops}",
                    ahead=WeightPerLength(joint.ahead),
                    behind=WeightPerLength(joint.behind),
                    place=from_fly_end(joint.position),
                    carried=hinge_words(joint),
                    loops=loops_words(joint),
                ),
                system,
            ),
        )
        for joint in (rig.joints if rig else ())
    ]


def _one_line(name: str) -> str:
    return " ".join(name.split()) or UNKNOWN


def aligned(rows: Sequence[Sequence[str]], *, right_from: int) -> str:
    """Rows as a table of columns; those from ``right_from`` on lie at the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if i >= right_from else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def figure(value: float | None, unit: str, kind: Kind) -> float | None:
    """SI value in a unit, to twelve figures, so that 160 gr is 160.0; None if there is none.

    Nor finer than 1e-12: what the degrees of a scale that starts elsewhere leave is no figure.
    """
    found = plain(value)
    if found is None:
        return None
    return float(f"{round(to_unit(found, unit, kind), 12):.12g}") + 0.0


def plain(value: float | None) -> float | None:
    """A number as it is; None if there is none, or if it is not finite."""
    return None if value is None or not math.isfinite(value) else float(value)
