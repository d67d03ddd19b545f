"""The rods of a bench, and which of them heads are judged on."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import find, sound
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.line import Style
from taperlab.model.rod import Rod, Window
from taperlab.units.sentence import Sentence


def choose_rod(bench: Bench, rod: str | None) -> Edited:
    """Choose the rod that heads are judged on, or none."""
    if rod is not None:
        find(bench.rods, rod, Sentence("That rod is no longer on the bench."))
    if rod != bench.rod:
        bench = replace(bench, rod=rod)
    return Edited(bench, Sentence("Choose rod"))


def make_window(style: Style, lightest: float, heaviest: float, source: str = "") -> Window:
    """The window [kg] of a rod for a style, and who says so. Raises Refused."""
    if lightest > heaviest:
        raise Refused(
            Sentence("The lightest head of a window must not be heavier than its heaviest.")
        )
    return Window(style, lightest, heaviest, source)


def check_rod(rod: Rod) -> None:
    """Refuse a rod without a name, or with two windows for one style."""
    if not rod.name:
        raise Refused(Sentence("A rod needs a name."))
    if len({window.style for window in rod.windows}) != len(rod.windows):
        raise Refused(Sentence("Two windows of this rod are for the same style: keep one of them."))


def set_rods(bench: Bench, rods: tuple[Rod, ...], chosen: str | None) -> Edited:
    """Replace all rods of the bench at once, and choose one of them or none."""
    if len({rod.key for rod in rods}) != len(rods):
        raise Refused(Sentence("Two of the rods have one key."))
    if chosen is not None and chosen not in {rod.key for rod in rods}:
        raise Refused(Sentence("The chosen rod is not among the rods."))
    sound(rods)
    if rods != bench.rods or chosen != bench.rod:
        bench = replace(bench, rods=rods, rod=chosen)
    return Edited(bench, Sentence("Edit rods"))
