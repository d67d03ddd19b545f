"""A tip and a body with loops, to be joined."""

from __future__ import annotations

from taperlab.model.line import Line, Loop, LoopKind, Style
from taperlab.model.segment import Part, Segment

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6

FOLDED = Loop(LoopKind.FOLDED, 2.5 * INCH, 0.4 * GRAIN)
BRAIDED = Loop(LoopKind.BRAIDED, 0.0, 1.5 * GRAIN)
TIP = Line(
    "tip",
    "Tip",
    Style.TIP,
    (Segment(Part.SINK_TIP, 10 * FOOT, 0.04 * INCH, 0.044 * INCH, 3800.0),),
    front_loop=BRAIDED,
    rear_loop=FOLDED,
)
BODY = Line(
    "body",
    "Body",
    Style.SKAGIT,
    (Segment(Part.BELLY, 20 * FOOT, 0.09 * INCH, 0.1 * INCH, 870.0),),
    front_loop=FOLDED,
    rear_loop=FOLDED,
)
