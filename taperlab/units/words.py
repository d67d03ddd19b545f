"""What a person reads for the values that files keep: parts, styles, joints, loops, waters."""

from __future__ import annotations

from enum import Enum

from taperlab.model.line import JointKind, LoopKind, Style
from taperlab.model.segment import Part
from taperlab.model.water import WaterKind
from taperlab.units.columns import DESCRIBED
from taperlab.units.language import later, tr

WORDS: tuple[tuple[Enum, str], ...] = (
    (Part.TIP, later("tip")),
    (Part.FRONT_TAPER, later("front taper")),
    (Part.BELLY, later("belly")),
    (Part.REAR_TAPER, later("rear taper")),
    (Part.SINK_TIP, later("sink tip")),
    (Part.EXTENSION, later("extension")),
    (Part.HANDLING_LINE, later("handling line")),
    (Part.RUNNING_LINE, later("running line")),
    (Style.SKAGIT, later("Skagit")),
    (Style.SCANDI, later("Scandi")),
    (Style.SHORT_BELLY, later("short belly")),
    (Style.MID_BELLY, later("mid belly")),
    (Style.LONG_BELLY, later("long belly")),
    (Style.SINGLE_HAND, later("single-hand")),
    (Style.SWITCH, later("switch")),
    (Style.TIP, later("tip")),
    (Style.OTHER, later("other")),
    (JointKind.ONE_EXTRUSION, later("one extrusion")),
    (JointKind.LAPPED_WELD, later("lapped weld")),
    (JointKind.BUTT_WELD, later("butt weld")),
    (JointKind.SPLICED_CORE, later("spliced core")),
    (JointKind.LOOP_TO_LOOP, later("loop to loop")),
    (LoopKind.NONE, later("no loop")),
    (LoopKind.FOLDED, later("folded and welded loop")),
    (LoopKind.BRAIDED, later("braided loop")),
    (WaterKind.FRESH, later("fresh")),
    (WaterKind.SEA, later("sea")),
    *((column, described.name) for column, described in DESCRIBED.items()),
)
"""The word for each value. The value itself is what files hold, in every language."""


def word(value: Enum) -> str:
    """The word for a value, in the language that is read. Raises KeyError where it has none."""
    # Style.TIP and Part.TIP are equal as text: the table is asked by the member itself.
    return tr(_BY_MEMBER[type(value), value.name])


def heading(value: Enum) -> str:
    """The word for a value as a heading or an entry of a list begins: with a capital."""
    return capital(word(value))


def capital(text: str) -> str:
    """The text with a capital at its beginning; the rest as it is."""
    return text[:1].upper() + text[1:]


_BY_MEMBER = {(type(member), member.name): text for member, text in WORDS}
