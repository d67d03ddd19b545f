"""How the heads that are there fit a rod and its water."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from taperlab.model.line import Line
from taperlab.model.rod import Measured
from taperlab.model.water import Water
from taperlab.physics.head import head_sums, is_tip
from taperlab.physics.profile import Profile
from taperlab.shop.rig import looped
from taperlab.shop.room.study import Parts, RoomStudy
from taperlab.shop.room.study import study as room_study
from taperlab.shop.which_head.study import Candidate, HeadChoice
from taperlab.trade import windows
from taperlab.trade.head_choice import rooms, tip_for
from taperlab.units.finding import Impossible


@dataclass(frozen=True, slots=True)
class HeadFit:
    """How a head that is there fits.

    candidate: its style in the choice; None for a style that is not chosen among. length, mass: of
    the head [m], [kg]. room: what it wants; None where it is not one piece. place, to_edge: of its
    weight in the rod's window [kg]; None without a window for the head alone. off: how far its
    length lies outside what the style has on the rod, below zero if it is too short [m]; 0 within.
    """

    line: Line
    candidate: Candidate | None
    length: float
    mass: float
    room: RoomStudy | None
    place: windows.Place | None
    to_edge: float | None
    off: float
    too_little_room: bool

    @property
    def faults(self) -> int:
        """How many things speak against it: style, length, weight, room."""
        return (
            (self.candidate is None)
            + (self.off != 0.0)
            + (self.place not in (None, windows.Place.INSIDE))
            + self.too_little_room
        )


def heads_that_are_there(
    lines: Iterable[Line], choice: HeadChoice, water: Water
) -> tuple[HeadFit, ...]:
    """How each line's head fits, the best first; tips and lines without a head are left out."""
    found = [_fit(line, choice) for line in lines if not is_tip(line, water) and _has_head(line)]
    return tuple(
        sorted(
            found,
            key=lambda each: (each.faults, -each.candidate.points if each.candidate else 0),
        )
    )


def _has_head(line: Line) -> bool:
    return head_sums(line, Profile.of(line)) is not None


def _fit(line: Line, choice: HeadChoice) -> HeadFit:
    sums = head_sums(line, Profile.of(line))
    assert sums is not None
    rod = choice.rod
    candidate = next((each for each in choice.candidates if each.style is line.style), None)
    with_tip = candidate is not None and candidate.band.with_tip
    room = None
    try:
        parts = Parts.of(looped(line))
    except Impossible:
        pass
    else:
        if with_tip and not parts.tip:
            parts = replace(parts, tip=tip_for(rod.length))
        room = room_study(parts, rod.length, choice.behind, habits=False)
    window = rod.window_for(line.style)
    place = to_edge = None
    if window is not None and window.measured_on is Measured.HEAD:
        place, to_edge = windows.place(sums.mass, window)
    wanted = choice.answers.room
    return HeadFit(
        line,
        candidate,
        sums.length,
        sums.mass,
        room,
        place,
        to_edge,
        _off(sums.length, candidate, rod.length),
        too_little_room=bool(
            wanted is not None
            and room is not None
            and not math.isnan(room.round)
            and room.round > wanted + rooms().grace
        ),
    )


def _off(length: float, candidate: Candidate | None, rod_length: float) -> float:
    """How far a head's length lies outside its style's band on the rod [m], whatever the room."""
    if candidate is None:
        return 0.0
    low, high = candidate.band.lengths(rod_length, tip_for(rod_length))
    if length < low:
        return length - low
    return max(0.0, length - high)
