"""A rig that is thrown: as text to read, and for scripts."""

from __future__ import annotations

import math
from typing import Any

from taperlab.files.report import aligned, figure, plain, rig_json
from taperlab.shop.turnover.study import TurnoverStudy
from taperlab.shop.turnover.words import (
    arrives_words,
    landing_words,
    needed_words,
    remarks,
    time_words,
    verdict_words,
)
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import HEIGHT, LENGTH, System
from taperlab.units.sentence import LineSpeed, Sentence, of_table, render

SCHEMA = 1


def as_json(found: TurnoverStudy) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added."""
    throw, needed = found.throw, found.needed
    told: dict[str, Any] = {
        "schema": SCHEMA,
        "rig": rig_json(found.rig),
        "speed_mps": plain(throw.speed),
        "half_mps": plain(found.half),
        "end_mps": plain(found.end),
        "time_s": plain(found.time),
        "energy_left": plain(found.energy_left),
        "needed_mps": {
            "estimate": plain(needed.estimate),
            "low": plain(needed.low),
            "high": plain(needed.high),
        },
        "turns_over": str(found.verdict),
        "length_ft": figure(found.run.length, "ft", LENGTH),
        "height_ft": figure(found.height, "ft", HEIGHT),
        "rod_tip_ft": figure(throw.rod_tip, "ft", HEIGHT),
        "launch_deg": plain(round(math.degrees(throw.launch), 9)),
        "loop_height_ft": figure(throw.loop_height, "ft", HEIGHT),
        "loop_factor": plain(throw.loop_factor),
        "start_ft": figure(throw.start, "ft", LENGTH),
        "likely_to_kick": found.kicks,
        "look_again": [str(each) for each in found.look_again],
        "gives_away_ft": [
            [figure(each, "ft", LENGTH) for each in span] for span in found.gives_away
        ],
        "remarks": [str(each) for each in _said(found)],
    }
    if found.shooting is not None:
        shot, running = found.shooting.shot, found.shooting.running
        told |= {
            "shot_m": plain(shot.shot),
            "running_end_mps": plain(float(shot.follows[-1])),
            "to_guides": plain(shot.guides_share),
            "to_pickup": plain(shot.pickup_share),
            "running_kg_m": plain(running.mass),
            "guide_friction_n": plain(running.friction),
        }
    return told


def as_text(found: TurnoverStudy, system: System) -> str:
    """For reading, ending in a line break."""
    head = Sentence(
        "{rig}, thrown at {speed}", rig=found.rig.cast.name, speed=LineSpeed(found.throw.speed)
    )
    rows = [
        (Sentence("line speed at half"), Sentence("{speed}", speed=LineSpeed(found.half))),
        (Sentence("as the fly turns"), Sentence("{speed}", speed=LineSpeed(found.end))),
    ]
    table = [[render(label, system), render(said, system)] for label, said in rows]
    blocks = [
        render(head, system),
        "\n".join(render(each, system) for each in _said(found)),
        aligned(table, right_from=9),
    ]
    return "\n\n".join(blocks) + "\n"


def _said(found: TurnoverStudy) -> list[Sentence]:
    return [
        needed_words(found),
        verdict_words(found),
        landing_words(found),
        time_words(found),
        arrives_words(found),
        *remarks(found),
        of_table(caution(Topic.HOOK).text),
    ]
