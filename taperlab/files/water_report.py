"""A rig in the water: as text to read, and for scripts."""

from __future__ import annotations

import math
from typing import Any

from taperlab.files.report import aligned, figure, plain, rig_json
from taperlab.shop.water.study import WaterStudy
from taperlab.shop.water.words import depth_words, remarks, why_words
from taperlab.shop.wording import sinks_or_rises
from taperlab.units.kinds import (
    CURRENT,
    DEPTH,
    SINK_RATE,
    TEMPERATURE,
    System,
)
from taperlab.units.sentence import Current, Depth, Length, Sentence, render

SCHEMA = 1


def as_json(found: WaterStudy) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added."""
    fishing, drift = found.fishing, found.drift

    def feet(value: float) -> float | None:
        return figure(value, "ft", DEPTH)

    return {
        "schema": SCHEMA,
        "rig": rig_json(found.rig),
        "water": {
            "kind": str(fishing.water.kind),
            "temperature_c": figure(fishing.water.temperature, "°C", TEMPERATURE),
        },
        "current_fps": figure(fishing.speed, "ft/s", CURRENT),
        "angle_deg": plain(math.degrees(fishing.angle)),
        "depth_ft": feet(found.depth),
        "low_ft": feet(found.band.low),
        "high_ft": feet(found.band.high),
        "deepest_ft": feet(found.deepest),
        "under_ft": feet(found.under),
        "state": str(found.state),
        "tension_n": plain(found.tension),
        "causes": [
            {"name": str(each.cause), "minus_ft": feet(each.minus), "plus_ft": feet(each.plus)}
            for each in found.band.effects
        ],
        "settling": [
            {"name": str(each.name), "ips": figure(each.rate, "in/s", SINK_RATE)}
            for each in found.settling.pieces
        ],
        "drift": drift
        and {
            "seconds": plain(drift.seconds),
            "tip_ft": feet(drift.tip_depth),
            "then": [
                {
                    "seconds": plain(each.seconds),
                    "depth_ft": feet(each.depth),
                    "low_ft": feet(each.low),
                    "high_ft": feet(each.high),
                }
                for each in drift.then
            ],
        },
        "remarks": [str(each) for each in _said(found)],
    }


def _said(found: WaterStudy) -> list[Sentence]:
    why = why_words(found)
    return [depth_words(found), *([why] if why else []), *remarks(found)]


def as_text(found: WaterStudy, system: System) -> str:
    """For reading, ending in a line break."""
    head = Sentence(
        "{rig}, in a current of {speed}",
        rig=found.rig.cast.name,
        speed=Current(found.fishing.speed),
    )
    rows = []
    if math.isfinite(found.depth):
        rows = [
            (Sentence("fly, smooth line"), Sentence("{depth}", depth=Depth(found.depth))),
            (Sentence("deepest point"), Sentence("{depth}", depth=Depth(found.deepest))),
            (Sentence("line under water"), Sentence("{length}", length=Length(found.under))),
        ]
    for each in found.settling.pieces:
        if math.isfinite(each.rate):
            settles = Sentence("settles: {name}", name=each.name)
            rows.append((settles, sinks_or_rises(each.rate)))
    table = [[render(label, system), render(said, system)] for label, said in rows]
    blocks = [
        render(head, system),
        "\n".join(render(each, system) for each in _said(found)),
        *([aligned(table, right_from=9)] if table else []),
    ]
    return "\n\n".join(blocks) + "\n"
