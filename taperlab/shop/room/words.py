"""What is said of the room behind."""

from __future__ import annotations

import math

from taperlab.shop.room.study import Longest, RoomStudy
from taperlab.shop.rough import about, from_to
from taperlab.units.sentence import NOTHING, Length, Sentence

ESTIMATE = Sentence(
    "An estimate from geometry: no measurement of a loop’s room was found. Not in it: the sweep at "
    "the side, overhead casts, wind, sag."
)


def room_words(found: RoomStudy) -> Sentence:
    """How much room it wants, or why that can't be said."""
    if not found.loop:
        return Sentence(
            "No loop: {line} of line hangs between rod tip and water, and {least} is the straight "
            "way. That is not the same as no room.",
            line=Length(found.line),
            least=Length(found.least),
        )
    return Sentence(
        "It wants about {about} behind you, {band} with your habits.",
        about=from_to(found.round, found.pointed),
        band=from_to(found.low, found.high),
    )


def figure_words(found: RoomStudy) -> tuple[Sentence, Sentence]:
    """The room in large letters, and what stands below it."""
    if not found.loop:
        return Sentence("No loop"), Sentence("too little line for one, which is not “no room”")
    return (
        Sentence("{about}", about=from_to(found.round, found.pointed)),
        Sentence("{band} with your habits", band=from_to(found.low, found.high)),
    )


def longest_words(found: Longest) -> Sentence:
    """How long a head a room takes."""
    if math.isnan(found.round) and math.isnan(found.pointed):
        return Sentence("No head is short enough for {room} behind you.", room=about(found.room))
    if math.isnan(found.pointed):
        return Sentence(
            "{room} behind you takes a head of {round} in a round loop; a pointed one hits.",
            room=about(found.room),
            round=about(found.round),
        )
    return Sentence(
        "{room} behind you takes a head of {lengths}: the shorter whatever the loop’s shape, the "
        "longer if it is round.",
        room=about(found.room),
        lengths=from_to(found.pointed, found.round),
    )


def overhead_words(found: RoomStudy) -> Sentence:
    """Where the rod tip is, for whoever does not see it drawn."""
    if not found.loop:
        return NOTHING
    return Sentence("The rod tip is {height} above the water.", height=about(found.ends.tip_height))
