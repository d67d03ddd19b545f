"""What each ± does to a head: as text to read, and for scripts."""

from __future__ import annotations

from typing import Any

from taperlab.files.report import aligned, figure, plain
from taperlab.shop.tolerance.builds import Builds, left_on
from taperlab.shop.tolerance.columns import rows_of
from taperlab.shop.tolerance.dimensions import What
from taperlab.shop.tolerance.study import Cause, Figures, ToleranceStudy
from taperlab.shop.tolerance.words import (
    STEPS,
    alike_words,
    apart_words,
    balance_words,
    drag_words,
    landing_words,
    left_on_words,
    name_of,
    read_with,
    shrink_words,
    summary,
    weighed_words,
    weight_words,
)
from taperlab.units.kinds import (
    DENSITY_OFF,
    LENGTH,
    SHORT_LENGTH,
    SINK_RATE,
    WEIGHT,
    Kind,
    System,
)
from taperlab.units.sentence import Sentence, render
from taperlab.units.steps import step_of

SCHEMA = 1

_UNITS: dict[What, tuple[str, Kind]] = {
    What.LENGTH: ("in", SHORT_LENGTH),
    What.DIAMETER: ("in", SHORT_LENGTH),
    What.OFFSET: ("in", SHORT_LENGTH),
    What.DENSITY: ("g/cm³", DENSITY_OFF),
}


def as_json(found: ToleranceStudy, landed: Builds | None) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added.

    Every pm is the half-width of what some 95 in 100 lie within: two standard deviations. Steps are
    0.001 in of a diameter, 1/8 in of a length and 0.005 g/cm^3 of a density.
    """
    left = left_on(found)
    return {
        "schema": SCHEMA,
        "line": {
            "name": found.asked.line.name,
            "weight_gr": figure(found.values.mass, "gr", WEIGHT),
            "balance_ft": figure(found.values.balance, "ft", LENGTH),
            "front_taper_weight_share": plain(found.values.share),
            "sink_ips": figure(found.values.sink, "in/s", SINK_RATE),
        },
        **_figures(found.spread.one),
        **{name: _figures(getattr(found.spread, name)) for name in _NAMES},
        "sink_low_ips": figure(found.sink_ends[0], "in/s", SINK_RATE),
        "sink_high_ips": figure(found.sink_ends[1], "in/s", SINK_RATE),
        "drag_low_ips": figure(found.drag_ends[0], "in/s", SINK_RATE),
        "drag_high_ips": figure(found.drag_ends[1], "in/s", SINK_RATE),
        "every_diameter_gr_per_step": _cost(found.every_diameter, What.DIAMETER),
        "rows": [_row(each, found) for each in found.causes],
        "in_window": plain(landed.share) if landed else None,
        "in_window_all_right": plain(landed.right) if landed else None,
        "in_window_all_off": plain(landed.least) if landed else None,
        "shrink_for_95": plain(landed.shrink) if landed else None,
        "leave_on": {
            "segment": left.row + 1,
            "length_in": figure(left.length, "in", SHORT_LENGTH),
            "weight_pm_gr": figure(left.then, "gr", WEIGHT),
        },
        "remarks": [str(each) for each in _said(found, landed)],
    }


_NAMES = ("apart", "alike", "weighed")


def _figures(of: Figures) -> dict[str, Any]:
    return {
        "weight_pm_gr": figure(of.mass, "gr", WEIGHT),
        "balance_pm_ft": figure(of.balance, "ft", LENGTH),
        "share_pm": plain(of.share),
        "sink_pm_ips": figure(of.sink, "in/s", SINK_RATE),
    }


def _cost(slope: float, what: What) -> float | None:
    return figure(slope * step_of(STEPS[what], System.US), "gr", WEIGHT)


def _row(cause: Cause, found: ToleranceStudy) -> dict[str, Any]:
    what = cause.dimension.what
    unit, kind = _UNITS[what]
    effects = _figures(cause.effects)
    return {
        "what": str(name_of(cause.dimension, found.head)),
        "kind": str(what),
        "segments": [row + 1 for row in cause.dimension.rows],
        "alike": what.is_common,
        "off": figure(cause.off, unit, kind),
        "unit": unit,
        "pm_gr": effects.pop("weight_pm_gr"),
        "gr_per_step": _cost(cause.slopes.mass, what),
        **effects,
    }


def _said(found: ToleranceStudy, landed: Builds | None) -> list[Sentence]:
    said = [summary(found), apart_words(found), weighed_words(found)]
    if landed is not None:
        said += [landing_words(landed), alike_words(landed), shrink_words(landed, found)]
    said += [left_on_words(left_on(found), found), drag_words(found)]
    return [each for each in said if each]


def as_text(found: ToleranceStudy, landed: Builds | None, system: System) -> str:
    """For reading, ending in a line break."""
    head = Sentence("{line}: {weight}", line=found.head.name, weight=weight_words(found))
    blocks = [
        render(head, system),
        "\n".join(render(each, system) for each in _said(found, landed)),
        render(balance_words(found), system),
        aligned(rows_of(found, system), right_from=2),
        render(read_with(found), system),
    ]
    return "\n\n".join(blocks) + "\n"
