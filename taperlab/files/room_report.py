"""The room behind: as text to read, and for scripts."""

from __future__ import annotations

import math
from typing import Any

from taperlab.files.report import figure, rig_json
from taperlab.shop.rig import Looped
from taperlab.shop.room.study import Longest, RoomStudy, on_water_of
from taperlab.shop.room.words import ESTIMATE, longest_words, overhead_words, room_words
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import BESIDE, System
from taperlab.units.sentence import Sentence, of_table, render

SCHEMA = 1


def as_json(rig: Looped, found: RoomStudy, turned: Longest | None) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added."""
    behind, ends = found.behind, found.ends
    return {
        "schema": SCHEMA,
        "rig": rig_json(rig),
        "cast": str(behind.cast).replace(" ", "-"),
        "rod_length_ft": _feet(found.rod_length),
        "line_ft": _feet(found.line),
        "round_ft": _feet(found.round),
        "pointed_ft": _feet(found.pointed),
        "low_ft": _feet(found.low),
        "high_ft": _feet(found.high),
        "height_ft": _feet(ends.tip_height),
        "loop": found.loop,
        "least_line_ft": _feet(found.least),
        "lean_deg": round(math.degrees(behind.lean), 9),
        "peel_ft": _feet(ends.peel_ahead),
        "aside_ft": _feet(ends.aside),
        "hands_ft": _feet(behind.hands),
        "wading_ft": _feet(behind.wading),
        "overhang_ft": _feet(behind.overhang),
        "on_water_ft": _feet(on_water_of(behind, found.parts)),
        "longest_head": turned
        and {
            "room_ft": _feet(turned.room),
            "round_ft": _feet(turned.round),
            "pointed_ft": _feet(turned.pointed),
            "low_ft": _feet(turned.low),
            "high_ft": _feet(turned.high),
        },
        "remarks": [str(each) for each in _said(found, turned)],
    }


def as_text(rig: Looped, found: RoomStudy, turned: Longest | None, system: System) -> str:
    """For reading, ending in a line break."""
    head = Sentence("{rig}, {cast}", rig=rig.cast.name, cast=found.behind.cast)
    said = [render(each, system) for each in _said(found, turned)]
    return "\n\n".join([render(head, system), "\n".join(said)]) + "\n"


def _said(found: RoomStudy, turned: Longest | None) -> list[Sentence]:
    told = [room_words(found), overhead_words(found), *([longest_words(turned)] if turned else [])]
    hook = of_table(caution(Topic.HOOK).text)
    return [each for each in (*told, ESTIMATE, hook) if each]


def _feet(value: float) -> float | None:
    return figure(value, "ft", BESIDE)
