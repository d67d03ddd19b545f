"""A range for scripts, as text to read, and as rows for a spreadsheet."""

from __future__ import annotations

from typing import Any

from taperlab.files.report import aligned, figure, plain, segments_json
from taperlab.model.water import Water
from taperlab.shop.analyse import analyse_line
from taperlab.shop.range.member import MemberFigures
from taperlab.shop.range.study import RangeStudy
from taperlab.shop.range.words import cautions, verdict
from taperlab.trade.windows import Place
from taperlab.units.kinds import (
    DIAMETER,
    LENGTH,
    RATIO,
    ROD_LENGTH,
    SHARE,
    SINK_RATE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.show import show, shown_unit, to_unit

SCHEMA = 1


def as_json(found: RangeStudy) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added."""
    asked, water = found.question.range, found.question.water
    parent = found.parent
    return {
        "schema": SCHEMA,
        "parent": parent and _member_json(parent, water),
        "length": str(asked.length),
        "thickness": str(asked.thickness),
        "tip_counted_ft": figure(found.counts.tip, "ft", LENGTH),
        "rounded": asked.is_rounded,
        "members": [_member_json(each, water) for each in found.members],
        "refused": [
            {
                "letter": each.letter,
                "weight_gr": figure(each.asked.mass, "gr", WEIGHT),
                "rod_length_ft": figure(each.rod, "ft", ROD_LENGTH),
                "why": str(each.why),
            }
            for each in found.refused
        ],
        "remarks": [str(each) for each in cautions(found)],
    }


def _member_json(member: MemberFigures, water: Water) -> dict[str, Any]:
    window, coat = member.window, member.coat
    edges = (window.lightest, window.heaviest) if window else ()
    return {
        "letter": member.letter or None,
        "asked_gr": figure(member.asked.mass, "gr", WEIGHT),
        "weight_gr": figure(member.mass, "gr", WEIGHT),
        "rod_length_ft": figure(member.rod, "ft", ROD_LENGTH),
        "length_ft": figure(member.length, "ft", LENGTH),
        "ratio": plain(member.ratio),
        "front_taper_weight_share": plain(member.front_mass_share),
        "front_taper_length_share": plain(member.front_length_share),
        "balance_point_ft": figure(member.balance_point, "ft", LENGTH),
        "tip_gr_per_ft": figure(member.tip_linear_density, "gr/ft", WEIGHT_PER_LENGTH),
        "thickest_gr_per_ft": figure(member.thickest_linear_density, "gr/ft", WEIGHT_PER_LENGTH),
        "tip_diameter_in": figure(member.tip_diameter, "in", DIAMETER),
        "thickest_in": figure(member.thickest, "in", DIAMETER),
        "sink_ips": figure(member.sink, "in/s", SINK_RATE),
        "floats": member.floats,
        "carries": plain(member.carries),
        "coat_in": figure(coat.thickness if coat else None, "in", DIAMETER),
        "least_gr": figure(member.least, "gr", WEIGHT),
        "rod": member.owner.name if member.owner else None,
        "window_gr": [figure(mass, "gr", WEIGHT) for mass in edges] or None,
        "in_window": None if member.place is None else member.place is Place.INSIDE,
        "by_hand": member.by_hand,
        "joint_steps": [
            {"tip": each.tip.name, "step": plain(each.step), "hinges": each.hinges}
            for each in member.steps
        ],
        "segments": segments_json(analyse_line(member.line, water)),
    }


def rows(found: RangeStudy, system: System) -> list[list[str]]:
    """The members as a table with a heading, numbers as they are shown."""
    tips = [tip.name for tip in found.question.tips]
    columns: tuple[tuple[str, Kind | None], ...] = (
        (tr("member"), None),
        (tr("weight"), WEIGHT),
        (tr("rod"), ROD_LENGTH),
        (tr("length"), LENGTH),
        (tr("ratio"), RATIO),
        (tr("front taper"), SHARE),
        (tr("balance point"), LENGTH),
        (tr("tip"), WEIGHT_PER_LENGTH),
        (tr("thickest"), WEIGHT_PER_LENGTH),
        (tr("tip diameter"), DIAMETER),
        (tr("thickest diameter"), DIAMETER),
        (tr("sinks"), SINK_RATE),
        (tr("coat"), DIAMETER),
    )
    heading = [
        f"{name} [{shown_unit(kind, system)}]" if kind and shown_unit(kind, system) else name
        for name, kind in columns
    ]
    steps = [tr("step to {tip}").format(tip=name) for name in tips]
    table = [[*heading, *steps, tr("grain window"), tr("by hand")]]
    for each in found.members:
        values = (
            (each.mass, WEIGHT),
            (each.rod, ROD_LENGTH),
            (each.length, LENGTH),
            (each.ratio, RATIO),
            (each.front_mass_share, SHARE),
            (each.balance_point, LENGTH),
            (each.tip_linear_density, WEIGHT_PER_LENGTH),
            (each.thickest_linear_density, WEIGHT_PER_LENGTH),
            (each.tip_diameter, DIAMETER),
            (each.thickest, DIAMETER),
            (each.sink, SINK_RATE),
            (each.coat.thickness if each.coat else None, DIAMETER),
        )
        table.append(
            [
                each.letter,
                *(_number(value, kind, system) for value, kind in values),
                *(show(step.step, RATIO, system, unit=False) for step in each.steps),
                render(verdict(each).words, system),
                tr("yes") if each.by_hand else "",
            ]
        )
    return table


def _number(value: float | None, kind: Kind, system: System) -> str:
    """A value for a spreadsheet: in the unit of its heading, plain digits."""
    if value is None or value != value:
        return ""
    unit = shown_unit(kind, system)
    number = to_unit(value, unit, kind) if unit else value
    return f"{number:.6g}"


def as_text(found: RangeStudy, system: System) -> str:
    """For reading, ending in a line break."""
    title = Sentence("{parent}, graded", parent=found.question.parent.name)
    table = [
        [
            each.letter,
            show(each.mass, WEIGHT, system),
            show(each.rod, ROD_LENGTH, system) if each.rod is not None else "",
            show(each.length, LENGTH, system),
            "" if each.ratio != each.ratio else show(each.ratio, RATIO, system),
            show(each.front_mass_share, SHARE, system),
            show(each.balance_point, LENGTH, system),
            show(each.tip_linear_density, WEIGHT_PER_LENGTH, system),
            show(each.thickest_linear_density, WEIGHT_PER_LENGTH, system),
            show(each.thickest, DIAMETER, system),
            render(verdict(each).words, system),
        ]
        for each in found.members
    ]
    names = [
        "",
        tr("weight"),
        tr("rod"),
        tr("length"),
        tr("ratio"),
        tr("front taper"),
        tr("balance"),
        tr("tip"),
        tr("thickest"),
        "⌀",
        tr("grain window"),
    ]
    blocks = [render(title, system)]
    if table:
        blocks.append(aligned([names, *table], right_from=1))
    if said := cautions(found):
        blocks.append("\n".join(render(each, system) for each in said))
    return "\n\n".join(blocks) + "\n"
