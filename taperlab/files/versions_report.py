"""What is told of a version beside its figures: its day, its note, what became of the line."""

from __future__ import annotations

from typing import Any

from taperlab.files.report import figure
from taperlab.model.version import Version
from taperlab.shop.versions.study import Changes, RowChange, WasNow
from taperlab.shop.versions.words import told
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, WEIGHT, Kind, System
from taperlab.units.sentence import Sentence, render

_NUMBERS: tuple[tuple[str, str, str, Kind], ...] = (
    ("length", "length_ft", "ft", LENGTH),
    ("front_diameter", "front_diameter_in", "in", DIAMETER),
    ("rear_diameter", "rear_diameter_in", "in", DIAMETER),
    ("density", "density_g_cm3", "g/cm^3", DENSITY),
)


def version_json(version: Version, found: Changes) -> dict[str, Any]:
    """A version for scripts: each number as it was and as it is; rows count from 1."""
    share = found.front_share
    return {
        "name": version.name,
        "date": version.date,
        "note": version.note,
        "since": {
            "of": "head" if found.of_head else "line",
            "weight_gr": _both(found.mass, "gr", WEIGHT),
            "length_ft": _both(found.length, "ft", LENGTH),
            "front_taper_weight_share": None if share is None else [share.was, share.now],
            "segments": [_row(each) for each in found.rows],
            "joints_behind": [row + 1 for row in found.joints],
            "front_loop": found.front_loop,
            "rear_loop": found.rear_loop,
            "style": None if found.style is None else [str(each) for each in found.style],
        },
    }


def version_text(version: Version, found: Changes, system: System) -> str:
    """What became of the line since, ending in a line break."""
    head = Sentence("“{version}” of {day}", version=version.name, day=version.date)
    said = (head, *told(found, version))
    lines = [render(each, system) for each in said]
    if version.note:
        lines.insert(1, version.note)
    return "\n".join(lines) + "\n"


def _both(numbers: WasNow, unit: str, kind: Kind) -> list[float | None]:
    return [figure(each, unit, kind) for each in (numbers.was, numbers.now)]


def _row(row: RowChange) -> dict[str, Any]:
    numbers: dict[str, Any] = {}
    for attribute, key, unit, kind in _NUMBERS:
        value = getattr(row, attribute)
        if value is not None:
            numbers[key] = _both(value, unit, kind)
    return {
        "was": None if row.was is None else row.was + 1,
        "now": None if row.now is None else row.now + 1,
        "part": str(row.part),
        **({"was_part": str(row.was_part)} if row.was_part is not None else {}),
        **numbers,
    }
